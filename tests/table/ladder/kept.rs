//! Players from the practice log, codes on paper, tallies and score sheets back into the log:
//! through the program itself, on the invented evening class.

use std::path::PathBuf;

use serde_json::Value;
use tempfile::TempDir;
use thincut::log::code::{ALPHABET, read_code};

use crate::program::{ran, with_log};

/// A folder with the log of the invented evening class.
struct Evening {
    folder: TempDir,
}

impl Evening {
    fn new() -> Self {
        let evening = Self {
            folder: tempfile::tempdir().expect("a folder"),
        };
        evening.good(&["log", "demo"]);
        evening
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn run(&self, args: &[&str]) -> (i32, String, String) {
        ran(with_log(self.folder.path()).args(args))
    }

    fn good(&self, args: &[&str]) -> String {
        let (code, out, err) = self.run(args);
        assert_eq!((code, err.as_str()), (0, ""), "{args:?}");
        out
    }

    fn json(&self, args: &[&str]) -> Value {
        let args = [args, &["--format", "json"]].concat();
        serde_json::from_str(&self.good(&args)).expect("JSON")
    }

    fn refused(&self, args: &[&str]) -> String {
        let before = self.good(&["log", "list", "--format", "csv"]);
        let (code, out, err) = self.run(args);
        assert_eq!((code, out.as_str()), (2, ""), "{args:?} {err}");
        assert_eq!(before, self.good(&["log", "list", "--format", "csv"]));
        err
    }

    fn rows(&self) -> Vec<Value> {
        let list = self.json(&["log", "list"]);
        let rows = list.as_array().or_else(|| list["attempts"].as_array());
        rows.expect("rows").clone()
    }
}

const SHORT: [&str; 6] = ["--rungs", "3", "--from", "8", "--to", "5"];

fn with<'a>(parts: &[&[&'a str]]) -> Vec<&'a str> {
    parts.concat()
}

#[test]
fn every_sheet_has_a_code_that_takes_no_slip() {
    let evening = Evening::new();
    let ladder = with(&[&["ladder", "--student", "K"], &SHORT]);
    let marks = ["ladder", "marks", "--students", "K,L,M,N", "--chance", "6"];
    for sheet in [&ladder[..], &marks] {
        let unkept = [sheet, &["--no-keep"]].concat();
        let code = evening.json(&unkept)["code"]
            .as_str()
            .expect("a code")
            .to_owned();
        assert_eq!(read_code(&code).as_deref(), Ok(code.as_str()));
        assert!(evening.good(&unkept).contains(&format!("Code {code}")));
        // what nobody kept is not known
        let err = evening.refused(&["log", "enter", &code, "K 6/10"]);
        assert!(err.contains("without --keep"), "{err}");
        // where there is a log it is kept without a word
        let said = evening.good(sheet);
        assert!(
            said.contains(&format!("thincut log enter {code}")),
            "{said}"
        );
        let kept = evening.json(&[sheet, &["--keep"]].concat());
        assert_eq!(kept["code"], code.as_str());
        // last, since a ladder follows what its student made
        evening.good(&[
            "log",
            "enter",
            &code,
            if sheet.contains(&"marks") {
                "K 6/10"
            } else {
                "1: K 6/10"
            },
        ]);
        let chars: Vec<char> = code.chars().collect();
        for k in 0..chars.len() {
            for other in ALPHABET.iter().map(|b| char::from(*b)) {
                let mut wrong = chars.clone();
                wrong[k] = other;
                let wrong: String = wrong.into_iter().collect();
                assert_eq!(read_code(&wrong).is_ok(), other == chars[k], "{wrong}");
            }
        }
        let slip = format!(
            "{}{}",
            &code[..code.len() - 1],
            if code.ends_with('2') { '3' } else { '2' }
        );
        let err = evening.refused(&["log", "enter", &slip, "K 6/10"]);
        assert!(err.contains(&slip) && err.contains("mistyped"), "{err}");
    }
    let csv = evening.good(&with(&[&ladder, &["--format", "csv"]]));
    let code = evening.json(&ladder)["code"]
        .as_str()
        .expect("a code")
        .to_owned();
    assert_eq!(csv.matches(&format!("{code} rung")).count(), 3, "{csv}");
}

/// A log that cannot be written costs nobody the sheet.
#[test]
fn a_sheet_is_printed_though_the_log_cannot_keep_it() {
    let evening = Evening::new();
    std::fs::write(evening.path("notes.txt"), "no log at all, but there").expect("a file");
    let notes = evening.path("notes.txt");
    let notes = notes.to_str().expect("a path");
    let ladder = with(&[&["ladder", "--level", "club", "--log", notes], &SHORT]);
    let (code, said, err) = evening.run(&ladder);
    assert_eq!(code, 0, "{err}");
    assert!(said.contains("the same command with --keep"), "{said}");
    assert!(err.starts_with("The sheet is not kept"), "{err}");
    let (code, out, err) = evening.run(&with(&[&ladder[..], &["--keep"]]));
    assert!(code != 0 && out.is_empty(), "{out} {err}");
    assert_eq!(
        std::fs::read_to_string(notes).expect("there"),
        "no log at all, but there"
    );
}

