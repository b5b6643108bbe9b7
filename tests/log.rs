//! The practice log: nothing lost, nothing twice, nothing overwritten.

use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use rand::{Rng, SeedableRng};
use rand_pcg::Pcg64Mcg;
use tempfile::TempDir;
use thincut::log::code::{ALPHABET, CodeError, make_code, read_code};
use thincut::log::{
    Allowed, Attempt, EntryKind, Filter, Hand, Log, LogError, MissSides, NewEntry, Room, Rung,
    Sheet, SheetKind, ShotEntered, Solved, Student, TallyRow, When, Windows, read_tally,
    solve_entered,
};
use thincut::player::Cut;
use thincut::pocket::How;

const PROGRAM: &str = env!("CARGO_BIN_EXE_thincut");

/// Times a writer is killed.
const KILLS: u32 = 200;

/// Two solvings of one edge agree to this, degrees: far below any aim, well above the
/// root finder's 1e-12 rad.
const SAME_EDGE_DEG: f64 = 1e-9;

fn when(text: &str) -> When {
    text.parse().expect("a date")
}

fn folder() -> TempDir {
    tempfile::tempdir().expect("a folder")
}

fn new_log(folder: &TempDir) -> Log {
    let mut log = Log::open(&folder.path().join("practice.sqlite")).expect("a new log");
    for label in ["A", "B"] {
        log.set_student(&Student::named(label), &when("2025-11-25"))
            .expect("a student");
    }
    log
}

fn half_ball() -> ShotEntered {
    let mut shot = ShotEntered {
        gear: "pool-9ft".to_owned(),
        ..ShotEntered::default()
    };
    let places = &mut shot.request.places;
    places.cut = Some("half-ball".to_owned());
    places.apart = Some("4ft".to_owned());
    places.to_pocket = Some("3ft".to_owned());
    shot
}

fn attempt(student: &str, tries: u32, made: u32) -> Attempt {
    Attempt {
        id: None,
        student: student.to_owned(),
        when: when("2025-11-25"),
        session: None,
        sheet: None,
        rung: None,
        shot: half_ball(),
        cut: Cut::Left,
        tries,
        made,
        misses: None,
        windows: None,
        note: None,
    }
}

fn entry(attempts: Vec<Attempt>) -> NewEntry {
    NewEntry {
        kind: EntryKind::Add,
        recorded: when("2025-11-25T20:00:00+01:00"),
        attempts,
    }
}

fn all(log: &Log) -> Vec<Attempt> {
    log.attempts(&Filter::default()).expect("readable")
}

fn export(log: &Log) -> String {
    let mut bytes = Vec::new();
    log.export_csv(&Filter::default(), &mut bytes)
        .expect("written");
    String::from_utf8(bytes).expect("text")
}

fn ladder(rungs: usize) -> Sheet {
    let solved = solve_entered(&half_ball()).expect("a shot");
    Sheet {
        kind: SheetKind::Ladder,
        title: "Tuesday".to_owned(),
        rungs: (0..rungs)
            .map(|_| Rung {
                student: None,
                shot: half_ball(),
                cut: solved.cut,
                windows: solved.windows.clone(),
            })
            .collect(),
    }
}

