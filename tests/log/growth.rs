//! Logs that have grown: read in pieces, added up as they are read, and brought from older schemas.

use thincut::files::guarded;
use thincut::log::{Filter, Log, LogError, MissSides, NewEntry, Practice, SHOWN_ROWS, Student};

use crate::{all, attempt, entry, export, folder, new_log, when};

/// Rows of two students at a few shots on a few evenings, some with sides, some without a window.
fn evenings(rows: u32) -> NewEntry {
    let solved = thincut::log::solve_entered(&crate::half_ball()).expect("a shot");
    entry(
        (0..rows)
            .map(|k| {
                let mut row = attempt(["A", "B"][(k % 2) as usize], 10, k % 7 + 1);
                let day = 1 + k / 5 % 28;
                row.when = when(&format!("2025-11-{day:02}"));
                row.windows = (k % 11 != 0).then(|| {
                    let mut windows = solved.windows.clone().expect("it has one");
                    windows.cue_travel_mm += f64::from(k % 3);
                    windows
                });
                row.misses = (k % 4 == 0).then(|| MissSides {
                    full: 1,
                    thin: 2,
                    ..MissSides::default()
                });
                row.note = Some(format!("row {k}"));
                row
            })
            .collect(),
    )
}

#[test]
fn practice_added_up_in_the_database_is_that_of_the_rows() {
    let here = folder();
    let mut log = new_log(&here);
    log.add(&evenings(400)).unwrap();
    for label in ["A", "B"] {
        let filter = |since: Option<&str>| Filter {
            student: Some(label.to_owned()),
            since: since.map(when),
            ..Filter::default()
        };
        for since in [None, Some("2025-11-14"), Some("2025-11-14T00:00:00Z")] {
            let rows = log.attempts(&filter(since)).unwrap();
            let of_rows = Practice::of(&rows);
            let counted = log.practice(label, since.map(when).as_ref()).unwrap();
            assert_eq!(counted.observations(), of_rows.observations());
            assert_eq!(counted.by_day(), of_rows.by_day());
            assert_eq!(
                (counted.days(), counted.tries()),
                (of_rows.days(), of_rows.tries())
            );
            // As many as there are kinds of row, not rows.
            assert!(counted.tried().len() < rows.len());
            assert!(counted.shots().len() <= 4, "{}", counted.shots().len());
        }
    }
    assert!(matches!(
        log.practice("C", None),
        Err(LogError::UnknownStudent { .. })
    ));
}

#[test]
fn the_last_rows_are_those_that_pass_the_filter() {
    let here = folder();
    let mut log = new_log(&here);
    log.add(&evenings(50)).unwrap();
    let filter = Filter {
        student: Some("B".to_owned()),
        until: Some(when("2025-11-08")),
        ..Filter::default()
    };
    let whole = log.attempts(&filter).unwrap();
    for last in [0, 1, 7, 1000] {
        let mut rows = Vec::new();
        log.each_attempt(&filter, Some(last), |row| {
            rows.push(row);
            Ok::<(), LogError>(())
        })
        .unwrap();
        assert_eq!(rows, whole[whole.len().saturating_sub(last)..]);
    }
}

#[test]
fn a_large_entry_is_shown_by_its_first_rows() {
    let here = folder();
    let mut log = new_log(&here);
    log.add(&evenings(300)).unwrap();
    let undone = log.undo().unwrap().unwrap();
    assert_eq!((undone.rows, undone.attempts.len()), (300, SHOWN_ROWS));
    assert_eq!(undone.of, ["A", "B"]);
}

#[test]
fn faults_of_a_file_are_gathered_up_to_a_thousand() {
    let here = folder();
    let mut log = new_log(&here);
    let mut file = String::from("student,when,gear,tries,made\n");
    for _ in 0..5000 {
        file.push_str("A,never,pool-9ft,10,6\n");
    }
    let fault = log
        .import_csv(file.as_bytes(), &when("2025-12-01"), None)
        .unwrap_err();
    let LogError::Import(faults) = fault else {
        panic!("{fault}");
    };
    assert_eq!(faults.len(), 1001);
    assert!(faults[1000].problem.contains("reading ended here"));
}

/// A log as schema 1 had it, written by the program of that time.
#[test]
fn a_log_of_schema_1_is_brought_to_the_newest() {
    let here = folder();
    let path = here.path().join("old.sqlite");
    std::fs::copy("tests/data/editions/first/practice.sqlite", &path).unwrap();
    let old = std::fs::read_to_string("tests/data/editions/first/export.csv").unwrap();
    let mut log = Log::open_existing(&path).unwrap();
    let same = guarded_rows(&old);
    assert_eq!(
        export(&log),
        same,
        "as the program of that time exported it"
    );
    for student in log.students().unwrap() {
        let filter = Filter {
            student: Some(student.label.clone()),
            ..Filter::default()
        };
        let rows = log.attempts(&filter).unwrap();
        let practice = log.practice(&student.label, None).unwrap();
        assert_eq!(practice.observations(), Practice::of(&rows).observations());
    }
    // And is written to like a new one.
    log.set_student(&Student::named("New"), &when("2025-12-01"))
        .unwrap();
    log.add(&entry(vec![attempt("New", 10, 6)])).unwrap();
    log.undo().unwrap();
    log.redo(None).unwrap();
    assert_eq!(log.practice("New", None).unwrap().tries(), 10);
    assert_eq!(all(&log).len(), rows_in(&old) + 1);
}

/// The file with its cells guarded, which the first edition did not do.
pub(super) fn guarded_rows(csv: &str) -> String {
    let mut rows = csv::ReaderBuilder::new()
        .has_headers(false)
        .from_reader(csv.as_bytes());
    let mut out = csv::Writer::from_writer(Vec::new());
    for row in rows.records() {
        let row = row.expect("whole");
        let cells = row.iter().map(|cell| guarded(cell).into_owned());
        out.write_record(cells.collect::<Vec<_>>()).expect("a Vec");
    }
    String::from_utf8(out.into_inner().expect("a Vec")).expect("text")
}

fn rows_in(csv: &str) -> usize {
    csv.lines().filter(|l| l.starts_with("attempt,")).count()
}
