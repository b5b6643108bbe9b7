//! `thincut table measure` through the program itself: form, answer, file.

use std::fs;
use std::path::Path;

use serde_json::Value;
use thincut::gear::{LoadedGear, Origin};

use super::{output, thincut};

/// What somebody measured at the Millpond Hall.
const READINGS: [&str; 14] = [
    "--corner-mouth",
    "113.5mm, 114mm; 4.5in",
    "--corner-throat",
    "103.5mm",
    "--corner-shelf",
    "41mm",
    "--ball-diameter",
    "57.1mm",
    "--roll-out",
    "3.2m in 8.1s, 3.1m 7.9s",
    "--roll-lengths",
    "4.2lengths 8.9s",
    "--date",
    "2025-11-25",
];

#[track_caller]
fn measure(folder: &Path, more: &[&str]) -> String {
    let mut command = thincut(folder);
    command.args(["table", "measure"]).args(READINGS).args(more);
    let (out, err) = output(&mut command, 0);
    assert!(err.is_empty(), "{err}");
    out
}

fn json(folder: &Path, more: &[&str]) -> Value {
    let more: Vec<&str> = more.iter().copied().chain(["--format", "json"]).collect();
    serde_json::from_str(&measure(folder, &more)).unwrap()
}

#[test]
fn the_answer_says_chance_interval_and_what_to_repeat() {
    let folder = tempfile::tempdir().unwrap();
    let text = measure(folder.path(), &[]);
    for words in [
        "Chances for: club player, assumed.",
        "Your table against pool-9ft",
        "95 times in 100 between",
        "Measure again: ",
        "pocket.corner.mouth",
        "Not measured, so pool-9ft's: ",
        "Assumed: two readings in three within rule ±1mm",
    ] {
        assert!(text.contains(words), "{words} missing in {text}");
    }
    assert_eq!(text, measure(folder.path(), &[]), "the same seed");
    let shot = [
        "--cut",
        "0deg",
        "--cue-to-object",
        "3ft",
        "--to-pocket",
        "4ft",
    ];
    let one = measure(folder.path(), &shot);
    assert_eq!(one.matches("against pool-9ft").count(), 1, "{one}");
}

#[test]
fn the_numbers_hang_together() {
    let folder = tempfile::tempdir().unwrap();
    let answer = json(folder.path(), &["--level", "strong"]);
    assert_eq!(answer["standard"], "pool-9ft");
    assert_eq!(answer["player"], "strong player, assumed");
    let shots = answer["shots"].as_array().unwrap();
    assert_eq!(shots.len(), 3);
    let n = |value: &Value| value.as_f64().unwrap();
    for shot in shots {
        assert!(n(&shot["low"]) <= n(&shot["chance"]) && n(&shot["chance"]) <= n(&shot["high"]));
        let shares = shot["shares"].as_array().unwrap();
        let sum: f64 = shares.iter().map(|s| n(&s["share"])).sum();
        // shares of a variance; none where nothing measured touches the shot
        assert!((sum - 1.0).abs() < 1e-9 || sum.abs() < 1e-9, "{sum}");
        if !shot["repeat"].is_null() {
            assert_eq!(shot["repeat"]["quantity"], shares[0]["quantity"]);
        }
    }
    for value in answer["values"].as_array().unwrap() {
        assert!(n(&value["low"]) < n(&value["value"]) && n(&value["value"]) < n(&value["high"]));
    }
    // the standard table's chance is the one `shot` gives
    let first = &shots[0]["shot"];
    let mut command = thincut(folder.path());
    command.args(["shot", "--level", "strong", "--format", "json"]);
    for key in ["cut", "cue-to-object", "to-pocket", "kind"] {
        command.args([format!("--{key}"), first[key].as_str().unwrap().to_owned()]);
    }
    let (out, _) = output(&mut command, 0);
    let alone: Value = serde_json::from_str(&out).unwrap();
    let chance = n(&alone["chance"]);
    assert!((chance - n(&shots[0]["standard"])).abs() < 1e-12, "{alone}");
}

