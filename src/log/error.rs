//! What can go wrong with a log.

use std::fmt;
use std::path::{Path, PathBuf};

use rusqlite::ErrorCode;
use thiserror::Error;

use super::cells::LaterText;
use super::code::CodeError;
use super::since::SinceError;
use super::student::StudentError;
use crate::field::{Field, Hint};

/// Most faulty lines of a file that are shown.
const LINES_SHOWN: usize = 20;

/// A log that cannot be used, or an entry that cannot be kept. Nothing was written.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum LogError {
    /// The system names no home for data.
    #[error(
        "this system names no folder for data: say where the log is{}, or set THINCUT_LOG",
        Hint::NameLog
    )]
    NoPlace,
    /// There is none yet.
    #[error(
        "there is no log at {0} yet: record something first, or name another file{hint}",
        hint = Hint::NameLog
    )]
    Missing(PathBuf),
    /// Its folder cannot be made, or the file cannot be opened or made.
    #[error(
        "cannot open or make the log {path}: {reason}; choose a place you may write to{}",
        Hint::NameLog
    )]
    CannotOpen {
        /// The log.
        path: PathBuf,
        /// What the system says.
        reason: String,
    },
    /// The file, or its folder, is read-only.
    #[error(
        "the log {path} cannot be written: it or its folder is read-only; change that, or choose another place{}",
        Hint::NameLog
    )]
    ReadOnly {
        /// The log.
        path: PathBuf,
    },
    /// Some other file.
    #[error(
        "{path} is not a practice log ({reason}); it was left as it is; choose another file{}{}",
        Hint::NameLog,
        Hint::RestoreLog
    )]
    NotALog {
        /// The file.
        path: PathBuf,
        /// What it is.
        reason: String,
    },
    /// Made by a later version.
    #[error(
        "the log {path} has schema {found}, made by a newer thincut: this one knows up to {known}; it was left as it is; update thincut"
    )]
    Newer {
        /// The log.
        path: PathBuf,
        /// Its schema.
        found: i64,
        /// Ours.
        known: i64,
    },
    /// A row of a later version.
    #[error(
        "the log {path} has rows made by a newer thincut, which say \"{text}\" of their shot: update thincut"
    )]
    NewerRow {
        /// The log.
        path: PathBuf,
        /// What they say.
        text: String,
    },
    /// Broken.
    #[error(
        "the log {path} is damaged ({reason}); nothing was changed; put a copy or an export in its place, or choose another file{}{}",
        Hint::NameLog,
        Hint::MendLog
    )]
    Damaged {
        /// The log.
        path: PathBuf,
        /// What is broken.
        reason: String,
    },
    /// No room.
    #[error(
        "the disk that holds the log {path} is full; the entry was not recorded; make room and enter it again"
    )]
    Full {
        /// The log.
        path: PathBuf,
    },
    /// The system failed to read or write.
    #[error(
        "reading or writing the log {path} failed ({reason}); the entry was not recorded; check the disk and enter it again"
    )]
    Io {
        /// The log.
        path: PathBuf,
        /// What the system says.
        reason: String,
    },
    /// Another program kept it for too long.
    #[error("the log {path} is in use by another program; the entry was not recorded; try again")]
    Busy {
        /// The log.
        path: PathBuf,
    },
    /// Another program has it open, and it must have nobody.
    #[error(
        "the log {path} is open in another program: close the page, and whatever else uses it, and try again"
    )]
    InUse {
        /// The log.
        path: PathBuf,
    },
    /// A backup that cannot be made, read or put in place.
    #[error("the backup {path}: {reason}")]
    Backup {
        /// The file or folder.
        path: PathBuf,
        /// What the system or the database says.
        reason: String,
    },
    /// None to put back.
    #[error(
        "there is no backup of the log {path}: one is made before the first change of each day"
    )]
    NoBackup {
        /// The log.
        path: PathBuf,
    },
    /// A file where a new one was to be.
    #[error("{0} is there already: name a new file")]
    Taken(PathBuf),
    /// Any other fault of the database.
    #[error("the log {path}: {reason}")]
    Database {
        /// The log.
        path: PathBuf,
        /// What the database says.
        reason: String,
    },
    /// Nobody of that label.
    #[error(
        "no student is called {label}{suggestion}; add one{}",
        Hint::SetStudent { label }
    )]
    UnknownStudent {
        /// As given.
        label: String,
        /// ` (did you mean A?)`, or nothing.
        suggestion: String,
    },
    /// Labels that differ only in case.
    #[error("student {label} would be mistaken for {existing}: use another label, or that one")]
    LabelTaken {
        /// As given.
        label: String,
        /// The one there is.
        existing: String,
    },
    /// A student that cannot be kept.
    #[error(transparent)]
    Student(#[from] StudentError),
    /// A row that cannot be kept.
    #[error("row {row}: {problem}")]
    Row {
        /// Which row of the entry, from 1.
        row: usize,
        /// What is wrong, and what would do.
        problem: String,
    },
    /// An entry of nothing.
    #[error("there is nothing to record: give at least one row")]
    Empty,
    /// The same tries stand there already.
    #[error(
        "{student} {made} of {tries} at this shot on {day} is in the log already, as entry {entry}; nothing was recorded{}",
        Hint::Again
    )]
    Already {
        /// Whose.
        student: String,
        /// Makes.
        made: u32,
        /// Tries.
        tries: u32,
        /// The day.
        day: String,
        /// The entry there is.
        entry: i64,
    },
    /// No entry of that number.
    #[error("the log has no entry {entry}: it may have been taken back already")]
    NoEntry {
        /// As given.
        entry: i64,
    },
    /// An entry that others rest on.
    #[error(
        "entry {entry} brought or changed students or sheets that later entries may rest on: take those back first{}",
        Hint::Undo
    )]
    NotLast {
        /// The entry.
        entry: i64,
    },
    /// An entry to put back that was not taken back.
    #[error("entry {entry} was not taken back, so there is nothing to put back")]
    NotBack {
        /// As given.
        entry: i64,
    },
    /// An entry that cannot be put back as things stand.
    #[error("entry {entry} stays taken back: {problem}")]
    Stands {
        /// The entry.
        entry: i64,
        /// What is in the way, and what would do.
        problem: String,
    },
    /// A demo asked for in a log that holds something.
    #[error(
        "the log {path} holds students already, and the demo does not mix with real ones: choose another file{}",
        Hint::NameLog
    )]
    NotEmpty {
        /// The log.
        path: PathBuf,
    },
    /// A code that cannot be right.
    #[error(transparent)]
    Code(#[from] CodeError),
    /// A good code of no sheet here.
    #[error(
        "no sheet has the code {code} in this log: was it drawn up with another {}, or without {}?",
        Field::Log,
        Field::Keep
    )]
    UnknownSheet {
        /// The code.
        code: String,
    },
    /// A sheet that cannot be kept.
    #[error("the sheet: {problem}")]
    Sheet {
        /// What is wrong.
        problem: String,
    },
    /// What the shelf cannot keep.
    #[error("the shelf: {problem}")]
    Shelf {
        /// What is wrong.
        problem: String,
    },
    /// A period that is none.
    #[error("since: {0}")]
    Period(#[from] SinceError),
    /// Rows that do not belong to the sheet.
    #[error("sheet {code}: {problem}")]
    Tally {
        /// The code.
        code: String,
        /// What is wrong, and what would do.
        problem: String,
    },
    /// A file with faults; nothing of it was taken in.
    #[error("nothing was imported: {}", lines_text(.0))]
    Import(Vec<LineFault>),
    /// The file cannot be written while exporting.
    #[error("the export could not be written: {0}")]
    Export(#[source] std::io::Error),
}

/// One fault of an imported file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LineFault {
    /// Line in the file, from 1.
    pub line: u64,
    /// What is wrong with it, and what would do.
    pub problem: String,
}

