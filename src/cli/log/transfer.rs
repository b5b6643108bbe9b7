//! Reading the log, and CSV in and out.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::fs::File;
use std::io::{BufWriter, Write};
use std::path::PathBuf;

use clap::Args;
use serde::ser::{Error as _, SerializeSeq as _};
use serde::{Serialize, Serializer};
use thincut::files::{ReadError, open, write_streamed};
use thincut::log::{
    CsvRows, Filter, Log, LogError, ShotEntered, Tables, When, solve_beside, solve_entered,
};

use super::{now, tell};
use crate::fault::Fault;
use crate::format::{Format, FormatArgs};
use crate::input;
use crate::log_words::{self, Columns};
use crate::output::json;

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
#[command(
    after_help = "Example:\n  thincut log list --student K --last 10\n\nCSV comes as in an export."
)]
pub(super) struct ListArgs {
    #[command(flatten)]
    which: Which,
    /// Only the last so many rows
    #[arg(long, value_name = "N")]
    last: Option<usize>,
    #[command(flatten)]
    format: FormatArgs<Format>,
}

/// Take in a CSV file, all of it or nothing; rows already there are left alone
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  thincut log import tuesday.csv\n\n\
        Columns as in an export; needed are student, when, gear, tries, made and the shot.\n\
        Rows without windows are solved. Gear is a preset or a table file in the file's own folder.")]
pub(super) struct ImportArgs {
    /// The file, or - for standard input
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// It is an export of my own: its rows may name tables by their paths
    #[arg(long)]
    own: bool,
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
        let filter = self.which.filter();
        let mut out = BufWriter::new(out);
        match self.format.asked {
            Format::Json => list_json(log, &filter, self.last, &mut out)?,
            Format::Csv => {
                log.at_one_moment(|log| {
                    let mut rows = CsvRows::new(log.later(&filter)?, &mut out)?;
                    log.each_attempt(&filter, self.last, |attempt| rows.attempt(&attempt))?;
                    rows.finish()
                })?;
            }
            Format::Text => log.at_one_moment(|log| {
                let mut columns = Columns::default();
                log.each_attempt(&filter, self.last, |attempt| {
                    columns.widen(&attempt);
                    Ok::<(), Fault>(())
                })?;
                columns.head(&mut out)?;
                log.each_attempt(&filter, self.last, |attempt| {
                    Ok::<(), Fault>(columns.row(&attempt, &mut out)?)
                })
            })?,
        }
        Ok(out.flush()?)
    }
}

/// `{"attempts": […]}`, row by row.
fn list_json(
    log: &Log,
    filter: &Filter,
    last: Option<usize>,
    out: &mut impl Write,
) -> Result<(), Fault> {
    let rows = Rows {
        log,
        filter,
        last,
        fault: RefCell::new(None),
    };
    let said = json(out, &BTreeMap::from([("attempts", &rows)]));
    // What stopped the reading, rather than that the writing stopped.
    match rows.fault.into_inner() {
        Some(fault) => Err(fault.into()),
        None => said,
    }
}

/// Rows as a JSON array that is never held whole.
struct Rows<'a> {
    log: &'a Log,
    filter: &'a Filter,
    last: Option<usize>,
    fault: RefCell<Option<LogError>>,
}

/// Why the rows ended early.
enum Stopped<E> {
    Reading(LogError),
    Writing(E),
}

impl<E> From<LogError> for Stopped<E> {
    fn from(error: LogError) -> Self {
        Self::Reading(error)
    }
}

impl Serialize for Rows<'_> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        let mut list = to.serialize_seq(None)?;
        let done = self.log.each_attempt(self.filter, self.last, |attempt| {
            list.serialize_element(&attempt).map_err(Stopped::Writing)
        });
        match done {
            Ok(()) => list.end(),
            Err(Stopped::Writing(e)) => Err(e),
            Err(Stopped::Reading(e)) => {
                let said = S::Error::custom(&e);
                self.fault.replace(Some(e));
                Err(said)
            }
        }
    }
}

impl ImportArgs {
    pub(super) fn run(&self, log: &mut Log, out: &mut dyn Write) -> Result<(), Fault> {
        let mut file = self.file().map_err(|e| input::fault(&self.file, &e))?;
        let folder = input::folder(&self.file);
        let tables = if self.own {
            Tables::Anywhere
        } else {
            Tables::Beside
        };
        let solver = |shot: &ShotEntered| {
            let solved = match tables {
                Tables::Anywhere => solve_entered(shot),
                Tables::Beside => solve_beside(&folder, shot),
            };
            solved.map_err(|e| e.to_string())
        };
        let done = log
            .import_from(&mut file, tables, &now()?, Some(&solver))
            .map_err(|e| match e {
                LogError::Import(_) => input::fault(&self.file, &e),
                other => other.into(),
            })?;
        let what = match done.entry {
            Some(entry) => format!("the import is recorded as entry {entry}"),
            None => "nothing was new".to_owned(),
        };
        tell(out, &what, &log_words::imported(&done))
    }

    /// The file, to be read more than once: standard input is copied to a nameless file.
    fn file(&self) -> Result<File, ReadError> {
        if self.file.as_os_str() != "-" {
            return open(&self.file);
        }
        let mut copy = tempfile::tempfile()?;
        std::io::copy(&mut std::io::stdin().lock(), &mut copy)?;
        Ok(copy)
    }
}

impl ExportArgs {
    pub(super) fn run(&self, log: &Log, out: &mut dyn Write) -> Result<(), Fault> {
        let filter = self.which.filter();
        match &self.file {
            Some(path) if path.as_os_str() != "-" => {
                write_streamed(path, self.force, |file| {
                    Ok::<(), Fault>(log.export_csv(&filter, file)?)
                })?;
                Ok(writeln!(out, "Exported to {}.", path.display())?)
            }
            _ => Ok(log.export_csv(&filter, out)?),
        }
    }
}
