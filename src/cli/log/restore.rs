//! A backup in the place of the log.

use std::io::Write;
use std::path::{Path, PathBuf};

use clap::Args;
use thincut::log::{LogError, backups, restore};

use crate::fault::Fault;
use crate::log_words::many;

/// Put a backup in the place of the log; the log that was there is put aside
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  thincut log restore\n  \
        thincut log restore 2025-11-18\n  \
        thincut log restore saved.sqlite")]
pub(super) struct RestoreArgs {
    /// Day of a backup, or the file of a log [default: the newest backup]
    #[arg(value_name = "BACKUP")]
    backup: Option<PathBuf>,
}

impl RestoreArgs {
    pub(super) fn run(&self, log: &Path, out: &mut dyn Write) -> Result<(), Fault> {
        let done = restore(log, &self.wanted(log)?)?;
        writeln!(
            out,
            "Put back {}: {}.",
            done.from.display(),
            many(done.rows, "row")
        )?;
        if let Some(replaced) = done.replaced {
            writeln!(out, "The log that was there is now {}.", replaced.display())?;
        }
        Ok(())
    }

    fn wanted(&self, log: &Path) -> Result<PathBuf, LogError> {
        let all = backups(log)?;
        let Some(wanted) = &self.backup else {
            let newest = all.into_iter().next();
            return newest.ok_or_else(|| LogError::NoBackup {
                path: log.to_owned(),
            });
        };
        let of_that_day = all
            .into_iter()
            .find(|b| b.file_stem() == Some(wanted.as_os_str()));
        Ok(of_that_day.unwrap_or_else(|| wanted.clone()))
    }
}
