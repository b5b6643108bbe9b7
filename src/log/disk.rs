//! Files as SQLite keeps them: what lies beside a log, who has it open, and what outlives a power
//! cut. Nothing here opens a log but SQLite itself (see [`super::open`]).

use std::ffi::OsString;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::time::Duration;

use rusqlite::config::DbConfig;
use rusqlite::{Connection, ErrorCode, OpenFlags};

use super::error::LogError;

pub(super) fn cannot(path: &Path, reason: impl ToString) -> LogError {
    LogError::CannotOpen {
        path: path.to_owned(),
        reason: reason.to_string(),
    }
}

pub(super) fn damaged(path: &Path, reason: impl Into<String>) -> LogError {
    LogError::Damaged {
        path: path.to_owned(),
        reason: reason.into(),
    }
}

pub(super) fn is_there(path: &Path) -> Result<bool, LogError> {
    match path.try_exists() {
        Ok(false) if path.is_symlink() => Err(cannot(path, "it is a link to a file that is gone")),
        // A file in the place of a folder: whoever makes the log says so.
        Err(e) if e.kind() == io::ErrorKind::NotADirectory => Ok(false),
        other => other.map_err(|e| cannot(path, e)),
    }
}

/// A file that SQLite keeps beside the log.
pub(super) fn beside(path: &Path, suffix: &str) -> PathBuf {
    let mut name: OsString = path.as_os_str().to_owned();
    name.push(suffix);
    name.into()
}

pub(super) fn has_journal(path: &Path) -> bool {
    fs::metadata(beside(path, "-wal")).is_ok_and(|m| m.len() > 0)
}

/// A connection that has the log to itself, or `None` while another program holds it. Its journal
/// stays as it is when the connection closes. What is wrong with the file is found out when it is
/// read.
///
/// # Errors
/// The faults of opening.
pub(super) fn alone(path: &Path) -> Result<Option<Connection>, LogError> {
    let fault = |e: rusqlite::Error| LogError::from_sqlite(path, &e);
    let flags = OpenFlags::SQLITE_OPEN_READ_WRITE | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let connection = Connection::open_with_flags(path, flags).map_err(fault)?;
    connection.busy_timeout(Duration::ZERO).map_err(fault)?;
    connection
        .set_db_config(DbConfig::SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, true)
        .map_err(fault)?;
    connection
        .pragma_update_and_check(None, "locking_mode", "EXCLUSIVE", |_| Ok(()))
        .map_err(fault)?;
    let read = connection.query_row("SELECT count(*) FROM sqlite_schema", [], |_| Ok(()));
    let busy = read.is_err_and(|e| e.sqlite_error_code() == Some(ErrorCode::DatabaseBusy));
    Ok((!busy).then_some(connection))
}

/// What the whole-file check finds, so many faults at most.
pub(super) fn faults(connection: &Connection, most: usize) -> rusqlite::Result<Vec<String>> {
    let mut query = connection.prepare(&format!("PRAGMA integrity_check({most})"))?;
    let said = query
        .query_map([], |row| row.get(0))?
        .collect::<rusqlite::Result<Vec<String>>>()?;
    Ok(said.into_iter().filter(|s| s != "ok").collect())
}

/// A new file in the same folder, its owner's only, gone again unless it is given a name. It is
/// closed: SQLite opens it.
pub(super) fn room_beside(path: &Path) -> Result<tempfile::TempPath, LogError> {
    let folder = match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    tempfile::Builder::new()
        .prefix(".thincut-")
        .tempfile_in(folder)
        .map(tempfile::NamedTempFile::into_temp_path)
        .map_err(|e| cannot(path, e))
}

/// A name given to a file outlives a power cut once its folder is written.
pub(super) fn sync_folder(path: &Path) {
    #[cfg(unix)]
    if let Some(folder) = path.parent() {
        // Some file systems cannot; then the name is as safe as they make it.
        let _ = fs::File::open(folder).and_then(|folder| folder.sync_all());
    }
    #[cfg(not(unix))]
    let _ = path;
}

/// Makes a folder that only its owner can look into; one that is there is left alone.
pub(super) fn private_folder(folder: &Path) -> io::Result<()> {
    let mut builder = fs::DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(folder)
}

/// The log, and SQLite's files beside it, for their owner only.
pub(super) fn keep_private(path: &Path) {
    #[cfg(unix)]
    for file in [path.to_owned(), beside(path, "-wal"), beside(path, "-shm")] {
        use std::os::unix::fs::PermissionsExt as _;
        let mode = fs::metadata(&file).map_or(0, |m| m.permissions().mode());
        if mode & 0o077 != 0 {
            // Whoever may not change the mode does not own the file.
            let _ = fs::set_permissions(&file, fs::Permissions::from_mode(mode & 0o700));
        }
    }
    #[cfg(not(unix))]
    let _ = path;
}

/// The file as SQLite names one that does not change while it is read.
pub(super) fn unchanging(path: &Path) -> Result<PathBuf, LogError> {
    let path = std::path::absolute(path).map_err(|e| cannot(path, e))?;
    let text = path
        .to_str()
        .ok_or_else(|| cannot(&path, "its name is not UTF-8, and it cannot be written"))?;
    let escaped = text
        .replace('%', "%25")
        .replace('?', "%3f")
        .replace('#', "%23");
    Ok(format!("file:{escaped}?immutable=1").into())
}
