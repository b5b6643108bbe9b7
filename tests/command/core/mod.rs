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

use std::path::Path;

use assert_cmd::Command;
use assert_cmd::cargo::cargo_bin_cmd;
use serde_json::Value;
use tempfile::TempDir;

/// In `folder`, with nothing of the machine's own settings.
pub(super) fn thincut(folder: &Path) -> Command {
    let mut command = cargo_bin_cmd!("thincut");
    command
        .current_dir(folder)
        .env_remove("THINCUT_GEAR")
        .env_remove("THINCUT_UNITS")
        .env("HOME", folder)
        .env("XDG_CONFIG_HOME", folder.join("config"));
    command
}

pub(super) fn folder() -> TempDir {
    tempfile::tempdir().unwrap()
}

/// Standard output and standard error of a run that must end with `code`.
#[track_caller]
pub(super) fn output(command: &mut Command, code: i32) -> (String, String) {
    let output = command.output().expect("the program starts");
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("UTF-8");
    let (out, err) = (text(output.stdout), text(output.stderr));
    assert_eq!(
        output.status.code(),
        Some(code),
        "stdout: {out}\nstderr: {err}"
    );
    (out, err)
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
