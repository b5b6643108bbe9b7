//! What `thincut log` says.

use std::io::Write;
use std::path::Path;

use serde_json::{Value, json};
use thincut::gear::Gear;
use thincut::log::{
    Attempt, EntryKind, FitMoved, Forgetting, Imported, SHOWN_ROWS, SolvedAgain, Student, Undone,
};
use thincut::speech::Speech;
use unicode_width::UnicodeWidthStr as _;

/// `1 row`, `12 rows`.
pub(crate) fn many(count: usize, what: &str) -> String {
    match count {
        1 => format!("1 {what}"),
        n => format!("{n} {what}s"),
    }
}

/// The words of whoever plays on the table of a try; of a table of one's own the usual ones.
fn speech(attempt: &Attempt) -> Speech {
    let gear = Gear::preset(&attempt.shot.gear);
    gear.map_or_else(|_| Speech::default(), |gear| Speech::of(&gear.bed))
}

/// `thin 3, short 1`; in the words of snooker `thick 2, in-off 1`.
fn sides(attempt: &Attempt) -> String {
    let speech = speech(attempt);
    let Some(m) = attempt.misses else {
        return String::new();
    };
    let parts: Vec<String> = [
        (speech.pick("full", "thick"), m.full),
        ("thin", m.thin),
        ("short", m.short),
        (speech.nouns().scratch, m.scratch),
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
    let sides = sides(attempt);
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

/// The first of so many rows.
fn rows(attempts: &[Attempt], all: usize) -> String {
    let told: Vec<String> = attempts.iter().take(SHOWN_ROWS).map(row).collect();
    let more = all.saturating_sub(told.len());
    let more = if more > 0 {
        format!("; and {more} more")
    } else {
        String::new()
    };
    format!("{}{more}", told.join("; "))
}

/// What came of windows of an earlier edition; nothing where nobody needs to know.
pub(crate) fn solved_again(done: &SolvedAgain) -> Option<String> {
    let mut said = Vec::new();
    if done.moved > 0 {
        said.push(format!(
            "{} of the log had windows of an earlier edition and {} solved again; {} moved.",
            many(done.shots, "shot"),
            if done.shots == 1 { "was" } else { "were" },
            match done.moved {
                n if n == done.shots && n > 1 => "all".to_owned(),
                n => format!("{n}"),
            },
        ));
        let mut fits: Vec<String> = done.fits.iter().filter_map(fit_moved).collect();
        let more = fits.len().saturating_sub(SHOWN_ROWS);
        if more > 0 {
            fits.truncate(SHOWN_ROWS);
            fits.push(format!("and {more} more"));
        }
        if fits.is_empty() {
            said.push("No fit rests on them.".to_owned());
        } else {
            said.push(format!(
                "Spreads, as so many times a club player's (assumed): {}.",
                fits.join("; ")
            ));
        }
        said.push(match &done.backup {
            Some(path) => format!("The log as it was: {}", path.display()),
            None => "The log cannot be written to and stays as it is.".to_owned(),
        });
    }
    if done.past_balls > 0 {
        said.push(format!(
            "{} of sheets with balls in the way keep the windows of the sheet.",
            many(done.past_balls, "shot")
        ));
    }
    if let Some(why) = &done.why {
        said.push(format!(
            "{} could not be solved again and keep the windows they had: {why}",
            many(done.unsolved, "shot"),
        ));
    }
    (!said.is_empty()).then(|| format!("note: {}", said.join(" ")))
}

/// `K 1.21, was 1.32`.
fn fit_moved(fit: &FitMoved) -> Option<String> {
    let say = |x: Option<f64>| x.map_or("none".to_owned(), |x| format!("{x:.2}"));
    (fit.before.is_some() || fit.after.is_some()).then(|| {
        format!(
            "{} {}, was {}",
            fit.student,
            say(fit.after),
            say(fit.before)
        )
    })
}

/// What would be recorded: all of it, a line for each row where there are many.
pub(crate) fn preview(attempts: &[Attempt], new: &[String]) -> String {
    let told: Vec<String> = attempts.iter().map(row).collect();
    let mut text = told.join(if told.len() > SHOWN_ROWS {
        "\n  "
    } else {
        "; "
    });
    if !new.is_empty() {
        text.push_str(&format!("; new in the log: {}", new.join(", ")));
    }
    text
}

pub(crate) fn recorded(entry: i64, attempts: &[Attempt]) -> String {
    let mut text = format!(
        "Recorded as entry {entry}: {}.",
        rows(attempts, attempts.len())
    );
    if attempts.iter().any(|a| a.windows.is_none()) {
        text.push_str(" This shot has no window, so a skill leaves it out.");
    }
    text.push_str(" Take it back with: thincut log undo\n");
    text
}

pub(crate) fn undone(undone: Option<&Undone>) -> String {
    match undone {
        None => "There is nothing to take back: the log has no entries.\n".to_owned(),
        Some(u) => format!(
            "Took back {}. Put it back with: thincut log redo --entry {}\n",
            entry(u),
            u.entry
        ),
    }
}

pub(crate) fn redone(done: Option<&Undone>) -> String {
    match done {
        None => "There is nothing to put back: nothing was taken back.\n".to_owned(),
        Some(u) => format!("Put back {}.\n", entry(u)),
    }
}

/// What goes with a student, and what is out of reach.
pub(crate) fn forgetting(found: &Forgetting, log: &Path) -> String {
    let mut text = format!(
        "What goes for good with {}, from {}:\n",
        found.label,
        log.display()
    );
    for part in what_goes(found) {
        text.push_str(&format!("  {part}\n"));
    }
    text.push_str(
        "Out of reach are exports, copies, printed sheets and other files you made, and phones with tries that wait to be sent: see to those yourself.\n",
    );
    for file in &found.left {
        text.push_str(&format!(
            "Left alone, may hold some of it: {}\n",
            file.display()
        ));
    }
    text
}

/// One line each of what there is.
fn what_goes(found: &Forgetting) -> Vec<String> {
    let days = match &found.days {
        None => String::new(),
        Some((days, a, b)) if a == b => format!(" of {} ({a})", many(*days, "day")),
        Some((days, a, b)) => format!(" of {} ({a} to {b})", many(*days, "day")),
    };
    let (rows, notes) = (many(found.rows, "row"), many(found.notes, "note"));
    let shared = found.shared_notes;
    let back = many(found.taken_back, "row");
    let (own, with) = (&found.own_sheets, &found.shared_sheets);
    let (owned, shared_with) = (many(own.len(), "sheet"), many(with.len(), "sheet"));
    let backups = many(found.backups.len(), "backup");
    let aside = many(found.replaced.len(), "log");
    let others = [
        (
            shared,
            format!("notes that stand with others too stay there: {shared}"),
        ),
        (found.taken_back, format!("{back} that had been taken back")),
        (
            own.len(),
            format!("{owned} of their own: {}", own.join(", ")),
        ),
        (
            with.len(),
            format!(
                "their part of {shared_with} that others use: {}",
                with.join(", ")
            ),
        ),
        (
            found.backups.len(),
            format!("{backups}, in whose place a new one is made"),
        ),
        (
            found.replaced.len(),
            format!("{aside} put aside at a restore"),
        ),
    ];
    let there = others.into_iter().filter(|(count, _)| *count > 0);
    std::iter::once(format!("{rows}{days}, {notes}"))
        .chain(there.map(|(_, line)| line))
        .collect()
}

/// Nobody agreed.
pub(crate) fn not_forgotten(label: &str) -> String {
    format!(
        "nothing was forgotten: nobody agreed; to forget {label} without being asked, add --yes"
    )
}

/// An import that stays until somebody agrees.
pub(crate) fn kept(u: &Undone) -> String {
    let rows = match u.rows {
        1 => "1 row".to_owned(),
        n => format!("{n} rows"),
    };
    let students = u.of.join(", ");
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
        text.push_str(&format!(": {}", rows(&u.attempts, u.rows)));
    }
    for (what, names) in [
        ("students it added", &u.students),
        ("students it changed", &u.restored),
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
        "Invented: the Tuesday beginners' evening at Millpond Hall, {} rows of students {}. Look at one with: thincut skill K. Take it back with: thincut log undo --yes\n",
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

/// A list whose columns are as wide as what will stand in them, written row by row.
#[derive(Debug)]
pub(crate) struct Columns {
    widths: [usize; HEAD.len()],
    rows: bool,
}

const HEAD: [&str; 8] = [
    "day", "student", "made", "misses", "shot", "gear", "session", "sheet",
];

impl Default for Columns {
    fn default() -> Self {
        Self {
            widths: HEAD.map(str::width),
            rows: false,
        }
    }
}

impl Columns {
    fn cells(a: &Attempt) -> [String; HEAD.len()] {
        let sheet = match (&a.sheet, a.rung) {
            (Some(code), Some(rung)) => format!("{code} {rung}"),
            (Some(code), None) => code.clone(),
            (None, _) => String::new(),
        };
        [
            a.when.day().to_owned(),
            a.student.clone(),
            format!("{} of {}", a.made, a.tries),
            sides(a),
            speech(a).said(&a.shot.in_few_words()),
            a.shot.gear.clone(),
            a.session.clone().unwrap_or_default(),
            sheet,
        ]
    }

    /// Makes room for a row.
    pub(crate) fn widen(&mut self, attempt: &Attempt) {
        self.rows = true;
        for (width, cell) in self.widths.iter_mut().zip(Self::cells(attempt)) {
            *width = cell.width().max(*width);
        }
    }

    /// What the columns are, or that there are no rows.
    pub(crate) fn head(&self, out: &mut impl Write) -> std::io::Result<()> {
        if self.rows {
            self.line(HEAD, out)
        } else {
            writeln!(out, "No tries recorded (for this choice).")
        }
    }

    /// A row.
    pub(crate) fn row(&self, attempt: &Attempt, out: &mut impl Write) -> std::io::Result<()> {
        self.line(Self::cells(attempt), out)
    }

    fn line<T: AsRef<str>>(
        &self,
        cells: [T; HEAD.len()],
        out: &mut impl Write,
    ) -> std::io::Result<()> {
        let mut line = String::new();
        for (cell, width) in cells.iter().zip(self.widths) {
            let cell = cell.as_ref();
            line.push(' ');
            line.push_str(cell);
            line.extend(std::iter::repeat_n(' ', width + 1 - cell.width()));
        }
        writeln!(out, "{}", line.trim_end())
    }
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
