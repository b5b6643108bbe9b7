//! CSV in and out.

use rand::{Rng, SeedableRng};
use rand_pcg::Pcg64Mcg;
use thincut::log::{
    Allowed, Attempt, Log, LogError, MissSides, Room, ShotEntered, Solved, Student, Windows,
    solve_entered,
};
use thincut::pocket::How;
use thincut::units::{Hand, Side};

use crate::{all, attempt, entry, export, folder, ladder, new_log, when};

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
    let room = |random: &mut Pcg64Mcg| {
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

/// 300 rows of everything a row may hold.
fn any_rows(code: &str) -> Vec<Attempt> {
    let mut random = Pcg64Mcg::seed_from_u64(7);
    (0..300)
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
                (row.sheet, row.rung) = (Some(code.to_owned()), Some(2));
            }
            row
        })
        .collect()
}

#[test]
fn csv_out_and_in_and_out_is_the_same_to_the_byte() {
    let (here, there) = (folder(), folder());
    let mut log = new_log(&here);
    let left = Student {
        hand: Some(Hand::Left),
        reach_mm: Some(0.1 + 699.2),
        ..Student::named("C")
    };
    log.set_student(&left, &when("2025-11-25")).unwrap();
    let code = log.save_sheet(&ladder(3)).unwrap();
    log.add(&entry(any_rows(&code))).unwrap();
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
        (undone.rows, undone.students.len(), undone.sheets.len()),
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
            .all(|r| r.windows.is_some() && r.cut == Side::Left)
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
