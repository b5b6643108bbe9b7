//! `thincut shot`, `pocket` and `survey` through the program itself: answers, typed outcomes,
//! errors, files.

#![expect(
    clippy::unwrap_used,
    reason = "a helper of a test that cannot go on fails the test"
)]

mod errors;
mod files;
mod grids;
mod program;
mod shot;
mod stroke;

use serde_json::Value;
use tempfile::TempDir;

pub(super) use crate::program::{output, thincut};

pub(super) fn folder() -> TempDir {
    tempfile::tempdir().unwrap()
}

/// Runs a line of words.
#[track_caller]
fn run(line: &str, code: i32) -> (String, String) {
    output(thincut(folder().path()).args(line.split_whitespace()), code)
}

#[track_caller]
fn json(line: &str) -> Value {
    let (out, err) = run(&format!("{line} --format json"), 0);
    assert!(err.is_empty(), "{err}");
    serde_json::from_str(&out).expect("JSON")
}

const ABSTRACT: &str = "shot --cut 30deg --cue-to-object 4ft --to-pocket 3ft";
const ON_TABLE: &str = "shot --cue 3,1 --object 5,2.4 --pocket foot-left";
