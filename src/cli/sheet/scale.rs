//! `thincut sheet scale`.

use std::io::Write;

use clap::Args;
use thincut::field::Field;
use thincut::sheets::scale::scale_sheet;

use super::{PrintArgs, one_length};
use crate::defaults::Defaults;
use crate::fault::Fault;
use crate::table::GearArgs;

/// The scale of the stroke test, spacers for gates, room for ten readings
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  thincut sheet scale --distance 1.5m --out stroke.pdf")]
pub(crate) struct Command {
    /// From the front of the cue ball to the rail with the scale [default: 1m; in inches 3ft]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    distance: Option<String>,
    #[command(flatten)]
    gear: GearArgs,
    #[command(flatten)]
    print: PrintArgs,
}

impl Command {
    pub(super) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        let gear = self.gear.load(defaults)?.gear;
        let style = self.print.style(defaults);
        let distance_m = one_length(Field::Distance, self.distance.as_deref(), style.units)?;
        let sheet = scale_sheet(&gear, distance_m, &style)?;
        self.print.write(sheet, out)
    }
}
