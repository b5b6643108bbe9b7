//! What `thincut log` says.

use comfy_table::{Table, presets};
use serde_json::{Value, json};
use thincut::log::{Attempt, EntryKind, Imported, MissSides, Student, Undone};

/// Most rows told one by one.
const TOLD: usize = 12;

/// `1 row`, `12 rows`.
pub(crate) fn many(count: usize, what: &str) -> String {
    match count {
        1 => format!("1 {what}"),
        n => format!("{n} {what}s"),
    }
}

/// `thin 3, short 1`.
fn sides(misses: Option<MissSides>) -> String {
    let Some(m) = misses else {
        return String::new();
    };
    let parts: Vec<String> = [
        ("full", m.full),
        ("thin", m.thin),
        ("short", m.short),
        ("scratch", m.scratch),
        ("unseen", m.not_seen),
    ]
    .into_iter()
    .filter(|(_, count)| *count > 0)
    .map(|(name, count)| format!("{name} {count}"))
    .collect();
    parts.join(", ")
}

/// `A 6 of 10 (thin 3)`.
fn row(attempt: &Attempt) -> String {
    let sides = sides(attempt.misses);
    let sides = if sides.is_empty() {
        sides
    } else {
        format!(" ({sides})")
    };
    let rung = attempt
        .rung
        .map(|r| format!("no. {r}: "))
        .unwrap_or_default();
    let (student, made, tries) = (&attempt.student, attempt.made, attempt.tries);
    format!("{rung}{student} {made} of {tries}{sides}")
}

fn rows(attempts: &[Attempt]) -> String {
    let told: Vec<String> = attempts.iter().take(TOLD).map(row).collect();
    let more = attempts.len().saturating_sub(TOLD);
    let more = if more > 0 {
        format!("; and {more} more")
    } else {
        String::new()
    };
    format!("{}{more}", told.join("; "))
}

pub(crate) fn recorded(entry: i64, attempts: &[Attempt]) -> String {
    let mut text = format!("Recorded as entry {entry}: {}.", rows(attempts));
    if attempts.iter().any(|a| a.windows.is_none()) {
        text.push_str(" This shot has no window, so a skill leaves it out.");
    }
    text.push_str(" Take it back with: thincut log undo\n");
    text
}

pub(crate) fn undone(undone: Option<&Undone>) -> String {
    match undone {
        None => "There is nothing to take back: the log has no entries.\n".to_owned(),
        Some(u) => format!("Took back {}.\n", entry(u)),
    }
}

/// An import that stays until somebody agrees.
pub(crate) fn kept(u: &Undone) -> String {
    let rows = match u.attempts.len() {
        1 => "1 row".to_owned(),
        n => format!("{n} rows"),
    };
    let mut students: Vec<&str> = u.attempts.iter().map(|a| a.student.as_str()).collect();
    students.sort_unstable();
    students.dedup();
    let students = students.join(", ");
    format!(
        "nothing was taken back: {} has {rows} of {students}, which would all go; add --yes to take it back, or --entry NUMBER for another entry",
        name(u)
    )
}

/// `entry 5 (a tally, recorded 2025-11-25)`.
fn name(u: &Undone) -> String {
    let what = match u.kind {
        EntryKind::Add => "tries",
        EntryKind::Enter => "a tally",
        EntryKind::Import => "an import",
        EntryKind::Student => "a student",
    };
    format!("entry {} ({what}, recorded {})", u.entry, u.recorded)
}

/// `entry 5 (a tally, recorded 2025-11-25): A 6 of 10; sheets gone: K7Q`.
fn entry(u: &Undone) -> String {
    let mut text = name(u);
    if !u.attempts.is_empty() {
        text.push_str(&format!(": {}", rows(&u.attempts)));
    }
    for (what, names) in [
        ("students it added", &u.students),
        ("as before", &u.restored),
        ("sheets it brought", &u.sheets),
    ] {
        if !names.is_empty() {
            text.push_str(&format!("; {what}: {}", names.join(", ")));
        }
    }
    text
}

pub(crate) fn imported(done: &Imported) -> String {
    let known = match done.known {
        0 => String::new(),
        1 => " 1 row was in the log already.".to_owned(),
        n => format!(" {n} rows were in the log already."),
    };
    if done.entry.is_none() {
        return format!("Nothing new.{known}\n");
    }
    let mut text = match done.added {
        1 => "Imported 1 row.".to_owned(),
        n => format!("Imported {n} rows."),
    };
    text.push_str(&known);
    for (what, names) in [("Students", &done.students), ("Sheets", &done.sheets)] {
        if !names.is_empty() {
            text.push_str(&format!(" {what} added: {}.", names.join(", ")));
        }
    }
    text.push_str(" Take it back with: thincut log undo --yes\n");
    text
}

pub(crate) fn demo(done: &Imported) -> String {
    format!(
        "Invented: the Tuesday beginners' evening at Millpond Hall, {} rows of students {}. Look at one with: thincut skill A. Take it back with: thincut log undo --yes\n",
        done.added,
        done.students.join(", ")
    )
}

pub(crate) fn student(student: &Student) -> String {
    let mut text = student.label.clone();
    if let Some(hand) = student.hand {
        text.push_str(&format!(", {hand}-handed"));
    }
    if let Some(mm) = student.reach_mm {
        text.push_str(&format!(", reach {mm} mm"));
    }
    text
}

pub(crate) fn students(all: &[Student]) -> String {
    if all.is_empty() {
        return "No students yet: add one with thincut log students set LABEL\n".to_owned();
    }
    all.iter().map(|s| student(s) + "\n").collect()
}

pub(crate) fn list(attempts: &[Attempt]) -> String {
    if attempts.is_empty() {
        return "No tries recorded (for this choice).\n".to_owned();
    }
    let mut table = Table::new();
    table.load_style(presets::NOTHING);
    table.set_header([
        "day", "student", "made", "misses", "shot", "gear", "session", "sheet",
    ]);
    for a in attempts {
        let sheet = match (&a.sheet, a.rung) {
            (Some(code), Some(rung)) => format!("{code} {rung}"),
            (Some(code), None) => code.clone(),
            (None, _) => String::new(),
        };
        table.add_row([
            a.when.day().to_owned(),
            a.student.clone(),
            format!("{} of {}", a.made, a.tries),
            sides(a.misses),
            a.shot.words(),
            a.shot.gear.clone(),
            a.session.clone().unwrap_or_default(),
            sheet,
        ]);
    }
    format!("{}\n", table.trim_fmt())
}

pub(crate) fn json_attempts(attempts: &[Attempt]) -> Value {
    json!({ "attempts": attempts })
}

pub(crate) fn json_students(students: &[Student]) -> Value {
    let rows: Vec<Value> = students
        .iter()
        .map(
            |s| json!({"label": s.label, "hand": s.hand.map(|h| h.name()), "reach_mm": s.reach_mm}),
        )
        .collect();
    json!({ "students": rows })
}
