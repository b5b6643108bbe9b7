//! Opening a log: making a new one, recognising ours, refusing everything else untouched.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::{Connection, OpenFlags, Transaction, TransactionBehavior};

use super::error::LogError;
use super::migrate;

/// Marks the file as a practice log: "thin" in ASCII. Our own choice.
const APPLICATION_ID: i64 = 0x7468_696e;

/// The schema this version reads and writes.
pub const SCHEMA: i64 = 2;

/// How long to wait for another program that is writing. Assumption: an entry takes milliseconds,
/// a large import a second or two.
const BUSY: Duration = Duration::from_secs(20);

/// File name in the platform's data folder.
const FILE: &str = "practice.sqlite";

/// Tables of schema 1, which `migrate` brings to the newest. Columns of `attempt` bear the names of
/// the CSV's.
const TABLES: &str = include_str!("schema.sql");

/// First bytes of every SQLite 3 file (sqlite.org, Database File Format, 1.3).
const MAGIC: &[u8] = b"SQLite format 3\0";

/// The practice log.
#[derive(Debug)]
pub struct Log {
    pub(super) connection: Connection,
    pub(super) path: PathBuf,
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
            fs::create_dir_all(folder).map_err(|e| LogError::CannotOpen {
                path: path.clone(),
                reason: e.to_string(),
            })?;
        }
        Self::open(&path)
    }

    /// Opens a log, making the file (not its folder) when missing.
    ///
    /// # Errors
    /// [`LogError`]: the place cannot be written, the file is something else, is damaged, or comes
    /// from a newer version. It is then left as it is.
    pub fn open(path: &Path) -> Result<Self, LogError> {
        Self::with_flags(path, OpenFlags::SQLITE_OPEN_CREATE)
    }

    /// Opens a log that exists already.
    ///
    /// # Errors
    /// As [`Log::open`], and [`LogError::Missing`].
    pub fn open_existing(path: &Path) -> Result<Self, LogError> {
        if !path.exists() {
            return Err(LogError::Missing(path.to_owned()));
        }
        Self::with_flags(path, OpenFlags::empty())
    }

    /// The file.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    fn with_flags(path: &Path, create: OpenFlags) -> Result<Self, LogError> {
        look_at_bytes(path)?;
        let fault = |e: rusqlite::Error| LogError::from_sqlite(path, &e);
        let flags = create | OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
        let connection = Connection::open_with_flags(path, flags).map_err(fault)?;
        let mut log = Self {
            connection,
            path: path.to_owned(),
        };
        log.connection.busy_timeout(BUSY).map_err(fault)?;
        if log.connection.is_readonly("main").map_err(fault)? {
            return Err(LogError::ReadOnly {
                path: path.to_owned(),
            });
        }
        if log.is_blank()? {
            log.make()?;
        }
        log.recognise()?;
        log.bring_up()?;
        log.settle()?;
        Ok(log)
    }

    /// Changes with every write of another connection.
    ///
    /// # Errors
    /// The faults of reading.
    pub fn version(&self) -> Result<i64, LogError> {
        self.pragma("data_version")
    }

    pub(super) fn fault(&self, error: &rusqlite::Error) -> LogError {
        LogError::from_sqlite(&self.path, error)
    }

    pub(super) fn damaged(&self, reason: impl Into<String>) -> LogError {
        LogError::Damaged {
            path: self.path.clone(),
            reason: reason.into(),
        }
    }

    fn pragma(&self, name: &str) -> Result<i64, LogError> {
        self.connection
            .pragma_query_value(None, name, |row| row.get(0))
            .map_err(|e| self.fault(&e))
    }

    /// A new file, or one whose making was cut short.
    fn is_blank(&self) -> Result<bool, LogError> {
        let things: i64 = self
            .connection
            .query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))
            .map_err(|e| self.fault(&e))?;
        let marked = self.pragma("application_id")? != 0 || self.pragma("user_version")? != 0;
        Ok(things == 0 && !marked)
    }

    /// Makes the tables. The mark and the schema's number are written with them or not at all, and
    /// before WAL is switched on, so that they stand in the file itself.
    fn make(&mut self) -> Result<(), LogError> {
        let path = self.path.clone();
        let fault = |e: rusqlite::Error| LogError::from_sqlite(&path, &e);
        let change = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(fault)?;
        // Another process may have made it while this one waited.
        let things: i64 = change
            .query_row("SELECT count(*) FROM sqlite_schema", [], |row| row.get(0))
            .map_err(fault)?;
        if things == 0 {
            change.execute_batch(TABLES).map_err(fault)?;
            change
                .pragma_update(None, "application_id", APPLICATION_ID)
                .map_err(fault)?;
            migrate::to_newest(&change, 1).map_err(fault)?;
        }
        change.commit().map_err(fault)
    }

    /// Refuses what is not ours, is newer, or is broken, without having written to it.
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
        let verdict: String = self
            .connection
            .query_row("PRAGMA integrity_check(1)", [], |row| row.get(0))
            .map_err(|e| self.fault(&e))?;
        if verdict == "ok" {
            Ok(())
        } else {
            Err(self.damaged(verdict))
        }
    }

    /// Brings an older log to the newest schema, whole or not at all.
    fn bring_up(&self) -> Result<(), LogError> {
        if self.pragma("user_version")? == SCHEMA {
            return Ok(());
        }
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
        for (name, value) in [("synchronous", "FULL"), ("foreign_keys", "ON")] {
            self.connection
                .pragma_update(None, name, value)
                .map_err(|e| self.fault(&e))?;
        }
        Ok(())
    }
}

/// What can be seen before SQLite touches anything: it would take an emptied file for a new one and
/// throw away the journal beside it.
fn look_at_bytes(path: &Path) -> Result<(), LogError> {
    let Ok(data) = fs::metadata(path) else {
        return Ok(());
    };
    let cannot = |reason: String| LogError::CannotOpen {
        path: path.to_owned(),
        reason,
    };
    if data.is_dir() {
        return Err(cannot("it is a folder".to_owned()));
    }
    let beside = |suffix: &str| {
        let mut name = path.as_os_str().to_owned();
        name.push(suffix);
        fs::metadata(PathBuf::from(name)).is_ok_and(|m| m.len() > 0)
    };
    if data.len() == 0 {
        return if beside("-wal") {
            Err(LogError::Damaged {
                path: path.to_owned(),
                reason: "it is empty, but the journal beside it is not".to_owned(),
            })
        } else {
            Ok(())
        };
    }
    let mut head = [0; MAGIC.len()];
    let read = fs::File::open(path)
        .and_then(|mut file| std::io::Read::read(&mut file, &mut head))
        .map_err(|e| cannot(e.to_string()))?;
    // With a rollback journal beside it, a half-made first page is for SQLite to undo.
    if (read < MAGIC.len() || head != *MAGIC) && !beside("-journal") {
        return Err(LogError::NotALog {
            path: path.to_owned(),
            reason: "not an SQLite file".to_owned(),
        });
    }
    Ok(())
}
