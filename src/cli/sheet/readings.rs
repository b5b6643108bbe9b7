//! `thincut sheet readings`.

use std::io::Write;

use clap::Args;
use thincut::sheets::readings::readings_sheet;

use super::PrintArgs;
use crate::defaults::Defaults;
use crate::fault::Fault;
use crate::table::GearArgs;

/// The measuring form of your own table: where each reading is taken, boxes pocket by pocket
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  thincut sheet readings --table pool-8ft --out form.pdf\n\n\
    --table says what it is compared with; on tables with rounded jaws gauges to cut out are added.\n\
    What was written goes into thincut table measure."
)]
pub(crate) struct Command {
    #[command(flatten)]
    gear: GearArgs,
    #[command(flatten)]
    print: PrintArgs,
}

impl Command {
    pub(super) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        self.print.check()?;
        let gear = self.gear.load(defaults)?.gear;
        let sheet = readings_sheet(&gear, &self.print.style(defaults))?;
        self.print.write(sheet, out)
    }
}
