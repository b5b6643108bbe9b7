//! Files written whole or not at all.

use std::fs::{self, File};
use std::io::{self, BufWriter, Write as _};
use std::path::{Path, PathBuf};

use thiserror::Error;

use super::pending::{Made, Unfinished, persist};
use super::read::kind_of;
use crate::field::Hint;

/// A file that cannot be written.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum FileError {
    /// It is there already.
    #[error("{0} exists; {hint}choose another place", hint = Hint::Replace)]
    Exists(PathBuf),
    /// Something else than a file is there.
    #[error("{path} is {what}, and only plain files are replaced; choose another place")]
    NotAFile {
        /// The path.
        path: PathBuf,
        /// What it is, with its article.
        what: &'static str,
    },
    /// The folder is not there.
    #[error("there is no folder {0}; make it first, or choose another place")]
    NoFolder(PathBuf),
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
        match self {
            Self::Exists(_) | Self::NotAFile { .. } | Self::NoFolder(_) | Self::NoName(_) => true,
            Self::Folder { .. } => false,
        }
    }
}

/// Whether a file may be written there: its folder is there and nothing else, or, with `force`, a
/// plain file.
///
/// # Errors
/// [`FileError::NoFolder`], [`FileError::Exists`], [`FileError::NotAFile`].
pub fn may_write(path: &Path, force: bool) -> Result<(), FileError> {
    is_there(parent(path))?;
    // Links are not followed: replacing one would leave what it points to behind.
    let Ok(there) = fs::symlink_metadata(path) else {
        return Ok(());
    };
    match kind_of(there.file_type()) {
        Some(what) => Err(FileError::NotAFile {
            path: path.to_owned(),
            what,
        }),
        None if force => Ok(()),
        None => Err(FileError::Exists(path.to_owned())),
    }
}

/// Several files that appear together or not at all.
#[derive(Debug)]
pub struct Batch {
    folder: PathBuf,
    force: bool,
    files: Vec<(Unfinished, PathBuf)>,
    // After the files, so that it is empty when it is dropped.
    made: Made,
}

impl Batch {
    /// Files in `folder`, which is made when missing; the folder it lies in must be there. Existing
    /// files are replaced only with `force`.
    ///
    /// # Errors
    /// [`FileError::NoFolder`], or [`FileError::Folder`] when the folder cannot be made.
    pub fn new(folder: &Path, force: bool) -> Result<Self, FileError> {
        let mut batch = Self {
            folder: folder.to_owned(),
            force,
            files: Vec::new(),
            made: Made::nothing(),
        };
        match fs::metadata(folder) {
            Ok(there) if there.is_dir() => {}
            Ok(_) => return Err(batch.fault(io::ErrorKind::NotADirectory.into())),
            Err(_) => {
                is_there(parent(folder))?;
                batch.made = Made::make(folder).map_err(|e| batch.fault(e))?;
            }
        }
        Ok(batch)
    }

    /// A writer for one file, kept under a temporary name until [`Batch::keep`].
    ///
    /// # Errors
    /// [`FileError`]: it exists and may not be replaced, or the folder is not writable.
    pub fn file(&mut self, name: &str) -> Result<BufWriter<File>, FileError> {
        let path = self.folder.join(name);
        may_write(&path, self.force)?;
        let temporary = Unfinished::new_in(&self.folder).map_err(|e| self.fault(e))?;
        let writer = BufWriter::new(temporary.writer().map_err(|e| self.fault(e))?);
        self.files.push((temporary, path));
        Ok(writer)
    }

    /// One file with all its bytes.
    ///
    /// # Errors
    /// As [`Batch::file`].
    pub fn put(&mut self, name: &str, bytes: &[u8]) -> Result<(), FileError> {
        let mut writer = self.file(name)?;
        writer
            .write_all(bytes)
            .and_then(|()| writer.flush())
            .map_err(|e| self.fault(e))
    }

    /// Gives all files their names and returns them, once their bytes and then their names are on the
    /// disk. The writers must have been flushed.
    ///
    /// # Errors
    /// [`FileError`] when a rename fails; files already renamed stay.
    pub fn keep(mut self) -> Result<Vec<PathBuf>, FileError> {
        for (temporary, path) in &self.files {
            // What came there since the file was begun counts too.
            may_write(path, self.force)?;
            temporary
                .file()
                .and_then(|file| {
                    readable_by_all(file);
                    file.sync_all()
                })
                .map_err(|e| self.fault(e))?;
        }
        let files = std::mem::take(&mut self.files);
        let done = persist(files, self.force);
        self.made.keep();
        let paths = done.map_err(|(path, e)| match e.kind() {
            io::ErrorKind::AlreadyExists => FileError::Exists(path),
            _ => self.fault(e),
        })?;
        sync_folder(&self.folder);
        Ok(paths)
    }

    fn fault(&self, source: io::Error) -> FileError {
        FileError::Folder {
            folder: self.folder.clone(),
            source,
        }
    }
}

/// The folder a path lies in.
fn parent(path: &Path) -> &Path {
    match path.parent() {
        Some(p) if !p.as_os_str().is_empty() => p,
        _ => Path::new("."),
    }
}

fn is_there(folder: &Path) -> Result<(), FileError> {
    if folder.is_dir() {
        Ok(())
    } else {
        Err(FileError::NoFolder(folder.to_owned()))
    }
}

/// The new names survive a loss of power. Some systems cannot do it for a folder; the files
/// themselves are on the disk either way.
fn sync_folder(folder: &Path) {
    #[cfg(unix)]
    if let Ok(folder) = File::open(folder) {
        let _ = folder.sync_all();
    }
    #[cfg(not(unix))]
    let _ = folder;
}

/// Temporary files are private; results are ordinary files.
fn readable_by_all(file: &File) {
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        // A file that keeps its stricter mode is still a good file.
        let _ = file.set_permissions(fs::Permissions::from_mode(0o644));
    }
    #[cfg(not(unix))]
    let _ = file;
}

/// Writes one file whole or not at all, into a folder that is there.
///
/// # Errors
/// [`FileError`].
pub fn write_whole(path: &Path, bytes: &[u8], force: bool) -> Result<(), FileError> {
    let (folder, name) = place(path)?;
    may_write(path, force)?;
    let mut batch = Batch::new(folder, force)?;
    batch.put(name, bytes)?;
    batch.keep().map(|_| ())
}

/// Writes one file piece by piece, which appears whole or not at all, into a folder that is there.
///
/// # Errors
/// [`FileError`], and what `write` answers.
pub fn write_streamed<E: From<FileError> + From<io::Error>>(
    path: &Path,
    force: bool,
    write: impl FnOnce(&mut dyn io::Write) -> Result<(), E>,
) -> Result<(), E> {
    let (folder, name) = place(path)?;
    may_write(path, force)?;
    let mut batch = Batch::new(folder, force)?;
    let mut file = batch.file(name)?;
    write(&mut file)?;
    file.flush()?;
    drop(file);
    batch.keep()?;
    Ok(())
}

/// Folder and name of a file.
fn place(path: &Path) -> Result<(&Path, &str), FileError> {
    let name = path
        .file_name()
        .and_then(|n| n.to_str())
        .ok_or_else(|| FileError::NoName(path.to_owned()))?;
    Ok((parent(path), name))
}
