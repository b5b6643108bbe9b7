//! Files written whole or not at all.

use crate::field::Hint;
use std::fs::File;
use std::io::{self, BufWriter};
use std::path::{Path, PathBuf};

use tempfile::NamedTempFile;
use thiserror::Error;

/// A file that cannot be written.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum FileError {
    /// It is there already.
    #[error("{0} exists; {hint}choose another place", hint = Hint::Replace)]
    Exists(PathBuf),
    /// The folder cannot be written to.
    #[error("cannot write into {folder}: {source}; choose a folder you may write to")]
    Folder {
        /// The folder.
        folder: PathBuf,
        /// What the system says.
        source: io::Error,
    },
    /// The path names no file.
    #[error("`{0}` names no file; give a path that ends in a file name")]
    NoName(PathBuf),
}

impl FileError {
    /// Whether the user asked for something that cannot be (rather than the system failing).
    #[must_use]
    pub fn is_bad_input(&self) -> bool {
        matches!(self, Self::Exists(_) | Self::NoName(_))
    }
}

/// Several files that appear together or not at all.
#[derive(Debug)]
pub struct Batch {
    folder: PathBuf,
    force: bool,
    files: Vec<(NamedTempFile, PathBuf)>,
}

impl Batch {
    /// Files in `folder`, which is made when missing. Existing ones are replaced only with `force`.
    ///
    /// # Errors
    /// [`FileError::Folder`] when the folder cannot be made.
    pub fn new(folder: &Path, force: bool) -> Result<Self, FileError> {
        std::fs::create_dir_all(folder).map_err(|source| FileError::Folder {
            folder: folder.to_owned(),
            source,
        })?;
        Ok(Self {
            folder: folder.to_owned(),
            force,
            files: Vec::new(),
        })
    }

    /// A writer for one file, kept under a temporary name until [`Batch::keep`].
    ///
    /// # Errors
    /// [`FileError`]: it exists and may not be replaced, or the folder is not writable.
    pub fn file(&mut self, name: &str) -> Result<BufWriter<File>, FileError> {
        let path = self.folder.join(name);
        if path.exists() && !self.force {
            return Err(FileError::Exists(path));
        }
        let fault = |source| FileError::Folder {
            folder: self.folder.clone(),
            source,
        };
        let temporary = NamedTempFile::new_in(&self.folder).map_err(fault)?;
        let writer = BufWriter::new(temporary.reopen().map_err(fault)?);
        self.files.push((temporary, path));
        Ok(writer)
    }

    /// One file with all its bytes.
    ///
    /// # Errors
    /// As [`Batch::file`].
    pub fn put(&mut self, name: &str, bytes: &[u8]) -> Result<(), FileError> {
        use std::io::Write as _;
        let mut writer = self.file(name)?;
        writer
            .write_all(bytes)
            .and_then(|()| writer.flush())
            .map_err(|source| FileError::Folder {
                folder: self.folder.clone(),
                source,
            })
    }

    /// Gives all files their names and returns them. The writers must have been flushed.
    ///
    /// # Errors
    /// [`FileError`] when a rename fails; files already renamed stay.
    pub fn keep(self) -> Result<Vec<PathBuf>, FileError> {
        let mut paths = Vec::with_capacity(self.files.len());
        for (temporary, path) in self.files {
            readable_by_all(&temporary);
            let stored = if self.force {
                temporary.persist(&path)
            } else {
                temporary.persist_noclobber(&path)
            };
            stored.map_err(|e| match e.error.kind() {
                io::ErrorKind::AlreadyExists => FileError::Exists(path.clone()),
                _ => FileError::Folder {
                    folder: self.folder.clone(),
                    source: e.error,
                },
            })?;
            paths.push(path);
        }
        Ok(paths)
    }
}

/// Temporary files are private; results are ordinary files.
fn readable_by_all(file: &NamedTempFile) {
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // A file that keeps its stricter mode is still a good file.
        let _ = file
            .as_file()
            .set_permissions(std::fs::Permissions::from_mode(0o644));
    }
    #[cfg(not(unix))]
    let _ = file;
}

/// Writes one file whole or not at all.
///
/// # Errors
/// [`FileError`].
pub fn write_whole(path: &Path, bytes: &[u8], force: bool) -> Result<(), FileError> {
    let name = path
        .file_name()
        .and_then(|n| n.to_str())
        .ok_or_else(|| FileError::NoName(path.to_owned()))?;
    let folder = match path.parent() {
        Some(p) if !p.as_os_str().is_empty() => p,
        _ => Path::new("."),
    };
    let mut batch = Batch::new(folder, force)?;
    batch.put(name, bytes)?;
    batch.keep().map(|_| ())
}
