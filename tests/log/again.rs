//! Windows of an earlier edition of the solver: solved again once, whole, and never without a copy.

use std::fs;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};

use rusqlite::Connection;
use tempfile::TempDir;
use thincut::log::{
    Attempt, EntryKind, Filter, Log, NewEntry, SheetKind, SolvedAgain, solve_entered,
};

use crate::{attempt, folder, half_ball, new_log, when};

/// A log of the first edition.
const FIRST: &str = "tests/data/editions/first/practice.sqlite";

fn copy_of_first() -> (TempDir, PathBuf) {
    let folder = folder();
    let path = folder.path().join("practice.sqlite");
    fs::copy(FIRST, &path).unwrap();
    (folder, path)
}

fn rows(log: &Log) -> Vec<Attempt> {
    log.attempts(&Filter::default()).unwrap()
}

fn open(path: &Path) -> (Log, SolvedAgain) {
    Log::open_solved(path, &mut |_, _| {}).unwrap()
}

/// What solving the first edition's log again gives. Its own table is not beside it here.
fn as_solved() -> (Vec<Attempt>, SolvedAgain) {
    let (_folder, path) = copy_of_first();
    let (log, done) = open(&path);
    (rows(&log), done)
}

fn backups(path: &Path) -> Vec<String> {
    let names = thincut::log::backups(path).unwrap();
    names
        .iter()
        .map(|p| p.file_name().unwrap().to_str().unwrap().to_owned())
        .collect()
}

/// Marks rows and sheets as of an earlier edition, as a log of that time has them.
fn as_earlier(path: &Path, tables: &[&str]) {
    let file = Connection::open(path).unwrap();
    for table in tables {
        file.execute(&format!("UPDATE {table} SET edition = 1"), [])
            .unwrap();
    }
}

/// A row whose windows are wider than any solver says.
fn too_wide(student: &str) -> Attempt {
    let mut row = Attempt {
        windows: solved_now(),
        ..attempt(student, 10, 6)
    };
    let drop = row.windows.as_mut().unwrap().drop.as_mut().unwrap();
    drop.thick_deg *= 2.0;
    row
}

fn add(log: &mut Log, attempts: Vec<Attempt>) {
    let entry = NewEntry {
        kind: EntryKind::Add,
        recorded: when("2025-11-25"),
        attempts,
    };
    log.add(&entry).unwrap();
}

fn solved_now() -> Option<thincut::log::Windows> {
    solve_entered(&half_ball()).unwrap().windows
}

#[test]
fn a_run_that_is_cut_off_is_taken_up_by_the_next() {
    let (whole, _) = as_solved();
    let mut cut = 0;
    for after in [1, 5, 12] {
        let (_folder, path) = copy_of_first();
        let before = rows(&Log::open_reading(&path).unwrap());
        let mut log = Log::open_existing(&path).unwrap();
        let ended = catch_unwind(AssertUnwindSafe(|| {
            log.solve_again(&mut |gone, _| assert!(gone < after, "cut off"))
        }));
        assert!(ended.is_err());
        drop(log);
        // Each row is as it was or as it will be, and all of them can be read.
        let reading = Log::open_reading(&path).unwrap();
        let half = rows(&reading);
        for ((was, is), will) in before.iter().zip(&half).zip(&whole) {
            assert!(is == was || is == will);
        }
        assert!(reading.practice("K", None).unwrap().tries() > 0);
        cut += usize::from(half != whole && half != before);
        assert_eq!(reading.check().unwrap().problems, [""; 0]);
        drop(reading);
        let (log, rest) = open(&path);
        assert_eq!(rows(&log), whole);
        assert!(rest.shots > 0 && rest.stays);
    }
    assert!(cut > 0, "never half-way");
}

