//! `thincut sheet cue`.

use std::io::Write;

use clap::Args;
use thincut::sheets::cue::cue_sheet;

use super::PrintArgs;
use crate::defaults::Defaults;
use crate::fault::Fault;
use crate::table::GearArgs;

/// The pivot test of a cue: the scale, and room for readings right and left of the ball's middle
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  thincut sheet cue --out cue.pdf\n\n\
    What was read goes into thincut table cue.")]
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
        let sheet = cue_sheet(&gear, &self.print.style(defaults))?;
        self.print.write(sheet, out)
    }
}
