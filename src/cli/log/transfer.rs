//! Reading the log, and CSV in and out.

use std::io::{Read, Write};
use std::path::PathBuf;

use clap::Args;
use thincut::files::write_whole;
use thincut::log::{Filter, Log, LogError, ShotEntered, When, solve_entered};

use super::now;
use crate::fault::Fault;
use crate::log_words::{self, json_attempts};
use crate::output::{Format, json};

/// Which rows.
#[derive(Debug, Args)]
struct Which {
    /// Only this student's
    #[arg(long, value_name = "LABEL")]
    student: Option<String>,
    /// From this day on
    #[arg(long, value_name = "DATE")]
    since: Option<When>,
    /// Up to and with this day
    #[arg(long, value_name = "DATE")]
    until: Option<When>,
    /// Only this session
    #[arg(long, value_name = "NAME")]
    session: Option<String>,
}

impl Which {
    fn filter(&self) -> Filter {
        Filter {
            student: self.student.clone(),
            since: self.since.clone(),
            until: self.until.clone(),
            session: self.session.clone(),
            sheet: None,
        }
    }
}

/// List what was recorded
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  thincut log list --student A --last 10")]
pub(super) struct ListArgs {
    #[command(flatten)]
    which: Which,
    /// Only the last so many rows
    #[arg(long, value_name = "N")]
    last: Option<usize>,
    /// text, json or csv (as export)
    #[arg(long, value_enum, default_value_t, hide_possible_values = true)]
    format: Format,
}

/// Take in a CSV file, all of it or nothing; rows already there are left alone
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  thincut log import tuesday.csv\n\n\
        Columns as in an export; needed are student, when, gear, tries, made and the shot.\n\
        Rows without windows are solved.")]
pub(super) struct ImportArgs {
    /// The file, or - for standard input
    #[arg(value_name = "FILE")]
    file: PathBuf,
}

/// Write the log, or part of it, as CSV
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  thincut log export backup.csv")]
pub(super) struct ExportArgs {
    /// The file [default: standard output]
    #[arg(value_name = "FILE")]
    file: Option<PathBuf>,
    #[command(flatten)]
    which: Which,
    /// Replace the file if it exists
    #[arg(long)]
    force: bool,
}

impl ListArgs {
    pub(super) fn run(&self, log: &Log, out: &mut dyn Write) -> Result<(), Fault> {
        let mut attempts = log.attempts(&self.which.filter())?;
        if let Some(last) = self.last {
            attempts.drain(..attempts.len().saturating_sub(last));
        }
        match self.format {
            Format::Json => json(out, &json_attempts(&attempts)),
            Format::Csv => Ok(Log::write_csv(&[], &[], &attempts, out)?),
            Format::Text => Ok(out.write_all(log_words::list(&attempts).as_bytes())?),
        }
    }
}

impl ImportArgs {
    pub(super) fn run(&self, log: &mut Log, out: &mut dyn Write) -> Result<(), Fault> {
        let name = self.file.display();
        let mut bytes = Vec::new();
        let read = if self.file.as_os_str() == "-" {
            std::io::stdin().lock().read_to_end(&mut bytes).map(|_| ())
        } else {
            std::fs::read(&self.file).map(|b| bytes = b)
        };
        read.map_err(|e| Fault::input(format!("cannot read {name}: {e}; give a CSV file, or -")))?;
        let solver = |shot: &ShotEntered| solve_entered(shot).map_err(|e| e.to_string());
        let done = log
            .import_csv(&bytes, &now()?, Some(&solver))
            .map_err(|e| match e {
                LogError::Import(_) => Fault::input(format!("{name}: {e}")),
                other => other.into(),
            })?;
        Ok(out.write_all(log_words::imported(&done).as_bytes())?)
    }
}

impl ExportArgs {
    pub(super) fn run(&self, log: &Log, out: &mut dyn Write) -> Result<(), Fault> {
        let filter = self.which.filter();
        match &self.file {
            Some(path) if path.as_os_str() != "-" => {
                let mut bytes = Vec::new();
                log.export_csv(&filter, &mut bytes)?;
                write_whole(path, &bytes, self.force)?;
                Ok(writeln!(out, "Exported to {}.", path.display())?)
            }
            _ => Ok(log.export_csv(&filter, out)?),
        }
    }
}
