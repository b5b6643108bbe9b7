//! A student forgotten: no byte of theirs left in files the program keeps, the others as before.

use std::fs;
use std::path::{Path, PathBuf};

use tempfile::TempDir;
use thincut::log::{
    Attempt, Filter, Log, LogError, Rung, Sheet, SheetKind, Student, backups, forget, replaced,
    restore, solve_entered,
};
use thincut::units::Hand;

use crate::care::said;
use crate::processes::program;
use crate::{attempt, entry, export, folder, half_ball, ladder, when};

const LABEL: &str = "Quillfeath";
const NOTE: &str = "elbow out, head up too early";
const SHARED: &str = "new cloth on table three";

fn row(student: &str, made: u32, note: Option<&str>) -> Attempt {
    let mut row = attempt(student, 10, made);
    row.note = note.map(str::to_owned);
    row
}

fn marks(kind: SheetKind, title: &str, owners: &[Option<&str>]) -> Sheet {
    let solved = solve_entered(&half_ball()).expect("a shot");
    let rung = |owner: &Option<&str>| Rung {
        student: owner.map(str::to_owned),
        shot: half_ball(),
        cut: solved.cut,
        windows: solved.windows.clone(),
        pass: None,
    };
    Sheet {
        kind,
        title: title.to_owned(),
        rungs: owners.iter().map(rung).collect(),
        gone: Vec::new(),
    }
}

/// Codes of the sheets in [`evening`].
struct Codes {
    own: String,
    tried: String,
    alone: String,
    group: String,
    lesson: String,
    all: String,
}

/// A log with the student everywhere one can stand: rows, rows taken back, changed and taken back
/// students, sheets of every kind and sheets taken back, backups and a log put aside.
fn evening() -> (TempDir, PathBuf, Codes) {
    let here = folder();
    let path = here.path().join("practice.sqlite");
    let mut log = Log::open(&path).expect("a log");
    let day = when("2025-11-25");
    for label in ["L", LABEL, "M"] {
        log.set_student(&Student::named(label), &day).unwrap();
    }
    let left = Student {
        hand: Some(Hand::Left),
        ..Student::named(LABEL)
    };
    log.set_student(&left, &day).unwrap();
    let titled = |title: String| Sheet { title, ..ladder(2) };
    let mut keep = |sheet: &Sheet| log.save_sheet(sheet).expect("kept");
    let codes = Codes {
        own: keep(&titled(format!("stun for student {LABEL}, from 40 tries"))),
        tried: keep(&titled(format!("draw for student {LABEL}"))),
        alone: keep(&marks(
            SheetKind::Marks,
            "marks at 6.0 in 10",
            &[Some(LABEL)],
        )),
        group: keep(&marks(
            SheetKind::Marks,
            "marks at 7.0 in 10",
            &[Some("L"), Some(LABEL), Some("M")],
        )),
        lesson: keep(&marks(
            SheetKind::Lesson,
            "Tuesday",
            &[None, Some(LABEL), Some("L")],
        )),
        all: keep(&ladder(3)),
    };
    log.add(&entry(vec![
        row("L", 6, Some(SHARED)),
        row(LABEL, 4, Some(SHARED)),
    ]))
    .unwrap();
    log.add(&entry(vec![row(LABEL, 3, Some(NOTE))])).unwrap();
    for (student, code, rung) in [
        ("L", &codes.tried, 1),
        (LABEL, &codes.all, 1),
        ("M", &codes.all, 2),
        ("M", &codes.group, 3),
        (LABEL, &codes.group, 2),
        ("L", &codes.lesson, 3),
    ] {
        let mut tried = row(student, 5, None);
        (tried.sheet, tried.rung) = (Some(code.clone()), Some(rung));
        log.add(&entry(vec![tried])).unwrap();
    }
    drop(log);
    // A whole import of theirs and of others, and what an import taken back held.
    let mut log = Log::open_existing(&path).unwrap();
    log.back_up_daily(&when("2025-11-24")).unwrap();
    let mixed = vec![
        row(LABEL, 1, Some("taken back")),
        row("M", 2, Some("stays back")),
    ];
    log.add(&entry(mixed)).unwrap();
    log.undo().unwrap();
    let before = log.student(LABEL).unwrap();
    let seated = Student {
        reach_mm: Some(700.0),
        ..before
    };
    log.set_student(&seated, &day).unwrap();
    log.undo().unwrap();
    let there = folder();
    let mut other = Log::open(&there.path().join("other.sqlite")).unwrap();
    other.set_student(&Student::named("P"), &day).unwrap();
    other
        .save_sheet(&titled(format!("follow for student {LABEL}")))
        .unwrap();
    log.import_csv(export(&other).as_bytes(), &day, None)
        .unwrap();
    log.undo().unwrap();
    drop(log);
    let made = backups(&path).unwrap();
    restore(&path, &made[0]).unwrap();
    let aside = replaced(&path).unwrap();
    restore(&path, &aside[0]).unwrap();
    assert_eq!(
        (
            backups(&path).unwrap().len(),
            replaced(&path).unwrap().len()
        ),
        (1, 2)
    );
    (here, path, codes)
}

