//! What a row may be, periods, and taking entries back.

use thincut::log::{
    Attempt, EntryKind, Filter, LogError, MissSides, NewEntry, ShotEntered, Student, Undoing, When,
    Windows, solve_entered,
};
use thincut::pocket::How;
use thincut::units::{Hand, Side};

use crate::{all, attempt, entry, folder, half_ball, ladder, new_log, when};

/// Two solvings of one edge agree to this, degrees: far below any aim, well above the
/// root finder's 1e-12 rad.
const SAME_EDGE_DEG: f64 = 1e-9;

#[test]
fn a_row_keeps_the_windows_the_shot_had() {
    let gear = thincut::gear::Gear::preset("pool-9ft").unwrap();
    let shot = half_ball().request.shot(&gear).unwrap();
    let window = thincut::window::solve(&gear, &shot)
        .unwrap()
        .window
        .unwrap();
    let solved = solve_entered(&half_ball()).unwrap();
    let windows = solved.windows.unwrap();
    assert_eq!(solved.cut, Side::Left);
    assert!((windows.cut_deg - 30.0).abs() < SAME_EDGE_DEG);
    // A left cut: fuller is counter-clockwise, so the drop window runs from −thin to thick.
    let drop = windows.drop.unwrap();
    let (first, last) = (windows.allowed[0], *windows.allowed.last().unwrap());
    assert!((first.from_deg + drop.thin_deg).abs() < SAME_EDGE_DEG);
    assert!((last.to_deg - drop.thick_deg).abs() < SAME_EDGE_DEG);
    let (lo, hi) = window.clean.unwrap().interval_rad();
    let clean = windows
        .allowed
        .iter()
        .find(|a| a.how == How::Clean)
        .unwrap();
    assert!((clean.from_deg - lo.to_degrees()).abs() < SAME_EDGE_DEG);
    assert!((clean.to_deg - hi.to_degrees()).abs() < SAME_EDGE_DEG);

    let mut row = attempt("A", 10, 6);
    assert!(row.observation().is_none(), "no window, nothing to fit");
    row.windows = Some(windows);
    row.misses = Some(MissSides {
        thin: 3,
        ..MissSides::default()
    });
    let observation = row.observation().unwrap();
    observation.check(1).unwrap();
    let sides = observation.sides.unwrap();
    assert_eq!((sides.full, sides.thin, sides.other), (0, 3, 1));
}

#[test]
fn left_and_right_come_from_where_the_balls_lie() {
    let mut shot = half_ball();
    shot.request.places.cut_side = Some("right".to_owned());
    assert_eq!(solve_entered(&shot).unwrap().cut, Side::Right);
    // Out of reach: the object ball would have to come back towards the cue ball.
    let mut back = ShotEntered {
        gear: "pool-9ft".to_owned(),
        ..ShotEntered::default()
    };
    back.request.places.cue = Some("2,1".to_owned());
    back.request.places.object = Some("5,2".to_owned());
    for (pocket, cut) in [("head-left", Side::Left), ("head-right", Side::Right)] {
        back.request.places.pocket = Some(pocket.to_owned());
        let solved = solve_entered(&back).unwrap();
        assert_eq!(solved.windows, None);
        assert_eq!(solved.cut, cut, "{pocket}");
    }
}