/// A kept lesson is no ladder: it does not take the place of the student's, its shots are called
/// shots, and a mark takes its own student's tries only.
#[test]
fn a_kept_lesson_is_no_ladder() {
    let evening = Evening::new();
    let ladder = with(&[&["ladder", "--student", "L"], &SHORT, &["--keep"]]);
    let ladder = evening.json(&ladder)["code"]
        .as_str()
        .expect("a code")
        .to_owned();
    evening.good(&["log", "enter", &ladder, "1: L 9/10"]);
    let new = [
        "lesson",
        "new",
        "--group",
        "K,L,M,N",
        "--topic",
        "thin-cuts",
        "--out",
        "l.toml",
    ];
    evening.good(&new);
    let said = evening.good(&["sheet", "lesson", "l.toml", "--keep", "--out", "l.pdf"]);
    let code = said.split("Code ").nth(1).expect("a code");
    let code = code.split(':').next().expect("a code").to_owned();
    let file = std::fs::read_to_string(evening.path("l.toml")).expect("there");
    let lesson: toml::Table = file.parse().expect("TOML");
    let parts = lesson["part"].as_array().expect("parts");
    let shots = parts
        .iter()
        .filter_map(|p| p.get("shot")?.as_array())
        .flatten();
    let whose: Vec<Option<&str>> = shots
        .map(|s| s.get("student").and_then(toml::Value::as_str))
        .collect();
    let of = |who: &str| 1 + whose.iter().position(|w| *w == Some(who)).expect("a mark");
    let err = evening.refused(&["log", "enter", &code, &format!("{}: K 6/13", of("M"))]);
    let told = format!("its shot {} is M's mark; K's is shot {}", of("M"), of("K"));
    assert!(err.contains(&told), "{err}");
    let said = evening.good(&["log", "enter", &code, &format!("{}: L 6/13", of("L"))]);
    assert!(
        said.contains(&format!("no. {}: L 6 of 13", of("L"))),
        "{said}"
    );
    let next = evening.good(&["ladder", "next", "--student", "L"]);
    assert!(next.contains(&format!("Ladder {ladder}")), "{next}");
    let err = evening.refused(&["ladder", "next", "--student", "L", "--code", &code]);
    assert!(err.contains("a lesson sheet"), "{err}");
    let err = evening.refused(&["sheet", "ladder", &code, "--out", "x.pdf"]);
    assert!(err.contains("thincut sheet lesson FILE"), "{err}");
    assert!(!evening.path("x.pdf").exists());
}

/// A kept ladder prints for whom it was drawn up, unless somebody else is named.
#[test]
fn a_kept_ladder_knows_its_player() {
    let evening = Evening::new();
    for who in [["--student", "L"], ["--level", "starting"]] {
        let ladder = with(&[&["ladder"], &who, &SHORT, &["--keep"]]);
        let code = evening.json(&ladder)["code"]
            .as_str()
            .expect("a code")
            .to_owned();
        let print = |more: &[&str], name: &str| {
            let args = [&["sheet", "ladder", &code, "--out", name], more].concat();
            evening.good(&args);
            std::fs::read(evening.path(name)).expect("there")
        };
        let (alone, named) = (print(&[], "a.pdf"), print(&who, "b.pdf"));
        assert!(alone == named, "{who:?}");
        assert!(print(&["--level", "expert"], "c.pdf") != alone, "{who:?}");
        for name in ["a.pdf", "b.pdf", "c.pdf"] {
            std::fs::remove_file(evening.path(name)).expect("gone");
        }
    }
}

