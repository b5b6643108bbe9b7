//! `thincut shot`, `pocket` and `survey` through the program itself: answers, typed outcomes,
//! errors, files.

#![expect(
    clippy::unwrap_used,
    reason = "a helper of a test that cannot go on fails the test"
)]

use std::fs;
use std::path::Path;
use std::process::Stdio;

use assert_cmd::Command;
use assert_cmd::cargo::cargo_bin_cmd;
use serde_json::Value;
use tempfile::TempDir;

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

fn folder() -> TempDir {
    tempfile::tempdir().unwrap()
}

/// Standard output and standard error of a run that must end with `code`.
#[track_caller]
fn output(command: &mut Command, code: i32) -> (String, String) {
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

const ABSTRACT: &str = "shot --cut 30deg --apart 4ft --to-pocket 3ft";
const ON_TABLE: &str = "shot --cue 3,1 --object 5,2.4 --pocket foot-left";

// ---- shot ------------------------------------------------------------------------------------

const FIELDS: [&str; 26] = [
    "gear",
    "pocket",
    "kind",
    "pace_m_s",
    "roll",
    "side",
    "approach_deg",
    "cut_deg",
    "cut_side",
    "apart_mm",
    "cue_travel_mm",
    "object_to_mouth_mm",
    "centre_pocket_line_deg",
    "target_offset_deg",
    "aim_deg",
    "centre_pocket_aim_deg",
    "throw_deg",
    "cue_speed_m_s",
    "object_speed_m_s",
    "ghost_ball_mm",
    "flags",
    "clean",
    "direct",
    "drop",
    "pieces",
    "why",
];
const WINDOW_FIELDS: [&str; 12] = [
    "thick_deg",
    "thin_deg",
    "total_deg",
    "thick_ghost_mm",
    "thin_ghost_mm",
    "thick_contact_mm",
    "thin_contact_mm",
    "thick_tip_mm",
    "thin_tip_mm",
    "from_deg",
    "to_deg",
    "effective_pocket_mm",
];
const WHY_FIELDS: [&str; 5] = [
    "pocket_opening_deg",
    "distance_factor",
    "cut_factor",
    "throw_factor",
    "first_order_deg",
];
const PIECE_FIELDS: [&str; 5] = ["from_deg", "to_deg", "how", "aim_from_deg", "aim_to_deg"];

#[track_caller]
fn has_fields(value: &Value, fields: &[&str]) {
    for field in fields {
        assert!(value.get(field).is_some(), "{field} missing in {value}");
    }
}

#[test]
fn json_of_a_shot_has_every_field_both_ways() {
    for line in [ABSTRACT, ON_TABLE] {
        let shot = json(&format!("{line} --band"));
        has_fields(&shot, &FIELDS);
        for part in ["clean", "direct", "drop"] {
            has_fields(&shot[part], &WINDOW_FIELDS);
            has_fields(&shot["band"][part], &["low_deg", "high_deg"]);
        }
        has_fields(&shot["why"], &WHY_FIELDS);
        for piece in shot["pieces"].as_array().unwrap() {
            has_fields(piece, &PIECE_FIELDS);
            let how = piece["how"].as_str().unwrap();
            assert!(["clean", "jaw", "rail"].contains(&how));
        }
        assert_eq!(shot["ghost_ball_mm"].as_array().unwrap().len(), 2);
        assert_eq!(shot["flags"], Value::Array(Vec::new()));
        assert!(json(line).get("band").is_none(), "only with --band");
    }
    assert_eq!(json(ABSTRACT)["pocket"], Value::Null);
    assert_eq!(json(ON_TABLE)["pocket"], "foot-left");
}

/// Numbers in JSON are full doubles; lengths in mm lose the last digits to the unit.
const DIGITS: f64 = 1e-9;

#[test]
fn numbers_of_a_shot_agree_with_each_other() {
    let shot = json(ABSTRACT);
    let n = |path: &str| shot.pointer(path).unwrap().as_f64().unwrap();
    let near = |a: f64, b: f64| assert!((a - b).abs() < DIGITS * b.abs().max(1.0), "{a} {b}");
    near(n("/cut_deg"), 30.0);
    near(n("/apart_mm"), 4.0 * 304.8);
    near(n("/object_to_mouth_mm"), 3.0 * 304.8);
    let clean = |field: &str| n(&format!("/clean/{field}"));
    near(clean("thick_deg") + clean("thin_deg"), clean("total_deg"));
    // ghost ball: t_c tan δ; tip: bridge · tan δ, ten inches by default
    let tan = clean("thick_deg").to_radians().tan();
    near(clean("thick_ghost_mm"), n("/cue_travel_mm") * tan);
    near(clean("thick_tip_mm"), 254.0 * tan);
    let span = clean("to_deg").to_radians().tan() - clean("from_deg").to_radians().tan();
    near(
        clean("effective_pocket_mm"),
        n("/object_to_mouth_mm") * span,
    );
    let why = |field: &str| n(&format!("/why/{field}"));
    near(
        why("pocket_opening_deg")
            * why("distance_factor")
            * why("cut_factor")
            * why("throw_factor"),
        why("first_order_deg"),
    );
}

#[test]
fn a_mirrored_shot_on_the_table_reads_the_same() {
    let left = json("shot --cue 3,1 --object 5,2.4 --pocket foot-left");
    let right = json("shot --cue 3,3 --object 5,1.6 --pocket foot-right");
    for field in ["thick_deg", "thin_deg", "thick_ghost_mm"] {
        let (a, b) = (&left["clean"][field], &right["clean"][field]);
        assert!(
            (a.as_f64().unwrap() - b.as_f64().unwrap()).abs() < 1e-6,
            "{a} {b}"
        );
    }
    assert_ne!(left["cut_side"], right["cut_side"]);
}

#[test]
fn csv_of_a_shot_keeps_its_columns_without_a_window() {
    let header = |line: &str| {
        let (out, _) = run(&format!("{line} --format csv"), 0);
        let lines: Vec<&str> = out.lines().collect();
        assert_eq!(lines.len(), 2, "{out}");
        assert_eq!(lines[0].matches(',').count(), lines[1].matches(',').count());
        lines[0].to_owned()
    };
    let full = header(ABSTRACT);
    assert!(full.contains("clean_thick_deg") && full.contains("ghost_ball_x_mm"));
    let nothing = header(&format!("{ABSTRACT} --pace 0.004m/s"));
    assert_eq!(full, nothing);
}

/// Line, flag, words of the text, and whether there is a window all the same.
const OUTCOMES: [(&str, &str, &str, bool); 8] = [
    (
        "shot --cut 30deg --apart 4ft --to-pocket 3ft --pace 0.004m/s",
        "no-drop",
        "Does not drop",
        false,
    ),
    (
        "shot --cue 3,1 --object 7.98,3.96 --pocket foot-left",
        "in-the-jaws",
        "hangs in the jaws",
        false,
    ),
    (
        "shot --cue 7,3 --object 5,2 --pocket foot-left",
        "out-of-reach",
        "Out of reach",
        false,
    ),
    (
        "shot --cut 89.5deg --apart 1ft --to-pocket 1ft --pace 0.3m/s",
        "out-of-reach",
        "Goes in untouched",
        true,
    ),
    (
        "shot --cut 0deg --apart 60mm --to-pocket 3ft --hit stun --pace 0.3m/s",
        "too-close",
        "Too close",
        false,
    ),
    (
        "shot --cut 89deg --apart 2ft --to-pocket 1ft --pace 0.3m/s",
        "truncated",
        "Goes in untouched",
        true,
    ),
    (
        "shot --cut 75deg --apart 3ft --to-pocket 3ft --pace 3m/s",
        "too-fast",
        "faster than anyone controls",
        true,
    ),
    (
        "shot --cut 10deg --apart 1m --to-pocket 1m --kind side --approach 68deg --pace 0.5m/s",
        "no-clean-part",
        "Never untouched",
        true,
    ),
];

/// Every typed outcome: an answer with exit code 0, its flag, words of its own and nulls.
#[test]
fn outcomes_of_a_shot_are_answers() {
    for (line, flag, words, has_window) in OUTCOMES {
        let answer = json(line);
        has_fields(&answer, &FIELDS);
        let flags = answer["flags"].as_array().unwrap();
        assert!(flags.iter().any(|f| f == flag), "{line}: {flags:?}");
        for field in [
            "aim_deg",
            "throw_deg",
            "cut_deg",
            "drop",
            "ghost_ball_mm",
            "why",
        ] {
            assert_eq!(!answer[field].is_null(), has_window, "{line}: {field}");
        }
        if flag == "no-clean-part" {
            assert!(answer["clean"].is_null() && !answer["drop"].is_null());
        }
        let (text, err) = run(line, 0);
        assert!(text.contains(words) && err.is_empty(), "{line}: {text}");
    }
}

#[test]
fn text_of_a_shot_is_six_lines_untouched_first() {
    for line in [
        ABSTRACT.to_owned(),
        ON_TABLE.to_owned(),
        format!("{ABSTRACT} --units inches"),
        format!("{ABSTRACT} --hit stun --side 0.3 --gear snooker-12ft"),
    ] {
        let (text, err) = run(&line, 0);
        assert!(err.is_empty(), "{err}");
        assert!(text.lines().count() <= 6, "{text}");
        assert!(text.starts_with("Goes in untouched with about "), "{text}");
        // people read "table"
        assert!(!text.contains(" bed"), "{text}");
    }
    let (inches, _) = run(&format!("{ABSTRACT} --units inches"), 0);
    assert!(inches.contains(" in each side"), "{inches}");
    let (why, _) = run(&format!("{ABSTRACT} --why --band"), 0);
    assert!(
        why.contains("pocket opening") && why.contains("off the jaws"),
        "{why}"
    );
}

// ---- errors ----------------------------------------------------------------------------------

/// Line, and what its message must name: the flag, the value, what would work.
const BAD: [(&str, &[&str]); 26] = [
    (
        "shot --cut 30 --apart 4ft --to-pocket 3ft",
        &["--cut", "\"30\"", "30deg"],
    ),
    (
        "shot --cut 30deg --apart 4 --to-pocket 3ft",
        &["--apart", "\"4\"", "4in"],
    ),
    (
        "shot --cut 30deg --apart 4ft --to-pocket 3",
        &["--to-pocket", "\"3\"", "3in"],
    ),
    (
        "shot --cut 30deg --apart 4ft --to-pocket 3ft --pace 1",
        &["--pace", "\"1\"", "1m/s"],
    ),
    (
        "shot --cut 30deg --apart 4ft --to-pocket 3ft --bridge 10",
        &["--bridge", "10in"],
    ),
    (
        "shot --cut 30deg --apart 4ft --to-pocket 3ft --approach 5",
        &["--approach", "5deg"],
    ),
    (
        "shot --cut 95deg --apart 4ft --to-pocket 3ft",
        &["--cut", "95", "below 90deg"],
    ),
    (
        "shot --cut 30deg --apart 4ft --to-pocket 0m",
        &["--to-pocket", "0", "above 0"],
    ),
    (
        "shot --cut 30deg --apart 4ft --to-pocket 3ft --pace -1m/s",
        &["--pace", "-1", "above 0"],
    ),
    (
        "shot --cut 30deg --apart 4ft --to-pocket 3ft --roll 9",
        &["--roll", "9", "from -2 to 2"],
    ),
    (
        "shot --cut 30deg --apart 4ft --to-pocket 3ft --side x",
        &["--side", "\"x\"", "0.85"],
    ),
    (
        "shot --cut 30deg --apart 2in --to-pocket 3ft",
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
    ("shot --cut 30deg --apart 4ft", &["--to-pocket", "missing"]),
    ("shot", &["missing", "--cue", "--cut"]),
    (
        "shot --cut 30deg --apart 4ft --to-pocket 3ft --roll 1 --hit stun",
        &["--roll", "--hit"],
    ),
    (
        "shot --cut 30deg --apart 4ft --to-pocket 3ft --gear pool-9f",
        &["pool-9f", "pool-9ft?"],
    ),
    (
        "shot --cut 30deg --apart 4ft --to-pocket 3ft --set pocket.corner.mouth=2in",
        &["pocket.corner.mouth", "2in", "more than 2.25in"],
    ),
    ("pocket --distance 0m", &["--distance", "0m", "above 0"]),
    (
        "pocket --approaches=95deg",
        &["--approaches", "95deg", "90deg"],
    ),
    (
        "pocket --approaches=10deg..5deg/1deg",
        &["--approaches", "10deg..5deg/1deg", "range"],
    ),
    ("survey --cuts 0", &["--cuts", "\"0\"", "0deg"]),
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

// ---- pocket ----------------------------------------------------------------------------------

#[test]
fn pocket_by_approach() {
    let (text, _) = run("pocket", 0);
    assert!(
        text.contains("corner pocket") && text.contains("side pocket"),
        "{text}"
    );
    assert_eq!(text.matches("untouched").count(), 7, "{text}");
    let answer = json("pocket --kind corner --approaches=-45deg..45deg/15deg --pace 2m/s");
    let rows = answer["rows"].as_array().unwrap();
    assert_eq!(rows.len(), 7);
    let size = |row: &Value| row["clean"]["effective_pocket_mm"].as_f64().unwrap();
    for k in 0..3 {
        // mirror images, printed in full
        assert!((size(&rows[k]) - size(&rows[6 - k])).abs() < 1e-5);
    }
    let line = "pocket --kind side --approaches=0deg,85deg --distance 2m --pace 1m/s --format csv";
    let (csv, _) = run(line, 0);
    let header = csv.lines().next().unwrap();
    assert!(header.starts_with("gear,kind,pace_m_s,distance_mm,approach_deg,status,how"));
    assert!(
        csv.contains(",clean,") && csv.contains(",no-drop,"),
        "{csv}"
    );
    let rail = json("pocket --kind corner --approaches=60deg");
    assert_eq!(rail["rows"][0]["status"], "in-the-rail");
    assert!(rail["rows"][0]["clean"].is_null());
}

// ---- survey ----------------------------------------------------------------------------------

const COLUMNS: &str = "gear,kind,approach_deg,pace_m_s,roll,cut_deg,apart_mm,to_pocket_mm,\
cue_travel_mm,cue_speed_m_s,throw_deg,clean_thick_deg,clean_thin_deg,clean_total_deg,\
clean_ghost_mm,direct_total_deg,direct_ghost_mm,drop_thick_deg,drop_thin_deg,drop_total_deg,\
drop_ghost_mm,share_of_straight,status";

const SMALL: &str = "survey --cuts 0deg,30deg --aparts 2ft,4ft --to-pockets 2ft";

/// Names and contents, so that "untouched" can be checked to the byte.
fn files(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let mut files: Vec<(String, Vec<u8>)> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .map(|path| {
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            (name, fs::read(&path).unwrap())
        })
        .collect();
    files.sort();
    files
}

#[test]
fn survey_writes_its_columns() {
    let folder = folder();
    let (said, err) = output(thincut(folder.path()).args(SMALL.split(' ')), 0);
    assert!(err.is_empty(), "no progress bar without a terminal: {err}");
    assert!(said.contains("survey-pool-9ft.csv"), "{said}");
    let table = fs::read_to_string(folder.path().join("survey/survey-pool-9ft.csv")).unwrap();
    assert_eq!(table.lines().next(), Some(COLUMNS));
    assert_eq!(table.lines().count(), 1 + 4);
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let header = reader.headers().unwrap().clone();
    for record in reader.records() {
        let record = record.unwrap();
        let field = |name: &str| {
            let at = header.iter().position(|h| h == name).unwrap();
            record[at].to_owned()
        };
        assert_eq!(field("status"), "ok");
        if field("cut_deg") == "0" {
            assert_eq!(field("share_of_straight"), "1");
        }
        // the table agrees with the shot asked by itself
        let shot = json(&format!(
            "shot --cut {}deg --apart {}mm --to-pocket {}mm",
            field("cut_deg"),
            field("apart_mm"),
            field("to_pocket_mm")
        ));
        let alone = shot["clean"]["total_deg"].as_f64().unwrap();
        let told: f64 = field("clean_total_deg").parse().unwrap();
        // six decimals in the table
        assert!((alone - told).abs() < 1e-6, "{alone} {told}");
    }
}

#[test]
fn survey_statuses_leave_numbers_empty() {
    let folder = folder();
    let line = "survey --cuts 0deg,80deg --aparts 2ft --to-pockets 1ft,6ft --pace 0.004m/s";
    output(thincut(folder.path()).args(line.split(' ')), 0);
    let table = fs::read_to_string(folder.path().join("survey/survey-pool-9ft.csv")).unwrap();
    for row in table.lines().skip(1) {
        assert!(row.ends_with(",,,,,,,,,,,,,,,no-drop"), "{row}");
    }
    let line = "survey --cuts 75deg --aparts 2ft --to-pockets 3ft --pace 4m/s --force";
    output(thincut(folder.path()).args(line.split(' ')), 0);
    let table = fs::read_to_string(folder.path().join("survey/survey-pool-9ft.csv")).unwrap();
    assert!(table.trim_end().ends_with(",too-fast"), "{table}");
}

#[test]
fn survey_replaces_only_when_forced() {
    let folder = folder();
    let out = folder.path().join("survey");
    output(thincut(folder.path()).args(SMALL.split(' ')), 0);
    let before = files(&out);
    let other = "survey --cuts 10deg --aparts 1ft --to-pockets 1ft";
    let (said, err) = output(thincut(folder.path()).args(other.split(' ')), 2);
    assert!(said.is_empty());
    assert!(
        err.contains("survey-pool-9ft") && err.contains("--force"),
        "{err}"
    );
    assert_eq!(files(&out), before);
    output(
        thincut(folder.path()).args(other.split(' ')).arg("--force"),
        0,
    );
    assert_ne!(files(&out), before);
    let names = |files: &[(String, Vec<u8>)]| files.iter().map(|f| f.0.clone()).collect::<Vec<_>>();
    assert_eq!(names(&files(&out)), names(&before), "nothing left over");
}

#[test]
fn survey_that_cannot_write_says_so() {
    let folder = folder();
    fs::write(folder.path().join("file"), "a file, no folder").unwrap();
    for place in ["file/below", "file"] {
        let (said, err) = output(
            thincut(folder.path())
                .args(SMALL.split(' '))
                .args(["--out", place]),
            1,
        );
        assert!(said.is_empty());
        assert!(err.starts_with("error: cannot write into file"), "{err}");
        assert!(err.contains("choose a folder you may write to"), "{err}");
    }
    assert_eq!(files(folder.path()).len(), 1);
}

#[test]
fn survey_with_a_bad_value_writes_nothing() {
    let folder = folder();
    for bad in [
        ["--aparts", "1in"],
        ["--pace", "0m/s"],
        ["--to-pockets", "99m"],
    ] {
        output(thincut(folder.path()).arg("survey").args(bad), 2);
        let left = folder.path().join("survey");
        assert!(!left.exists() || files(&left).is_empty(), "{bad:?}");
    }
}

// ---- the program -----------------------------------------------------------------------------

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
        "pocket",
        "survey",
        "gear list",
        "gear show",
        "gear check",
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
        "pocket",
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
        "pocket --approaches=-44deg..44deg/0.1deg --format csv",
        "pocket --approaches=-44deg..44deg/0.1deg --format json",
        "gear show",
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
    assert!(text.contains(" in each side"), "{text}");
    let (text, _) = output(
        thincut(path)
            .env("THINCUT_UNITS", "metric")
            .args(ABSTRACT.split(' ')),
        0,
    );
    assert!(text.contains(" mm each side"), "{text}");
    let environment = ("THINCUT_GEAR", "snooker-12ft");
    assert_eq!(
        gear(thincut(path).env(environment.0, environment.1)),
        "snooker-12ft"
    );
    let mut flag = thincut(path);
    flag.env(environment.0, environment.1);
    let (out, _) = output(flag.args(&line).args(["--gear", "smallball-7ft"]), 0);
    assert!(out.contains("\"smallball-7ft\""), "{out}");
}

/// A value no shot can have leaves nothing behind, not even the folder.
#[test]
fn a_bad_grid_leaves_no_folder() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = std::process::Command::new(env!("CARGO_BIN_EXE_thincut"))
        .args(["survey", "--cuts", "95deg", "--out", "made"])
        .current_dir(folder.path())
        .output()
        .expect("it runs");
    assert_eq!(out.status.code(), Some(2));
    assert!(!folder.path().join("made").exists());
}
