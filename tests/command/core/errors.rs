//! Bad input: one clear message, in words and as JSON.

use serde_json::Value;

use super::run;

/// Line, and what its message must name: the flag, the value, what would work.
const BAD: [(&str, &[&str]); 26] = [
    (
        "shot --cut 30 --cue-to-object 4ft --to-pocket 3ft",
        &["--cut", "\"30\"", "30deg"],
    ),
    (
        "shot --cut 30deg --cue-to-object 4 --to-pocket 3ft",
        &["--cue-to-object", "\"4\"", "4in"],
    ),
    (
        "shot --cut 30deg --cue-to-object 4ft --to-pocket 3",
        &["--to-pocket", "\"3\"", "3in"],
    ),
    (
        "shot --cut 30deg --cue-to-object 4ft --to-pocket 3ft --pace 1",
        &["--pace", "\"1\"", "1m/s"],
    ),
    (
        "shot --cut 30deg --cue-to-object 4ft --to-pocket 3ft --bridge 10",
        &["--bridge", "10in"],
    ),
    (
        "shot --cut 30deg --cue-to-object 4ft --to-pocket 3ft --approach 5",
        &["--approach", "5deg"],
    ),
    (
        "shot --cut 95deg --cue-to-object 4ft --to-pocket 3ft",
        &["--cut", "95", "below 90deg"],
    ),
    (
        "shot --cut 30deg --cue-to-object 4ft --to-pocket 0m",
        &["--to-pocket", "0", "above 0"],
    ),
    (
        "shot --cut 30deg --cue-to-object 4ft --to-pocket 3ft --pace -1m/s",
        &["--pace", "-1", "above 0"],
    ),
    (
        "shot --cut 30deg --cue-to-object 4ft --to-pocket 3ft --arrives 9",
        &["--arrives", "9", "from -2 to 2"],
    ),
    (
        "shot --cut 30deg --cue-to-object 4ft --to-pocket 3ft --side x",
        &["--side", "\"x\"", "0.85"],
    ),
    (
        "shot --cut 30deg --cue-to-object 2in --to-pocket 3ft",
        &["50.80 mm", "57.15 mm"],
    ),
    (
        "shot --cue 3,1 --object 3.05,1 --pocket foot-left",
        &["15.87 mm", "57.15 mm"],
    ),
    (
        "shot --cue 3,1 --object 9,2 --pocket foot-left",
        &["--object", "\"9\"", "0 to 8"],
    ),
    (
        "shot --cue 3,1 --object 5,0.01 --pocket foot-left",
        &["object ball", "off the table"],
    ),
    (
        "shot --cue 3,1 --object 5,2 --pocket foot",
        &["--pocket", "`foot`", "foot-left"],
    ),
    (
        "shot --cue 3,1 --cut 30deg",
        &["--cue", "--cut", "do not go together"],
    ),
    (
        "shot --cut 30deg --cue-to-object 4ft",
        &["--to-pocket", "missing"],
    ),
    ("shot", &["missing", "--cue", "--cut"]),
    (
        "shot --cut 30deg --cue-to-object 4ft --to-pocket 3ft --arrives stun --tip centre",
        &["--arrives", "--tip"],
    ),
    (
        "shot --cut 30deg --cue-to-object 4ft --to-pocket 3ft --table pool-9f",
        &["pool-9f", "pool-9ft?"],
    ),
    (
        "shot --cut 30deg --cue-to-object 4ft --to-pocket 3ft --set pocket.corner.mouth=2in",
        &["pocket.corner.mouth", "2in", "more than 2.25in"],
    ),
    (
        "table pockets --distance 0m",
        &["--distance", "0m", "above 0"],
    ),
    (
        "table pockets --approaches=95deg",
        &["--approaches", "95deg", "90deg"],
    ),
    (
        "table pockets --approaches=10deg..5deg/1deg",
        &["--approaches", "10deg..5deg/1deg", "range"],
    ),
    ("survey --cut 0", &["--cut", "\"0\"", "0deg"]),
];

#[test]
fn bad_input_is_one_clear_message() {
    for (line, words) in BAD {
        let (out, err) = run(line, 2);
        assert!(out.is_empty(), "{line}: {out}");
        assert!(
            err.starts_with("error: ") && err.lines().count() == 1,
            "{line}: {err}"
        );
        for word in words {
            assert!(err.contains(word), "{line}: {word} missing in {err}");
        }
    }
}

#[test]
fn errors_as_json_say_the_same() {
    for (line, _) in BAD.iter().filter(|(line, _)| !line.starts_with("survey")) {
        let (_, plain) = run(line, 2);
        let (out, err) = run(&format!("{line} --format json"), 2);
        assert!(out.is_empty());
        let value: Value = serde_json::from_str(&err).expect("JSON");
        assert_eq!(value["error"]["exit_code"], 2);
        let message = value["error"]["message"].as_str().unwrap();
        assert_eq!(plain.trim_end(), format!("error: {message}"));
    }
    for line in ["shot --nope --format json", "shot --nope --format=json"] {
        let (_, err) = run(line, 2);
        let value: Value = serde_json::from_str(&err).expect("JSON");
        assert!(
            value["error"]["message"]
                .as_str()
                .unwrap()
                .contains("--nope")
        );
    }
}

#[test]
fn usage_errors_name_what_they_do_not_know() {
    for (line, word) in [
        ("shot --nope", "--nope"),
        ("frobnicate", "frobnicate"),
        ("shot --cut 1deg --format yaml", "yaml"),
        ("shot --cut 1deg --units miles", "metric or inches"),
    ] {
        let (out, err) = run(line, 2);
        assert!(out.is_empty() && err.contains(word), "{line}: {err}");
    }
}

/// What faults call an input can be typed.
#[test]
fn every_field_is_an_option() {
    let (all, _) = run("completions bash", 0);
    use thincut::field::Field;
    // Of files and links only.
    let typed_ones = Field::ALL
        .iter()
        .filter(|f| ![Field::Roll, Field::Hit].contains(f));
    for field in typed_ones {
        let option = format!("--{}", field.name());
        let typed = all.split(|c: char| c.is_whitespace() || "\"')|".contains(c));
        assert!(typed.into_iter().any(|word| word == option), "{option}");
    }
}
