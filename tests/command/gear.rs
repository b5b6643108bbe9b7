//! `thincut table` and the defaults files, through the program itself.

use std::fs;

use assert_cmd::Command;
use thincut::gear::Gear;

use crate::program::{output, thincut};

const DATA: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data");

#[test]
fn list_names_every_preset() {
    let folder = tempfile::tempdir().unwrap();
    let (out, err) = output(thincut(folder.path()).args(["table", "list"]), 0);
    for name in Gear::preset_names() {
        assert!(
            out.lines().any(|line| line.starts_with(name)),
            "{name} missing in {out}"
        );
    }
    assert!(err.is_empty());
}

#[test]
fn what_show_writes_is_a_good_file() {
    let folder = tempfile::tempdir().unwrap();
    let (out, _) = output(
        thincut(folder.path()).args([
            "table",
            "show",
            "pool-8ft",
            "--set",
            "pocket.corner.mouth=4.25in",
        ]),
        0,
    );
    assert!(
        out.contains("common practice") && out.contains("--set"),
        "{out}"
    );
    fs::write(folder.path().join("hall.toml"), &out).unwrap();
    let (said, _) = output(
        thincut(folder.path()).args(["table", "check", "hall.toml"]),
        0,
    );
    assert_eq!(
        said,
        "pool-8ft, changed: corner.mouth 4.25 in is good: 31 values from file hall.toml.\n"
    );
    let overrides = ["pocket.corner.mouth=4.25in".to_owned()];
    assert_eq!(
        Gear::from_toml_str(&out).unwrap(),
        Gear::preset("pool-8ft")
            .unwrap()
            .with_overrides(&overrides)
            .unwrap()
    );
}

#[test]
fn bad_gear_is_bad_input() {
    let folder = tempfile::tempdir().unwrap();
    let file = format!("{DATA}/bad-gear/mouth-as-ball.toml");
    let (out, err) = output(thincut(folder.path()).args(["table", "check", &file]), 2);
    assert!(out.is_empty());
    assert!(
        err.contains("the mouth is no wider than the ball; use more than 2.25in"),
        "{err}"
    );
    let (_, err) = output(thincut(folder.path()).args(["table", "show", "pool-9"]), 2);
    assert!(err.contains("did you mean pool-9ft?"), "{err}");
    let show = ["table", "show", "--set", "cushion.restitution=2"];
    let (out, err) = output(thincut(folder.path()).args(show), 2);
    assert!(
        out.is_empty() && err.contains("cushion.restitution = 2 is out of range"),
        "{err}"
    );
}

#[test]
fn flag_over_environment_over_folder_over_user() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path();
    let name = |command: &mut Command| {
        let (out, _) = output(command.args(["table", "show"]), 0);
        out.lines().next().unwrap_or_default().to_owned()
    };
    assert_eq!(name(&mut thincut(path)), "name = \"pool-9ft\"");
    let config = path.join("config/thincut");
    fs::create_dir_all(&config).unwrap();
    // Beside the defaults file, not in the working folder.
    fs::write(config.join("thincut.toml"), "gear = \"./mine.toml\"\n").unwrap();
    fs::write(
        config.join("mine.toml"),
        "name = \"mine\"\nbase = \"pool-7ft\"\n",
    )
    .unwrap();
    assert_eq!(name(&mut thincut(path)), "name = \"mine\"");
    fs::write(
        path.join("thincut.toml"),
        "gear = \"pool-8ft\"\nunits = \"inches\"\n",
    )
    .unwrap();
    assert_eq!(name(&mut thincut(path)), "name = \"pool-8ft\"");
    assert_eq!(
        name(thincut(path).env("THINCUT_GEAR", "snooker-12ft")),
        "name = \"snooker-12ft\""
    );
    let flag = ["table", "show", "--table", "pool-8ft-pro"];
    let (out, _) = output(
        thincut(path).env("THINCUT_GEAR", "snooker-12ft").args(flag),
        0,
    );
    assert!(out.starts_with("name = \"pool-8ft-pro\""));
}

#[test]
fn a_defaults_file_that_is_wrong_is_named() {
    let folder = tempfile::tempdir().unwrap();
    let cases = [
        (
            "pace = \"1m/s\"\n",
            "thincut.toml: unknown key pace: only table, units and words",
        ),
        ("units = \"miles\"\n", "write metric or inches"),
        ("gear = 3\n", "gear must be a text in quotes"),
        ("gear = \n", "not valid TOML"),
        ("gear = \"pool-9\"\n", "did you mean pool-9ft?"),
    ];
    for (text, words) in cases {
        fs::write(folder.path().join("thincut.toml"), text).unwrap();
        let (out, err) = output(thincut(folder.path()).args(["table", "show"]), 2);
        assert!(out.is_empty() && err.contains(words), "{text}: {err}");
    }
}
