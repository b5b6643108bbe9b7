//! What can be saved of a damaged log.

use std::io::Write;
use std::path::{Path, PathBuf};

use clap::Args;
use thincut::log::salvage;

use super::now;
use crate::fault::Fault;
use crate::log_words::many;

/// Save what can be read of a damaged log into a new file
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  thincut log salvage saved.sqlite\n\n\
        The damaged log stays as it is. Rows are saved where they are as they were recorded.")]
pub(super) struct SalvageArgs {
    /// The new log
    #[arg(value_name = "FILE")]
    file: PathBuf,
}

impl SalvageArgs {
    pub(super) fn run(&self, log: &Path, out: &mut dyn Write) -> Result<(), Fault> {
        let saved = salvage(log, &self.file, &now()?)?;
        let file = self.file.display();
        write!(
            out,
            "Saved {}, {} and {} into {file}",
            many(saved.rows, "row"),
            many(saved.students, "student"),
            many(saved.sheets, "sheet")
        )?;
        match saved.lost {
            0 => writeln!(out, ".")?,
            lost => writeln!(out, "; {} too damaged to trust.", many(lost, "row"))?,
        }
        writeln!(
            out,
            "Look at it: thincut log list --log {file}. To go on with it: thincut log restore {file}"
        )?;
        Ok(())
    }
}
