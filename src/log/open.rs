//! Opening a log: making a new one, recognising ours, refusing everything else untouched.
//!
//! Nothing here opens the file but SQLite. Locks on a file belong to the process, and closing any
//! descriptor of the file drops them all: a look at its bytes would let another program reset the
//! journal that this one still writes to. Asking for size, kind and mode opens nothing.
//!
//! A new log is made whole under another name and then given its own, so a file without a byte is
//! never a log on its way. The last program to close a log empties its journal into it: a journal
//! that has content while nobody holds the log was left by an end that was not clean, and then,
//! only then, opening checks the whole file.
//!
//! Reference: How To Corrupt An SQLite Database File, 2.2 (sqlite.org).

use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::config::DbConfig;
use rusqlite::{Connection, OpenFlags, Transaction, TransactionBehavior};

use super::cells::definitions;
use super::disk::{
    alone, cannot, damaged, faults, has_journal, is_there, keep_private, private_folder,
    room_beside, sync_folder, unchanging,
};
use super::error::LogError;
use super::handle::Log;
use super::migrate::SCHEMA;
use super::{backup, migrate};

/// Marks the file as a practice log: "thin" in ASCII. Our own choice.
const APPLICATION_ID: i64 = 0x7468_696e;

/// How long to wait for another program that is writing. Assumption: an entry takes milliseconds,
/// a large import a second or two.
const BUSY: Duration = Duration::from_secs(20);

/// File name in the platform's data folder.
const FILE: &str = "practice.sqlite";

/// Tables of schema 1, which `migrate` brings to the newest. Columns of `attempt` are those of the CSV.
const TABLES: &str = include_str!("schema.sql");

/// How a log that is only read can be opened, from the best way to the last resort.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Way {
    /// Beside others, keeping SQLite's files beside the log.
    Shared,
    /// Without writing to the log, where those files are there already.
    Unwritten,
    /// As a file that stays as it is: where nothing can be written there is no journal to read.
    Still,
}

impl Log {
    /// Where the log is when nobody says otherwise: `thincut/practice.sqlite` in the platform's
    /// data folder.
    ///
    /// # Errors
    /// [`LogError::NoPlace`] when the system names no such folder.
    pub fn default_path() -> Result<PathBuf, LogError> {
        directories::ProjectDirs::from("", "", "thincut")
            .map(|dirs| dirs.data_dir().join(FILE))
            .ok_or(LogError::NoPlace)
    }

    /// Opens the log at the default place, making folder and file when missing.
    ///
    /// # Errors
    /// As [`Log::open`], and [`LogError::NoPlace`].
    pub fn open_default() -> Result<Self, LogError> {
        let path = Self::default_path()?;
        if let Some(folder) = path.parent() {
            private_folder(folder).map_err(|e| cannot(&path, e))?;
        }
        Self::open(&path)
    }

    /// Opens a log, making the file (not its folder) when missing.
    ///
    /// # Errors
    /// [`LogError`]: the place cannot be written, the file is something else, is damaged, or comes
    /// from a newer version. It is then left as it is.
    pub fn open(path: &Path) -> Result<Self, LogError> {
        if !is_there(path)? {
            make(path)?;
        }
        Self::to_write(path)
    }

    /// Opens a log that exists already.
    ///
    /// # Errors
    /// As [`Log::open`], and [`LogError::Missing`].
    pub fn open_existing(path: &Path) -> Result<Self, LogError> {
        if !is_there(path)? {
            return Err(LogError::Missing(path.to_owned()));
        }
        Self::to_write(path)
    }