#[test]
fn two_programs_at_once_share_the_work() {
    let (whole, alone) = as_solved();
    let (_folder, path) = copy_of_first();
    // Not the schema's change, which is another matter.
    drop(Log::open_existing(&path).unwrap());
    let both: Vec<SolvedAgain> = std::thread::scope(|scope| {
        let run = || {
            let (log, done) = open(&path);
            assert_eq!(rows(&log), whole);
            done
        };
        [scope.spawn(run), scope.spawn(run)]
            .map(|thread| thread.join().unwrap())
            .into()
    });
    assert!(both.iter().any(|done| done.moved > 0));
    assert!(both.iter().all(|done| done.moved <= alone.moved));
    let log = Log::open_reading(&path).unwrap();
    assert_eq!(log.check().unwrap().problems, [""; 0]);
}

#[test]
fn without_a_copy_the_log_stays_as_it_is() {
    let (whole, _) = as_solved();
    let (folder, path) = copy_of_first();
    drop(Log::open_existing(&path).unwrap());
    let before = rows(&Log::open_reading(&path).unwrap());
    // Where the backups' folder should be lies a file.
    let place = folder.path().join("practice.sqlite.backups");
    fs::remove_dir_all(&place).unwrap();
    fs::write(&place, "").unwrap();
    for _ in 0..2 {
        let (log, done) = open(&path);
        assert!(!done.stays && done.backup.is_none() && done.moved > 0);
        assert_eq!(rows(&log), whole, "read as solved again");
        assert_eq!(rows(&Log::open_reading(&path).unwrap()), before);
    }
    fs::remove_file(&place).unwrap();
    let (_, done) = open(&path);
    assert!(done.stays);
    let [copy] = &backups(&path)[..] else {
        panic!("{:?}", backups(&path));
    };
    assert!(copy.ends_with("-solver-1.sqlite"), "{copy}");
    let copy = Log::open_reading(&done.backup.unwrap()).unwrap();
    assert_eq!(rows(&copy), before);
}

#[test]
fn the_fits_before_and_after_are_those_of_the_windows() {
    let (_folder, path) = copy_of_first();
    let spread = |log: &Log, label: &str| {
        let practice = log.practice(label, None).unwrap();
        thincut::log::known(label, &practice, &thincut::log::Since::Everything)
            .ok()
            .map(|known| known.fit.scale.value)
    };
    let log = Log::open_reading(&path).unwrap();
    let before: Vec<Option<f64>> = ["K", "L"].map(|label| spread(&log, label)).into();
    drop(log);
    let (log, done) = open(&path);
    for (label, before) in ["K", "L"].iter().zip(before) {
        let moved = done.fits.iter().find(|fit| fit.student == *label).unwrap();
        assert_eq!(moved.before, before);
        assert_eq!(moved.after, spread(&log, label));
        assert_ne!(moved.before, moved.after);
    }
}

#[test]
fn new_rows_are_of_this_edition() {
    let here = folder();
    let mut log = new_log(&here);
    let row = Attempt {
        windows: solved_now(),
        ..attempt("A", 10, 6)
    };
    add(&mut log, vec![row]);
    let mut sheet = thincut::log::Sheet::of_shots(
        SheetKind::Ladder,
        "half-ball".to_owned(),
        vec![(None, half_ball())],
    )
    .unwrap();
    let code = log.save_sheet(&sheet).unwrap();
    let kept = sheet
        .attempts(&code, &tally("A 5/10"), &when("2025-11-25"), None)
        .unwrap();
    add(&mut log, kept);
    let file = "student,when,gear,cut,apart,to_pocket,tries,made\nB,2025-11-25,pool-9ft,half-ball,4ft,3ft,10,6\n";
    let solver = |shot: &_| solve_entered(shot).map_err(|e| e.to_string());
    log.import_csv(file.as_bytes(), &when("2025-11-25"), Some(&solver))
        .unwrap();
    assert!(!log.has_earlier().unwrap());
    // Tries at a sheet that an earlier edition drew up come with its windows.
    sheet.rungs[0].windows = too_wide("A").windows;
    let code = log.save_sheet(&sheet).unwrap();
    as_earlier(log.path(), &["sheet"]);
    let kept = sheet
        .attempts(&code, &tally("A 5/10"), &when("2025-11-25"), None)
        .unwrap();
    add(&mut log, kept);
    assert!(log.has_earlier().unwrap());
    let done = log.solve_again(&mut |_, _| {}).unwrap();
    assert_eq!((done.shots, done.moved), (1, 1));
    assert!(rows(&log).iter().all(|row| row.windows == solved_now()));
}

