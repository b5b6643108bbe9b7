//! `thincut table pockets` and `thincut survey`: rows, files, nothing half done.

use std::fs;
use std::path::Path;

use serde_json::Value;

use super::{folder, json, output, run, thincut};

#[test]
fn pocket_by_approach() {
    let (text, _) = run("table pockets", 0);
    assert!(
        text.contains("corner pocket") && text.contains("side pocket"),
        "{text}"
    );
    assert_eq!(text.matches("clean").count(), 7, "{text}");
    let answer = json("table pockets --kind corner --approaches=-45deg..45deg/15deg --pace 2m/s");
    let rows = answer["rows"].as_array().unwrap();
    assert_eq!(rows.len(), 7);
    let size = |row: &Value| row["clean"]["effective_pocket_mm"].as_f64().unwrap();
    for k in 0..3 {
        // mirror images, printed in full
        assert!((size(&rows[k]) - size(&rows[6 - k])).abs() < 1e-5);
    }
    let line =
        "table pockets --kind side --approaches=0deg,85deg --distance 2m --pace 1m/s --format csv";
    let (csv, _) = run(line, 0);
    let header = csv.lines().next().unwrap();
    assert!(header.starts_with("gear,kind,pace_m_s,distance_mm,approach_deg,status,how"));
    assert!(
        csv.contains(",clean,") && csv.contains(",no-drop,"),
        "{csv}"
    );
    let rail = json("table pockets --kind corner --approaches=60deg");
    assert_eq!(rail["rows"][0]["status"], "in-the-rail");
    assert!(rail["rows"][0]["clean"].is_null());
}

const COLUMNS: &str = "gear,kind,approach_deg,pace_m_s,roll,cut_deg,apart_mm,to_pocket_mm,\
cue_travel_mm,cue_speed_m_s,throw_deg,clean_thick_deg,clean_thin_deg,clean_total_deg,\
clean_ghost_mm,direct_total_deg,direct_ghost_mm,drop_thick_deg,drop_thin_deg,drop_total_deg,\
drop_ghost_mm,share_of_straight,status";

const SMALL: &str = "survey --cut 0deg,30deg --cue-to-object 2ft,4ft --to-pocket 2ft";

/// Names and contents, so that "clean" can be checked to the byte.
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
            "shot --cut {}deg --cue-to-object {}mm --to-pocket {}mm",
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
    let line = "survey --cut 0deg,80deg --cue-to-object 2ft --to-pocket 1ft,6ft --pace 0.004m/s";
    output(thincut(folder.path()).args(line.split(' ')), 0);
    let table = fs::read_to_string(folder.path().join("survey/survey-pool-9ft.csv")).unwrap();
    for row in table.lines().skip(1) {
        assert!(row.ends_with(",,,,,,,,,,,,,,,no-drop"), "{row}");
    }
    let line = "survey --cut 75deg --cue-to-object 2ft --to-pocket 3ft --pace 4m/s --force";
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
    let other = "survey --cut 10deg --cue-to-object 1ft --to-pocket 1ft";
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
    for (place, code, told) in [
        ("file/below", 2, "there is no folder file"),
        ("file", 1, "cannot write into file"),
    ] {
        let (said, err) = output(
            thincut(folder.path())
                .args(SMALL.split(' '))
                .args(["--out", place]),
            code,
        );
        assert!(said.is_empty());
        assert!(err.starts_with(&format!("error: {told}")), "{err}");
        assert!(err.contains("choose a"), "{err}");
    }
    assert_eq!(files(folder.path()).len(), 1);
}

#[test]
fn survey_with_a_bad_value_writes_nothing() {
    let folder = folder();
    for bad in [
        ["--cue-to-object", "1in"],
        ["--pace", "0m/s"],
        ["--to-pocket", "99m"],
    ] {
        output(thincut(folder.path()).arg("survey").args(bad), 2);
        let left = folder.path().join("survey");
        assert!(!left.exists() || files(&left).is_empty(), "{bad:?}");
    }
}

/// A value no shot can have leaves nothing behind, not even the folder.
#[test]
fn a_bad_grid_leaves_no_folder() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = std::process::Command::new(env!("CARGO_BIN_EXE_thincut"))
        .args(["survey", "--cut", "95deg", "--out", "made"])
        .current_dir(folder.path())
        .output()
        .expect("it runs");
    assert_eq!(out.status.code(), Some(2));
    assert!(!folder.path().join("made").exists());
}

/// Rows that nobody can set up or play are marked, and no sentence speaks of them.
#[test]
fn what_cannot_be_played_is_marked_and_not_told() {
    let folder = super::folder();
    let (text, _) = super::output(super::thincut(folder.path()).arg("survey"), 0);
    let table = std::fs::read_to_string(folder.path().join("survey/survey-pool-9ft.csv"))
        .expect("the table");
    let count = |status: &str| table.lines().filter(|l| l.ends_with(status)).count();
    assert_eq!(table.lines().count(), 511);
    assert_eq!(count(",off-table"), 211);
    assert!(count(",ok") > 200, "{}", count(",ok"));
    // The longest straight shot on nine feet is no 13 feet.
    assert!(!text.contains("8 ft between the balls and 5 ft"), "{text}");
}
