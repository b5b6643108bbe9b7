//! The command line.

use super::*;

// ---- the command ----

fn thincut(args: &str) -> assert_cmd::assert::Assert {
    crate::program::thincut(&std::env::temp_dir())
        .args(args.split_whitespace())
        .assert()
}

fn stdout(args: &str) -> String {
    let done = thincut(args).success();
    String::from_utf8(done.get_output().stdout.clone()).unwrap()
}

const SHOT: &str = "--cut 40deg --cue-to-object 3ft --to-pocket 3ft";

#[test]
fn command_judges_a_shot_for_a_player() {
    let json = stdout(&format!("aims {SHOT} --level club --format json"));
    let answer: serde_json::Value = serde_json::from_str(&json).unwrap();
    let ways = answer["ways"].as_array().unwrap();
    assert_eq!(ways.len(), 13);
    for way in ways {
        let row = &way["row"];
        assert!(row["chance_by_way"].as_f64().unwrap() <= row["chance_right"].as_f64().unwrap());
        assert!(
            way["reach"][0]["says"]
                .as_str()
                .unwrap()
                .starts_with("good ")
        );
    }
    // the library's own answer
    let gear = gear(&[]);
    let shot = AbstractShot {
        to_pocket_m: 0.9144,
        ..at(40.0, 0.9144)
    };
    let verdict = Solved::new(&gear, &shot, Stroke::centre_ball()).judge(&ContactPoint);
    let row = &ways
        .iter()
        .find(|w| w["row"]["way"] == "contact-point")
        .unwrap()["row"];
    let said = row["too_full_mm"].as_f64().unwrap();
    assert!((said - verdict.too_full_m * 1e3).abs() < 1e-6);
    let text = stdout(&format!("aims {SHOT} --level club"));
    assert!(text.contains("too full at the ghost ball") && text.contains("club player, assumed"));
    // It opens with what all of it comes to.
    let lines: Vec<&str> = text.lines().take(4).collect();
    assert!(lines[1].starts_with("Good at every cut with "), "{lines:?}");
    assert!(
        lines[2].starts_with("The others work only so far: "),
        "{lines:?}"
    );
    assert!(lines[3].starts_with("With fixed aims alone, "), "{lines:?}");
}

#[test]
fn command_writes_a_grid_and_tables() {
    let csv = stdout(
        "aims --methods quarters,back-of-ball --cue-to-object 1ft,3ft --cut 0deg,30deg --format csv",
    );
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let rows: Vec<_> = reader.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), 2 * 2 * 2);
    let folder = tempfile::tempdir().unwrap();
    let args = format!("aims --methods quarters --out {}", folder.path().display());
    stdout(&args);
    let again = thincut(&args).code(2);
    let error = String::from_utf8(again.get_output().stderr.clone()).unwrap();
    assert!(error.contains("--force"), "{error}");
    for name in ["aims-bias-914mm-914mm", "aims-works-914mm"] {
        let svg = std::fs::read_to_string(folder.path().join(format!("{name}.svg"))).unwrap();
        let tree = roxmltree::Document::parse(&svg).unwrap();
        let frames = tree
            .descendants()
            .filter(|n| n.attribute("class") == Some("frame"));
        assert_eq!(frames.count(), 1);
        assert!(svg.contains("quarters"));
        let png = std::fs::read(folder.path().join(format!("{name}.png"))).unwrap();
        assert!(png.starts_with(b"\x89PNG"));
    }
    for name in ["aims.csv", "aims-reach.csv"] {
        let path = folder.path().join(name);
        assert!(
            csv::Reader::from_path(path)
                .unwrap()
                .records()
                .all(|r| r.is_ok())
        );
    }
}

#[test]
fn command_shows_what_moves_the_aim() {
    let text = stdout(&format!("aims --moves ghost-ball {SHOT}"));
    for word in [
        "stun",
        "outside",
        "dirty",
        "smaller cue ball",
        "stick's line",
        "pivot",
    ] {
        assert!(text.contains(word), "{word}: {text}");
    }
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().display();
    stdout(&format!("aims --moves ghost-ball {SHOT} --out {out}"));
    let svg = std::fs::read_to_string(folder.path().join("aims-moves.svg")).unwrap();
    assert!(svg.contains("stick") && svg.contains("hit: stun"));
    let csv = stdout(&format!("aims --moves ghost-ball {SHOT} --format csv"));
    assert_eq!(csv.lines().count(), 20);
}

#[test]
fn command_names_what_is_wrong() {
    let own = tempfile::NamedTempFile::new().unwrap();
    std::fs::write(own.path(), "[[offset]]\ncut = \"30deg\"\naim = 28\n").unwrap();
    let own = format!("aims --methods own --own {} {SHOT}", own.path().display());
    let cases = [
        ("aims --methods gost-ball", "did you mean ghost-ball?"),
        ("aims --methods fractions --fractions 5/4", "5/4"),
        ("aims --shaft 0mm", "--shaft is 0mm"),
        ("aims --lamp-height 57.15mm", "--lamp-height is 57.1"),
        ("aims --methods own", "--own FILE.toml"),
        ("aims --lamp-at 4,2", "--lamp-at needs a shot on the table"),
        ("aims --cue-to-object 1in", "at least 57.15 mm"),
        ("aims --cut 95deg", "--cut"),
        (&own, "28"),
        (
            "aims --methods shadow --lamp-ahead -3m --cut 40deg --cue-to-object 3ft --to-pocket 3ft",
            "behind the player's eye",
        ),
        (
            "aims --shaft-step 1 --shaft-multiples 1,2",
            "--shaft-multiples and --shaft-step",
        ),
        (
            "aims --moves shadow --squirt 0deg --cut 40deg --cue-to-object 3ft --to-pocket 3ft",
            "--squirt",
        ),
    ];
    for (args, says) in cases {
        let done = thincut(args).code(2);
        let output = done.get_output();
        let error = String::from_utf8(output.stderr.clone()).unwrap();
        assert!(error.contains(says), "{args}: {error}");
        assert!(output.stdout.is_empty(), "{args}");
    }
}

#[test]
fn command_takes_a_lamp_over_the_table() {
    let shot = "--cue 3,1 --object 5,2.4 --pocket foot-left --format json --methods shadow";
    let bias = |place: &str| {
        let json = stdout(&format!("aims {shot} --lamp-at {place}"));
        let answer: serde_json::Value = serde_json::from_str(&json).unwrap();
        let row = &answer["ways"][0]["row"];
        row["aim_deg"].as_f64().unwrap()
    };
    // over the object ball the shadow is no farther off than the ghost ball
    let ghost = stdout(&format!("aims {} ", shot.replace("shadow", "ghost-ball")));
    let ghost: serde_json::Value = serde_json::from_str(&ghost).unwrap();
    let ghost = ghost["ways"][0]["row"]["aim_deg"].as_f64().unwrap();
    assert!((bias("5,2.4") - ghost).abs() < 1e-9);
    assert!((bias("4,2") - ghost).abs() > 1e-3);
}
