//! What is asked of a shot is kept, whatever it is.

use std::fs;

use thincut::columns::Columns;
use thincut::inside::log::connection;
use thincut::log::{Attempt, Log, LogError, ShotEntered, salvage};
use thincut::request::{PlacesRequest, ShotRequest, StrokeRequest};

use crate::care::said;
use crate::processes::program;
use crate::{all, attempt, entry, export, folder, half_ball, new_log, when};

fn with(student: &str, ask: impl FnOnce(&mut StrokeRequest)) -> Attempt {
    let mut shot = half_ball();
    ask(&mut shot.request.stroke);
    Attempt {
        shot,
        ..attempt(student, 10, 6)
    }
}

fn tip_high() -> Attempt {
    with("A", |stroke| stroke.tip = Some("a tip high".to_owned()))
}

fn arrives_stun() -> Attempt {
    with("A", |stroke| {
        stroke.arrives = Some("stun".to_owned());
        stroke.side = Some("0.3".to_owned());
    })
}

fn asked(log: &Log) -> Vec<ShotRequest> {
    all(log).into_iter().map(|a| a.shot.request).collect()
}

/// Every field that a request has, by its name, filled with that name.
fn everything() -> ShotRequest {
    let (places, stroke) = (
        Columns::of::<PlacesRequest>(),
        Columns::of::<StrokeRequest>(),
    );
    let fields = places.names().chain(stroke.names());
    let filled = fields.map(|name| (name.to_owned(), format!("{name} of it").into()));
    let filled = serde_json::Value::Object(filled.collect());
    let request: ShotRequest = serde_json::from_value(filled.clone()).unwrap();
    assert_eq!(serde_json::to_value(&request).unwrap(), filled);
    request
}

#[test]
fn every_text_of_a_shot_goes_through_log_and_file() {
    let folder = folder();
    let mut log = new_log(&folder);
    let row = Attempt {
        shot: ShotEntered {
            request: everything(),
            ..half_ball()
        },
        ..attempt("A", 10, 6)
    };
    log.add(&entry(vec![row])).unwrap();
    assert_eq!(asked(&log), [everything()]);
    let file = export(&log);
    let mut copy = Log::open(&folder.path().join("copy.sqlite")).unwrap();
    let done = copy.import_csv(file.as_bytes(), &when("2025-11-26"), None);
    assert_eq!(done.unwrap().added, 1);
    assert_eq!(asked(&copy), [everything()]);
    assert_eq!(export(&copy), file);
    // The same row once more is known, not a second one.
    let again = copy.import_csv(file.as_bytes(), &when("2025-11-26"), None);
    assert_eq!(again.unwrap().known, 1);
    // As JSON has it.
    let json = serde_json::to_value(&all(&log)[0]).unwrap();
    assert_eq!(json["tip"], "tip of it");
    assert_eq!(json["to_pocket"], "to-pocket of it");
}

#[test]
fn strokes_tell_shots_apart_and_come_back() {
    let folder = folder();
    let mut log = new_log(&folder);
    let once = |row: Attempt| entry(vec![row]);
    log.add_once(&once(attempt("A", 10, 6))).unwrap();
    // The same tally at the same places, but another stroke: not the same tries told twice.
    log.add_once(&once(tip_high())).unwrap();
    log.add_once(&once(arrives_stun())).unwrap();
    assert!(matches!(
        log.add_once(&once(tip_high())),
        Err(LogError::Already { .. })
    ));
    let before = asked(&log);
    assert_eq!(before[1].stroke.tip.as_deref(), Some("a tip high"));
    assert_eq!(before[2].stroke.arrives.as_deref(), Some("stun"));
    assert_eq!(log.practice("A", None).unwrap().shots().len(), 3);
    log.undo().unwrap();
    log.redo(None).unwrap();
    assert_eq!(asked(&log), before);
    // What a salvage reads out of the pages has them too.
    let (path, new) = (log.path().to_owned(), folder.path().join("new.sqlite"));
    drop(log);
    let mut bytes = fs::read(&path).unwrap();
    bytes[..4096].fill(0);
    fs::write(&path, bytes).unwrap();
    let done = salvage(&path, &new, &when("2025-11-26")).unwrap();
    assert_eq!((done.rows, done.lost), (3, 0));
    assert_eq!(asked(&Log::open_existing(&new).unwrap()), before);
}

