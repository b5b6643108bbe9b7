//! Input files, with - for standard input.

use std::fmt::Display;
use std::io::{BufRead, Read as _};
use std::path::{Path, PathBuf};

use thincut::files::{self, LINE_BYTES, ReadError};

use crate::fault::Fault;

fn is_standard_input(path: &Path) -> bool {
    path.as_os_str() == "-"
}

/// The text of a file of at most `limit` bytes, or of standard input.
pub(crate) fn text(path: &Path, limit: u64) -> Result<String, ReadError> {
    if is_standard_input(path) {
        files::text_from(std::io::stdin().lock(), limit)
    } else {
        files::text(path, limit)
    }
}

/// Where a text comes from, in words.
pub(crate) fn source(path: &Path) -> String {
    if is_standard_input(path) {
        "standard input".to_owned()
    } else {
        path.display().to_string()
    }
}

/// A fault of a file.
pub(crate) fn fault(path: &Path, problem: &dyn Display) -> Fault {
    Fault::input(format!("{}: {problem}", source(path)))
}

/// The folder in which tables that a file names are looked for: the file's own, or the working
/// folder.
pub(crate) fn folder(path: &Path) -> PathBuf {
    let parent = path.parent().filter(|_| !is_standard_input(path));
    parent.map(Path::to_owned).unwrap_or_default()
}

/// Lines that people type or a program sends, each of bounded length.
pub(crate) fn lines(mut from: impl BufRead) -> impl Iterator<Item = Result<String, Fault>> {
    std::iter::from_fn(move || {
        let mut line = Vec::new();
        let most = LINE_BYTES as u64 + 1;
        match from.by_ref().take(most).read_until(b'\n', &mut line) {
            Ok(0) => None,
            Ok(n) if n > LINE_BYTES => Some(Err(Fault::input(format!(
                "a line is longer than {} MB, and no more is read",
                LINE_BYTES / 1_000_000
            )))),
            Ok(_) => Some(String::from_utf8(line).map_err(|_| Fault::input(ReadError::NotText))),
            Err(e) => Some(Err(Fault::running(e))),
        }
    })
}
