//! `thincut aims` on one shot.

use std::io::Write;

use serde_json::json;
use thincut::aims::{
    AimRow, ReachRow, Scene, ShotAims, Shots, Summary, WayAnswer, bench_shot, fixed_aims,
};
use thincut::gear::Gear;
use thincut::player::{Player, in_ten};
use thincut::speech::Speech;
use thincut::units::{Angle, Length, speak};
use thincut::window::{Solved, solve};

use super::pictures::Drawn;
use super::words::{apart, assumed, paths};
use super::{AimsCommand, csv_rows, reaches};
use crate::fault::Fault;
use crate::format::Format;
use crate::output::json;

impl AimsCommand {
    pub(super) fn one_shot(
        &self,
        gear: &Gear,
        player: Option<&Player>,
        units: Speech,
        out: &mut dyn Write,
    ) -> Result<(), Fault> {
        let shot = self.request.shot(gear)?;
        let ways = self.ways(&self.ways, gear, Some(&shot))?;
        let solution = solve(gear, &shot)?;
        let Solved { acceptance, window } = match solution.solved() {
            Ok(solved) => solved,
            Err(no) => return no_window(no.name(), self.format.asked, out),
        };
        let scene = Scene {
            gear,
            shot: &shot,
            window,
        };
        let base = bench_shot(&scene, acceptance);
        let aparts = vec![base.apart_m];
        let shots = Shots {
            base,
            aparts_m: &aparts,
            stroke: shot.stroke,
        };
        let reaches = reaches(gear, &ways, &[shots], units)?;
        let told = ShotAims::new(&ways, &scene, acceptance, player, units).with_reaches(&reaches);
        if !self.ways.ways.is_empty() {
            usable(&told)?;
        }
        let rows: Vec<AimRow> = told.ways.iter().map(|w| w.row.clone()).collect();
        let drawn = Drawn {
            gear,
            base,
            stroke: shot.stroke,
            ways: &ways,
            aparts_m: &aparts,
            units,
        };
        let files = self.keep_files(&rows, &reaches, &[drawn])?;
        match self.format.asked {
            Format::Csv => csv_rows(rows.iter(), out),
            Format::Json => json(out, &told),
            Format::Text => {
                writeln!(out, "{}", shot_line(&rows, window.cut_rad, units))?;
                let fixed = fixed_aims(acceptance);
                let summary = Summary {
                    reaches: reaches.iter().map(ReachRow::reached).collect(),
                    fixed: fixed.map(|count| (count, 1e3 * acceptance.distance_m)),
                };
                for line in summary.lines(units) {
                    writeln!(out, "{line}")?;
                }
                for way in &told.ways {
                    shot_text(way, player, units, out)?;
                }
                assumed(&ways, out)?;
                paths(&files, out)
            }
        }
    }
}

/// A way asked for by name that cannot be used is bad input.
fn usable(told: &ShotAims) -> Result<(), Fault> {
    match told.ways.iter().find(|w| w.row.status != "ok") {
        Some(way) => Err(Fault::input(format!(
            "{}: {}",
            way.row.way,
            way.says.join("; ")
        ))),
        None => Ok(()),
    }
}

fn shot_text(
    WayAnswer {
        row, says, reach, ..
    }: &WayAnswer,
    player: Option<&Player>,
    units: Speech,
    out: &mut dyn Write,
) -> Result<(), Fault> {
    writeln!(out, "\n{}: {}.", row.way, says.join("; "))?;
    if let (Some(by), Some(right), Some(p)) = (row.chance_by_way, row.chance_right, player) {
        let more = right >= by;
        let (by, right) = (in_ten(by), in_ten(right));
        if !more {
            writeln!(
                out,
                "  {by} by it, {right} aimed at the middle ({}).",
                p.who
            )?;
        } else if by == right {
            writeln!(out, "  {by} by it, and no more aimed right ({}).", p.who)?;
        } else {
            writeln!(out, "  {by} by it, {right} aimed right ({}).", p.who)?;
        }
    }
    for r in reach {
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
            "No aiming method can make this shot: {}.",
            name.replace('-', " ")
        )?),
    }
}

fn shot_line(rows: &[AimRow], cut_rad: f64, units: Speech) -> String {
    let cut = speak::cut(Angle::from_rad(cut_rad));
    let far = |mm: f64| speak::distance(Length::from_mm(mm), units);
    rows.first().map_or_else(String::new, |row| {
        format!(
            "Cut {cut}; {} between the balls, {} to the pocket. All methods aim for the middle of what goes in clean.",
            far(row.apart_mm),
            far(row.to_pocket_mm)
        )
    })
}
