//! What the page keeps in the log: the shelf of shots, and the period of a student.

use thincut::log::{Log, LogError, NewShot, ShelfChange, ShelfShot, forget, salvage};

use super::{attempt, entry, export, folder, new_log, when};

fn new(name: &str, shot: &str) -> NewShot {
    NewShot {
        name: name.to_owned(),
        shot: shot.to_owned(),
    }
}

fn names(log: &Log) -> Vec<String> {
    let shots = log.shelf().expect("readable");
    shots.into_iter().map(|s| s.name).collect()
}

/// Three shots, of whom one is played by A.
fn shelf(log: &mut Log) -> Vec<ShelfShot> {
    let shots = vec![
        new(" Half ball ", "?cue=3,2.3&level=club"),
        new("Thin", "?cue=1,3.3&student=A&hand=left"),
        new("Far", "?cue=1,1&student=AB"),
    ];
    log.change_shelf(&ShelfChange::Add(shots)).expect("kept");
    log.shelf().expect("readable")
}

#[test]
fn shots_have_a_name_and_a_place() {
    let here = folder();
    let mut log = new_log(&here);
    let shots = shelf(&mut log);
    assert_eq!(names(&log), ["Half ball", "Thin", "Far"]);
    let change = |log: &mut Log, change| {
        log.change_shelf(&change).expect("changed");
        names(log)
    };
    let [first, second, third] = [0, 1, 2].map(|k: usize| shots[k].id);
    let now = change(&mut log, ShelfChange::Earlier(third));
    assert_eq!(now, ["Half ball", "Far", "Thin"]);
    let now = change(&mut log, ShelfChange::Later(first));
    assert_eq!(now, ["Far", "Half ball", "Thin"]);
    // At an end there is nowhere to go; what somebody else took away is gone as wanted.
    let now = change(&mut log, ShelfChange::Earlier(third));
    assert_eq!(now, ["Far", "Half ball", "Thin"]);
    let now = change(&mut log, ShelfChange::Remove(second));
    assert_eq!(now, ["Far", "Half ball"]);
    let now = change(&mut log, ShelfChange::Remove(second));
    assert_eq!(now, ["Far", "Half ball"]);
    let now = change(
        &mut log,
        ShelfChange::Rename(first, "Bread and butter".to_owned()),
    );
    assert_eq!(now, ["Far", "Bread and butter"]);
    // A number is not given again.
    change(&mut log, ShelfChange::Remove(third));
    change(&mut log, ShelfChange::Add(vec![new("New", "?cue=1,1")]));
    assert!(log.shelf().expect("readable")[1].id > third);
}

#[test]
fn what_cannot_be_kept_is_refused_whole() {
    let here = folder();
    let mut log = new_log(&here);
    shelf(&mut log);
    let refused = |log: &mut Log, change, wanted: &str| {
        let fault = log.change_shelf(&change).expect_err("refused");
        assert!(matches!(fault, LogError::Shelf { .. }), "{fault}");
        assert!(fault.to_string().contains(wanted), "{fault}");
        assert_eq!(names(log).len(), 3);
    };
    let two = |second| ShelfChange::Add(vec![new("Good", "?cue=1,1"), second]);
    refused(&mut log, two(new("Bad", "cue=1,1")), "question mark");
    refused(&mut log, two(new("Bad", "?cue=1,1\n")), "question mark");
    refused(&mut log, two(new("  ", "?cue=1,1")), "name");
    refused(&mut log, two(new(&"x".repeat(61), "?cue=1,1")), "1 to 60");
    refused(
        &mut log,
        ShelfChange::Rename(1, "a\nb".to_owned()),
        "one line",
    );
    let many = vec![new("One more", "?cue=1,1"); 198];
    refused(
        &mut log,
        ShelfChange::Add(many),
        "201 shots, and it holds 200",
    );
}

#[test]
fn a_period_is_asked_for_one_student() {
    let here = folder();
    let mut log = new_log(&here);
    let today = when("2025-11-25");
    assert_eq!(log.period_asked("A").expect("readable"), None);
    log.ask_period("A", Some("this month"), &today)
        .expect("kept");
    log.ask_period("A", Some("2025-10-01"), &today)
        .expect("kept");
    log.ask_period("B", Some("change"), &today).expect("kept");
    assert_eq!(
        log.period_asked("A").expect("readable").as_deref(),
        Some("2025-10-01")
    );
    log.ask_period("A", None, &today).expect("kept");
    assert_eq!(log.period_asked("A").expect("readable"), None);
    assert_eq!(
        log.period_asked("B").expect("readable").as_deref(),
        Some("change")
    );
    let unknown = log
        .ask_period("Z", Some("all"), &today)
        .expect_err("nobody");
    assert!(
        matches!(unknown, LogError::UnknownStudent { .. }),
        "{unknown}"
    );
    let soon = log
        .ask_period("A", Some("soon"), &today)
        .expect_err("no day");
    assert!(soon.to_string().starts_with("since: \"soon\""), "{soon}");
}

/// A student who is forgotten leaves neither a period nor a shot that names them; an export is of tries alone,
/// and what a salvage reads it does not take for a row.
#[test]
fn the_shelf_goes_with_nobody_and_hides_nobody() {
    let here = folder();
    let path = here.path().join("practice.sqlite");
    let mut log = new_log(&here);
    log.add(&entry(vec![attempt("A", 10, 4), attempt("B", 10, 6)]))
        .expect("recorded");
    let before = export(&log);
    shelf(&mut log);
    log.ask_period("A", Some("all"), &when("2025-11-25"))
        .expect("kept");
    assert_eq!(export(&log), before);
    drop(log);
    let copy = here.path().join("salvaged.sqlite");
    let found = salvage(&path, &copy, &when("2025-11-26")).expect("salvaged");
    assert_eq!((found.rows, found.lost), (2, 0), "{found:?}");
    forget(&path, "A").expect("forgotten");
    let log = Log::open_existing(&path).expect("a log");
    let shots: Vec<String> = log
        .shelf()
        .expect("readable")
        .into_iter()
        .map(|s| s.shot)
        .collect();
    assert_eq!(
        shots,
        [
            "?cue=3,2.3&level=club",
            "?cue=1,3.3&hand=left",
            "?cue=1,1&student=AB"
        ]
    );
    assert_eq!(log.period_asked("A").expect("readable"), None);
    let bytes = std::fs::read(&path).expect("a file");
    let says = |text: &str| bytes.windows(text.len()).any(|w| w == text.as_bytes());
    assert!(!says("student=A&"), "what was there is overwritten");
}
