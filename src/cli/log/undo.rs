//! Taking entries back.

use std::io::Write;

use clap::Args;
use thincut::log::{EntryKind, Log, Undoing};

use super::tell;
use crate::fault::Fault;
use crate::log_words;

/// Take the last entry back, whole; a whole import only with --yes
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    thincut log undo\n  \
    thincut log undo --entry 12      one tally or row of tries, wherever it stands\n  \
    thincut log undo --yes           the last entry even if it is a whole import")]
pub(super) struct UndoArgs {
    /// The entry of this number, as it was shown when it was recorded [default: the last]
    #[arg(long, value_name = "NUMBER")]
    entry: Option<i64>,
    /// Also a whole import
    #[arg(long)]
    yes: bool,
}

impl UndoArgs {
    pub(super) fn run(&self, log: &mut Log, out: &mut dyn Write) -> Result<(), Fault> {
        let undoing = log.undo_if(self.entry, |u| self.yes || u.kind != EntryKind::Import)?;
        match undoing {
            Undoing::Done(undone) => {
                let what = format!("entry {} is taken back", undone.entry);
                tell(out, &what, &log_words::undone(Some(&undone)))
            }
            Undoing::Nothing => Ok(out.write_all(log_words::undone(None).as_bytes())?),
            Undoing::Left(kept) => Err(Fault::input(log_words::kept(&kept))),
        }
    }
}
