//! Putting back what was taken back.

use std::io::Write;

use clap::Args;
use thincut::log::Log;

use super::tell;
use crate::fault::Fault;
use crate::log_words;

/// Put an entry back that was taken back
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    thincut log redo                 what was taken back last\n  \
    thincut log redo --entry 12      that entry, however long ago")]
pub(super) struct RedoArgs {
    /// The entry of this number, as `undo` said it [default: the one taken back last]
    #[arg(long, value_name = "NUMBER")]
    entry: Option<i64>,
}

impl RedoArgs {
    pub(super) fn run(&self, log: &mut Log, out: &mut dyn Write) -> Result<(), Fault> {
        let done = log.redo(self.entry)?;
        let what = done
            .as_ref()
            .map_or("nothing was put back".to_owned(), |d| {
                format!("entry {} is put back", d.entry)
            });
        tell(out, &what, &log_words::redone(done.as_ref()))
    }
}
