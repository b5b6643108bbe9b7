//! A student gone for good.

use std::io::{IsTerminal, Write, stdin, stdout};

use clap::Args;
use thincut::log::{Log, forget};

use super::{LogCommand, tell};
use crate::fault::Fault;
use crate::log_words::{forgetting, not_forgotten};

/// Forget a student for good: rows, notes, own sheets, backups; says what goes, and asks
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  \
    thincut log forget K\n  \
    thincut log forget K --yes       without asking\n\n\
    Not to be undone. Needs the log to itself: close the page first. Marks on a sheet of a group go,\n\
    the sheet keeps the others. Exports and copies you made yourself are for you to delete.")]
pub(super) struct ForgetArgs {
    /// The student's label
    #[arg(value_name = "STUDENT")]
    label: String,
    /// Do not ask
    #[arg(long)]
    yes: bool,
}

impl ForgetArgs {
    pub(super) fn run(&self, command: &LogCommand, out: &mut dyn Write) -> Result<(), Fault> {
        let path = command.path()?;
        // No backup is made of what is about to go.
        let found = Log::open_existing(&path)?.would_forget(&self.label)?;
        out.write_all(forgetting(&found, &path).as_bytes())?;
        out.flush()?;
        if !self.yes && !self.agreed(out)? {
            return Err(Fault::input(not_forgotten(&self.label)));
        }
        forget(&path, &self.label)?;
        let done = format!("{} is forgotten", self.label);
        // The backup that stands for those that went; it warns by itself where it cannot be made.
        command.open_existing()?;
        tell(out, &done, &format!("{done}.\n"))
    }

    /// Asks, where somebody can answer.
    fn agreed(&self, out: &mut dyn Write) -> Result<bool, Fault> {
        if !stdin().is_terminal() || !stdout().is_terminal() {
            return Ok(false);
        }
        write!(out, "Type {} to forget them: ", self.label)?;
        out.flush()?;
        let mut answer = String::new();
        stdin().read_line(&mut answer)?;
        Ok(answer.trim() == self.label)
    }
}
