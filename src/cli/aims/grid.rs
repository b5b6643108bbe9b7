//! `thincut aims` over all cuts at several distances.

use std::io::Write;

use serde_json::json;
use thincut::aims::{AimRow, Bench, ReachRow, Shots, Summary, Way, aim_rows, fixed_aims};
use thincut::field::Field;
use thincut::gear::Gear;
use thincut::player::Player;
use thincut::request::{cuts, pocket_kind, quantity};
use thincut::speech::Speech;
use thincut::units::Angle;
use thincut::window::{AbstractShot, Shot, Stroke};

use super::pictures::Drawn;
use super::words::{apart, assumed, paths};
use super::{AimsCommand, csv_rows, metres, reaches};
use crate::fault::Fault;
use crate::format::Format;
use crate::output::json;

/// What a grid covers.
struct Grid {
    bases: Vec<AbstractShot>,
    aparts_m: Vec<f64>,
    cuts_rad: Vec<f64>,
    stroke: Stroke,
}

impl AimsCommand {
    pub(super) fn grid(
        &self,
        gear: &Gear,
        player: Option<&Player>,
        units: Speech,
        out: &mut dyn Write,
    ) -> Result<(), Fault> {
        let ways = self.ways(&self.ways, gear, None)?;
        let grid = self.grid_asked(gear)?;
        let shots: Vec<Shots<'_>> = grid
            .bases
            .iter()
            .map(|&base| Shots {
                base,
                aparts_m: &grid.aparts_m,
                stroke: grid.stroke,
            })
            .collect();
        let reaches = reaches(gear, &ways, &shots, units)?;
        let rows = rows(gear, &ways, &grid, player)?;
        let drawn: Vec<Drawn<'_>> = grid
            .bases
            .iter()
            .map(|&base| Drawn {
                gear,
                base,
                stroke: grid.stroke,
                ways: &ways,
                aparts_m: &grid.aparts_m,
                units,
            })
            .collect();
        let files = self.keep_files(&rows, &reaches, &drawn)?;
        match self.format.asked {
            Format::Csv => csv_rows(rows.iter(), out),
            Format::Json => {
                let list: Vec<_> = ways
                    .iter()
                    .map(|w| json!({"way": w.name(), "rule": w.rule(), "assumes": w.assumes()}))
                    .collect();
                json(
                    out,
                    &json!({"gear": gear.name, "player": player.map(|p| &p.who), "ways": list,
                        "reach": reaches, "rows": rows}),
                )
            }
            Format::Text => {
                for line in summary(gear, &grid, &reaches)?.lines(units) {
                    writeln!(out, "{line}")?;
                }
                grid_text(&ways, &reaches, units, out)?;
                assumed(&ways, out)?;
                paths(&files, out)
            }
        }
    }

    fn grid_asked(&self, gear: &Gear) -> Result<Grid, Fault> {
        let places = &self.request.places;
        // The stroke with the side of the cut, both checked.
        let cut_side = self.cut_side()?;
        let stroke = self.request.stroke.stroke(gear)?;
        let approach_rad =
            quantity::<Angle>(Field::Approach, places.approach.as_deref())?.map_or(0.0, Angle::rad);
        let aparts_m = metres(
            Field::Apart,
            places.apart.as_deref().unwrap_or(USUAL_APARTS),
        )?;
        let to_pockets = places.to_pocket.as_deref().unwrap_or(USUAL_TO_POCKET);
        let cuts = cuts(Field::Cut, places.cut.as_deref().unwrap_or(USUAL_CUTS))?;
        let kind = pocket_kind(places.kind.as_deref())?;
        let bases: Vec<AbstractShot> = metres(Field::ToPocket, to_pockets)?
            .into_iter()
            .map(|to_pocket_m| AbstractShot {
                kind,
                cut_rad: 0.0,
                cut_side,
                apart_m: aparts_m.first().copied().unwrap_or(0.0),
                to_pocket_m,
                approach_rad,
            })
            .collect();
        let cuts_rad: Vec<f64> = cuts.into_iter().map(Angle::rad).collect();
        if let Some(base) = bases.first() {
            for &cut_rad in &cuts_rad {
                Shot::from_angles(gear, &AbstractShot { cut_rad, ..*base }, stroke)?;
            }
        }
        Ok(Grid {
            bases,
            aparts_m,
            cuts_rad,
            stroke,
        })
    }
}

/// Near, middling and far on a table.
const USUAL_APARTS: &str = "1ft,3ft,6ft";
const USUAL_TO_POCKET: &str = "3ft";
const USUAL_CUTS: &str = "0deg..80deg/5deg";

fn rows(
    gear: &Gear,
    ways: &[Box<dyn Way>],
    grid: &Grid,
    player: Option<&Player>,
) -> Result<Vec<AimRow>, Fault> {
    let mut rows = Vec::new();
    for base in &grid.bases {
        let Ok(bench) = Bench::new(gear, *base, grid.stroke)? else {
            continue;
        };
        for way in ways {
            for &apart_m in &grid.aparts_m {
                let bench = bench.at_distance(apart_m)?;
                let error = player.map(|p| &p.error);
                rows.extend(aim_rows(&bench, &**way, &grid.cuts_rad, error));
            }
        }
    }
    Ok(rows)
}

/// What all of it comes to, at the first distance to the pocket.
fn summary<'a>(gear: &Gear, grid: &Grid, reaches: &'a [ReachRow]) -> Result<Summary<'a>, Fault> {
    let mut fixed = None;
    if let Some(base) = grid.bases.first()
        && let Ok(bench) = Bench::new(gear, *base, grid.stroke)?
    {
        fixed = fixed_aims(bench.acceptance()).map(|count| (count, 1e3 * base.to_pocket_m));
    }
    Ok(Summary {
        reaches: reaches.iter().map(ReachRow::reached).collect(),
        fixed,
    })
}

fn grid_text(
    ways: &[Box<dyn Way>],
    reaches: &[ReachRow],
    units: Speech,
    out: &mut dyn Write,
) -> Result<(), Fault> {
    if reaches.is_empty() {
        writeln!(out, "No ball drops from there at this pace.")?;
    }
    for way in ways {
        writeln!(out, "{}: {}.", way.name(), way.rule())?;
        for r in reaches.iter().filter(|r| r.way == way.name()) {
            writeln!(out, "  {}: {}.", apart(r, units), r.says)?;
        }
    }
    Ok(())
}