#[test]
fn more_readings_narrow_the_interval() {
    let folder = tempfile::tempdir().unwrap();
    let width = |answer: &Value| {
        let shot = &answer["shots"][0];
        shot["high"].as_f64().unwrap() - shot["low"].as_f64().unwrap()
    };
    let shot = [
        "--cut",
        "half-ball",
        "--cue-to-object",
        "2ft",
        "--to-pocket",
        "3ft",
    ];
    let once = json(folder.path(), &shot);
    let repeat = &once["shots"][0]["repeat"];
    let option = format!("--{}", repeat["quantity"].as_str().unwrap());
    assert_eq!(option, "--corner-throat", "{repeat}");
    // three more like the one there is
    let again: Vec<&str> = shot
        .into_iter()
        .chain(["--corner-throat", "103.5mm, 103.5mm, 103.5mm"])
        .collect();
    let twice = json(folder.path(), &again);
    let left = width(&twice) / width(&once);
    let said = repeat["width_left"].as_f64().unwrap();
    // drawn ends of 1000 draws are good to some 5 % of the width
    assert!((left - said).abs() < 0.1, "{left} {said}");
}

#[test]
fn the_file_says_what_was_measured_and_works_everywhere() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path();
    let out = measure(path, &["--out", "hall.toml"]);
    assert!(out.ends_with("hall.toml: use it anywhere with --table hall.toml\n"));
    let text = fs::read_to_string(path.join("hall.toml")).unwrap();
    assert!(
        text.starts_with("name = \"hall\"\nnote = \"Measured on 2025-11-25;"),
        "{text}"
    );
    for words in [
        "# measured: 2025-11-25, corner mouth (3 readings), ±1.1 mm (95 in 100)",
        "# preset pool-9ft: published: WPA",
    ] {
        assert!(text.contains(words), "{words} missing in {text}");
    }
    let answer = json(path, &[]);
    let file = path.join("hall.toml").display().to_string();
    let loaded = LoadedGear::load(&file, &[]).unwrap();
    // each value measured is the file's, each other one the preset's
    let preset = LoadedGear::load("pool-9ft", &[]).unwrap();
    let measured = answer["values"].as_array().unwrap();
    for (row, standard) in loaded.rows.iter().zip(&preset.rows) {
        match measured.iter().find(|v| v["key"] == row.key) {
            Some(value) => assert_eq!(value["text"], row.value.as_str()),
            None => assert_eq!(row.value, standard.value),
        }
        assert_eq!(row.origin, Origin::File(path.join("hall.toml")));
    }
    assert_eq!(measured.len(), 7);
    for line in [
        "table check hall.toml",
        "shot --table hall.toml --cut half-ball --cue-to-object 2ft --to-pocket 3ft",
        "table pockets --table hall.toml",
        "table compare --table pool-9ft --table hall.toml",
        "table measure --table hall.toml --side-mouth 128mm",
    ] {
        let (out, err) = output(thincut(path).args(line.split(' ')), 0);
        assert!(!out.is_empty() && err.is_empty(), "{line}: {err}");
    }
    // a file that is there stays unless forced, to the byte
    let mut command = thincut(path);
    command.args([
        "table",
        "measure",
        "--corner-mouth",
        "120mm",
        "--out",
        "hall.toml",
    ]);
    let (out, err) = output(&mut command, 2);
    assert!(out.is_empty() && err.contains("--force"), "{err}");
    assert_eq!(fs::read_to_string(path.join("hall.toml")).unwrap(), text);
    output(command.arg("--force"), 0);
    assert_ne!(fs::read_to_string(path.join("hall.toml")).unwrap(), text);
}

