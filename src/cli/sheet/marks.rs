//! `thincut sheet marks`.

use std::io::Write;
use std::path::PathBuf;

use clap::Args;
use thincut::ladder::MarksAnswer;
use thincut::sheets::kept::kept_marks;
use thincut::sheets::marks::marks_sheet;

use super::PrintArgs;
use super::kept::{answer, code, gear_of};
use crate::defaults::Defaults;
use crate::fault::Fault;
use crate::student::open_reading;
use crate::table::GearArgs;

/// A marks sheet: one shot, a mark for each student, boxes, turns
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    thincut ladder marks --students K=starting,L=club --keep      prints a code, such as M4T9X\n  \
    thincut sheet marks M4T9X --out marks.pdf\n  \
    thincut ladder marks --students K=starting,L=club --playing-on 1 --minutes 20 --format json | thincut sheet marks - --out marks.pdf\n\n\
    The log keeps no turns: print those from --format json.")]
pub(crate) struct Command {
    /// The code of kept marks, or what --format json wrote; - for standard input
    #[arg(value_name = "CODE|FILE.json")]
    marks: PathBuf,
    /// The log [default: thincut/practice.sqlite in your data folder]
    #[arg(long, value_name = "FILE", env = "THINCUT_LOG")]
    log: Option<PathBuf>,
    #[command(flatten)]
    gear: GearArgs,
    #[command(flatten)]
    print: PrintArgs,
}

impl Command {
    pub(super) fn run(&self, defaults: &Defaults, out: &mut dyn Write) -> Result<(), Fault> {
        let style = self.print.style(defaults);
        let sheet = match code(&self.marks) {
            Some(code) => {
                let (code, kept) = open_reading(self.log.as_ref())?.find_sheet(code)?;
                let gear = gear_of(&kept, defaults)?;
                kept_marks(&gear, &code, &kept, &style)?
            }
            None => {
                let marks: MarksAnswer = answer(&self.marks, "thincut ladder marks")?;
                let gear = self.gear.load(defaults)?.gear;
                marks_sheet(&gear, &marks, &style)?
            }
        };
        self.print.write(sheet, out)
    }
}
