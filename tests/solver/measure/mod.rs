//! A table measured: what readings give is right within its stated intervals, what cannot be is
//! refused, and the file works.

#![expect(
    clippy::unwrap_used,
    reason = "a helper of a test that cannot go on fails the test"
)]

mod command;
mod laws;
mod recovered;
mod refused;

use std::path::Path;

use assert_cmd::Command;
use assert_cmd::cargo::cargo_bin_cmd;
use thincut::measure::{Quantity, Reading};

/// In `folder`, with nothing of the machine's own settings.
fn thincut(folder: &Path) -> Command {
    let mut command = cargo_bin_cmd!("thincut");
    command
        .current_dir(folder)
        .env_remove("THINCUT_GEAR")
        .env_remove("THINCUT_UNITS")
        .env("HOME", folder)
        .env("XDG_CONFIG_HOME", folder.join("config"));
    command
}

/// Standard output and standard error of a run that must end with `code`.
#[track_caller]
fn output(command: &mut Command, code: i32) -> (String, String) {
    let output = command.output().unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    let (out, err) = (text(output.stdout), text(output.stderr));
    assert_eq!(
        output.status.code(),
        Some(code),
        "stdout: {out}\nstderr: {err}"
    );
    (out, err)
}

fn read(quantity: Quantity, parts: &[f64]) -> (Quantity, Reading) {
    let text = format!("{parts:?}");
    let parts = parts.to_vec();
    (quantity, Reading { text, parts })
}