#[test]
fn a_form_is_printed_filled_in_and_read() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path();
    let (form, err) = output(thincut(path).args(["table", "measure", "--form"]), 0);
    assert!(err.is_empty());
    // on paper: no line longer than a page, every field with its words
    for line in form.lines() {
        assert!(!line.contains("\"\"") || line.contains("# "), "{line}");
    }
    fs::write(path.join("empty.toml"), &form).unwrap();
    let (_, err) = output(thincut(path).args(["table", "measure", "empty.toml"]), 2);
    assert!(err.contains("nothing is measured yet"), "{err}");
    let fill = |form: &str, section: &str, key: &str, value: &str| {
        let (before, rest) = form.split_once(&format!("[{section}]")).unwrap();
        let empty = format!("\n{key} = \"\"");
        assert!(rest.contains(&empty), "{section} {key}");
        let rest = rest.replacen(&empty, &format!("\n{key} = \"{value}\""), 1);
        format!("{before}[{section}]{rest}")
    };
    let mut filled = form
        .replacen("date = \"\"", "date = \"2025-11-25\"", 1)
        .replacen("base = \"\"", "base = \"pool-9ft\"", 1);
    for (section, key, value) in [
        ("corner", "mouth", "113.5mm, 114mm; 4.5in"),
        ("corner", "throat", "103.5mm"),
        ("corner", "shelf", "41mm"),
        ("ball", "diameter", "57.1mm"),
        ("strokes", "roll-out", "3.2m in 8.1s, 3.1m 7.9s"),
        ("strokes", "roll-lengths", "4.2lengths 8.9s"),
    ] {
        filled = fill(&filled, section, key, value);
    }
    fs::write(path.join("filled.toml"), &filled).unwrap();
    let (from_form, _) = output(thincut(path).args(["table", "measure", "filled.toml"]), 0);
    assert_eq!(
        from_form,
        measure(path, &[]),
        "the form says what options say"
    );
    // lists, and options on top of a form
    let listed = filled.replacen(
        "mouth = \"113.5mm, 114mm; 4.5in\"",
        "mouth = [\"113.5mm\", \"114mm\", \"4.5in\"]",
        1,
    );
    fs::write(path.join("listed.toml"), listed).unwrap();
    let (from_list, _) = output(thincut(path).args(["table", "measure", "listed.toml"]), 0);
    assert_eq!(from_list, from_form);
    let mut more = thincut(path);
    more.args(["table", "measure", "filled.toml", "--side-mouth", "128mm"]);
    assert!(output(&mut more, 0).0.contains("pocket.side.mouth"));
}

#[test]
fn instruments_said_to_be_better_narrow_the_interval() {
    let folder = tempfile::tempdir().unwrap();
    let mouth = |answer: &Value| {
        let values = answer["values"].as_array().unwrap();
        let own = values
            .iter()
            .find(|v| v["key"] == "pocket.corner.mouth")
            .unwrap();
        own["high"].as_f64().unwrap() - own["low"].as_f64().unwrap()
    };
    let (usual, better) = (
        json(folder.path(), &[]),
        json(folder.path(), &["--good-to", "rule=0.5mm"]),
    );
    assert!((mouth(&better) / mouth(&usual) - 0.5).abs() < 1e-9);
}

#[test]
fn what_set_changes_stands_in_every_output() {
    let folder = tempfile::tempdir().unwrap();
    let set = [
        "--set",
        "pocket.corner.mouth=4.25in",
        "--set",
        "ball.contact.friction_scale=1.3",
    ];
    let name = "pool-9ft, changed: corner.mouth 4.25 in, contact.friction_scale 1.3";
    for line in [
        "shot --cut 30deg --cue-to-object 2ft --to-pocket 2ft --format json",
        "shot --cut 30deg --cue-to-object 2ft --to-pocket 2ft --format csv",
        "table pockets --format csv",
        "table show",
        "chart pocket --out picture.svg",
    ] {
        let (out, _) = output(thincut(folder.path()).args(line.split(' ')).args(set), 0);
        let svg = fs::read_to_string(folder.path().join("picture.svg")).unwrap_or_default();
        // a picture says it as people do, and breaks its lines at spaces
        let drawn = svg.contains("with corners 4¼ in and contact friction scale 1.3");
        assert!(out.contains(name) || drawn, "{line}: {out}");
    }
    // a name of its own needs no list, and a value set to what it was is no change
    let (own, _) = output(
        thincut(folder.path())
            .args(["table", "show"])
            .args(set)
            .args(["--set", "name=hall"]),
        0,
    );
    assert!(own.starts_with("name = \"hall\"\n"), "{own}");
    let (same, _) = output(
        thincut(folder.path()).args(["table", "show", "--set", "cushion.restitution=0.85"]),
        0,
    );
    assert!(same.starts_with("name = \"pool-9ft\"\n"), "{same}");
}
