//! `thincut sheet pocket`.

use std::io::Write;

use clap::Args;
use thincut::sheets::pocket::pocket_sheet;

use super::PrintArgs;
use crate::defaults::Defaults;
use crate::fault::Fault;
use crate::table::GearArgs;

/// The outlines of both kinds of pocket, to cut out and lay into a real one
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  thincut sheet pocket --table pool-8ft --out pockets.pdf")]
pub(crate) struct Command {
    #[command(flatten)]
    gear: GearArgs,
    #[command(flatten)]
    print: PrintArgs,
}

impl Command {
    pub(super) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        let gear = self.gear.load(defaults)?.gear;
        let sheet = pocket_sheet(&gear, &self.print.style(defaults))?;
        self.print.write(sheet, out)
    }
}