fn tally(text: &str) -> Vec<thincut::log::TallyRow> {
    thincut::log::read_tally(text, &["A", "B"]).unwrap()
}

#[test]
fn what_was_taken_back_is_solved_again_when_it_is_put_back() {
    let here = folder();
    let mut log = new_log(&here);
    add(&mut log, vec![too_wide("A")]);
    as_earlier(log.path(), &["attempt"]);
    log.undo().unwrap().unwrap();
    assert!(!log.has_earlier().unwrap());
    log.redo(None).unwrap().unwrap();
    assert_eq!(log.solve_again(&mut |_, _| {}).unwrap().moved, 1);
    assert_eq!(rows(&log)[0].windows, solved_now());
    // And what is of this edition stays so.
    log.undo().unwrap().unwrap();
    log.redo(None).unwrap().unwrap();
    assert!(!log.has_earlier().unwrap());
}

#[test]
fn a_table_that_is_not_there_is_looked_for_again() {
    let here = folder();
    let mut log = new_log(&here);
    let table = here.path().join("hall.toml");
    let mut row = too_wide("A");
    row.shot.gear = table.display().to_string();
    let windows = row.windows.clone();
    add(&mut log, vec![row, too_wide("B")]);
    as_earlier(log.path(), &["attempt"]);
    let done = log.solve_again(&mut |_, _| {}).unwrap();
    assert_eq!((done.moved, done.unsolved), (1, 1));
    assert!(done.why.unwrap().contains("hall.toml"));
    assert_eq!(rows(&log)[0].windows, windows);
    let made = backups(log.path()).len();
    let done = log.solve_again(&mut |_, _| {}).unwrap();
    assert_eq!((done.shots, done.unsolved, done.backup), (0, 1, None));
    assert_eq!(backups(log.path()).len(), made);
    fs::write(&table, "name = \"hall\"\nbase = \"pool-9ft\"\n").unwrap();
    let done = log.solve_again(&mut |_, _| {}).unwrap();
    assert_eq!((done.moved, done.unsolved), (1, 0));
    assert_eq!(rows(&log)[0].windows, solved_now());
    assert!(!log.has_earlier().unwrap());
}

#[test]
fn what_other_balls_took_a_part_of_keeps_its_windows() {
    let here = folder();
    let mut log = new_log(&here);
    let mut rung = thincut::log::Sheet::of_shots(
        SheetKind::Ladder,
        "past a ball".to_owned(),
        vec![(None, half_ball())],
    )
    .unwrap();
    // A ball on one side moves the aim to the middle of what it leaves.
    let windows = rung.rungs[0].windows.as_mut().unwrap();
    windows.cut_deg += 0.4;
    let code = log.save_sheet(&rung).unwrap();
    let kept = rung
        .attempts(&code, &tally("A 5/10"), &when("2025-11-25"), None)
        .unwrap();
    add(&mut log, kept.clone());
    as_earlier(log.path(), &["attempt", "sheet"]);
    let done = log.solve_again(&mut |_, _| {}).unwrap();
    assert_eq!((done.shots, done.past_balls, done.backup), (0, 1, None));
    assert_eq!(rows(&log)[0].windows, kept[0].windows);
    assert!(!log.has_earlier().unwrap(), "once");
}

#[test]
fn a_damaged_row_stays_known_as_damaged() {
    let here = folder();
    let mut log = new_log(&here);
    add(&mut log, vec![too_wide("A"), too_wide("A"), too_wide("B")]);
    as_earlier(log.path(), &["attempt"]);
    let file = Connection::open(log.path()).unwrap();
    file.execute("UPDATE attempt SET made = 7 WHERE number = 2", [])
        .unwrap();
    log.solve_again(&mut |_, _| {}).unwrap();
    assert!(!log.has_earlier().unwrap());
    let problems = log.check().unwrap().problems;
    assert_eq!(problems.len(), 1, "{problems:?}");
    assert!(problems[0].contains("does not match its checksum"));
    assert!(log.practice("B", None).is_ok());
}