/// Files under a folder that hold a text.
fn holding(folder: &Path, text: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).expect("readable") {
        let path = entry.expect("an entry").path();
        if path.is_dir() {
            found.extend(holding(&path, text));
        } else if fs::read(&path)
            .expect("a file")
            .windows(text.len())
            .any(|w| w == text.as_bytes())
        {
            found.push(path);
        }
    }
    found
}

/// The stored columns of rows of all but the student, as they are, checksums and numbers too.
fn others(path: &Path) -> Vec<String> {
    let open = rusqlite::Connection::open(path).expect("opens");
    let mut query = open
        .prepare(
            "SELECT attempt.*, student.label FROM attempt JOIN student ON student.id = student_id
             WHERE student.label <> ?1 ORDER BY number",
        )
        .expect("a query");
    let columns = query.column_count();
    let rows = query.query_map([LABEL], |row| {
        let cells: Vec<String> = (0..columns)
            .map(|k| Ok(format!("{:?}", row.get_ref(k)?)))
            .collect::<rusqlite::Result<_>>()?;
        Ok(cells.join("|"))
    });
    rows.expect("rows").map(|r| r.expect("a row")).collect()
}

#[test]
fn a_forgotten_student_leaves_no_byte() {
    let (here, path, codes) = evening();
    for text in [LABEL, NOTE] {
        assert!(
            holding(here.path(), text).len() >= 3,
            "{text} in log and copies"
        );
    }
    let before = others(&path);
    let found = Log::open_existing(&path)
        .unwrap()
        .would_forget(LABEL)
        .unwrap();
    assert_eq!((found.rows, found.notes, found.shared_notes), (4, 2, 1));
    assert_eq!(found.taken_back, 1);
    let days = ("2025-11-25".to_owned(), "2025-11-25".to_owned());
    assert_eq!(found.days, Some((1, days.0, days.1)));
    assert_eq!(found.own_sheets.len(), 3, "one of them taken back");
    assert_eq!(
        found.own_sheets[..2],
        [codes.own.clone(), codes.alone.clone()]
    );
    assert_eq!(
        found.shared_sheets,
        [
            codes.tried.clone(),
            codes.group.clone(),
            codes.lesson.clone()
        ]
    );
    assert_eq!((found.backups.len(), found.replaced.len()), (1, 2));
    assert!(found.left.is_empty(), "{:?}", found.left);

    assert_eq!(forget(&path, LABEL).unwrap(), found);
    for text in [LABEL, NOTE, "taken back"] {
        assert_eq!(holding(here.path(), text), Vec::<PathBuf>::new(), "{text}");
    }
    assert_eq!(others(&path), before);
    let mut log = Log::open_existing(&path).unwrap();
    assert_eq!(log.check().unwrap().problems, [""; 0]);
    let labels: Vec<String> = log
        .students()
        .unwrap()
        .into_iter()
        .map(|s| s.label)
        .collect();
    assert_eq!(labels, ["L", "M"]);
    let notes: Vec<String> = crate::all(&log)
        .into_iter()
        .filter_map(|a| a.note)
        .collect();
    assert_eq!(notes, [SHARED], "with the other it stays");

    // Sheets keep code and numbers; what was the student's is no more.
    for code in [&codes.own, &codes.alone] {
        let fault = log.find_sheet(code).unwrap_err();
        assert!(matches!(fault, LogError::UnknownSheet { .. }), "{fault}");
    }
    assert_eq!(log.find_sheet(&codes.tried).unwrap().1.title, "draw");
    assert_eq!(log.find_sheet(&codes.all).unwrap().1, ladder(3));
    let (_, group) = log.find_sheet(&codes.group).unwrap();
    let numbers: Vec<_> = group
        .numbered()
        .map(|(n, r)| (n, r.student.as_deref().unwrap()))
        .collect();
    assert_eq!(numbers, [(1, "L"), (3, "M")]);
    let tally = thincut::log::read_tally("M 7/10", &["L", "M"]).unwrap();
    let rows = group
        .attempts(&codes.group, &tally, &when("2025-12-02"), None)
        .unwrap();
    assert_eq!(rows[0].rung, Some(3));
    let (_, lesson) = log.find_sheet(&codes.lesson).unwrap();
    let tally = thincut::log::read_tally("2: L 7/10", &["L", "M"]).unwrap();
    let fault = lesson
        .attempts(&codes.lesson, &tally, &when("2025-12-02"), None)
        .unwrap_err();
    assert!(fault.to_string().contains("forgotten"), "{fault}");

    // What was taken back of others can be put back still.
    let back = log.redo(None).unwrap().expect("the others' part");
    assert!(back.students.contains(&"P".to_owned()), "{back:?}");
    let back = log.redo(None).unwrap().expect("the others' part");
    assert_eq!((back.rows, back.of), (1, vec!["M".to_owned()]));
    // An export goes into a new log, sheets with gaps too.
    let there = folder();
    let mut copy = Log::open(&there.path().join("copy.sqlite")).unwrap();
    copy.import_csv(export(&log).as_bytes(), &when("2025-12-02"), None)
        .unwrap();
    assert_eq!(export(&copy), export(&log));

    // The label is free.
    log.set_student(&Student::named(LABEL), &when("2025-12-02"))
        .unwrap();
    log.add(&entry(vec![row(LABEL, 9, None)])).unwrap();
    let theirs = Filter {
        student: Some(LABEL.to_owned()),
        ..Filter::default()
    };
    assert_eq!(log.attempts(&theirs).unwrap().len(), 1);
}