    /// Opens a log that exists already for reading alone, wherever it lies: the file, its folder or
    /// the disk may be closed to writing. A damaged log is read up to the damage.
    ///
    /// # Errors
    /// As [`Log::open_existing`], but for a place that cannot be written.
    pub fn open_reading(path: &Path) -> Result<Self, LogError> {
        if !is_there(path)? {
            return Err(LogError::Missing(path.to_owned()));
        }
        look(path)?;
        let damaged = has_journal(path) && after_an_end(path).is_err();
        let mut first = None;
        for way in [Way::Shared, Way::Unwritten, Way::Still] {
            // A journal that cannot be read beside the file may hold the last tries.
            if way == Way::Still && has_journal(path) {
                break;
            }
            match Self::to_read(path, way) {
                Ok(log) => {
                    if damaged {
                        log.leave_journal(true)?;
                    }
                    return Ok(log);
                }
                Err(
                    fault @ (LogError::CannotOpen { .. }
                    | LogError::ReadOnly { .. }
                    | LogError::Full { .. }
                    | LogError::Io { .. }),
                ) => {
                    first.get_or_insert(fault);
                }
                Err(fault) => return Err(fault),
            }
        }
        Err(first.unwrap_or_else(|| cannot(path, "it cannot be read")))
    }

    fn to_write(path: &Path) -> Result<Self, LogError> {
        look(path)?;
        if has_journal(path) {
            after_an_end(path)?;
        }
        let log = Self::connect(path, OpenFlags::SQLITE_OPEN_READ_WRITE, path.to_owned())?;
        if log.is_read_only()? {
            return Err(LogError::ReadOnly {
                path: path.to_owned(),
            });
        }
        // Not ours: not even its journal is touched.
        log.leave_journal(true)?;
        log.recognise()?;
        log.leave_journal(false)?;
        log.bring_up()?;
        log.settle()?;
        keep_private(path);
        Ok(log)
    }

    fn to_read(path: &Path, way: Way) -> Result<Self, LogError> {
        let (flags, name) = match way {
            Way::Shared => (OpenFlags::SQLITE_OPEN_READ_WRITE, path.to_owned()),
            Way::Unwritten => (OpenFlags::SQLITE_OPEN_READ_ONLY, path.to_owned()),
            Way::Still => (
                OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_URI,
                unchanging(path)?,
            ),
        };
        let mut log = Self::connect(path, flags, name)?;
        log.leave_journal(true)?;
        log.recognise()?;
        log.leave_journal(false)?;
        // Where it cannot be brought up it is read all the same: damage and a folder that takes no
        // backup are no reason not to.
        if log.pragma("user_version")? < SCHEMA && (log.is_read_only()? || log.bring_up().is_err())
        {
            log.connection = log.brought_up_elsewhere()?;
        }
        log.set("query_only", "ON")?;
        Ok(log)
    }

    fn connect(path: &Path, flags: OpenFlags, name: PathBuf) -> Result<Self, LogError> {
        let fault = |e: rusqlite::Error| LogError::from_sqlite(path, &e);
        let flags = flags | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let connection = Connection::open_with_flags(name, flags).map_err(fault)?;
        connection.busy_timeout(BUSY).map_err(fault)?;
        Ok(Self {
            connection,
            path: path.to_owned(),
        })
    }

    /// Refuses what is not ours, is newer, or cannot be, without having written to it.
    fn recognise(&self) -> Result<(), LogError> {
        let mark = self.pragma("application_id")?;
        if mark != APPLICATION_ID {
            return Err(LogError::NotALog {
                path: self.path.clone(),
                reason: "an SQLite file of another program".to_owned(),
            });
        }
        let found = self.pragma("user_version")?;
        if found > SCHEMA {
            return Err(LogError::Newer {
                path: self.path.clone(),
                found,
                known: SCHEMA,
            });
        }
        if found < 1 {
            return Err(self.damaged(format!("it says schema {found}, which never was")));
        }
        Ok(())
    }

    /// Brings an older log to the newest schema, whole or not at all.
    fn bring_up(&self) -> Result<(), LogError> {
        if self.pragma("user_version")? == SCHEMA {
            return Ok(());
        }
        let before = self.pragma("user_version")?;
        self.back_up_before_migration(before)?;
        let fault = |e: rusqlite::Error| self.fault(&e);
        let change = Transaction::new_unchecked(&self.connection, TransactionBehavior::Immediate)
            .map_err(fault)?;
        // Another process may have done it while this one waited.
        let found = self.pragma("user_version")?;
        if found < SCHEMA {
            migrate::to_newest(&change, found).map_err(fault)?;
        }
        change.commit().map_err(fault)
    }

