//! Backups the log makes of itself, and putting one back.
//!
//! They lie in a folder beside the log, one a day of use, taken before that day's first change
//! through SQLite's backup interface, so that a program writing meanwhile does no harm. A copy
//! counts once it was checked whole: a damaged log never pushes out the sound copies there are.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::backup::Backup;
use rusqlite::{Connection, OptionalExtension as _};

use super::disk::{beside, faults, private_folder, room_beside, sync_folder};
use super::error::LogError;
use super::handle::Log;
use super::when::When;

/// Backups kept. Assumption: with an evening a week, a month to notice that something is wrong.
pub const BACKUPS_KEPT: usize = 5;

/// Pause before a copy is tried again that another program's lock kept from starting.
const WHILE_LOCKED: Duration = Duration::from_millis(10);

/// Ending of a backup's name.
pub(super) const ENDING: &str = ".sqlite";

/// How a log that was put aside is called, before its number.
pub(super) const REPLACED: &str = "replaced-";

/// The folder of a log's backups, which need not be there: the log's name and `.backups`.
#[must_use]
pub fn backup_folder(log: &Path) -> PathBuf {
    beside(log, ".backups")
}

/// The backups of a log, the newest first; the log itself need not be there. Names begin with the
/// day: `2025-11-25.sqlite`.
///
/// # Errors
/// [`LogError::Backup`] when their folder cannot be read.
pub fn backups(log: &Path) -> Result<Vec<PathBuf>, LogError> {
    let by_day = |name: &str| name.starts_with(|c: char| c.is_ascii_digit());
    let mut found = files(log, by_day)?;
    found.reverse();
    Ok(found)
}

/// Logs that were put aside when a backup took their place, the first first.
///
/// # Errors
/// As [`backups`].
pub fn replaced(log: &Path) -> Result<Vec<PathBuf>, LogError> {
    files(log, |name| name.starts_with(REPLACED))
}

/// Files of the backup folder in the order of their names.
fn files(log: &Path, wanted: impl Fn(&str) -> bool) -> Result<Vec<PathBuf>, LogError> {
    let folder = backup_folder(log);
    let entries = match fs::read_dir(&folder) {
        Err(e) if e.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
        other => other.map_err(|e| fault(&folder, e))?,
    };
    let mut found = Vec::new();
    for entry in entries {
        let name = entry.map_err(|e| fault(&folder, e))?.file_name();
        let fits = |n: &str| n.ends_with(ENDING) && wanted(n);
        if name.to_str().is_some_and(fits) {
            found.push(folder.join(name));
        }
    }
    found.sort();
    Ok(found)
}

pub(super) fn fault(path: &Path, reason: impl ToString) -> LogError {
    LogError::Backup {
        path: path.to_owned(),
        reason: reason.to_string(),
    }
}

impl Log {
    /// Makes the backup of a day of use, unless there is one or nothing to keep; the newest
    /// [`BACKUPS_KEPT`] stay. To be called before the first change of a day.
    ///
    /// # Errors
    /// [`LogError::Damaged`] when the log is not sound, [`LogError::Backup`] when the copy cannot be
    /// made. The log is as it was, and so are the backups.
    pub fn back_up_daily(&self, today: &When) -> Result<Option<PathBuf>, LogError> {
        let place = backup_folder(&self.path).join(format!("{}{ENDING}", today.day()));
        if place.exists() || self.is_empty()? {
            return Ok(None);
        }
        self.back_up(&place)?;
        Ok(Some(place))
    }

    /// Makes the backup of a log that is about to be brought from this schema to a newer one. It bears
    /// the day of the last entry, since opening a log asks no clock.
    ///
    /// # Errors
    /// As [`Log::back_up_daily`]; a log without a backup is not to be changed then.
    pub fn back_up_before_migration(&self, schema: i64) -> Result<PathBuf, LogError> {
        let place = self.place_of(&format!("schema-{schema}"))?;
        self.back_up(&place)?;
        Ok(place)
    }

    /// Makes the backup of a log whose windows, of this edition of the solver, are about to be solved
    /// again. Earlier ones of the same name stay.
    ///
    /// # Errors
    /// As [`Log::back_up_daily`]; a log without a backup is not to be changed then.
    pub(super) fn back_up_before_solving(&self, edition: i64) -> Result<PathBuf, LogError> {
        let mut place = self.place_of(&format!("solver-{edition}"))?;
        let mut number = 2;
        while place.exists() {
            place = self.place_of(&format!("solver-{edition}-{number}"))?;
            number += 1;
        }
        self.back_up(&place)?;
        Ok(place)
    }

    fn place_of(&self, what: &str) -> Result<PathBuf, LogError> {
        let day = self.last_day()?;
        Ok(backup_folder(&self.path).join(format!("{day}-{what}{ENDING}")))
    }

    /// The day of the last entry.
    fn last_day(&self) -> Result<String, LogError> {
        let recorded: Option<String> = self
            .connection
            .query_row(
                "SELECT recorded FROM entry ORDER BY id DESC LIMIT 1",
                [],
                |row| row.get(0),
            )
            .optional()
            .map_err(|e| self.fault(&e))?;
        let last = recorded.and_then(|text| text.parse::<When>().ok());
        Ok(last.map_or_else(|| "0000-00-00".to_owned(), |when| when.day().to_owned()))
    }

    fn is_empty(&self) -> Result<bool, LogError> {
        self.connection
            .query_row(
                "SELECT NOT EXISTS (SELECT 1 FROM entry) AND NOT EXISTS (SELECT 1 FROM sheet)",
                [],
                |row| row.get(0),
            )
            .map_err(|e| self.fault(&e))
    }

    fn back_up(&self, place: &Path) -> Result<(), LogError> {
        let folder = backup_folder(&self.path);
        private_folder(&folder).map_err(|e| fault(&folder, e))?;
        let temporary = room_beside(place)?;
        let problems = copy(&self.connection, &temporary)
            .and_then(|copy| faults(&copy, 1))
            .map_err(|e| fault(place, e))?;
        if let Some(problem) = problems.into_iter().next() {
            return Err(self.damaged(problem));
        }
        temporary
            .persist(place)
            .map_err(|e| fault(place, e.error))?;
        sync_folder(place);
        for old in backups(&self.path)?.into_iter().skip(BACKUPS_KEPT) {
            fs::remove_file(&old).map_err(|e| fault(&old, e))?;
        }
        Ok(())
    }
}

/// Copies a database whole, page by page; the copy is one file without a journal.
pub(super) fn copy(from: &Connection, to: &Path) -> rusqlite::Result<Connection> {
    let mut copy = Connection::open(to)?;
    Backup::new(from, &mut copy)?.run_to_completion(i32::MAX, WHILE_LOCKED, None)?;
    copy.pragma_update_and_check(None, "journal_mode", "DELETE", |_| Ok(()))?;
    Ok(copy)
}
