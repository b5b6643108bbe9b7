//! The program itself: help, first steps, colour, pipes, defaults.

use std::fs;
use std::process::Stdio;

use assert_cmd::Command;
use serde_json::Value;

use super::{ABSTRACT, folder, output, run, thincut};

/// Lines of `--help` that show a command to type.
fn examples(help: &str) -> Vec<String> {
    help.lines()
        .skip_while(|line| !line.starts_with("Example"))
        .map(str::trim)
        .filter(|line| line.starts_with("thincut "))
        .map(str::to_owned)
        .collect()
}

#[test]
fn every_help_has_examples_that_run() {
    let program = assert_cmd::cargo::cargo_bin!("thincut");
    let path = format!(
        "{}:{}",
        program.parent().unwrap().display(),
        std::env::var("PATH").unwrap_or_default()
    );
    for command in [
        "",
        "shot",
        "table pockets",
        "survey",
        "table",
        "table list",
        "table show",
        "table check",
        "table measure",
        "table jaws",
        "table rails",
        "table cue",
    ] {
        let (help, _) = run(&format!("{command} --help"), 0);
        let lines = examples(&help);
        assert!(!lines.is_empty(), "{command}: no example in {help}");
        let folder = folder();
        fs::write(
            folder.path().join("hall.toml"),
            "name = \"hall\"\nbase = \"pool-8ft\"\n",
        )
        .unwrap();
        for line in lines {
            let mut shell = Command::new("sh");
            shell
                .args(["-c", &line])
                .current_dir(folder.path())
                .env("PATH", &path)
                .env("HOME", folder.path())
                .env("XDG_CONFIG_HOME", folder.path().join("config"));
            let (_, err) = output(&mut shell, 0);
            assert!(err.is_empty(), "{line}: {err}");
        }
    }
}

#[test]
fn version_and_first_steps() {
    let (version, _) = run("--version", 0);
    assert_eq!(version, format!("thincut {}\n", env!("CARGO_PKG_VERSION")));
    let (first, err) = run("", 0);
    assert!(
        first.contains("thincut shot") && first.contains("thincut survey"),
        "{first}"
    );
    assert!(err.is_empty());
}

#[test]
fn no_colour_when_piped_or_unwanted() {
    for line in [
        ABSTRACT,
        "table pockets",
        "shot --help",
        "shot --nope",
        "shot --cut 30",
    ] {
        let folder = folder();
        for no_color in [false, true] {
            let mut command = thincut(folder.path());
            command
                .args(line.split_whitespace())
                .env("TERM", "xterm-256color");
            if no_color {
                command.env("NO_COLOR", "1");
            } else {
                command.env_remove("NO_COLOR");
            }
            let output = command.output().unwrap();
            for bytes in [output.stdout, output.stderr] {
                assert!(!bytes.contains(&0x1b), "{line}");
            }
        }
    }
}

#[test]
fn a_closed_pipe_is_no_error() {
    let folder = folder();
    let program = assert_cmd::cargo::cargo_bin!("thincut");
    for line in [
        "table pockets --approaches=-44deg..44deg/0.1deg --format csv",
        "table pockets --approaches=-44deg..44deg/0.1deg --format json",
        "table show",
    ] {
        let mut child = std::process::Command::new(program)
            .args(line.split(' '))
            .current_dir(folder.path())
            .env("HOME", folder.path())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        // gone before the first byte is read
        drop(child.stdout.take());
        let output = child.wait_with_output().unwrap();
        assert_eq!(output.status.code(), Some(0), "{line}");
        let err = String::from_utf8_lossy(&output.stderr);
        assert!(err.is_empty(), "{line}: {err}");
    }
}

#[test]
fn defaults_flag_over_environment_over_folder_over_user() {
    let folder = folder();
    let path = folder.path();
    let line: Vec<&str> = ABSTRACT.split(' ').chain(["--format", "json"]).collect();
    let gear = |command: &mut Command| {
        let (out, _) = output(command.args(&line), 0);
        let value: Value = serde_json::from_str(&out).unwrap();
        value["gear"].as_str().unwrap().to_owned()
    };
    assert_eq!(gear(&mut thincut(path)), "pool-9ft");
    let config = path.join("config/thincut");
    fs::create_dir_all(&config).unwrap();
    fs::write(
        config.join("thincut.toml"),
        "gear = \"pool-7ft\"\nunits = \"inches\"\n",
    )
    .unwrap();
    assert_eq!(gear(&mut thincut(path)), "pool-7ft");
    fs::write(path.join("thincut.toml"), "gear = \"pool-8ft\"\n").unwrap();
    assert_eq!(gear(&mut thincut(path)), "pool-8ft");
    // key by key: the units still come from the user's own file
    let (text, _) = output(thincut(path).args(ABSTRACT.split(' ')), 0);
    assert!(text.contains(" in either side"), "{text}");
    let (text, _) = output(
        thincut(path)
            .env("THINCUT_UNITS", "metric")
            .args(ABSTRACT.split(' ')),
        0,
    );
    assert!(text.contains(" mm either side"), "{text}");
    let environment = ("THINCUT_GEAR", "snooker-12ft");
    assert_eq!(
        gear(thincut(path).env(environment.0, environment.1)),
        "snooker-12ft"
    );
    let mut flag = thincut(path);
    flag.env(environment.0, environment.1);
    let (out, _) = output(flag.args(&line).args(["--table", "smallball-7ft"]), 0);
    assert!(out.contains("\"smallball-7ft\""), "{out}");
}