/// A file has no column that none of its rows needs, so that earlier versions read it.
#[test]
fn a_file_has_the_columns_that_its_rows_need() {
    let folder = folder();
    let mut log = new_log(&folder);
    log.add(&entry(vec![attempt("A", 10, 6)])).unwrap();
    let head = |log: &Log| export(log).lines().next().unwrap().to_owned();
    let first = head(&log);
    assert!(first.ends_with(",note,sheet_body"), "{first}");
    log.add(&entry(vec![tip_high()])).unwrap();
    assert_eq!(head(&log), first.replace(",sheet_body", ",tip,sheet_body"));
    // Decimal commas are those of quantities.
    let file = "student;when;gear;cut;apart;to_pocket;tip;tries;made;cut_direction\n\
        A;2025-11-25;pool-9ft;half-ball;1,2m;900mm;6,5mm low;5;3;left\n";
    log.import_csv(file.as_bytes(), &when("2025-11-26"), None)
        .unwrap();
    let last = asked(&log).pop().unwrap();
    assert_eq!(last.stroke.tip.as_deref(), Some("6.5mm low"));
}

/// Schema 2 is this one without the column of later texts, editions of the solver and what the page keeps.
#[test]
fn a_log_of_schema_2_is_brought_to_the_newest() {
    let folder = folder();
    let mut log = new_log(&folder);
    log.add(&entry(vec![attempt("A", 10, 6)])).unwrap();
    log.add(&entry(vec![attempt("B", 10, 7)])).unwrap();
    let whole = export(&log);
    log.undo().unwrap();
    connection(&log)
        .execute_batch(
            "ALTER TABLE attempt DROP COLUMN later; ALTER TABLE attempt_back DROP COLUMN later;
             DROP INDEX attempt_earlier; DROP TABLE windows_before; DROP TABLE shelf; DROP TABLE period;
             ALTER TABLE attempt DROP COLUMN edition; ALTER TABLE attempt_back DROP COLUMN edition;
             ALTER TABLE sheet DROP COLUMN edition; ALTER TABLE sheet_back DROP COLUMN edition;
             PRAGMA user_version = 2;",
        )
        .unwrap();
    let path = log.path().to_owned();
    drop(log);
    let mut log = Log::open_existing(&path).unwrap();
    log.redo(None).unwrap();
    assert_eq!(export(&log), whole);
    log.add(&entry(vec![tip_high()])).unwrap();
    assert!(export(&log).contains("a tip high"));
    assert!(log.check().unwrap().problems.is_empty());
}

/// Rows that say something of a shot that is not known here are not read as if they did not.
#[test]
fn a_text_of_a_later_version_is_said() {
    let folder = folder();
    let mut log = new_log(&folder);
    log.add(&entry(vec![tip_high()])).unwrap();
    connection(&log)
        .execute_batch(r#"UPDATE attempt SET later = '{"polish":"much"}'"#)
        .unwrap();
    let fault = log.attempts(&thincut::log::Filter::default()).unwrap_err();
    assert!(
        matches!(&fault, LogError::NewerRow { text, .. } if text == "polish"),
        "{fault}"
    );
    assert!(fault.to_string().contains("update thincut"), "{fault}");
    // Changed by hand, a text does not match its row's checksum.
    connection(&log)
        .execute_batch(r#"UPDATE attempt SET later = '{"tip":"a tip low"}'"#)
        .unwrap();
    let fault = log.attempts(&thincut::log::Filter::default()).unwrap_err();
    assert!(matches!(fault, LogError::Damaged { .. }), "{fault}");
}

/// A score sheet of rungs with a stroke says it, so that what is filled in is of those shots.
#[test]
fn a_score_sheet_says_where_the_tip_strikes() {
    let folder = folder();
    let path = folder.path().join("practice.sqlite");
    let run = |args: &[&str]| said(program(&path).args(args), 0);
    let sheet = run(&[
        "ladder",
        "--level",
        "club",
        "--rungs",
        "2",
        "--tip",
        "half a tip right",
        "--format",
        "csv",
    ]);
    let mut rows = csv::Reader::from_reader(sheet.as_bytes());
    let names = rows.headers().unwrap().clone();
    let mut filled = csv::Writer::from_path(folder.path().join("filled.csv")).unwrap();
    filled.write_record(&names).unwrap();
    for row in rows.records() {
        let row = row.unwrap();
        let cells = names.iter().zip(&row).map(|(name, cell)| match name {
            "student" => "A",
            "when" => "2025-11-25",
            "made" => "6",
            _ => cell,
        });
        filled.write_record(cells).unwrap();
    }
    filled.flush().unwrap();
    run(&["log", "import", "filled.csv"]);
    let asked = asked(&Log::open_existing(&path).unwrap());
    assert_eq!(asked.len(), 2);
    for shot in asked {
        assert_eq!(shot.stroke.tip.as_deref(), Some("half a tip right"));
    }
}
