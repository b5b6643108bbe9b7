//! Is the log sound?

use std::io::Write;
use std::path::Path;

use clap::Args;
use thincut::log::Log;

use crate::fault::Fault;
use crate::log_words::many;

/// Check all of the log, and say what its backups are
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  thincut log check\n\n\
        Takes time in proportion to the log. By itself a log is checked after an end that was not\n\
        clean, and whenever a backup is made: before the first change of each day, five kept.")]
pub(super) struct CheckArgs {}

/// The name of a backup without its ending: the day it was made.
fn day(path: &Path) -> String {
    let name = path.file_stem().unwrap_or_default();
    name.to_string_lossy().into_owned()
}

impl CheckArgs {
    pub(super) fn run(&self, log: &Log, out: &mut dyn Write) -> Result<(), Fault> {
        let health = log.check()?;
        let rows = many(health.rows, "row");
        if health.problems.is_empty() {
            writeln!(
                out,
                "Sound: {rows}, {} and {}, all as they were recorded.",
                many(health.students, "student"),
                many(health.sheets, "sheet")
            )?;
        } else {
            writeln!(out, "Damaged; {rows} can be read as they were recorded.")?;
            for problem in &health.problems {
                writeln!(out, "  {problem}")?;
            }
        }
        match health.backups.as_slice() {
            [] => writeln!(out, "No backup yet.")?,
            all @ [newest, ..] => writeln!(
                out,
                "{}, the newest of {}.",
                many(all.len(), "backup"),
                day(newest)
            )?,
        }
        out.flush()?;
        if health.problems.is_empty() {
            return Ok(());
        }
        Err(Fault::running(format!(
            "the log {} is damaged; thincut log salvage FILE saves what can be read into a new log, thincut log restore puts a backup in its place",
            log.path().display()
        )))
    }
}
