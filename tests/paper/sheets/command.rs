//! `thincut sheet`, run.

use std::path::Path;

use crate::program::{output, thincut, with_log};

#[test]
fn the_command_prints_whole_files_or_none() {
    let folder = tempfile::tempdir().unwrap();
    let sheet = |args: &[&str], code: i32| {
        let (text, err) = output(thincut(folder.path()).arg("sheet").args(args), code);
        text + &err
    };
    let said = sheet(&["scale", "--out", "s.pdf", "--paper", "letter"], 0);
    assert!(said.starts_with("s.pdf: 1 page of Letter paper."), "{said}");
    assert!(sheet(&["scale", "--out", "s.pdf"], 2).contains("--force"));
    sheet(&["scale", "--out", "s.pdf", "--force"], 0);
    assert!(sheet(&["margin-strip", "--out", "r.pdf", "--paper", "a5"], 2).contains("a5"));
    assert!(sheet(&["margin-strip", "--out", "r.png"], 2).contains("ends in .pdf"));
    let three = sheet(
        &["margin-strip", "--to-pocket", "1m,2m", "--out", "r.pdf"],
        2,
    );
    assert!(three.contains("2 lengths; it takes 3"), "{three}");
    std::fs::write(folder.path().join("bad.json"), "{}").unwrap();
    let bad = sheet(&["ladder", "bad.json", "--out", "l.pdf"], 2);
    assert!(bad.contains("thincut ladder --format json"), "{bad}");
    let left: Vec<_> = std::fs::read_dir(folder.path()).unwrap().collect();
    assert_eq!(left.len(), 2, "{left:?}");
}

fn done(folder: &Path, args: &[&str]) -> String {
    output(with_log(folder).args(args), 0).0
}

/// The code after `Code `.
fn code(said: &str) -> String {
    let after = said.split("Code ").nth(1).expect("a code");
    let code = after.split(|c: char| !c.is_ascii_alphanumeric()).next();
    code.unwrap().to_owned()
}

#[test]
fn a_kept_ladder_prints_by_its_code() {
    let folder = tempfile::tempdir().unwrap();
    let here = folder.path();
    let kept = ["ladder", "--level", "starting", "--rungs", "3", "--keep"];
    let said = done(here, &kept);
    let code = code(&said);
    let print = [
        "sheet", "ladder", &code, "--level", "starting", "--out", "l.pdf",
    ];
    assert!(done(here, &print).starts_with("l.pdf: 1 page"));
    let text = super::page::run("pdftotext", &["-raw", "l.pdf", "-"], here);
    // Letters drawn close to a full stop may be read as standing apart from it.
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let flat = flat.replace(" .", ".");
    assert!(
        flat.contains(&format!("Code of this sheet: {code}.")),
        "{flat}"
    );
    // It is in the log already.
    assert!(!flat.contains("--keep"), "{flat}");
    // Pass scores and places are those of the ladder when it was drawn up.
    for line in said.lines().filter(|l| {
        l.trim_start()
            .starts_with(|c: char| c.is_ascii_digit() && c <= '3')
    }) {
        let pass = line.split("pass ").nth(1).and_then(|p| p.split(':').next());
        if let Some(pass) = pass {
            assert!(
                flat.contains(&format!("Pass mark {pass}.")),
                "{pass} in {flat}"
            );
            let cue = line.split("cue ball ").nth(1).unwrap();
            let place = cue.split('(').nth(1).unwrap().split(')').next().unwrap();
            assert!(
                flat.contains(&format!("Cue ball {place}:")),
                "{place} in {flat}"
            );
        }
    }
    assert_eq!(flat.matches("Pass mark ").count(), 3, "{flat}");
}

