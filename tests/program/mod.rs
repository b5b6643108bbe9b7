//! The program as the tests run it: in a folder, with nothing of the machine's own settings.
#![allow(dead_code, reason = "each test binary uses its part")]

use std::path::Path;
use std::process;

use assert_cmd::Command;

/// In `folder`, which is its home too.
pub(crate) fn program(folder: &Path) -> process::Command {
    let mut command = process::Command::new(env!("CARGO_BIN_EXE_thincut"));
    command
        .current_dir(folder)
        .env_remove("THINCUT_GEAR")
        .env_remove("THINCUT_UNITS")
        .env_remove("THINCUT_LOG")
        .env_remove("XDG_DATA_HOME")
        .env("HOME", folder)
        .env("XDG_CONFIG_HOME", folder.join("config"));
    command
}

/// The same, to be given its input and looked at.
pub(crate) fn thincut(folder: &Path) -> Command {
    Command::from_std(program(folder))
}

/// The same with the practice log of the folder.
pub(crate) fn with_log(folder: &Path) -> Command {
    let mut command = thincut(folder);
    command.env("THINCUT_LOG", folder.join("practice.sqlite"));
    command
}

/// Exit code, standard output and standard error.
pub(crate) fn ran(command: &mut Command) -> (i32, String, String) {
    let done = command.output().expect("the program starts");
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("UTF-8");
    (
        done.status.code().expect("an exit code"),
        text(done.stdout),
        text(done.stderr),
    )
}

/// Standard output and standard error of a run that must end with `code`.
#[track_caller]
pub(crate) fn output(command: &mut Command, code: i32) -> (String, String) {
    let (ended, out, err) = ran(command);
    assert_eq!(ended, code, "stdout: {out}\nstderr: {err}");
    (out, err)
}
