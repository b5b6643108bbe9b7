//! `thincut sheet why-thin`.

use std::io::Write;

use clap::Args;
use thincut::charts::margins::Asked;
use thincut::field::Field;
use thincut::request::{StrokeRequest, pocket_kind, quantity};
use thincut::sheets::why_thin::why_thin_sheet;
use thincut::units::{Angle, Length, Side};

use super::PrintArgs;
use crate::defaults::Defaults;
use crate::fault::Fault;
use crate::student::WhoArgs;
use crate::table::GearArgs;

/// The poster: how far the tip may be off, full and thin, near and far, at life size
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  thincut sheet why-thin --out poster.pdf\n  thincut sheet why-thin --paper a3 --units inches --out wall.pdf"
)]
pub(crate) struct Command {
    /// corner or side
    #[arg(long, value_name = "KIND", default_value = "corner")]
    kind: String,
    /// From the object ball to the pocket [default: 30cm; in inches 1ft]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    to_pocket: Option<String>,
    /// How far off straight in [default: 0deg]
    #[arg(long, value_name = "ANGLE", allow_hyphen_values = true)]
    approach: Option<String>,
    #[command(flatten)]
    stroke: StrokeRequest,
    #[command(flatten)]
    who: WhoArgs,
    #[command(flatten)]
    gear: GearArgs,
    #[command(flatten)]
    print: PrintArgs,
}

impl Command {
    pub(super) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        self.print.check()?;
        let gear = self.gear.load(defaults)?.gear;
        let style = self.print.style(defaults);
        let approach = quantity::<Angle>(Field::Approach, self.approach.as_deref())?;
        let to_pocket = quantity::<Length>(Field::ToPocket, self.to_pocket.as_deref())?;
        let asked = Asked {
            kind: pocket_kind(Some(&self.kind))?,
            to_pocket_m: to_pocket.map(Length::m),
            approach_rad: approach.map_or(0.0, Angle::rad),
            stroke: self.stroke.stroke(&gear)?,
            player: self.who.player(Side::Left)?,
            units: style.units,
        };
        self.print
            .write(why_thin_sheet(&gear, &asked, &style)?, out)
    }
}