#[test]
fn tallies_of_marks_and_ladders_go_in_and_out() {
    let evening = Evening::new();
    let marks = [
        "ladder",
        "marks",
        "--students",
        "K,L,M,N",
        "--chance",
        "6",
        "--keep",
    ];
    let sheet = evening.json(&marks);
    let code = sheet["code"].as_str().expect("a code");
    let before = evening.rows().len();
    let tally = "K 6/10, L 4/10 thin 3, N 5/10";
    let said = evening.good(&["log", "enter", code, tally]);
    assert!(said.contains("log undo"), "{said}");
    let rows = evening.rows();
    assert_eq!(rows.len(), before + 3);
    for (row, (student, made)) in rows[before..].iter().zip([("K", 6), ("L", 4), ("N", 5)]) {
        assert_eq!(
            (row["student"].as_str(), row["made"].as_u64()),
            (Some(student), Some(made))
        );
        assert_eq!(row["sheet"].as_str(), Some(code));
        let marks = sheet["marks"].as_array().expect("marks");
        let own = marks.iter().find(|m| m["student"] == *student);
        assert_eq!(row["cue"], own.expect("a mark")["cue"]);
        assert!(row["allowed"].is_string());
    }
    // a line that cannot be is shown back, with the place, and nothing of it goes in
    for (bad, says) in [
        ("K 6/10, L 14/10", "14 made of 10"),
        ("K 6/10, X 4/10", "X has no mark"),
        ("K 6/10, P 4/10", "P has no mark"),
        ("K 6/10, L 4/10 thin 7", "7 misses"),
        ("3: K 6/10", "marks, not rungs"),
    ] {
        let err = evening.refused(&["log", "enter", code, bad]);
        // Where the sheet stands in the way it is named; else the line is.
        let shown = err.contains(bad) || err.contains(&format!("sheet {code}"));
        assert!(err.contains(says) && shown, "{bad}: {err}");
    }
    evening.good(&["log", "undo"]);
    assert_eq!(evening.rows().len(), before);

    let ladder = with(&[&["ladder", "--student", "L", "--keep"], &SHORT]);
    let sheet = evening.json(&ladder);
    let code = sheet["code"].as_str().expect("a code");
    let err = evening.refused(&["log", "enter", code, "L 6/10"]);
    assert!(
        err.contains("3 shots") && err.contains("L 6 of 10"),
        "{err}"
    );
    let err = evening.refused(&["ladder", "next", "--student", "L"]);
    assert!(err.contains("no tries on a ladder"), "{err}");
    evening.good(&["log", "enter", code, "1: L 10/10; 2: L 5/10"]);
    let next = evening.good(&["ladder", "next", "--student", "L"]);
    assert!(next.starts_with("Rung 2 again (5 of 10"), "{next}");
    assert!(
        next.contains(code) && next.contains("student L, from"),
        "{next}"
    );
    let named = evening.good(&["ladder", "next", "--student", "L", "--code", code]);
    assert_eq!(named, next);
    evening.good(&["log", "undo"]);
    assert_eq!(evening.rows().len(), before);
}

/// The chance of a rung is what `thincut shot` says of it for the same student.
#[test]
fn a_student_of_the_log_climbs_a_ladder_of_their_own() {
    let evening = Evening::new();
    // F leans one way on left cuts and the other on right ones
    for (student, since) in [("K", Some("2025-11-04")), ("Q", None)] {
        // Both then count how the player stands.
        let mut who = vec!["--student", student, "--hand", "right"];
        who.extend(since.iter().flat_map(|s| ["--since", s]));
        let sheet = evening.json(&with(&[&["ladder"], &SHORT, &who]));
        assert!(
            sheet["player"]
                .as_str()
                .expect("a player")
                .contains(student)
        );
        assert_eq!(sheet["player_assumed"], false);
        for rung in sheet["rungs"].as_array().expect("rungs") {
            let place = |key: &str| rung[key].as_str().expect("a place").to_owned();
            let (cue, object, pocket) = (place("cue"), place("object"), place("pocket"));
            let shot = [
                "shot", "--cue", &cue, "--object", &object, "--pocket", &pocket,
            ];
            let shot = evening.json(&with(&[&shot, &who]));
            let said = shot["chance"].as_f64().map(|p| 10.0 * p);
            let own = 10.0 * rung["chance"].as_f64().expect("a chance");
            assert!(
                (said.expect("a chance") - own).abs() < 1e-6,
                "{said:?} {own}"
            );
        }
    }
    let both = ["ladder", "--student", "K", "--level", "club"];
    assert!(evening.refused(&both).contains("--level"));
    assert!(evening.refused(&["ladder", "--student", "Z"]).contains('Z'));
    // G came once, H made everything: nothing to go by, and that is said
    for (label, why) in [("R", "tries"), ("S", "went in")] {
        let err = evening.refused(&["ladder", "marks", "--students", &format!("K,{label}")]);
        let hint = format!("{label}=club");
        assert!(err.contains(why) && err.contains(&hint), "{err}");
    }
    let err = evening.refused(&["ladder", "marks", "--students", ","]);
    assert!(err.contains("no students"), "{err}");
}

/// Hand and reach that the log knows count as if they had been typed.
#[test]
fn a_reach_in_the_log_counts() {
    let evening = Evening::new();
    evening.good(&[
        "log", "students", "set", "N", "--hand", "left", "--reach", "700mm",
    ]);
    let ladder = with(&[&["ladder", "--student", "N"], &SHORT]);
    let known = evening.json(&ladder);
    assert_eq!(
        (known["hand"].as_str(), known["reach_mm"].as_f64()),
        (Some("left"), Some(700.0))
    );
    let typed = with(&[&ladder, &["--hand", "left", "--reach", "700mm"]]);
    assert_eq!(evening.json(&typed), known);
    let other = evening.json(&with(&[&ladder, &["--hand", "right"]]));
    assert_eq!(other["hand"], "right");
}

