//! What was taken back can be put back; what is said twice is recorded once.

use thincut::log::{EntryKind, Filter, LogError, NewEntry, Student};
use thincut::units::Hand;

use crate::{all, attempt, entry, export, folder, ladder, new_log, when};

#[test]
fn what_was_taken_back_is_put_back_as_it_was() {
    let here = folder();
    let mut log = new_log(&here);
    let first = log.add(&entry(vec![attempt("A", 10, 6)])).unwrap().entry;
    let two = entry(vec![attempt("A", 5, 1), attempt("B", 5, 2)]);
    let second = log.add(&two).unwrap().entry;
    log.add(&entry(vec![attempt("B", 10, 9)])).unwrap();
    let before = export(&log);

    assert_eq!(log.redo(None).unwrap(), None, "nothing was taken back");
    let fault = log.redo(Some(first)).unwrap_err();
    assert!(matches!(fault, LogError::NotBack { .. }), "{fault}");
    log.undo_if(Some(first), |_| true).unwrap();
    log.undo_if(Some(second), |_| true).unwrap();
    assert_eq!(all(&log).len(), 1);
    assert_eq!(log.practice("A", None).unwrap().tries(), 0);

    let done = log.redo(Some(first)).unwrap().unwrap();
    assert_eq!(
        (done.entry, done.rows, done.attempts[0].made),
        (first, 1, 6)
    );
    let done = log.redo(None).unwrap().unwrap();
    assert_eq!(
        (done.entry, done.of),
        (second, vec!["A".to_owned(), "B".to_owned()])
    );
    assert_eq!(export(&log), before, "ids, order and all");
    assert_eq!(log.redo(None).unwrap(), None);
    // And again, as often as wanted.
    log.undo_if(Some(first), |_| true).unwrap();
    log.redo(Some(first)).unwrap();
    assert_eq!(export(&log), before);
}

#[test]
fn an_import_is_put_back_with_its_students_and_sheets() {
    let (here, there) = (folder(), folder());
    let mut log = new_log(&here);
    let code = log.save_sheet(&ladder(2)).unwrap();
    let mut row = attempt("A", 10, 6);
    (row.sheet, row.rung) = (Some(code), Some(1));
    log.add(&entry(vec![row])).unwrap();
    let file = export(&log);
    let mut copy = thincut::log::Log::open(&there.path().join("copy.sqlite")).unwrap();
    copy.import_csv(file.as_bytes(), &when("2025-12-01"), None)
        .unwrap();
    copy.undo().unwrap();
    assert!(copy.students().unwrap().is_empty() && copy.sheets().unwrap().is_empty());
    copy.redo(None).unwrap();
    assert_eq!(export(&copy), file);
}

#[test]
fn what_stands_again_or_has_lost_its_student_is_not_put_back() {
    let here = folder();
    let mut log = new_log(&here);
    let first = log.add(&entry(vec![attempt("A", 10, 6)])).unwrap().entry;
    log.undo().unwrap();
    let again = log.add(&entry(vec![attempt("A", 10, 6)])).unwrap().entry;
    let fault = log.redo(Some(first)).unwrap_err();
    assert!(matches!(fault, LogError::Stands { .. }), "{fault}");
    let text = fault.to_string();
    assert!(text.contains("in the log again"), "{text}");
    assert!(text.contains(&format!("entry {again}")), "{text}");
    assert_eq!(all(&log).len(), 1);
    log.undo().unwrap();
    // B, then A go too.
    log.undo().unwrap();
    log.undo().unwrap();
    let text = log.redo(Some(first)).unwrap_err().to_string();
    assert!(text.contains("student A is no more"), "{text}");
    // A student of the old number is somebody else.
    log.set_student(&Student::named("C"), &when("2025-12-01"))
        .unwrap();
    assert!(log.redo(Some(first)).is_err());
    log.set_student(&Student::named("A"), &when("2025-12-01"))
        .unwrap();
    log.redo(Some(first)).unwrap().unwrap();
    assert_eq!(all(&log)[0].student, "A");
}

#[test]
fn a_changed_student_is_put_back_unless_changed_since() {
    let here = folder();
    let mut log = new_log(&here);
    let handed = |hand| Student {
        hand: Some(hand),
        ..Student::named("A")
    };
    let changed = log
        .set_student(&handed(Hand::Left), &when("2025-12-01"))
        .unwrap()
        .entry;
    log.undo().unwrap();
    log.redo(Some(changed)).unwrap();
    assert_eq!(log.student("A").unwrap(), handed(Hand::Left));
    log.undo().unwrap();
    log.set_student(&handed(Hand::Right), &when("2025-12-02"))
        .unwrap();
    let text = log.redo(Some(changed)).unwrap_err().to_string();
    assert!(text.contains("not as before"), "{text}");
    assert_eq!(log.student("A").unwrap(), handed(Hand::Right));
}

#[test]
fn the_same_tally_is_recorded_once_unless_asked_again() {
    let here = folder();
    let mut log = new_log(&here);
    let said = |rows| NewEntry {
        kind: EntryKind::Add,
        ..entry(rows)
    };
    let first = log
        .add_once(&said(vec![attempt("A", 10, 6)]))
        .unwrap()
        .entry;
    // Another time of the same day is the same tally; one of several is enough to refuse.
    let mut later = attempt("A", 10, 6);
    later.when = when("2025-11-25T21:00:00+01:00");
    let fault = log
        .add_once(&said(vec![attempt("B", 10, 6), later.clone()]))
        .unwrap_err();
    assert!(fault.is_bad_input());
    assert!(matches!(fault, LogError::Already { .. }), "{fault}");
    let text = fault.to_string();
    assert!(text.contains(&format!("as entry {first}")), "{text}");
    assert!(
        text.contains("A 6 of 10") && text.contains("nothing was recorded"),
        "{text}"
    );
    assert_eq!(all(&log).len(), 1);
    log.add(&said(vec![later])).unwrap();
    // Another count, student, day, session or side is another tally.
    let change = |f: &dyn Fn(&mut thincut::log::Attempt)| {
        let mut row = attempt("A", 10, 6);
        f(&mut row);
        row
    };
    for row in [
        change(&|r| r.made = 5),
        change(&|r| r.student = "B".to_owned()),
        change(&|r| r.when = when("2025-11-26")),
        change(&|r| r.session = Some("late".to_owned())),
        change(&|r| r.misses = Some(thincut::log::MissSides::default())),
        change(&|r| r.shot.request.places.cut = Some("40deg".to_owned())),
    ] {
        log.add_once(&said(vec![row])).unwrap();
    }
    assert_eq!(log.attempts(&Filter::default()).unwrap().len(), 8);
}
