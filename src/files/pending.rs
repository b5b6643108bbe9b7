//! Files that are begun and not yet kept, so that an interrupted program can take them away.

use std::fs::{self, File};
use std::io;
use std::mem;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

use tempfile::NamedTempFile;

/// What would be left behind if the program ended now.
struct Pending {
    files: Vec<PathBuf>,
    /// Folders made for them, which go too when nothing else is in them.
    folders: Vec<PathBuf>,
}

static PENDING: Mutex<Pending> = Mutex::new(Pending {
    files: Vec::new(),
    folders: Vec::new(),
});

fn pending() -> MutexGuard<'static, Pending> {
    PENDING.lock().unwrap_or_else(PoisonError::into_inner)
}

fn forget(list: &mut Vec<PathBuf>, path: &Path) {
    if let Some(k) = list.iter().position(|p| p == path) {
        list.swap_remove(k);
    }
}

/// Takes away every file that was begun and not kept, and folders made for them.
///
/// For a program that was told to stop and ends right after: from here on no file can be begun or
/// kept, and whoever tries waits for the end. Renames under way are waited for, so that several
/// files that belong together are all there or none is.
pub fn discard_unfinished() {
    let mut pending = pending();
    for file in pending.files.drain(..) {
        // It may have gone already; nothing is left to tell the fault to.
        let _ = fs::remove_file(file);
    }
    for folder in pending.folders.drain(..) {
        let _ = fs::remove_dir(folder);
    }
    // Never unlocked again.
    mem::forget(pending);
}

/// A temporary file that [`discard_unfinished`] knows of.
#[derive(Debug)]
pub(super) struct Unfinished(Option<NamedTempFile>);

impl Unfinished {
    pub(super) fn new_in(folder: &Path) -> io::Result<Self> {
        // Made and noted in one step as others see it.
        let mut pending = pending();
        let file = NamedTempFile::new_in(folder)?;
        pending.files.push(file.path().to_owned());
        Ok(Self(Some(file)))
    }

    pub(super) fn file(&self) -> io::Result<&File> {
        let file = self.0.as_ref().map(NamedTempFile::as_file);
        file.ok_or_else(|| io::Error::other("the file was kept already"))
    }

    /// Another handle to write through.
    pub(super) fn writer(&self) -> io::Result<File> {
        self.0.as_ref().map_or_else(
            || Err(io::Error::other("the file was kept already")),
            NamedTempFile::reopen,
        )
    }
}

impl Drop for Unfinished {
    fn drop(&mut self) {
        if let Some(file) = self.0.take() {
            let path = file.path().to_owned();
            // Removed first: between the two steps an interruption finds it still noted.
            drop(file);
            forget(&mut pending().files, &path);
        }
    }
}

/// Gives files their names, all of them before anybody may interrupt.
///
/// The error comes with the path it is about; files before it have their names.
pub(super) fn persist(
    files: Vec<(Unfinished, PathBuf)>,
    force: bool,
) -> Result<Vec<PathBuf>, (PathBuf, io::Error)> {
    let mut pending = pending();
    let mut paths = Vec::with_capacity(files.len());
    let mut files = files.into_iter();
    let mut fault = None;
    for (mut unfinished, path) in files.by_ref() {
        let Some(file) = unfinished.0.take() else {
            continue;
        };
        let temporary = file.path().to_owned();
        let stored = if force {
            file.persist(&path)
        } else {
            file.persist_noclobber(&path)
        };
        if let Err(e) = stored {
            drop(e.file);
            fault = Some((path, e.error));
        } else {
            paths.push(path);
        }
        forget(&mut pending.files, &temporary);
        if fault.is_some() {
            break;
        }
    }
    // Those left over are dropped, and dropping takes the lock.
    drop(pending);
    drop(files);
    fault.map_or(Ok(paths), Err)
}

/// A folder that was made for files and goes when none of them is kept.
#[derive(Debug)]
pub(super) struct Made(Option<PathBuf>);

impl Made {
    /// A folder that was there before.
    pub(super) fn nothing() -> Self {
        Self(None)
    }

    /// Makes the folder; its parent must be there.
    pub(super) fn make(folder: &Path) -> io::Result<Self> {
        let mut pending = pending();
        fs::create_dir(folder)?;
        pending.folders.push(folder.to_owned());
        Ok(Self(Some(folder.to_owned())))
    }

    /// It stays.
    pub(super) fn keep(&mut self) {
        if let Some(folder) = self.0.take() {
            forget(&mut pending().folders, &folder);
        }
    }
}

impl Drop for Made {
    fn drop(&mut self) {
        if let Some(folder) = self.0.take() {
            // Stays when somebody else has put something into it.
            let _ = fs::remove_dir(&folder);
            forget(&mut pending().folders, &folder);
        }
    }
}