/// A score sheet filled in by hand goes into the log with its gear as it was.
#[test]
fn a_score_sheet_keeps_changes_of_gear() {
    let evening = Evening::new();
    let ladder = [
        &["ladder", "--level", "club", "--format", "csv", "--keep"][..],
        &SHORT,
        &[
            "--set",
            "pocket.corner.mouth=4.125in",
            "--set",
            "cloth.rolling_friction=0.012",
        ],
        &["--lengths", "2lengths"],
    ]
    .concat();
    let sheet = evening.good(&ladder);
    let mut filled = String::new();
    for (k, line) in sheet.lines().enumerate() {
        let line = if k == 0 {
            line.to_owned()
        } else {
            // student, when and made are the coach's to fill in
            let line = line.replacen(",,", "L,2025-11-25,", 1);
            line.replace(",10,,", ",10,6,")
        };
        filled.push_str(&line);
        filled.push('\n');
    }
    std::fs::write(evening.path("scores.csv"), filled).expect("a file");
    let said = evening.good(&["log", "import", "scores.csv"]);
    assert!(said.contains('3'), "{said}");
    let rows = evening.rows();
    for row in &rows[rows.len() - 3..] {
        assert_eq!(row["gear"], "pool-9ft");
        let set = "pocket.corner.mouth=4.125in;cloth.rolling_friction=0.012";
        assert_eq!(row["set"], set);
        assert_eq!(
            (row["made"].as_u64(), row["tries"].as_u64()),
            (Some(6), Some(10))
        );
        assert!(row["pace"].as_str().expect("a pace").ends_with("m/s"));
        assert!(row["allowed"].is_string() && row["sheet"].is_string());
    }
    let err = evening.refused(&["ladder", "--obstacle", "4,2", "--format", "csv"]);
    assert!(err.contains("--obstacle"), "{err}");
    // with a ball in the way the log keeps what the ball leaves
    let args = with(&[
        &[
            "ladder",
            "--student",
            "L",
            "--obstacle",
            "4.5,2.25",
            "--keep",
        ],
        &SHORT,
    ]);
    let sheet = evening.json(&args);
    let code = sheet["code"].as_str().expect("a code");
    evening.good(&["log", "enter", code, "1: L 8/10; 2: L 5/10; 3: L 3/10"]);
    let next = evening.good(&["ladder", "next", "--student", "L", "--code", code]);
    assert!(next.contains("rung") || next.contains("Rung"), "{next}");
}

#[test]
fn a_lesson_is_about_the_weakness_that_the_log_shows() {
    let evening = Evening::new();
    let lesson = |args: &[&str]| -> toml::Table {
        let args = [&["lesson", "new", "--force", "--out", "lesson.toml"], args].concat();
        evening.good(&args);
        let said = evening.good(&["lesson", "check", "lesson.toml"]);
        assert!(said.contains("is good"), "{said}");
        let text = std::fs::read_to_string(evening.path("lesson.toml")).expect("a file");
        text.parse().expect("TOML")
    };
    for (student, topic) in [("N", "long-straight"), ("P", "thin-cuts")] {
        let made = lesson(&["--student", student]);
        assert_eq!(made["topic"].as_str(), Some(topic));
        let because = made["because"].as_str().expect("a reason");
        assert!(
            because.starts_with(&format!("{student} loses most")),
            "{because}"
        );
    }
    let asked = lesson(&[
        "--student",
        "N",
        "--topic",
        "side-pocket",
        "--minutes",
        "30",
    ]);
    assert_eq!(asked["topic"].as_str(), Some("side-pocket"));
    assert!(!asked.contains_key("because"));
    let group = lesson(&["--group", "K,L,M,N", "--playing-on", "2", "--minutes", "90"]);
    let kinds: Vec<&str> = group["part"]
        .as_array()
        .expect("parts")
        .iter()
        .filter_map(|p| p["kind"].as_str())
        .collect();
    assert!(kinds.contains(&"marks"), "{kinds:?}");
    let nobody = evening.refused(&["lesson", "new", "--student", "S"]);
    assert!(nobody.contains("S=club"), "{nobody}");
    let short = evening.refused(&["lesson", "new", "--student", "N", "--minutes", "5"]);
    assert!(short.contains("5 minutes"), "{short}");
    let named = evening.refused(&["lesson", "new", "--student", "N", "--topic", "trick-shots"]);
    assert!(
        named.contains("--topic") && named.contains("trick-shots"),
        "{named}"
    );
}