    /// The newest schema of an older log that cannot be written: a copy that nobody keeps, in a file
    /// without a name (SQLite's answer to an empty one), since a long log would fill the memory.
    fn brought_up_elsewhere(&self) -> Result<Connection, LogError> {
        let fault = |e: rusqlite::Error| self.fault(&e);
        let copy = backup::copy(&self.connection, Path::new("")).map_err(fault)?;
        let found = self.pragma("user_version")?;
        migrate::to_newest(&copy, found).map_err(fault)?;
        Ok(copy)
    }

    /// WAL lets others read while one writes; FULL makes a recorded entry outlive a power cut.
    fn settle(&self) -> Result<(), LogError> {
        let mode: String = self
            .connection
            .pragma_update_and_check(None, "journal_mode", "WAL", |row| row.get(0))
            .map_err(|e| self.fault(&e))?;
        if !mode.eq_ignore_ascii_case("wal") {
            return Err(LogError::Database {
                path: self.path.clone(),
                reason: format!(
                    "journal mode stayed {mode}: this place cannot share files between programs; choose a local disk"
                ),
            });
        }
        self.set("synchronous", "FULL")?;
        self.set("foreign_keys", "ON")
    }
}

/// What the system says of a file before SQLite sees it, which would take an emptied one for a new
/// one and throw away the journal beside it.
fn look(path: &Path) -> Result<(), LogError> {
    let data = fs::metadata(path).map_err(|e| cannot(path, e))?;
    if data.is_dir() {
        return Err(cannot(path, "it is a folder"));
    }
    if !data.is_file() {
        return Err(cannot(path, "it is not a regular file"));
    }
    if data.len() == 0 {
        return Err(damaged(
            path,
            if has_journal(path) {
                "it is empty, but the journal beside it is not"
            } else {
                "it is empty, as no log is that thincut made; if it is none, delete it and a new log can be made in its place"
            },
        ));
    }
    Ok(())
}

/// A journal is there. Unless another program is at work, it was left by an end that was not clean:
/// the file is checked, and only a sound one takes the journal in.
fn after_an_end(path: &Path) -> Result<(), LogError> {
    let Ok(Some(connection)) = alone(path) else {
        // In use, or closed to us: the ordinary way says what is the matter.
        return Ok(());
    };
    let fault = |e: rusqlite::Error| LogError::from_sqlite(path, &e);
    let mark: i64 = connection
        .pragma_query_value(None, "application_id", |row| row.get(0))
        .map_err(fault)?;
    if mark != APPLICATION_ID {
        return Ok(());
    }
    if let Some(problem) = faults(&connection, 1).map_err(fault)?.pop() {
        return Err(damaged(path, problem));
    }
    connection
        .set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, false)
        .map(|_| ())
        .map_err(fault)
}

/// Makes an empty log under a name of its own.
fn make(path: &Path) -> Result<(), LogError> {
    let temporary = room_beside(path)?;
    let fault = |e: rusqlite::Error| LogError::from_sqlite(path, &e);
    let connection = Connection::open(&temporary).map_err(fault)?;
    tables(&connection).map_err(fault)?;
    connection.close().map_err(|(_, e)| fault(e))?;
    match temporary.persist_noclobber(path) {
        Ok(()) => {
            sync_folder(path);
            Ok(())
        }
        // Another program was first: that one is the log.
        Err(e) if e.error.kind() == io::ErrorKind::AlreadyExists => Ok(()),
        Err(e) => Err(cannot(path, e.error)),
    }
}

/// The tables, the mark and the schema's number.
pub(super) fn tables(connection: &Connection) -> rusqlite::Result<()> {
    let tables = TABLES.replace("COLUMNS", &definitions());
    connection.execute_batch(&format!(
        "BEGIN; {tables} PRAGMA application_id = {APPLICATION_ID};"
    ))?;
    migrate::to_newest(connection, 1)?;
    connection.execute_batch("COMMIT;")?;
    connection.pragma_update_and_check(None, "journal_mode", "WAL", |_| Ok(()))
}
