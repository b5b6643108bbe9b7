//! An open log.

use std::path::{Path, PathBuf};

use rusqlite::Connection;
use rusqlite::config::DbConfig;

use super::disk;
use super::error::LogError;

/// The practice log.
#[derive(Debug)]
pub struct Log {
    pub(crate) connection: Connection,
    pub(super) path: PathBuf,
}

impl Log {
    /// The file.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
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
        disk::damaged(&self.path, reason)
    }

    pub(super) fn pragma(&self, name: &str) -> Result<i64, LogError> {
        self.connection
            .pragma_query_value(None, name, |row| row.get(0))
            .map_err(|e| self.fault(&e))
    }

    pub(super) fn set(&self, name: &str, value: &str) -> Result<(), LogError> {
        self.connection
            .pragma_update(None, name, value)
            .map_err(|e| self.fault(&e))
    }

    pub(super) fn is_read_only(&self) -> Result<bool, LogError> {
        self.connection
            .is_readonly("main")
            .map_err(|e| self.fault(&e))
    }

    /// Whether closing leaves a journal as it is.
    pub(super) fn leave_journal(&self, leave: bool) -> Result<(), LogError> {
        self.connection
            .set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, leave)
            .map(|_| ())
            .map_err(|e| self.fault(&e))
    }
}
