//! Files from anybody, and files that are written: what is read, what is refused, what is left behind.

#![cfg(unix)]

use std::fs;
use std::os::unix::fs::symlink;
use std::path::Path;
use std::process::{self, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant};

use assert_cmd::cargo::cargo_bin;

use super::{folder, output, thincut};

/// In `here`, with these words and this standard input.
#[track_caller]
fn with_input(here: &Path, words: &[&str], input: &str, code: i32) -> (String, String) {
    output(thincut(here).args(words).write_stdin(input), code)
}

#[track_caller]
fn bad(here: &Path, words: &[&str]) -> String {
    let (out, err) = output(thincut(here).args(words), 2);
    assert_eq!(out, "");
    err
}

fn names(here: &Path) -> Vec<String> {
    let entries = fs::read_dir(here).unwrap();
    let mut names: Vec<String> = entries
        .map(|e| e.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    names.sort();
    names
}

fn pipe(path: &Path) {
    let made = process::Command::new("mkfifo").arg(path).status().unwrap();
    assert!(made.success());
}

const SHOT: &str = "cut,apart,to_pocket";
const HALF: &str = "half-ball,4ft,3ft";

#[test]
fn an_interrupted_survey_leaves_nothing_and_says_130() {
    let folder = folder();
    let here = folder.path();
    let begun = |out: &Path| fs::read_dir(out).is_ok_and(|mut files| files.next().is_some());
    for k in 0..42_u64 {
        let out = here.join(format!("survey-{k}"));
        let mut survey = process::Command::new(cargo_bin!("thincut"))
            .args(["survey", "--cut", "0deg..80deg/0.01deg", "--charts", "none"])
            .arg("--out")
            .arg(&out)
            .current_dir(here)
            .env("XDG_CONFIG_HOME", here)
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let since = Instant::now();
        while !begun(&out) && since.elapsed() < Duration::from_secs(60) {
            sleep(Duration::from_millis(1));
        }
        sleep(Duration::from_millis(k * 7 % 30));
        let signal = if k % 3 == 2 { "-TERM" } else { "-INT" };
        let command = format!("kill {signal} {}", survey.id());
        let sent = process::Command::new("sh").args(["-c", &command]).status();
        assert!(sent.unwrap().success());
        let code = survey.wait().unwrap().code();
        assert_eq!(code, Some(if k % 3 == 2 { 143 } else { 130 }), "survey {k}");
        assert_eq!(names(here), Vec::<String>::new(), "survey {k}");
    }
}

#[test]
fn force_replaces_plain_files_and_nothing_else() {
    let folder = folder();
    let here = folder.path();
    fs::write(here.join("own.svg"), "mine").unwrap();
    symlink("own.svg", here.join("link.svg")).unwrap();
    symlink("nowhere", here.join("dangling.svg")).unwrap();
    fs::create_dir(here.join("folder.svg")).unwrap();
    pipe(&here.join("pipe.svg"));
    let before = names(here);
    for (name, what) in [
        ("link.svg", "a link"),
        ("dangling.svg", "a link"),
        ("folder.svg", "a folder"),
        ("pipe.svg", "a pipe"),
    ] {
        for force in [&[][..], &["--force"]] {
            let err = bad(here, &[&["chart", "grid", "--out", name], force].concat());
            assert!(err.contains(name) && err.contains(what), "{err}");
        }
    }
    assert_eq!(names(here), before);
    assert_eq!(fs::read_to_string(here.join("own.svg")).unwrap(), "mine");
    output(
        thincut(here).args(["chart", "grid", "--out", "own.svg", "--force"]),
        0,
    );
    let drawn = fs::read_to_string(here.join("own.svg")).unwrap();
    assert!(drawn.contains("</svg>"));
    assert_eq!(names(here), before);
}

#[test]
fn a_missing_folder_is_named_and_not_made() {
    let folder = folder();
    let here = folder.path();
    for words in [
        &["chart", "grid", "--out", "missing/a.svg"][..],
        &["survey", "--out", "missing/survey"],
        &["sheet", "scale", "--out", "missing/s.pdf"],
        &[
            "table",
            "measure",
            "--corner-mouth",
            "115mm",
            "--out",
            "missing/t.toml",
        ],
    ] {
        let err = bad(here, words);
        assert!(err.contains("no folder missing"), "{words:?}: {err}");
    }
    assert_eq!(names(here), Vec::<String>::new());
}

#[test]
fn pipes_devices_and_folders_are_no_input() {
    let folder = folder();
    let here = folder.path();
    pipe(&here.join("pipe.toml"));
    fs::create_dir(here.join("folder.toml")).unwrap();
    for name in ["pipe.toml", "folder.toml", "/dev/zero"] {
        for words in [
            &["table", "check", name][..],
            &["choose", name],
            &["choose", "check", name],
            &["lesson", "check", name],
            &["sheet", "lesson", name, "--out", "l.pdf"],
            &["aims", "--own", name],
            &["table", "measure", name],
            &["batch", name],
            &["log", "--log", "l.sqlite", "import", name],
        ] {
            let err = bad(here, words);
            assert!(
                err.contains(name) && err.contains("only plain files are read"),
                "{words:?}: {err}"
            );
        }
    }
}

#[test]
fn a_file_is_read_up_to_a_stated_size() {
    let folder = folder();
    let here = folder.path();
    let comment = |bytes: usize| format!("# {}\n", "x".repeat(bytes - 3));
    fs::write(
        here.join("just.toml"),
        comment(999_900) + "base = \"pool-9ft\"\n",
    )
    .unwrap();
    output(thincut(here).args(["table", "check", "just.toml"]), 0);
    fs::write(here.join("large.toml"), comment(1_000_001)).unwrap();
    fs::write(here.join("large.csv"), comment(10_000_001)).unwrap();
    for (words, size, limit) in [
        (&["table", "check", "large.toml"][..], "1000001", "1 MB"),
        (&["lesson", "check", "large.toml"], "1000001", "1 MB"),
        (&["table", "measure", "large.toml"], "1000001", "1 MB"),
        (&["aims", "--own", "large.toml"], "1000001", "1 MB"),
        (&["choose", "large.csv"], "10000001", "10 MB"),
    ] {
        let err = bad(here, words);
        for part in ["large.", size, limit] {
            assert!(err.contains(part), "{words:?}: {err}");
        }
    }
    // The defaults of a folder are a file like others.
    fs::rename(here.join("large.toml"), here.join("thincut.toml")).unwrap();
    assert!(bad(here, &["table", "list"]).contains("1000001 bytes"));
}

#[test]
fn a_row_names_a_table_beside_its_file_and_no_other() {
    let folder = folder();
    let here = folder.path();
    let inner = here.join("inner");
    fs::create_dir(&inner).unwrap();
    let table = "base = \"pool-8ft\"\n[pocket.corner]\nmouth = \"4.25in\"\n";
    fs::write(inner.join("hall.toml"), table).unwrap();
    fs::write(here.join("other.toml"), table).unwrap();
    // Nor may the table itself lead elsewhere.
    fs::write(inner.join("leads.toml"), "base = \"../other.toml\"\n").unwrap();
    pipe(&inner.join("pipe.toml"));
    let row = |gear: &str| format!("{SHOT},gear\n{HALF},{gear}\n");
    fs::write(inner.join("good.csv"), row("hall.toml")).unwrap();
    let (out, _) = output(thincut(here).args(["batch", "inner/good.csv"]), 0);
    assert!(out.contains(",ok,"), "{out}");
    for (gear, why) in [
        ("/dev/zero", "is a path"),
        ("../other.toml", "is a path"),
        ("inner/hall.toml", "is a path"),
        ("..", "is a path"),
        ("c:hall.toml", "is a path"),
        ("leads.toml", "is a path"),
        ("pipe.toml", "only plain files"),
        ("other.toml", "other.toml"),
    ] {
        fs::write(inner.join("bad.csv"), row(gear)).unwrap();
        let (_, err) = output(thincut(here).args(["batch", "inner/bad.csv"]), 1);
        assert!(err.contains(why), "{gear}: {err}");
    }
    // What the command itself names may be anywhere.
    fs::write(here.join("plain.csv"), format!("{SHOT}\n{HALF}\n")).unwrap();
    output(
        thincut(here).args(["batch", "plain.csv", "--table", "inner/hall.toml"]),
        0,
    );
}

#[test]
fn an_import_of_ones_own_may_name_tables_by_their_paths() {
    let folder = folder();
    let here = folder.path();
    fs::create_dir(here.join("inner")).unwrap();
    fs::write(here.join("inner/hall.toml"), "base = \"pool-8ft\"\n").unwrap();
    let row = |student: &str, gear: &str| {
        format!("student,when,gear,{SHOT},tries,made\n{student},2025-11-25,{gear},{HALF},10,6\n")
    };
    let import = ["log", "--log", "l.sqlite", "import"];
    fs::write(here.join("inner/k.csv"), row("K", "hall.toml")).unwrap();
    output(thincut(here).args(import).arg("inner/k.csv"), 0);
    fs::write(here.join("l.csv"), row("L", "inner/hall.toml")).unwrap();
    for (name, file) in [("l.csv", "l.csv"), ("-", "standard input")] {
        let words = [&import[..], &[name]].concat();
        let (_, err) = with_input(here, &words, &row("L", "inner/hall.toml"), 2);
        for part in [file, "line 2", "is a path", "--own"] {
            assert!(err.contains(part), "{err}");
        }
    }
    let list = ["log", "--log", "l.sqlite", "list"];
    let listed = |student: &str| output(thincut(here).args(list), 0).0.contains(student);
    assert!(listed("K ") && !listed("L "));
    output(thincut(here).args(import).args(["l.csv", "--own"]), 0);
    assert!(listed("L "));
}

const LESSON: &str = "\
format = \"thincut-lesson-1\"
title = \"Thin cuts\"
students = [\"K\"]
topic = \"thin-cuts\"
minutes = 60
gear = \"pool-9ft\"
arm_deg = 0.5
picture_mm = 3.0
lean_deg = [0.1, 0.2]
caution = \"Stop when it hurts.\"

[[part]]
kind = \"test\"
minutes = 10
balls = 2
say = \"Ten tries.\"

[[part.shot]]
cue = \"2,1\"
object = \"6,2\"
pocket = \"foot-left\"
tries = 2
makes_in_ten = 5.0
";

#[test]
fn a_lesson_has_numbers_and_a_table_beside_it() {
    let folder = folder();
    let here = folder.path();
    let check = |text: String| {
        fs::write(here.join("l.toml"), text).unwrap();
        let print = bad(here, &["sheet", "lesson", "l.toml", "--out", "l.pdf"]);
        let check = bad(here, &["lesson", "check", "l.toml"]);
        (check, print)
    };
    for (key, value) in [
        ("makes_in_ten", "5.0"),
        ("arm_deg", "0.5"),
        ("picture_mm", "3.0"),
        ("lean_deg", "0.1"),
    ] {
        for strange in ["nan", "inf", "-inf"] {
            let (err, print) = check(LESSON.replacen(value, strange, 1));
            assert!(
                err.contains(key) && err.to_lowercase().contains(strange),
                "{key} = {strange}: {err}"
            );
            assert_eq!(err, print);
        }
    }
    for gear in ["/dev/zero", "../hall.toml", "sub/hall.toml"] {
        let (err, print) = check(LESSON.replace("pool-9ft", gear));
        assert!(err.contains("is a path"), "{err}");
        assert_eq!(err, print);
    }
    fs::create_dir(here.join("inner")).unwrap();
    fs::write(here.join("inner/hall.toml"), "base = \"pool-8ft\"\n").unwrap();
    fs::write(
        here.join("inner/l.toml"),
        LESSON.replace("pool-9ft", "hall.toml"),
    )
    .unwrap();
    // The table is found: what is wrong is the chance.
    let err = bad(here, &["lesson", "check", "inner/l.toml"]);
    assert!(err.contains("makes_in_ten = 5;"), "{err}");
}

#[test]
fn an_error_quotes_little_and_guesses_at_words_only() {
    let folder = folder();
    let here = folder.path();
    let long = "x".repeat(900_000);
    let write = |name: &str, text: String| fs::write(here.join(name), text).unwrap();
    write("key.toml", format!("{long} = 1\n"));
    write(
        "value.toml",
        format!("[pocket.corner]\nmouth = \"{long}\"\n"),
    );
    write(
        "name.toml",
        format!("base = \"pool-9ft\"\nname = \"{long}\"\n"),
    );
    write("base.toml", format!("base = \"{long}\"\n"));
    write("broken.toml", format!("a = \"{long}\n"));
    write(
        "lesson.toml",
        LESSON.replace("minutes = 60", &format!("{long} = 60")),
    );
    write(
        "topic.toml",
        LESSON.replace("\"thin-cuts\"", &format!("\"{long}\"")),
    );
    write("header.csv", format!("{long},x\ncue,2,1\n"));
    write("label.csv", format!("ball,x,y\n{long},2,1\n"));
    write("place.csv", format!("ball,x,y\ncue,{long},1\n"));
    for words in [
        &["table", "check", "key.toml"][..],
        &["table", "check", "value.toml"],
        &["table", "check", "name.toml"],
        &["table", "check", "base.toml"],
        &["table", "check", "broken.toml"],
        &["lesson", "check", "lesson.toml"],
        &["lesson", "check", "topic.toml"],
        &["table", "measure", "key.toml"],
        &["aims", "--own", "key.toml"],
        &["choose", "header.csv"],
        &["choose", "label.csv"],
        &["choose", "place.csv"],
    ] {
        let err = bad(here, words);
        assert!(err.len() < 1500, "{words:?}: {} bytes", err.len());
        assert!(!err.contains(&"x".repeat(81)), "{words:?}: {err}");
    }
    // In a table of shots it is the row's own fault, and stands in its status.
    let (_, err) = with_input(here, &["batch"], &format!("{SHOT}\n{long},4ft,3ft\n"), 1);
    assert!(err.len() < 500, "{} bytes", err.len());
    // A column of any name is carried through; one that is almost an option's is not.
    let input = format!("{SHOT},{}\n{HALF},1\n", "to_pocke".repeat(100_000));
    with_input(here, &["batch"], &input, 0);
    let (_, err) = with_input(here, &["batch"], &format!("{SHOT},briddge\n{HALF},1\n"), 2);
    assert!(err.contains("did you mean `bridge`?"), "{err}");
}

#[test]
fn a_row_without_end_is_refused() {
    let folder = folder();
    let here = folder.path();
    let many = "y".repeat(1_100_000);
    for input in [
        many.clone(),
        format!("{SHOT}\n{many}\n"),
        format!("{SHOT},note\n{HALF},\"{}", "open\n".repeat(300_000)),
    ] {
        let (_, err) = with_input(here, &["batch"], &input, 2);
        assert!(err.contains("longer than 1 MB"), "{err}");
    }
}

#[test]
fn control_characters_of_files_reach_nobody() {
    let folder = folder();
    let here = folder.path();
    let name = "a\u{1b}[2Jb.toml";
    let table = "base = \"pool-9ft\"\nname = \"hall\"\n[pocket.corner]\nmouth = \"4.5in\"\n";
    fs::write(here.join(name), table).unwrap();
    let shown = |words: &[&str], code| {
        let (out, err) = output(thincut(here).args(words), code);
        let all = out + &err;
        assert!(
            !all.contains(|c: char| c.is_control() && c != '\n'),
            "{words:?}: {all:?}"
        );
        all
    };
    assert!(shown(&["table", "check", name], 0).contains("\\u001b[2J"));
    assert!(shown(&["table", "show", name, "--format", "json"], 0).contains("\\u001b[2J"));
    fs::write(here.join(name), "\u{7}\u{1b}[1m = 1\n").unwrap();
    shown(&["table", "check", name], 2);
    fs::write(here.join("c.csv"), "ball,x,y\ncue\u{1b}[1m,2,1\n").unwrap();
    assert!(shown(&["choose", "c.csv"], 2).contains("\\u001b[1m"));
    fs::write(here.join("b.csv"), format!("{SHOT}\n\u{1b}[1m,4ft,3ft\n")).unwrap();
    let (out, err) = output(thincut(here).args(["batch", "b.csv"]), 1);
    assert!(err.contains("\\u001b[1m") && !err.contains('\u{1b}'));
    // Cells go out as they came, where no terminal takes them.
    assert!(out.contains("\n\u{1b}[1m,4ft,3ft,"), "{out}");
}

#[test]
fn a_layout_comes_from_standard_input_too() {
    let folder = folder();
    let here = folder.path();
    let layout = "ball,x,y\ncue,2,1\n1,6,2.5\n2,7.5,3\n";
    fs::write(here.join("l.csv"), layout).unwrap();
    for words in [&["choose"][..], &["choose", "check"]] {
        let (of_file, _) = output(thincut(here).args(words).arg("l.csv"), 0);
        let (of_input, _) = with_input(here, &[words, &["-"]].concat(), layout, 0);
        assert_eq!(of_file, of_input);
    }
    let draw = ["choose", "draw", "-", "--out", "l.svg"];
    with_input(here, &draw, layout, 0);
    assert!(here.join("l.svg").is_file());
    let (_, err) = with_input(here, &["choose", "-"], "ball,x\n", 2);
    assert!(err.contains("standard input"), "{err}");
}

#[test]
fn semicolons_and_decimal_commas_are_read() {
    let folder = folder();
    let here = folder.path();
    let check = |text: &str, code| with_input(here, &["choose", "check", "-"], text, code);
    let (commas, _) = check("ball,x,y\ncue,2,1\n1,6,2.5\n8,foot-spot\n", 0);
    for mark in [";", "\t"] {
        let text = "ball;x;y\ncue;2;1\n1;6;2,5\n8;foot-spot\n".replace(';', mark);
        assert_eq!(check(&text, 0).0, commas);
    }
    let (_, err) = check("ball,x,y\ncue,2,1\n1,6,2,5\n", 2);
    assert!(err.contains("decimals after a point"), "{err}");
    let batch = |text: &str, code| with_input(here, &["batch"], text, code);
    let points = "id,cut,apart,to-pocket,level\n1,30.5deg,4ft,0.75m,club\n";
    let (points, _) = batch(points, 0);
    let (commas, _) = batch(
        "id;cut;apart;to-pocket;level\n1;30,5deg;4ft;0,75m;club\n",
        0,
    );
    let answer = |text: &str| text.split_once(",ok,").unwrap().1.to_owned();
    assert_eq!(answer(&points), answer(&commas));
    let (placed, _) = batch("cue;object;pocket\n3,1;5,2.4;foot-left\n", 0);
    assert!(placed.contains(",ok,"), "{placed}");
    let (_, err) = batch("cut,apart,to-pocket\n\"30,5deg\",4ft,3ft\n", 1);
    assert!(err.contains("decimals after a point"), "{err}");
}

#[test]
fn cells_that_would_run_in_a_spreadsheet_are_guarded_and_come_back() {
    let folder = folder();
    let here = folder.path();
    let input = "note,cut,apart,to_pocket,approach,n\n\
        \"=1+1\",half-ball,4ft,3ft,-20deg,-5\n\
        @x,half-ball,4ft,3ft,,+3\n\
        ''=y,half-ball,4ft,3ft,,'tis\n";
    let cells = |text: &str| -> Vec<Vec<String>> {
        let rows = text.lines().skip(1);
        rows.map(|l| l.split(',').take(6).map(str::to_owned).collect())
            .collect()
    };
    let (once, _) = with_input(here, &["batch"], input, 0);
    assert_eq!(
        cells(&once),
        [
            ["'=1+1", "half-ball", "4ft", "3ft", "'-20deg", "-5"],
            ["'@x", "half-ball", "4ft", "3ft", "", "+3"],
            ["''=y", "half-ball", "4ft", "3ft", "", "'tis"],
        ]
    );
    let (twice, _) = with_input(here, &["batch"], &once, 0);
    assert_eq!(cells(&twice), cells(&once));
    let jsonl = ["batch", "--format", "jsonl"];
    let (lines, _) = with_input(here, &jsonl, &once, 0);
    assert!(lines.contains("\"note\":\"=1+1\"") && lines.contains("\"note\":\"'=y\""));
}
