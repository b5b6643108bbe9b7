//! The practice log: nothing lost, nothing twice, nothing overwritten.

mod again;
mod back;
mod broken;
mod care;
mod forget;
mod full;
mod growth;
mod jotted;
mod killed;
mod list;
mod plan;
mod processes;
#[path = "../program/mod.rs"]
mod program;
mod rows;
mod shelf;
mod strangers;
mod tally;
mod texts;
mod transfer;

use tempfile::TempDir;
use thincut::log::{
    Attempt, EntryKind, Filter, Log, NewEntry, Rung, Sheet, SheetKind, ShotEntered, Student, When,
    solve_entered,
};
use thincut::units::Side;

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
        cut: Side::Left,
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
                pass: None,
            })
            .collect(),
        gone: Vec::new(),
    }
}