// ---- rows -------------------------------------------------------------------------------------

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
    assert_eq!(solved.cut, Cut::Left);
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
    assert_eq!(solve_entered(&shot).unwrap().cut, Cut::Right);
    // Out of reach: the object ball would have to come back towards the cue ball.
    let mut back = ShotEntered {
        gear: "pool-9ft".to_owned(),
        ..ShotEntered::default()
    };
    back.request.places.cue = Some("2,1".to_owned());
    back.request.places.object = Some("5,2".to_owned());
    for (pocket, cut) in [("head-left", Cut::Left), ("head-right", Cut::Right)] {
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

// ---- undo -------------------------------------------------------------------------------------

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

// ---- CSV --------------------------------------------------------------------------------------

/// Any finite number, tiny and huge ones included.
fn any_number(random: &mut Pcg64Mcg) -> f64 {
    loop {
        let x = f64::from_bits(random.random());
        if x.is_finite() {
            return x;
        }
    }
}

fn any_text(random: &mut Pcg64Mcg) -> Option<String> {
    const PIECES: [&str; 10] = ["a", "\"", ",", "é", "=1+1", "'", ";", " b", "日", "\\"];
    let count = random.random_range(0..6);
    let text: String = (0..count)
        .map(|_| PIECES[random.random_range(0..PIECES.len())])
        .collect();
    Some(text).filter(|t| !t.trim().is_empty())
}

fn any_windows(random: &mut Pcg64Mcg) -> Windows {
    let mut edges: Vec<f64> = (0..2 * random.random_range(0..4))
        .map(|_| any_number(random))
        .collect();
    edges.sort_by(f64::total_cmp);
    let mut room = |random: &mut Pcg64Mcg| {
        random.random_bool(0.7).then(|| Room {
            thick_deg: any_number(random),
            thin_deg: any_number(random),
        })
    };
    Windows {
        clean: room(random),
        direct: room(random),
        drop: room(random),
        cue_travel_mm: any_number(random).abs().max(f64::MIN_POSITIVE),
        cut_deg: random.random_range(0.0..90.0),
        cue_speed_m_s: -0.0,
        allowed: edges
            .chunks(2)
            .filter(|e| e[0] < e[1])
            .map(|e| Allowed {
                how: [How::Clean, How::Jaw, How::Rail][random.random_range(0..3)],
                from_deg: e[0],
                to_deg: e[1],
            })
            .collect(),
    }
}

#[test]
fn csv_out_and_in_and_out_is_the_same_to_the_byte() {
    let mut random = Pcg64Mcg::seed_from_u64(7);
    let (here, there) = (folder(), folder());
    let mut log = new_log(&here);
    let left = Student {
        hand: Some(Hand::Left),
        reach_mm: Some(0.1 + 699.2),
        ..Student::named("C")
    };
    log.set_student(&left, &when("2025-11-25")).unwrap();
    let code = log.save_sheet(&ladder(3)).unwrap();
    let rows: Vec<Attempt> = (0..300)
        .map(|k| {
            let mut row = attempt(["A", "B", "C"][k % 3], 10, random.random_range(0..6));
            row.windows = random.random_bool(0.8).then(|| any_windows(&mut random));
            row.note = any_text(&mut random);
            row.session = any_text(&mut random);
            row.shot.set = if k % 5 == 0 {
                vec!["a=1".to_owned(), "b=\"x\"".to_owned()]
            } else {
                Vec::new()
            };
            row.misses = random.random_bool(0.5).then(|| MissSides {
                full: 2,
                not_seen: 1,
                ..MissSides::default()
            });
            if k % 7 == 0 {
                (row.sheet, row.rung) = (Some(code.clone()), Some(2));
            }
            row
        })
        .collect();
    log.add(&entry(rows)).unwrap();
    let file = export(&log);

    let mut copy = Log::open(&there.path().join("copy.sqlite")).unwrap();
    let done = copy
        .import_csv(file.as_bytes(), &when("2025-12-01"), None)
        .unwrap();
    assert_eq!((done.added, done.known), (300, 0));
    assert_eq!(
        (done.students.len(), done.sheets.as_slice()),
        (3, &[code][..])
    );
    assert_eq!(export(&copy), file);
    assert_eq!(all(&copy), all(&log));
    assert_eq!(copy.students().unwrap(), log.students().unwrap());

    let again = copy
        .import_csv(file.as_bytes(), &when("2025-12-02"), None)
        .unwrap();
    assert_eq!((again.entry, again.added, again.known), (None, 0, 300));
    assert_eq!(export(&copy), file);

    let undone = copy.undo().unwrap().unwrap();
    assert_eq!(
        (
            undone.attempts.len(),
            undone.students.len(),
            undone.sheets.len()
        ),
        (300, 3, 1)
    );
    assert!(all(&copy).is_empty() && copy.students().unwrap().is_empty());
}

const BY_HAND: &str = "\
student,when,gear,cut,apart,to_pocket,cut_direction,tries,made,thin
A,2025-11-25,pool-9ft,half-ball,4ft,3ft,,10,6,3
D,2025-11-25,pool-9ft,half-ball,4ft,3ft,,10,6,
A,2025-11-25,pool-9ft,half-ball,4ft,3ft,left,10,6,3
";

fn solver(shot: &ShotEntered) -> Result<Solved, String> {
    solve_entered(shot).map_err(|e| e.to_string())
}

#[test]
fn a_file_made_by_hand_is_solved_and_taken_in_once() {
    let folder = folder();
    let mut log = new_log(&folder);
    let with_mark = format!("\u{feff}{}", BY_HAND.replace('\n', "\r\n"));
    let done = log
        .import_csv(with_mark.as_bytes(), &when("2025-11-26"), Some(&solver))
        .unwrap();
    assert_eq!(
        (done.added, done.students.as_slice()),
        (3, &["D".to_owned()][..])
    );
    let rows = all(&log);
    assert!(
        rows.iter()
            .all(|r| r.windows.is_some() && r.cut == Cut::Left)
    );
    assert_ne!(rows[0].id, rows[2].id, "the same again is a second go");
    let again = log
        .import_csv(BY_HAND.as_bytes(), &when("2025-11-27"), Some(&solver))
        .unwrap();
    assert_eq!((again.entry, again.known), (None, 3));
    // One row more in the same file: only that one is new.
    let longer = format!("{BY_HAND}B,2025-11-25,pool-9ft,half-ball,4ft,3ft,,10,2,\n");
    let more = log
        .import_csv(longer.as_bytes(), &when("2025-11-27"), Some(&solver))
        .unwrap();
    assert_eq!((more.added, more.known), (1, 3));
}

#[test]
fn an_import_with_faults_changes_nothing_and_names_every_line() {
    let folder = folder();
    let mut log = new_log(&folder);
    log.add(&entry(vec![attempt("A", 10, 6)])).unwrap();
    let before = export(&log);
    let file = format!(
        "{BY_HAND}A,2025-13-25,pool-9ft,half-ball,4ft,3ft,left,10,6,\n\
         A,2025-11-25,pool-9ft,half-ball,4ft,3ft,left,10,66,\n\
         A,2025-11-25,pool-9ft,half-ball,4ft\n\
         A,2025-11-25,pool-nine,half-ball,4ft,3ft,left,10,6,\n\
         A,2025-11-25,pool-9ft,half-ball,1mm,3ft,left,10,6,\n\
         A,2025-11-25,pool-9ft,half-ball,4ft,3ft,right,10,6,\n\
         b,2025-11-25,pool-9ft,half-ball,4ft,3ft,left,10,6,\n\
         A,2025-11-25,pool-9ft,half-ball,4ft,3ft,left,ten,6,\n"
    );
    let fault = log
        .import_csv(file.as_bytes(), &when("2025-11-26"), Some(&solver))
        .unwrap_err();
    let LogError::Import(lines) = &fault else {
        panic!("{fault}");
    };
    assert_eq!(
        lines.iter().map(|l| l.line).collect::<Vec<_>>(),
        [5, 6, 7, 8, 9, 10, 11, 12]
    );
    let text = fault.to_string();
    for part in [
        "2025-13-25",
        "66 made of 10",
        "5 cells",
        "pool-nine",
        "cuts left",
        "mistaken for B",
        "\"ten\"",
    ] {
        assert!(text.contains(part), "{text} lacks {part}");
    }
    assert_eq!(export(&log), before);
    assert!(
        log.student("D").is_err(),
        "students of the good lines are not kept either"
    );
}

#[test]
fn headers_and_changed_rows_are_checked() {
    let folder = folder();
    let mut log = new_log(&folder);
    log.add(&entry(vec![attempt("A", 10, 6)])).unwrap();
    let file = export(&log);
    let import = |log: &mut Log, text: &[u8]| {
        log.import_csv(text, &when("2025-11-26"), None)
            .map_err(|e| e.to_string())
    };
    for (text, wanted) in [
        (String::new(), "empty"),
        (file.replace("record", "recrod"), "did you mean record?"),
        (file.replace(",note,", ",made,"), "twice"),
        (
            "student,when\nA,2025-11-25\n".to_owned(),
            "\"gear\" is missing",
        ),
        (file.replace(",10,6,", ",10,7,"), "made = \"6\", not \"7\""),
        (
            format!("{file}{}\n", file.lines().last().unwrap()),
            "stands in line 4 already",
        ),
        (
            file.replace("student,,A,,", "student,,A,left,"),
            "another hand",
        ),
        (file.replace("student,,A,,", "pupil,,A,,"), "\"pupil\""),
    ] {
        let fault = import(&mut log, text.as_bytes()).unwrap_err();
        assert!(
            fault.contains(wanted) && fault.contains("line "),
            "{fault} lacks {wanted}"
        );
    }
    let mut broken = file.clone().into_bytes();
    broken.extend_from_slice(b"\xff\xfe\n");
    assert!(import(&mut log, &broken).unwrap_err().contains("UTF-8"));
    assert_eq!(export(&log), file);
}

// ---- codes and tallies ------------------------------------------------------------------------

/// ISO 2108:1992 (ISBN-10) promises it for modulus 11; here it is tried out for 31.
#[test]
fn every_single_slip_in_a_code_is_noticed() {
    let alphabet: Vec<char> = ALPHABET.iter().map(|b| char::from(*b)).collect();
    assert!("0O1IL".chars().all(|c| !alphabet.contains(&c)));
    let short = (0..31 * 31).map(|n| make_code(n, 2));
    let long = (0..400_u64)
        .map(|n| make_code(n.wrapping_mul(0x9e37_79b9_7f4a_7c15), 4 + (n % 7) as usize));
    for code in short.chain(long) {
        assert_eq!(read_code(&code.to_lowercase()).as_ref(), Ok(&code));
        let chars: Vec<char> = code.chars().collect();
        for k in 0..chars.len() {
            for other in alphabet.iter().filter(|c| **c != chars[k]) {
                let mut wrong = chars.clone();
                wrong[k] = *other;
                let wrong: String = wrong.into_iter().collect();
                assert!(
                    matches!(read_code(&wrong), Err(CodeError::Mistyped { .. })),
                    "{code} {wrong}"
                );
            }
            if k > 0 && chars[k - 1] != chars[k] {
                let mut swapped = chars.clone();
                swapped.swap(k - 1, k);
                assert!(read_code(&swapped.into_iter().collect::<String>()).is_err());
            }
        }
    }
    for bad in ["", "K", "K0Q", "KÄQ", "2222222222222"] {
        assert!(read_code(bad).is_err(), "{bad}");
    }
}

#[test]
fn sheets_keep_their_codes() {
    let (here, there) = (folder(), folder());
    let mut log = new_log(&here);
    let mut codes: Vec<String> = (1..=60)
        .map(|n| log.save_sheet(&ladder(n)).unwrap())
        .collect();
    assert_eq!(
        log.save_sheet(&ladder(7)).unwrap(),
        codes[6],
        "the same sheet, the same code"
    );
    let (code, sheet) = log.find_sheet(&codes[2].to_lowercase()).unwrap();
    assert_eq!((&code, &sheet), (&codes[2], &ladder(3)));
    codes.sort();
    codes.dedup();
    assert_eq!(codes.len(), 60);
    let mut other = new_log(&there);
    assert!(matches!(
        other.find_sheet(&code),
        Err(LogError::UnknownSheet { .. })
    ));
    assert_eq!(
        other.save_sheet(&ladder(1)).unwrap(),
        log.save_sheet(&ladder(1)).unwrap()
    );
    let mut twice = ladder(2);
    twice.kind = SheetKind::Marks;
    assert!(matches!(
        log.save_sheet(&twice),
        Err(LogError::Sheet { .. })
    ));
}

#[test]
fn tallies_are_read_as_they_are_jotted_down() {
    let row = |rung, student: &str, made, tries, misses| TallyRow {
        rung,
        student: student.to_owned(),
        made,
        tries,
        misses,
    };
    let thin = Some(MissSides {
        thin: 3,
        ..MissSides::default()
    });
    let people = ["A", "B", "Bo-1"];
    for (line, wanted) in [
        (
            "A 6/10, B 4/10 thin 3",
            vec![row(None, "A", 6, 10, None), row(None, "B", 4, 10, thin)],
        ),
        (
            "  A 6 / 10 ,Bo-1 0/5  ",
            vec![row(None, "A", 6, 10, None), row(None, "Bo-1", 0, 5, None)],
        ),
        (
            "3: A 6/10, B 4/10; 4: A 2/10",
            vec![
                row(Some(3), "A", 6, 10, None),
                row(Some(3), "B", 4, 10, None),
                row(Some(4), "A", 2, 10, None),
            ],
        ),
        (
            "A 1/10 full 1 thin 2 short 1 scratch 2 unseen 3",
            vec![row(
                None,
                "A",
                1,
                10,
                Some(MissSides {
                    full: 1,
                    thin: 2,
                    short: 1,
                    scratch: 2,
                    not_seen: 3,
                }),
            )],
        ),
    ] {
        assert_eq!(read_tally(line, &people).unwrap(), wanted, "{line}");
    }
}

#[test]
fn a_wrong_tally_is_shown_back_with_the_place() {
    let people = ["A", "B", "Bobby"];
    for (line, marks, says) in [
        ("A 6/10, C 4/10", "        ^", "students are A, B, Bobby"),
        ("A 6/10, Boby 4/10", "        ^^^^", "did you mean Bobby?"),
        ("A 6/10, B 14/10", "          ^^^^^", "14 made of 10 tries"),
        (
            "A 6/10 thin 3 full 2",
            "       ^^^^^^^^^^^^^",
            "5 misses noted",
        ),
        ("A 6/0", "  ^^^", "0 tries"),
        ("A 6", "   ^", "ends where"),
        ("A 6-10", "  ^^^^", "\"6-10\" is not a count"),
        ("A 6/10 B 4/10", "       ^", "comma before the next student"),
        ("A 6/10,", "       ^", "a student's label"),
        ("", "^", "a student's label"),
        ("x: A 6/10", "^", "number of a rung"),
        ("A 6/10, A 5/10", "        ^", "twice"),
        ("A 6/10 thin 1 thin 1", "              ^^^^", "twice"),
        ("Ä 6/10", "^", "no student is called Ä"),
        ("A 6/99999999999", "    ^^^^^^^^^^^", "number of tries"),
    ] {
        let text = read_tally(line, &people).unwrap_err().to_string();
        let lines: Vec<&str> = text.lines().collect();
        assert!(lines[0].contains(says), "{text} lacks {says}");
        assert_eq!(lines[1], format!("  {line}"));
        assert_eq!(lines[2], format!("  {marks}"), "{text}");
    }
}

#[test]
fn a_tally_finds_its_rung_or_mark() {
    let (when, students) = (when("2025-11-25"), ["A", "B"]);
    let rows = |line: &str| read_tally(line, &students).unwrap();
    let five = ladder(5);
    let found = five
        .attempts("K7K", &rows("3: A 6/10; 5: B 1/4"), &when, Some("s"))
        .unwrap();
    assert_eq!(
        found.iter().map(|a| a.rung).collect::<Vec<_>>(),
        [Some(3), Some(5)]
    );
    assert!(
        found
            .iter()
            .all(|a| a.windows.is_some() && a.session.as_deref() == Some("s"))
    );
    for (line, wanted) in [
        ("A 6/10", "3: A 6/10"),
        ("6: A 6/10", "rungs run from 1 to 5"),
    ] {
        let fault = five.attempts("K7K", &rows(line), &when, None).unwrap_err();
        assert!(fault.to_string().contains(wanted), "{fault}");
    }
    assert_eq!(
        ladder(1)
            .attempts("K7K", &rows("A 6/10"), &when, None)
            .unwrap()[0]
            .rung,
        Some(1)
    );
    let mut marks = ladder(2);
    marks.kind = SheetKind::Marks;
    marks.rungs[0].student = Some("C".to_owned());
    marks.rungs[1].student = Some("B".to_owned());
    assert_eq!(
        marks.attempts("K7K", &rows("B 6/10"), &when, None).unwrap()[0].rung,
        Some(2)
    );
    let fault = marks
        .attempts("K7K", &rows("A 6/10"), &when, None)
        .unwrap_err();
    assert!(fault.to_string().contains("marks are for C, B"), "{fault}");
}

// ---- places and broken files ------------------------------------------------------------------

#[test]
fn places_that_cannot_be_written_are_named() {
    let folder = folder();
    let file = folder.path().join("file");
    fs::write(&file, "x").unwrap();
    // The tests may run as root, whom no mode stops: a file as folder, a folder as file, and the
    // kernel's own folder stop everybody.
    let places: [PathBuf; 4] = [
        file.join("practice.sqlite"),
        folder.path().to_owned(),
        folder.path().join("none/practice.sqlite"),
        PathBuf::from("/proc/practice.sqlite"),
    ];
    for place in places {
        let fault = Log::open(&place).unwrap_err();
        let text = fault.to_string();
        assert!(
            matches!(
                fault,
                LogError::CannotOpen { .. } | LogError::ReadOnly { .. }
            ),
            "{text}"
        );
        assert!(
            text.contains(&place.display().to_string()) && text.contains("--log"),
            "{text}"
        );
        assert!(!fault.is_bad_input());
    }
    let missing = folder.path().join("none.sqlite");
    assert!(matches!(
        Log::open_existing(&missing),
        Err(LogError::Missing(_))
    ));
    assert!(!missing.exists());
}

fn refused(path: &Path) -> LogError {
    let before = fs::read(path).unwrap();
    let fault = Log::open(path).unwrap_err();
    assert_eq!(
        fs::read(path).unwrap(),
        before,
        "{fault}: the file was changed"
    );
    fault
}

#[test]
fn other_files_and_newer_logs_are_left_alone() {
    let folder = folder();
    let path = folder.path().join("x.sqlite");
    fs::write(&path, "student,tries\nA,10\n").unwrap();
    assert!(matches!(refused(&path), LogError::NotALog { .. }));

    fs::remove_file(&path).unwrap();
    let other = rusqlite::Connection::open(&path).unwrap();
    other
        .execute_batch("CREATE TABLE song (name TEXT);")
        .unwrap();
    drop(other);
    assert!(matches!(refused(&path), LogError::NotALog { .. }));

    let mut log = new_log(&folder);
    log.add(&entry(vec![attempt("A", 10, 6)])).unwrap();
    let path = log.path().to_owned();
    drop(log);
    let later = rusqlite::Connection::open(&path).unwrap();
    later.pragma_update(None, "user_version", 99).unwrap();
    drop(later);
    let fault = refused(&path);
    assert!(
        matches!(fault, LogError::Newer { found: 99, .. }),
        "{fault}"
    );
    assert!(fault.to_string().contains("update thincut"), "{fault}");
}

/// Every page damaged in turn: the log is refused, or reads as it was; it never reads otherwise.
#[test]
fn a_damaged_log_is_refused_and_never_misread() {
    let folder = folder();
    let mut log = new_log(&folder);
    let code = log.save_sheet(&ladder(2)).unwrap();
    for k in 0..40 {
        let mut row = attempt("A", 10, k % 10);
        row.note = Some(format!("note {k}"));
        row.sheet = Some(code.clone());
        log.add(&entry(vec![row])).unwrap();
    }
    let good = all(&log);
    let path = log.path().to_owned();
    // The last one to close brings the journal into the file.
    drop(log);
    let bytes = fs::read(&path).unwrap();
    let copy = folder.path().join("copy.sqlite");
    let mut random = Pcg64Mcg::seed_from_u64(11);
    let (mut refusals, mut tried) = (0, 0);
    for at in (0..bytes.len()).step_by(97) {
        let mut damaged = bytes.clone();
        let end = (at + 16).min(damaged.len());
        random.fill(&mut damaged[at..end]);
        fs::write(&copy, &damaged).unwrap();
        tried += 1;
        match Log::open(&copy).and_then(|log| log.attempts(&Filter::default())) {
            Ok(rows) => assert_eq!(rows, good, "misread after damage at byte {at}"),
            Err(fault) => {
                refusals += 1;
                assert!(
                    matches!(
                        fault,
                        LogError::Damaged { .. }
                            | LogError::NotALog { .. }
                            | LogError::Newer { .. }
                            | LogError::Io { .. }
                            | LogError::Database { .. }
                    ),
                    "{fault}"
                );
            }
        }
        for beside in ["copy.sqlite-wal", "copy.sqlite-shm"] {
            let _ = fs::remove_file(folder.path().join(beside));
        }
    }
    assert!(refusals > tried / 4, "{refusals} of {tried}");

    for length in [100, 4096, bytes.len() / 2, bytes.len() - 4096] {
        fs::write(&copy, &bytes[..length]).unwrap();
        let fault = refused(&copy);
        assert!(
            matches!(fault, LogError::Damaged { .. }),
            "{length}: {fault}"
        );
    }
    // Emptied, with the journal still there.
    fs::write(&copy, "").unwrap();
    fs::write(folder.path().join("copy.sqlite-wal"), "journal").unwrap();
    assert!(matches!(refused(&copy), LogError::Damaged { .. }));
    assert!(folder.path().join("copy.sqlite-wal").exists());
}

// ---- processes --------------------------------------------------------------------------------

fn program(log: &Path) -> Command {
    let mut command = Command::new(PROGRAM);
    command
        .env("THINCUT_LOG", log)
        .env_remove("THINCUT_GEAR")
        .env_remove("THINCUT_UNITS")
        .current_dir(log.parent().expect("a folder"));
    command
}

fn enter(log: &Path, code: &str, session: &str) -> Child {
    program(log)
        .args([
            "log",
            "enter",
            code,
            "-",
            "--session",
            session,
            "--when",
            "2025-11-25",
        ])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("the program starts")
}

/// Rows of a session by their number of tries, which the tests use as a serial number.
fn serials(log: &Log, session: &str) -> Vec<u32> {
    let filter = Filter {
        session: Some(session.to_owned()),
        ..Filter::default()
    };
    log.attempts(&filter)
        .expect("readable")
        .iter()
        .map(|a| a.tries)
        .collect()
}

#[test]
fn two_processes_writing_at_once_lose_nothing() {
    const LINES: u32 = 60;
    let folder = folder();
    let mut log = new_log(&folder);
    let code = log.save_sheet(&ladder(1)).unwrap();
    let path = log.path().to_owned();
    let mut writers: Vec<Child> = ["one", "two"]
        .iter()
        .map(|s| enter(&path, &code, s))
        .collect();
    for writer in &mut writers {
        let tallies: String = (1..=LINES).map(|n| format!("A 0/{n}, B 0/{n}\n")).collect();
        writer
            .stdin
            .take()
            .unwrap()
            .write_all(tallies.as_bytes())
            .unwrap();
    }
    // A third writer, here.
    for n in 1..=LINES {
        let mut row = attempt("A", n, 0);
        row.session = Some("three".to_owned());
        log.add(&entry(vec![row])).unwrap();
    }
    for mut writer in writers {
        let mut said = String::new();
        writer
            .stdout
            .take()
            .unwrap()
            .read_to_string(&mut said)
            .unwrap();
        assert!(writer.wait().unwrap().success());
        assert_eq!(said.lines().count(), LINES as usize);
    }
    let twice: Vec<u32> = (1..=LINES).flat_map(|n| [n, n]).collect();
    assert_eq!(serials(&log, "one"), twice);
    assert_eq!(serials(&log, "two"), twice);
    assert_eq!(serials(&log, "three"), (1..=LINES).collect::<Vec<_>>());
}

#[test]
fn a_writer_killed_in_the_middle_loses_no_recorded_entry() {
    let folder = folder();
    let mut log = new_log(&folder);
    let code = log.save_sheet(&ladder(1)).unwrap();
    let path = log.path().to_owned();
    // Nobody keeps it open: each time the log is opened again after the kill.
    drop(log);
    let mut random = Pcg64Mcg::seed_from_u64(23);
    let (mut entries, mut cut_short) = (0, 0);
    for kill in 0..KILLS {
        let session = format!("kill {kill}");
        let mut writer = enter(&path, &code, &session);
        let mut input = writer.stdin.take().unwrap();
        let tallies: String = (1..=400).map(|n| format!("A 0/{n}, B 0/{n}\n")).collect();
        let feeding = std::thread::spawn(move || {
            // The reader is killed: the rest of the tallies has nowhere to go.
            let _ = input.write_all(tallies.as_bytes());
        });
        let mut said = BufReader::new(writer.stdout.take().unwrap()).lines();
        let before = random.random_range(0..6);
        let mut acknowledged = (0..before).filter(|_| said.next().is_some()).count();
        std::thread::sleep(Duration::from_micros(random.random_range(0..3000)));
        writer.kill().unwrap();
        writer.wait().unwrap();
        feeding.join().unwrap();
        acknowledged += said
            .map_while(Result::ok)
            .filter(|l| l.ends_with("undo"))
            .count();

        let log = Log::open_existing(&path).expect("readable after the kill");
        let kept = serials(&log, &session);
        let whole = kept.len() / 2;
        let wanted: Vec<u32> = (1..=400).flat_map(|n| [n, n]).take(2 * whole).collect();
        assert_eq!(kept, wanted, "entries in order, both rows or none");
        assert!(
            whole >= acknowledged,
            "{acknowledged} acknowledged, {whole} kept"
        );
        // Tallies go in one by one: at most one can be recorded and not yet told.
        assert!(
            whole <= acknowledged + 1,
            "{acknowledged} acknowledged, {whole} kept"
        );
        entries += whole;
        cut_short += usize::from(whole < 400);
    }
    assert_eq!(
        cut_short, KILLS as usize,
        "every writer was killed before it was done"
    );
    assert!(entries > KILLS as usize / 2, "{entries} entries in all");
}

/// A limit on file size makes writing fail where a failing disk would.
#[cfg(unix)]
#[test]
fn a_write_that_fails_is_told_and_leaves_the_log_whole() {
    let folder = folder();
    let mut log = new_log(&folder);
    log.add(&entry(vec![attempt("A", 10, 6)])).unwrap();
    let path = log.path().to_owned();
    let before = export(&log);
    drop(log);
    let rows: String = (0..2000)
        .map(|n| format!("A,2025-11-25,pool-9ft,30deg,4ft,3ft,left,10,6,{n}\n"))
        .collect();
    let file = folder.path().join("big.csv");
    fs::write(
        &file,
        format!("student,when,gear,cut,apart,to_pocket,cut_direction,tries,made,note\n{rows}"),
    )
    .unwrap();
    let done = Command::new("sh")
        .args([
            "-c",
            "trap '' XFSZ; ulimit -f 256; exec \"$0\" log import big.csv",
            PROGRAM,
        ])
        .env("THINCUT_LOG", &path)
        .current_dir(folder.path())
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&done.stderr).into_owned();
    assert_eq!(done.status.code(), Some(1), "{said}");
    assert!(
        said.contains("failed") && said.contains("not recorded"),
        "{said}"
    );
    let log = Log::open_existing(&path).unwrap();
    assert_eq!(export(&log), before);
}

