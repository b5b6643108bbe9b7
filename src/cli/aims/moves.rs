//! `thincut aims --moves`: what moves the aim.

use std::io::Write;
use std::path::PathBuf;

use serde_json::json;
use thincut::aims::{MoveRow, Stick, WaysRequest, moves};
use thincut::field::Field;
use thincut::files::Batch;
use thincut::gear::Gear;
use thincut::request::quantity;
use thincut::speech::Speech;
use thincut::units::{Angle, Length, speak};

use super::pictures::{Moved, moved_picture};
use super::words::paths;
use super::{AimsCommand, csv_rows};
use crate::fault::Fault;
use crate::format::Format;
use crate::output::{json, keep_picture};

impl AimsCommand {
    pub(super) fn what_moves(
        &self,
        gear: &Gear,
        name: &str,
        units: Speech,
        out: &mut dyn Write,
    ) -> Result<(), Fault> {
        let shot = self.request.shot(gear)?;
        let request = WaysRequest {
            ways: vec![name.to_owned()],
            ..self.ways.clone()
        };
        let ways = self.ways(&request, gear, Some(&shot))?;
        let Some(way) = ways.first() else {
            return Ok(());
        };
        let stick = match (
            quantity::<Length>(Field::Pivot, self.pivot.as_deref())?,
            quantity::<Angle>(Field::Squirt, self.squirt.as_deref())?,
        ) {
            (Some(pivot), _) => Stick::with_pivot(pivot.m())?,
            (None, Some(squirt)) => Stick::with_squirt(gear, squirt.rad())?,
            (None, None) => Stick::default(),
        };
        let rows = moves(gear, &shot, &**way, stick)?;
        let assumed = format!(
            "Assumed: a stick of {:.0} mm pivot length ({:.2}° of squirt at side 1), no swerve; side at contact.",
            stick.pivot_m() * 1e3,
            stick.squirt_rad(gear, 1.0).to_degrees()
        );
        let held = format!(
            "{} between the balls",
            speak::distance(Length::from_m(shot.apart_m()), units)
        );
        let files = self.keep_moves(&Moved {
            gear,
            way: &**way,
            rows: &rows,
            held: &held,
            assumed: &assumed,
        })?;
        match self.format.asked {
            Format::Csv => csv_rows(rows.iter(), out),
            Format::Json => json(
                out,
                &json!({"gear": gear.name, "way": way.name(), "pivot_mm": stick.pivot_m() * 1e3,
                    "rows": rows}),
            ),
            Format::Text => {
                writeln!(
                    out,
                    "Right line against the shot as asked, at the ghost ball, and what {} then errs by:",
                    way.name()
                )?;
                writeln!(out, "{}", moves_table(&rows, units).trim_fmt())?;
                writeln!(out, "{assumed}")?;
                paths(&files, out)
            }
        }
    }

    /// Writes `aims-moves.csv` and its chart when a folder was given.
    fn keep_moves(&self, moved: &Moved<'_>) -> Result<Vec<PathBuf>, Fault> {
        let Some(folder) = &self.out else {
            return Ok(Vec::new());
        };
        let mut files = Batch::new(folder, self.force)?;
        csv_rows(moved.rows.iter(), &mut files.file("aims-moves.csv")?)?;
        let picture = moved_picture(moved)?;
        keep_picture(&mut files, "aims-moves", &picture)?;
        Ok(files.keep()?)
    }
}

fn moves_table(rows: &[MoveRow], units: Speech) -> comfy_table::Table {
    let mut table = comfy_table::Table::new();
    table.load_style(comfy_table::presets::NOTHING);
    table.set_header([
        "what",
        "setting",
        "cue ball's line",
        "stick's line",
        "throw",
        "the way errs by",
        "goes in",
    ]);
    let length = |mm: f64| speak::small_length(Length::from_mm(mm.abs()), units);
    let line = |deg: Option<f64>, mm: Option<f64>, words: [&str; 2]| match (deg, mm) {
        (Some(_), Some(mm)) if mm.abs() < 0.005 => "same".to_owned(),
        (Some(deg), Some(mm)) => {
            let word = if mm > 0.0 { words[0] } else { words[1] };
            let degrees = speak::degrees(Angle::from_deg(deg.abs()));
            if degrees == "0°" {
                format!("{} {word}", length(mm))
            } else {
                format!("{} {word} ({degrees})", length(mm))
            }
        }
        _ => String::new(),
    };
    for r in rows {
        let throw = r
            .throw_deg
            .map_or(String::new(), |d| speak::degrees(Angle::from_deg(d)));
        let way = line(r.too_full_deg, r.too_full_mm, ["too full", "too thin"]);
        table.add_row([
            r.what.to_owned(),
            match r.setting.as_str() {
                "draw" => units.nouns().draw.to_owned(),
                setting => setting.to_owned(),
            },
            line(r.ball_thinner_deg, r.ball_thinner_mm, ["thinner", "fuller"]),
            line(
                r.stick_thinner_deg,
                r.stick_thinner_mm,
                ["thinner", "fuller"],
            ),
            throw,
            if way == "same" { "nothing".into() } else { way },
            r.drops.map_or_else(|| r.status.to_owned(), goes_in),
        ]);
    }
    table
}

fn goes_in(name: &str) -> String {
    match name {
        "clean" => "clean",
        "direct" => "off the jaws",
        "drop" => "off the rail",
        _ => "no",
    }
    .to_owned()
}