#[test]
fn who_only_stands_in_what_was_taken_back_can_be_forgotten() {
    let here = folder();
    let path = here.path().join("practice.sqlite");
    let mut log = Log::open(&path).unwrap();
    log.set_student(&Student::named(LABEL), &when("2025-11-25"))
        .unwrap();
    log.undo().unwrap();
    assert!(log.students().unwrap().is_empty());
    drop(log);
    forget(&path, LABEL).unwrap();
    assert_eq!(holding(here.path(), LABEL), Vec::<PathBuf>::new());
    assert_eq!(Log::open_existing(&path).unwrap().redo(None).unwrap(), None);
}

#[test]
fn nobody_is_forgotten_while_the_log_is_in_use_or_damaged() {
    let (_here, path, _) = evening();
    let log = Log::open_existing(&path).unwrap();
    let fault = forget(&path, LABEL).unwrap_err();
    assert!(matches!(fault, LogError::InUse { .. }), "{fault}");
    assert_eq!(log.would_forget(LABEL).unwrap().rows, 4);
    drop(log);
    assert_eq!(backups(&path).unwrap().len(), 1);

    let mut bytes = fs::read(&path).unwrap();
    let label = LABEL.as_bytes();
    let places: Vec<usize> = (0..bytes.len() - label.len())
        .filter(|k| &bytes[*k..*k + label.len()] == label)
        .collect();
    // The student's row and the index over labels no longer agree.
    let at = places
        .into_iter()
        .find(|k| bytes[k + label.len()..].starts_with(b"left"))
        .expect("the student's row");
    bytes[at + label.len()..][..4].copy_from_slice(b"LEFT");
    fs::write(&path, &bytes).unwrap();
    let fault = forget(&path, LABEL).unwrap_err();
    assert!(matches!(fault, LogError::Damaged { .. }), "{fault}");
    assert_eq!(fs::read(&path).unwrap(), bytes);
    assert_eq!(backups(&path).unwrap().len(), 1, "the sound copy stays");
}

#[test]
fn forgetting_says_what_goes_and_asks() {
    let (here, path, codes) = evening();
    let before = fs::read(&path).unwrap();
    let run = |args: &[&str], code| said(program(&path).args(["log", "forget"]).args(args), code);
    let told = run(&[&LABEL[..LABEL.len() - 1], "--yes"], 2);
    assert!(told.contains(&format!("did you mean {LABEL}?")), "{told}");
    let told = run(&[LABEL], 2);
    for part in [
        "4 rows of 1 day (2025-11-25), 2 notes",
        "notes that stand with others too stay there: 1",
        &format!("3 sheets of their own: {}, {}", codes.own, codes.alone),
        "their part of 3 sheets that others use",
        "1 backup, in whose place a new one is made",
        "2 logs put aside at a restore",
        "Out of reach are exports",
        "nothing was forgotten",
        "--yes",
    ] {
        assert!(told.contains(part), "{part}: {told}");
    }
    assert_eq!(fs::read(&path).unwrap(), before);
    assert_eq!(backups(&path).unwrap().len(), 1);
    // What is not the program's own is named and left.
    let foreign = path
        .with_file_name("practice.sqlite.backups")
        .join("mine.csv");
    fs::write(&foreign, LABEL).unwrap();
    let told = run(&[LABEL, "--yes"], 0);
    assert!(
        told.ends_with(&format!("{LABEL} is forgotten.\n")),
        "{told}"
    );
    assert!(told.contains("Left alone, may hold some of it") && told.contains("mine.csv"));
    assert_eq!(holding(here.path(), LABEL), [foreign]);
    assert_eq!(
        (
            backups(&path).unwrap().len(),
            replaced(&path).unwrap().len()
        ),
        (1, 0)
    );
    let backup = Log::open_reading(&backups(&path).unwrap()[0]).unwrap();
    assert_eq!(export(&backup), export(&Log::open_reading(&path).unwrap()));
    assert!(run(&[LABEL, "--yes"], 2).contains("no student is called"));
}