fn said(command: &mut Command, code: i32) -> (String, String) {
    let done = command.output().expect("the program starts");
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    let (out, err) = (text(&done.stdout), text(&done.stderr));
    assert_eq!(
        done.status.code(),
        Some(code),
        "stdout: {out}\nstderr: {err}"
    );
    (out, err)
}

#[test]
fn an_evening_from_the_command_line() {
    let folder = folder();
    let path = folder.path().join("evening.sqlite");
    let shot = ["--cut", "half-ball", "--apart", "4ft", "--to-pocket", "3ft"];
    let run = |args: &[&str], code| said(program(&path).arg("log").args(args), code);
    assert!(run(&["list"], 2).1.contains("no log at"));
    run(
        &["students", "set", "A", "--hand", "left", "--reach", "700mm"],
        0,
    );
    assert_eq!(run(&["students"], 0).0, "A, left-handed, reach 700 mm\n");
    let (_, err) = run(&[&["add", "B 6/10"], &shot[..]].concat(), 2);
    assert!(
        err.contains("no student is called B") && err.contains("  ^"),
        "{err}"
    );
    run(&["students", "set", "B"], 0);
    let (out, _) = run(
        &[
            &["add", "A 6/10 thin 3, B 4/10", "--when", "2025-11-25"],
            &shot[..],
        ]
        .concat(),
        0,
    );
    assert!(out.contains("A 6 of 10 (thin 3); B 4 of 10"), "{out}");
    assert!(
        run(
            &[&["add", "A 6/10", "--when", "tuesday"], &shot[..]].concat(),
            2
        )
        .1
        .contains("tuesday")
    );
    assert!(
        run(
            &[&["add", "A 6/10", "--gear", "pool-nine"], &shot[..]].concat(),
            2
        )
        .1
        .contains("pool-nine")
    );

    let list: serde_json::Value =
        serde_json::from_str(&run(&["list", "--format", "json"], 0).0).unwrap();
    assert_eq!(list["attempts"][0]["thin"], 3);
    assert_eq!(list["attempts"][1]["student"], "B");
    assert!(list["attempts"][0]["drop_thick_deg"].as_f64().unwrap() > 0.0);

    let (csv, _) = run(&["export"], 0);
    run(&["export", "copy.csv"], 0);
    assert_eq!(
        fs::read_to_string(folder.path().join("copy.csv")).unwrap(),
        csv
    );
    assert!(run(&["export", "copy.csv"], 2).1.contains("--force"));
    assert!(
        run(&["import", "copy.csv"], 0)
            .0
            .contains("2 rows were in the log already")
    );
    assert!(run(&["import", "none.csv"], 2).1.contains("none.csv"));
    assert!(
        run(&["undo"], 0)
            .0
            .contains("A 6 of 10 (thin 3); B 4 of 10")
    );
    run(&["import", "copy.csv"], 0);
    assert_eq!(run(&["export"], 0).0, csv);
    assert!(
        run(&["list", "--student", "C"], 2)
            .1
            .contains("no student is called C")
    );

    let code = Log::open(&path).unwrap().save_sheet(&ladder(3)).unwrap();
    run(
        &["enter", &code.to_lowercase(), "3: A 2/5, B 1/5 short 1"],
        0,
    );
    assert!(run(&["enter", "222", "A 2/5"], 2).1.contains("222"));
    assert!(run(&["enter", &code, "3: A 7/5"], 2).1.contains("^^^"));
    assert!(
        run(&["list", "--last", "1"], 0)
            .0
            .contains(&format!("{code} 3"))
    );
}

/// A slip in one line costs that line only.
#[test]
fn lines_of_tallies_are_recorded_one_by_one() {
    let folder = folder();
    let mut log = new_log(&folder);
    let code = log.save_sheet(&ladder(1)).unwrap();
    let mut writer = program(log.path());
    let mut writer = writer
        .args(["log", "enter", &code, "-"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    writer
        .stdin
        .take()
        .unwrap()
        .write_all(b"A 1/2\n\nB 3/2\nB 1/2\n")
        .unwrap();
    let done = writer.wait_with_output().unwrap();
    assert_eq!(done.status.code(), Some(2));
    let err = String::from_utf8_lossy(&done.stderr).into_owned();
    assert!(
        err.contains("line 2: 3 made of 2") && err.contains("1 of 3 tallies"),
        "{err}"
    );
    assert_eq!(all(&log).len(), 2);
}