#[test]
fn rows_that_cannot_be_are_refused_by_name() {
    let folder = folder();
    let mut log = new_log(&folder);
    let change = |f: &dyn Fn(&mut Attempt)| {
        let mut row = attempt("A", 10, 6);
        f(&mut row);
        row
    };
    let cases: [(Attempt, &str); 9] = [
        (change(&|r| r.made = 11), "11 made of 10 tries"),
        (change(&|r| r.tries = 0), "0 tries"),
        (
            change(&|r| {
                r.misses = Some(MissSides {
                    full: 3,
                    short: 2,
                    ..MissSides::default()
                });
            }),
            "5 misses noted",
        ),
        (
            change(&|r| r.student = "A B".to_owned()),
            "\"A B\" is no label",
        ),
        (
            change(&|r| r.shot.request.places.apart = None),
            "incomplete",
        ),
        (change(&|r| r.note = Some("a\u{0}b".to_owned())), "note"),
        (change(&|r| r.rung = Some(2)), "no sheet"),
        (change(&|r| r.sheet = Some("K7K".to_owned())), "K7K"),
        (
            change(&|r| {
                r.windows = Some(Windows {
                    cue_travel_mm: f64::NAN,
                    ..Windows::default()
                });
            }),
            "finite",
        ),
    ];
    for (row, wanted) in cases {
        let before = all(&log).len();
        let fault = log.add(&entry(vec![attempt("A", 1, 1), row])).unwrap_err();
        assert!(matches!(fault, LogError::Row { row: 2, .. }), "{fault}");
        assert!(fault.to_string().contains(wanted), "{fault} lacks {wanted}");
        assert_eq!(all(&log).len(), before);
    }
    let fault = log.add(&entry(vec![attempt("a", 1, 1)])).unwrap_err();
    assert!(fault.to_string().contains("did you mean A?"), "{fault}");
    assert!(matches!(log.add(&entry(Vec::new())), Err(LogError::Empty)));
}

#[test]
fn dates_are_rfc_3339() {
    for good in [
        "2025-11-25",
        "2024-02-29",
        "2025-11-25T19:30:00Z",
        "2025-11-25T19:30:00.25-05:00",
    ] {
        assert_eq!(when(good).to_string(), good);
        assert_eq!(when(good).day(), &good[..10]);
    }
    for bad in [
        "",
        "today",
        "2025-02-29",
        "2025-13-01",
        "20251125",
        "2025-11-25T19:30:00",
        "2025-11-25 19:30:00Z",
        "25-11-2025",
        "2025-11-25T25:00:00Z",
        "2025-11-25T",
        "2025-W48-2",
        "2025-11-2\u{661}",
    ] {
        let fault = bad.parse::<When>().unwrap_err();
        assert!(fault.to_string().contains("2025-11-25T19:30"), "{fault}");
    }
}

#[test]
fn periods_go_by_the_day_as_written() {
    let folder = folder();
    let mut log = new_log(&folder);
    for (k, text) in [
        "2025-11-18",
        "2025-11-25T23:30:00-05:00",
        "2025-11-26T03:00:00Z",
        "2025-12-02",
    ]
    .into_iter()
    .enumerate()
    {
        let mut row = attempt(["A", "B"][k % 2], 10, 1 + u32::try_from(k).unwrap());
        row.when = when(text);
        row.session = Some(format!("s{k}"));
        log.add(&entry(vec![row])).unwrap();
    }
    let made = |filter: Filter| -> Vec<u32> {
        log.attempts(&filter)
            .unwrap()
            .iter()
            .map(|a| a.made)
            .collect()
    };
    let period = |since: Option<&str>, until: Option<&str>| Filter {
        since: since.map(when),
        until: until.map(when),
        ..Filter::default()
    };
    assert_eq!(made(period(Some("2025-11-25"), None)), [2, 3, 4]);
    assert_eq!(made(period(None, Some("2025-11-25"))), [1, 2]);
    assert_eq!(made(period(Some("2025-11-26"), Some("2025-11-26"))), [3]);
    // 23:30 at −5 h is 04:30 UTC, after 03:00 UTC; rows without a time go by their day.
    assert_eq!(made(period(Some("2025-11-26T04:00:00Z"), None)), [2, 4]);
    assert_eq!(
        made(Filter {
            student: Some("B".to_owned()),
            ..Filter::default()
        }),
        [2, 4]
    );
    assert_eq!(
        made(Filter {
            session: Some("s2".to_owned()),
            ..Filter::default()
        }),
        [3]
    );
}

