//! `thincut sheet jaws`.

use std::io::Write;

use clap::Args;
use thincut::sheets::jaws::jaws_sheet;

use super::PrintArgs;
use crate::defaults::Defaults;
use crate::fault::Fault;
use crate::table::GearArgs;
use crate::table_jaws::ramp_at;

/// The ramp test of jaws: where the ramp stands, marks for the mouth, boxes for what drops
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  thincut sheet jaws --out jaws.pdf\n\n\
    What was counted goes into thincut table jaws.")]
pub(crate) struct Command {
    /// At a corner or a side pocket
    #[arg(long, value_name = "KIND", default_value = "corner")]
    ramp_at: String,
    #[command(flatten)]
    gear: GearArgs,
    #[command(flatten)]
    print: PrintArgs,
}

impl Command {
    pub(super) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        self.print.check()?;
        let gear = self.gear.load(defaults)?.gear;
        let kind = ramp_at(&self.ramp_at)?;
        let sheet = jaws_sheet(&gear, kind, &self.print.style(defaults))?;
        self.print.write(sheet, out)
    }
}
