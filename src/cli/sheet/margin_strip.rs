//! `thincut sheet margin-strip`.

use std::io::Write;

use clap::Args;
use thincut::charts::margins::Strip;
use thincut::field::Field;
use thincut::gear::Gear;
use thincut::request::{StrokeRequest, pocket_kind};
use thincut::sheets::margin_strip::margin_strip_sheet;
use thincut::units::UnitSystem;

use super::{PrintArgs, exactly, one_length, rounds};
use crate::defaults::Defaults;
use crate::fault::Fault;
use crate::table::GearArgs;

/// A strip with the margin at the ghost ball at true size, by hit and distance to the pocket
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  thincut sheet margin-strip --to-pocket 1ft,2ft,4ft --units inches --out strip.pdf"
)]
pub(crate) struct Command {
    /// corner or side
    #[arg(long, value_name = "KIND", default_value = "corner")]
    kind: String,
    /// Three distances from the object ball to the pocket, shortest first [default: 40cm,80cm,160cm; in inches 1.5ft,3ft,5ft]
    #[arg(long, value_name = "LENGTHS")]
    to_pocket: Option<String>,
    /// Between the two balls, centre to centre [default: 1m; in inches 3ft]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    cue_to_object: Option<String>,
    #[command(flatten)]
    stroke: StrokeRequest,
    #[command(flatten)]
    gear: GearArgs,
    #[command(flatten)]
    print: PrintArgs,
}

impl Command {
    fn strip(&self, gear: &Gear, units: UnitSystem) -> Result<Strip, Fault> {
        let usual = rounds(units, "40cm,80cm,160cm", "1.5ft,3ft,5ft");
        let to_pockets = self.to_pocket.as_deref().unwrap_or(usual);
        let to_pocket_m: [f64; 3] = exactly(Field::ToPocket, to_pockets, usual)?;
        if !to_pocket_m.is_sorted() {
            return Err(Fault::input(format!(
                "--to-pocket {to_pockets}: not in order; write the shortest first, such as {usual}"
            )));
        }
        Ok(Strip {
            kind: pocket_kind(Some(&self.kind))?,
            to_pocket_m,
            apart_m: one_length(Field::Apart, self.cue_to_object.as_deref(), units)?,
            stroke: self.stroke.stroke(gear)?,
        })
    }

    pub(super) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        self.print.check()?;
        let gear = self.gear.load(defaults)?.gear;
        let style = self.print.style(defaults);
        let strip = self.strip(&gear, style.units)?;
        let sheet = margin_strip_sheet(&gear, &strip, &style)?;
        self.print.write(sheet, out)
    }
}
