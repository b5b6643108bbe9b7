//! Putting a backup in the place of the log.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use super::backup::{ENDING, REPLACED, backup_folder, copy, fault};
use super::disk::{alone, beside, private_folder, room_beside, sync_folder};
use super::error::LogError;
use super::handle::Log;

/// A log put back from a backup.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Restored {
    /// The backup it was put back from.
    pub from: PathBuf,
    /// Rows in it.
    pub rows: usize,
    /// Where the log that was there lies now, if there was one.
    pub replaced: Option<PathBuf>,
}

/// Puts a backup in the place of the log. The log that was there, whatever state it is in, is put
/// aside into the backups' folder with its journal.
///
/// # Errors
/// [`LogError::InUse`] while another program has the log open, [`LogError::Damaged`] and the other
/// faults of opening for a backup that is not a sound log, [`LogError::Backup`] when files cannot
/// be written. The log is as it was then.
pub fn restore(log: &Path, backup: &Path) -> Result<Restored, LogError> {
    let source = Log::open_reading(backup)?;
    let health = source.check()?;
    if let Some(problem) = health.problems.into_iter().next() {
        return Err(source.damaged(problem));
    }
    let folder = backup_folder(log);
    private_folder(&folder).map_err(|e| fault(&folder, e))?;
    let temporary = room_beside(log)?;
    copy(&source.connection, &temporary)
        .and_then(|copy| copy.pragma_update_and_check(None, "journal_mode", "WAL", |_| Ok(())))
        .map_err(|e| fault(log, e))?;
    let replaced = put_aside(log, &folder)?;
    temporary
        .persist_noclobber(log)
        .map_err(|e| fault(log, e.error))?;
    sync_folder(log);
    Ok(Restored {
        from: backup.to_owned(),
        rows: health.rows,
        replaced,
    })
}

/// Moves log and journal away, if nobody else has them open.
fn put_aside(log: &Path, folder: &Path) -> Result<Option<PathBuf>, LogError> {
    if !log.exists() {
        return Ok(None);
    }
    // An empty file would take its journal with it when SQLite opens it; nobody can hold it open.
    let empty = fs::metadata(log).is_ok_and(|m| m.len() == 0);
    let held = if empty { None } else { Some(alone(log)?) };
    if let Some(None) = held {
        return Err(LogError::InUse {
            path: log.to_owned(),
        });
    }
    let place = (1..)
        .map(|n| folder.join(format!("{REPLACED}{n}{ENDING}")))
        .find(|p| !p.exists())
        .unwrap_or_else(|| folder.join(format!("{REPLACED}{ENDING}")));
    fs::rename(log, &place).map_err(|e| fault(&place, e))?;
    for (suffix, keep) in [("-wal", true), ("-shm", false)] {
        let (from, to) = (beside(log, suffix), beside(&place, suffix));
        let done = if keep {
            fs::rename(&from, &to)
        } else {
            fs::remove_file(&from)
        };
        match done {
            Err(e) if e.kind() != io::ErrorKind::NotFound => return Err(fault(&from, e)),
            _ => {}
        }
    }
    drop(held);
    Ok(Some(place))
}
