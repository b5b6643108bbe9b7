//! Input files: plain files only, up to a stated size.

use std::fs::{self, File, FileType};
use std::io::{self, Read};
use std::path::Path;

use thiserror::Error;

/// Most bytes of a table, a lesson, a form or a list (assumption: a hundred times the largest).
pub const TABLE_BYTES: u64 = 1_000_000;
/// Most bytes of a layout (assumption: room for any number of comments).
pub const LAYOUT_BYTES: u64 = 10_000_000;
/// Most bytes of one row of a file that is read row by row (assumption: the body of a sheet with two
/// hundred shots takes a tenth).
pub const LINE_BYTES: usize = 1_000_000;

/// An input file that is not read. The message does without the file's name, which whoever shows it
/// puts before it.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum ReadError {
    /// The system refuses.
    #[error("{0}")]
    System(io::Error),
    /// A folder, a pipe or a device.
    #[error("is {what}, and only plain files are read")]
    NotAFile {
        /// What it is, with its article.
        what: &'static str,
    },
    /// A file that is too large.
    #[error("has {size} bytes, and at most {} are read", megabytes(*.limit))]
    TooLarge {
        /// Its size, bytes.
        size: u64,
        /// Most bytes that are read.
        limit: u64,
    },
    /// Input whose size is not known before it is read.
    #[error("is longer than {}, and no more is read", megabytes(*.limit))]
    TooLong {
        /// Most bytes that are read.
        limit: u64,
    },
    /// Not text.
    #[error("is not UTF-8 text; save it as text in UTF-8")]
    NotText,
}

fn megabytes(bytes: u64) -> String {
    const MB: u64 = 1_000_000;
    if bytes.is_multiple_of(MB) {
        format!("{} MB", bytes / MB)
    } else {
        format!("{bytes} bytes")
    }
}

impl From<io::Error> for ReadError {
    fn from(fault: io::Error) -> Self {
        Self::System(fault)
    }
}

/// What a path leads to, with its article, unless it is a plain file.
pub(super) fn kind_of(kind: FileType) -> Option<&'static str> {
    if kind.is_file() {
        None
    } else if kind.is_dir() {
        Some("a folder")
    } else if kind.is_symlink() {
        Some("a link")
    } else {
        Some("a pipe or a device")
    }
}

/// Opens a plain file.
///
/// # Errors
/// [`ReadError::System`], [`ReadError::NotAFile`].
pub fn open(path: &Path) -> Result<File, ReadError> {
    let plain = |kind| match kind_of(kind) {
        Some(what) => Err(ReadError::NotAFile { what }),
        None => Ok(()),
    };
    // Asked before, since opening a pipe waits for its other end, and after, for what it is now.
    plain(fs::metadata(path)?.file_type())?;
    let file = File::open(path)?;
    plain(file.metadata()?.file_type())?;
    Ok(file)
}

/// The text of a plain file of at most `limit` bytes.
///
/// # Errors
/// [`ReadError`].
pub fn text(path: &Path, limit: u64) -> Result<String, ReadError> {
    let file = open(path)?;
    let size = file.metadata()?.len();
    if size > limit {
        return Err(ReadError::TooLarge { size, limit });
    }
    text_from(file, limit)
}

/// All text that comes from somewhere else than a file, such as standard input.
///
/// # Errors
/// [`ReadError::System`], [`ReadError::TooLong`], [`ReadError::NotText`].
pub fn text_from(input: impl Read, limit: u64) -> Result<String, ReadError> {
    let mut bytes = Vec::new();
    input.take(limit + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > limit {
        return Err(ReadError::TooLong { limit });
    }
    String::from_utf8(bytes).map_err(|_| ReadError::NotText)
}
