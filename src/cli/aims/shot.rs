//! `thincut aims` on one shot.

use std::io::Write;

use serde_json::json;
use thincut::aims::{AimRow, ReachRow, Scene, Way, room_sentence, shot_row, verdict_sentence};
use thincut::gear::Gear;
use thincut::player::{Player, in_ten};
use thincut::pocket::Acceptance;
use thincut::units::{Angle, Length, UnitSystem, speak};
use thincut::window::{AbstractShot, solve};

use super::pictures::Drawn;
use super::words::{apart, assumed, paths};
use super::{AimsCommand, csv_rows, metres, reaches};
use crate::fault::Fault;
use crate::output::{Format, json};

/// One way's row and what is said of it.
type Told = (AimRow, Vec<String>);

impl AimsCommand {
    pub(super) fn one_shot(
        &self,
        gear: &Gear,
        player: Option<&Player>,
        units: UnitSystem,
        out: &mut dyn Write,
    ) -> Result<(), Fault> {
        self.refuse_grid()?;
        let shot = self.request.shot(gear)?;
        let ways = self.ways(&self.ways, gear, Some(&shot))?;
        let solution = solve(gear, &shot)?;
        let (acceptance, window) = match (&solution.acceptance, &solution.window) {
            (Some(acceptance), Ok(window)) => (acceptance, window),
            (_, Err(no)) => return no_window(no.name(), self.format, out),
            (None, Ok(_)) => return no_window("no-drop", self.format, out),
        };
        let scene = Scene {
            gear,
            shot: &shot,
            window,
        };
        let base = AbstractShot {
            kind: shot.frame.kind,
            cut_rad: 0.0,
            cut_left: window.cut_left,
            apart_m: scene.apart_m(),
            to_pocket_m: acceptance.distance_m,
            approach_rad: acceptance.approach_rad,
        };
        let aparts = match &self.aparts {
            Some(text) => metres("--aparts", text)?,
            None => vec![base.apart_m],
        };
        let reaches = reaches(gear, &ways, &[base], &aparts, (shot.stroke, units))?;
        let told = self.told(&ways, &scene, acceptance, (player, units))?;
        let rows: Vec<AimRow> = told.iter().map(|(row, _)| row.clone()).collect();
        let drawn = Drawn {
            gear,
            base,
            stroke: shot.stroke,
            ways: &ways,
            aparts_m: &aparts,
            units,
        };
        let files = self.keep_files(&rows, &reaches, &[drawn])?;
        match self.format {
            Format::Csv => csv_rows(rows.iter(), out),
            Format::Json => shot_json(gear, player, (&ways, &told, &reaches), out),
            Format::Text => {
                writeln!(out, "{}", shot_line(&told, window.cut_rad, units))?;
                for told in &told {
                    shot_text(told, &reaches, player, units, out)?;
                }
                assumed(&ways, out)?;
                paths(&files, out)
            }
        }
    }

    fn refuse_grid(&self) -> Result<(), Fault> {
        for (flag, given) in [("--cuts", &self.cuts), ("--to-pockets", &self.to_pockets)] {
            if given.is_some() {
                return Err(Fault::input(format!(
                    "{flag} is for a grid without a shot; leave it out, or leave out the shot"
                )));
            }
        }
        Ok(())
    }

    fn told(
        &self,
        ways: &[Box<dyn Way>],
        scene: &Scene<'_>,
        acceptance: &Acceptance,
        (player, units): (Option<&Player>, UnitSystem),
    ) -> Result<Vec<Told>, Fault> {
        let mut told = Vec::new();
        for way in ways {
            let (row, verdict) = shot_row(&**way, scene, acceptance, player.map(|p| &p.error));
            let says = match verdict {
                Ok(v) => {
                    let room = room_sentence(&v, |rad| scene.window.ghost_offset_m(rad), units);
                    let first = verdict_sentence(&v, units);
                    std::iter::once(first).chain(room).collect()
                }
                // asked for by name and unusable: bad input
                Err(e) if !self.ways.ways.is_empty() => {
                    return Err(Fault::input(format!("{}: {e}", way.name())));
                }
                Err(e) => vec![e.to_string()],
            };
            told.push((row, says));
        }
        Ok(told)
    }
}

fn shot_json(
    gear: &Gear,
    player: Option<&Player>,
    (ways, told, reaches): (&[Box<dyn Way>], &[Told], &[ReachRow]),
    out: &mut dyn Write,
) -> Result<(), Fault> {
    let list: Vec<_> = ways
        .iter()
        .zip(told)
        .map(|(way, (row, says))| {
            let reach: Vec<_> = reaches.iter().filter(|r| r.way == row.way).collect();
            json!({"rule": way.rule(), "assumes": way.assumes(), "row": row,
                "says": says, "reach": reach})
        })
        .collect();
    json(
        out,
        &json!({"gear": gear.name, "player": player.map(|p| &p.who), "ways": list}),
    )
}

fn shot_text(
    (row, says): &Told,
    reaches: &[ReachRow],
    player: Option<&Player>,
    units: UnitSystem,
    out: &mut dyn Write,
) -> Result<(), Fault> {
    writeln!(out, "\n{}: {}.", row.way, says.join("; "))?;
    if let (Some(by), Some(right), Some(p)) = (row.chance_by_way, row.chance_right, player) {
        let (by, right) = (in_ten(by), in_ten(right));
        if by == right {
            writeln!(out, "  {by} by it, and no more aimed right ({}).", p.who)?;
        } else {
            writeln!(out, "  {by} by it, {right} aimed right ({}).", p.who)?;
        }
    }
    for r in reaches.iter().filter(|r| r.way == row.way) {
        writeln!(out, "  {}: {}.", apart(r, units), r.says)?;
    }
    Ok(())
}

fn no_window(name: &str, format: Format, out: &mut dyn Write) -> Result<(), Fault> {
    match format {
        Format::Json => json(out, &json!({"status": name, "ways": []})),
        Format::Csv => Ok(writeln!(out, "status\n{name}")?),
        Format::Text => Ok(writeln!(
            out,
            "No way of aiming can make this shot: {}.",
            name.replace('-', " ")
        )?),
    }
}

fn shot_line(told: &[Told], cut_rad: f64, units: UnitSystem) -> String {
    let cut = speak::cut(Angle::from_rad(cut_rad));
    let far = |mm: f64| speak::distance(Length::from_mm(mm), units);
    told.first().map_or_else(String::new, |(row, _)| {
        format!(
            "Cut {cut}; {} between the balls, {} to the pocket. All ways aim for the middle of what goes in untouched.",
            far(row.apart_mm),
            far(row.to_pocket_mm)
        )
    })
}