#[test]
fn undo_takes_back_whole_entries_and_says_which() {
    let folder = folder();
    let mut log = new_log(&folder);
    let code = log.save_sheet(&ladder(1)).unwrap();
    log.add(&entry(vec![attempt("A", 10, 6)])).unwrap();
    let two = NewEntry {
        kind: EntryKind::Enter,
        ..entry(vec![attempt("A", 5, 1), attempt("B", 5, 2)])
    };
    log.add(&two).unwrap();
    let left = Student {
        label: "A".to_owned(),
        hand: Some(Hand::Left),
        reach_mm: Some(700.0),
    };
    log.set_student(&left, &when("2025-11-25")).unwrap();
    assert_eq!(log.student("A").unwrap(), left);

    let undone = log.undo().unwrap().unwrap();
    assert_eq!(
        (undone.kind, undone.restored),
        (EntryKind::Student, vec!["A".to_owned()])
    );
    assert_eq!(log.student("A").unwrap(), Student::named("A"));

    let undone = log.undo().unwrap().unwrap();
    assert_eq!(undone.kind, EntryKind::Enter);
    assert_eq!(
        undone.attempts.iter().map(|a| a.made).collect::<Vec<_>>(),
        [1, 2]
    );
    assert_eq!(all(&log).len(), 1);

    assert_eq!(log.undo().unwrap().unwrap().attempts[0].made, 6);
    assert_eq!(log.undo().unwrap().unwrap().students, ["B"]);
    assert_eq!(log.undo().unwrap().unwrap().students, ["A"]);
    assert_eq!(log.undo().unwrap(), None);
    assert!(log.students().unwrap().is_empty());
    assert_eq!(
        log.find_sheet(&code).unwrap().1,
        ladder(1),
        "a printed sheet stays"
    );
}

#[test]
fn labels_are_kept_apart() {
    let folder = folder();
    let mut log = new_log(&folder);
    let fault = log
        .set_student(&Student::named("a"), &when("2025-11-25"))
        .unwrap_err();
    assert!(matches!(fault, LogError::LabelTaken { .. }), "{fault}");
    for bad in ["", "A B", "A,B", "ABCDEFGHIJKLM", "A/1"] {
        assert!(
            log.set_student(&Student::named(bad), &when("2025-11-25"))
                .is_err(),
            "{bad}"
        );
    }
    let far = Student {
        reach_mm: Some(f64::NAN),
        ..Student::named("C")
    };
    assert!(log.set_student(&far, &when("2025-11-25")).is_err());
    assert_eq!(log.students().unwrap().len(), 2);
}

#[test]
fn undo_of_an_entry_takes_rows_only_and_asks_first() {
    let folder = folder();
    let mut log = new_log(&folder);
    let first = log.add(&entry(vec![attempt("A", 10, 6)])).unwrap().entry;
    log.add(&entry(vec![attempt("B", 10, 3)])).unwrap();
    // Not agreed to: it stays, and what it holds was shown.
    let left = log.undo_if(Some(first), |u| u.attempts.is_empty()).unwrap();
    let Undoing::Left(shown) = left else {
        panic!("{left:?}");
    };
    assert_eq!((shown.entry, shown.attempts[0].made), (first, 6));
    assert_eq!(all(&log).len(), 2);
    let done = log.undo_if(Some(first), |_| true).unwrap();
    assert!(matches!(done, Undoing::Done(_)), "{done:?}");
    assert_eq!(all(&log).len(), 1);
    // Gone is gone, and what others rest on stays.
    let fault = log.undo_if(Some(first), |_| true).unwrap_err();
    assert!(matches!(fault, LogError::NoEntry { .. }), "{fault}");
    let student_a = 1;
    let fault = log.undo_if(Some(student_a), |_| true).unwrap_err();
    assert!(
        fault.to_string().contains("take those back first"),
        "{fault}"
    );
    assert!(fault.is_bad_input());
    assert_eq!(log.students().unwrap().len(), 2);
}