impl fmt::Display for LineFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}: {}", self.line, self.problem)
    }
}

fn lines_text(faults: &[LineFault]) -> String {
    let shown: Vec<String> = faults
        .iter()
        .take(LINES_SHOWN)
        .map(LineFault::to_string)
        .collect();
    let mut text = match faults.len() {
        1 => shown.concat(),
        count => format!("{count} lines have faults\n  {}", shown.join("\n  ")),
    };
    if faults.len() > LINES_SHOWN {
        text.push_str(&format!("\n  … and {} more", faults.len() - LINES_SHOWN));
    }
    text
}

impl LogError {
    /// Whether the user asked for something that cannot be, rather than the system failing.
    #[must_use]
    pub fn is_bad_input(&self) -> bool {
        !matches!(
            self,
            Self::CannotOpen { .. }
                | Self::ReadOnly { .. }
                | Self::Full { .. }
                | Self::Io { .. }
                | Self::Busy { .. }
                | Self::InUse { .. }
                | Self::Backup { .. }
                | Self::Database { .. }
                | Self::Damaged { .. }
                | Self::Export(_)
        )
    }

    /// The database's fault in our words.
    pub(super) fn from_sqlite(path: &Path, error: &rusqlite::Error) -> Self {
        let path = path.to_owned();
        let reason = error.to_string();
        if let rusqlite::Error::FromSqlConversionFailure(_, _, why) = error
            && let Some(LaterText(text)) = why.downcast_ref()
        {
            let text = text.clone();
            return Self::NewerRow { path, text };
        }
        match error.sqlite_error_code() {
            Some(ErrorCode::DiskFull) => Self::Full { path },
            Some(ErrorCode::ReadOnly | ErrorCode::PermissionDenied) => Self::ReadOnly { path },
            Some(ErrorCode::CannotOpen) => Self::CannotOpen { path, reason },
            Some(ErrorCode::SystemIoFailure | ErrorCode::FileLockingProtocolFailed) => {
                Self::Io { path, reason }
            }
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Self::Busy { path },
            Some(ErrorCode::NotADatabase) => Self::NotALog {
                path,
                reason: "not an SQLite file".to_owned(),
            },
            Some(ErrorCode::DatabaseCorrupt) => Self::Damaged { path, reason },
            _ => Self::Database { path, reason },
        }
    }
}