#[test]
fn a_lesson_is_kept_under_the_code_it_prints() {
    let folder = tempfile::tempdir().unwrap();
    let here = folder.path();
    let new = ["lesson", "new", "--student", "K=club", "--out", "l.toml"];
    done(here, &new);
    let print = ["sheet", "lesson", "l.toml", "--keep", "--out", "l.pdf"];
    let code = code(&done(here, &print));
    let text = super::page::run("pdftotext", &["l.pdf", "-"], here);
    assert!(!text.contains("--keep"), "{text}");
    assert!(
        text.contains(&format!("thincut log enter {code}")),
        "{text}"
    );
    done(here, &["log", "students", "set", "K"]);
    done(here, &["log", "enter", &code, "2: K 3/5"]);
    let rows = done(here, &["log", "export"]);
    assert!(rows.contains(&code), "{rows}");
}

/// What a command that must fail says.
fn refused(folder: &Path, args: &[&str]) -> String {
    output(with_log(folder).args(args), 2).1
}

#[test]
fn kept_marks_print_by_their_code() {
    let folder = tempfile::tempdir().unwrap();
    let here = folder.path();
    let students = "--students=K=first-evening,L=starting,M=club";
    let kept = ["ladder", "marks", students, "--chance", "7", "--keep"];
    let said = done(here, &kept);
    let marks = code(&said);
    let print = ["sheet", "marks", &marks, "--out", "m.pdf"];
    assert!(done(here, &print).starts_with("m.pdf: 1 page"));
    let text = super::page::run("pdftotext", &["-raw", "m.pdf", "-"], here);
    // Beside some letters of a code the full stop is read as a word of its own.
    let flat = text
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
        .replace(" .", ".");
    // The same string, distances and chance as when it was drawn up.
    let string = said
        .split("Hold a string from the object ball to ")
        .nth(1)
        .unwrap();
    let string = string.split(" (").next().unwrap();
    assert!(flat.contains(string), "no {string} in {flat}");
    assert!(flat.contains("about 7.0 in 10 for everybody"), "{flat}");
    assert!(
        flat.contains(&format!("Code of this sheet: {marks}.")),
        "{flat}"
    );
    assert!(!flat.contains("--keep"), "{flat}");
    for line in said.lines().filter(|l| l.contains(" in 10  (")) {
        let words: Vec<&str> = line.split_whitespace().collect();
        let mark = format!("{}: {} cm", words[0], words[1]);
        assert!(flat.contains(&mark), "no {mark} in {flat}");
    }
    let wrong = refused(
        here,
        &[
            "sheet", "ladder", &marks, "--level", "club", "--out", "l.pdf",
        ],
    );
    let sheet = format!("thincut sheet marks {marks}");
    assert!(wrong.contains(&sheet), "{wrong}");
    let ladder = ["ladder", "--level", "club", "--rungs", "2", "--keep"];
    let ladder = code(&done(here, &ladder));
    let wrong = refused(here, &["sheet", "marks", &ladder, "--out", "l.pdf"]);
    assert!(
        wrong.contains(&format!("thincut sheet ladder {ladder}")),
        "{wrong}"
    );
    assert!(!here.join("l.pdf").exists());
}

/// Sheets in inches have round inches and feet of their own, not metric ones turned over.
#[test]
fn inches_have_round_numbers_of_their_own() {
    let folder = tempfile::tempdir().unwrap();
    let here = folder.path();
    for (sheet, wanted) in [
        ("margin-strip", ["1½ ft", "3 ft", "5 ft"]),
        ("card", ["1½ ft", "4 ft", "6½ ft"]),
        ("scale", ["3 ft", "1/8 in each side", "1 in each side"]),
    ] {
        let out = format!("{sheet}.pdf");
        done(here, &["sheet", sheet, "--units", "inches", "--out", &out]);
        let text = super::page::run("pdftotext", &["-raw", &out, "-"], here);
        let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
        for words in wanted {
            assert!(flat.contains(words), "{sheet}: no {words} in {flat}");
        }
        assert!(!flat.contains("m/s"), "{sheet}: {flat}");
    }
}
