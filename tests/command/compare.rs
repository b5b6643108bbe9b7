//! The same shots on two gears, through the command line.

use std::process::{Command, Output};

use serde_json::Value;

fn compare(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_thincut"))
        .args(["table", "compare"])
        .args(args)
        .env("HOME", "/nonexistent")
        .output()
        .expect("it runs")
}

fn answer(args: &[&str]) -> Value {
    let out = compare(&[args, &["--format", "json"]].concat());
    assert!(
        out.status.success(),
        "{}",
        String::from_utf8_lossy(&out.stderr)
    );
    serde_json::from_slice(&out.stdout).expect("JSON")
}

/// A tighter pocket leaves less room on every corner shot and the same on side shots.
#[test]
fn a_tighter_corner_costs_room_there_only() {
    let found = answer(&[
        "--table",
        "pool-9ft",
        "--table",
        "pool-9ft+pocket.corner.mouth=4.125in",
        "--level",
        "club",
    ]);
    let rows = found["rows"].as_array().expect("rows");
    assert_eq!(rows.len(), 24);
    let mut last = 0.0;
    for row in rows {
        let (first, second) = (&row["on"][0], &row["on"][1]);
        let share = second["share_of_first"].as_f64().expect("a share");
        assert!(share >= last, "largest loss first");
        last = share;
        let makes = |s: &Value| s["chance"].as_f64().expect("a chance");
        if row["kind"] == "corner" {
            assert!(share < 0.95 && makes(second) < makes(first), "{row}");
        } else {
            assert!(
                (share - 1.0).abs() < 1e-12 && makes(second).to_bits() == makes(first).to_bits()
            );
        }
    }
    assert_eq!(found["player"], "club player, assumed");
    // Said by kind: a mean over shots that are not touched would halve it.
    let told = compare(&[
        "--table",
        "pool-9ft",
        "--table",
        "pool-9ft+pocket.corner.mouth=4.125in",
    ]);
    let told = String::from_utf8_lossy(&told.stdout);
    assert!(told.contains("corners lose 16 %, sides nothing"), "{told}");
}

/// A gear against itself: nothing changes, and the sentence says so.
#[test]
fn a_gear_against_itself() {
    let out = compare(&[
        "--table",
        "pool-9ft",
        "--table",
        "pool-9ft",
        "--cut",
        "half-ball",
        "--cue-to-object",
        "4ft",
        "--to-pocket",
        "3ft",
    ]);
    let text = String::from_utf8_lossy(&out.stdout);
    assert!(text.contains("this shot loses nothing"), "{text}");
    assert_eq!(text.lines().count(), 3, "{text}");
}

/// The room is that of the shot command.
#[test]
fn the_room_is_that_of_shot() {
    let shot = [
        "--cut",
        "40deg",
        "--cue-to-object",
        "3ft",
        "--to-pocket",
        "4ft",
        "--kind",
        "side",
    ];
    let both = ["--table", "pool-9ft", "--table", "pool-7ft"];
    let found = answer(&[&both[..], &shot[..]].concat());
    let single = Command::new(env!("CARGO_BIN_EXE_thincut"))
        .arg("shot")
        .args(shot)
        .args(["--format", "json"])
        .output()
        .expect("it runs");
    let single: Value = serde_json::from_slice(&single.stdout).expect("JSON");
    let total = single["direct"]["total_deg"].as_f64().expect("a number");
    let each = found["rows"][0]["on"][0]["direct_each_deg"]
        .as_f64()
        .expect("a number");
    // doubling is exact
    assert!((2.0 * each - total).abs() < 1e-12);
}

#[test]
fn bad_input_is_told() {
    for (args, word) in [
        (&["--table", "pool-9ft"][..], "two tables"),
        (&["--table", "pool-9ft", "--table", "pool-9fd"], "pool-9ft"),
        (
            &[
                "--table",
                "pool-9ft",
                "--table",
                "pool-9ft+pocket.corner.mouth=1in",
            ],
            "mouth",
        ),
        (&[], "--table"),
    ] {
        let out = compare(args);
        let told = String::from_utf8_lossy(&out.stderr);
        assert_eq!(out.status.code(), Some(2), "{told}");
        assert!(told.contains(word), "{told}");
        assert!(out.stdout.is_empty());
    }
}
