//! What can still be read of a damaged log, into a new one.
//!
//! Rows and sheets carry checksums, so what is taken over is what was recorded. Students and
//! entries carry none but stand twice in the file, in their table and in an index; a row names its
//! student under its checksum, so a student's label is certain where any row of theirs is.

use std::collections::{BTreeMap, HashSet};
use std::fs;
use std::path::Path;

use rusqlite::types::Value;
use rusqlite::{Connection, params, params_from_iter};

use super::backup::copy;
use super::cells::{Counts, FIRST_COLUMNS, first_columns, read_later, row_sum, shot_sum};
use super::disk::{beside, room_beside, sync_folder};
use super::entry::EntryKind;
use super::error::LogError;
use super::handle::Log;
use super::open::tables;
use super::pages::{Cell, Pages, Record};
use super::rows::column_list;
use super::sheet::body_sum;
use super::student::check_label;
use super::when::When;
use super::windows::EARLIER;

/// Page size of every log: SQLite's own default, which nothing here changes.
const PAGE: usize = 4096;
/// Columns of `attempt` before those of a row: number, entry, student, day, instant, checksum.
const OWN: usize = 6;
/// Where the first ones of those of a row end; schema 2 has what follows from them behind, schema 3 the
/// texts that came later behind that, schema 4 the edition of the solver.
const END: usize = OWN + FIRST_COLUMNS - 1;
/// Columns of `attempt` in schemas 1 to 4.
const WIDTHS: [usize; 4] = [END, END + 2, LATER + 1, EDITION + 1];
/// Where the later texts are.
const LATER: usize = END + 2;
/// Where the edition is.
const EDITION: usize = LATER + 1;
/// Columns of `sheet` in schemas 1 and 4.
const SHEET_WIDTHS: [usize; 2] = [5, 6];

/// What was saved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Salvaged {
    /// Rows.
    pub rows: usize,
    /// Rows that could be seen but are not as they were recorded.
    pub lost: usize,
    /// Students.
    pub students: usize,
    /// Sheets.
    pub sheets: usize,
}

/// What the pages held, by number.
#[derive(Debug, Default)]
struct Found {
    entries: BTreeMap<i64, Entry>,
    /// As the table has them and as the index has them.
    students: BTreeMap<i64, Vec<Student>>,
    /// By code.
    sheets: BTreeMap<String, Vec<Cell>>,
    attempts: BTreeMap<i64, Vec<Cell>>,
}

#[derive(Debug)]
struct Entry {
    kind: String,
    recorded: String,
    before: Option<String>,
}

#[derive(Debug)]
struct Student {
    label: String,
    hand: Option<String>,
    reach_mm: Option<f64>,
    entry: i64,
}

/// Saves what can be read of a damaged log into a new file. The damaged one stays as it is.
///
/// # Errors
/// [`LogError::Taken`] when there is a file of that name, [`LogError::Missing`] for no log, the
/// faults of reading and writing files.
pub fn salvage(log: &Path, to: &Path, recorded: &When) -> Result<Salvaged, LogError> {
    if !log.exists() {
        return Err(LogError::Missing(log.to_owned()));
    }
    if to.exists() {
        return Err(LogError::Taken(to.to_owned()));
    }
    let found = Found::among(&Pages::new(&pages_of(log)?, PAGE));
    let temporary = room_beside(to)?;
    let fault = |e: rusqlite::Error| LogError::from_sqlite(to, &e);
    let mut new = Connection::open(&temporary).map_err(fault)?;
    tables(&new).map_err(fault)?;
    let saved = found.write(&mut new, recorded).map_err(fault)?;
    new.close().map_err(|(_, e)| fault(e))?;
    temporary
        .persist_noclobber(to)
        .map_err(|e| LogError::CannotOpen {
            path: to.to_owned(),
            reason: e.error.to_string(),
        })?;
    sync_folder(to);
    Ok(saved)
}

/// The log's bytes with its journal taken in.
fn pages_of(log: &Path) -> Result<Vec<u8>, LogError> {
    let io = |e: std::io::Error| LogError::Io {
        path: log.to_owned(),
        reason: e.to_string(),
    };
    let work = tempfile::tempdir().map_err(io)?;
    let place = work.path().join("pages");
    let whole = Log::open_reading(log).and_then(|open| {
        copy(&open.connection, &place)
            .map(|_| ())
            .map_err(|e| open.fault(&e))
    });
    if whole.is_ok() {
        return fs::read(&place).map_err(io);
    }
    // SQLite can make nothing of the file, so nobody here holds a lock that reading it would drop.
    let bytes = fs::read(log).map_err(io)?;
    let journal = fs::read(beside(log, "-wal")).unwrap_or_default();
    if journal.is_empty() {
        return Ok(bytes);
    }
    // Under a first page that is whole, SQLite takes the journal in.
    let take_in = || -> rusqlite::Result<()> {
        let new = Connection::open(&place)?;
        tables(&new)?;
        new.close().map_err(|(_, e)| e)
    };
    take_in().map_err(|e| LogError::from_sqlite(log, &e))?;
    let mut whole = fs::read(&place).map_err(io)?;
    whole.truncate(PAGE);
    whole.extend_from_slice(bytes.get(PAGE..).unwrap_or_default());
    fs::write(&place, &whole).map_err(io)?;
    fs::write(beside(&place, "-wal"), &journal).map_err(io)?;
    let taken =
        Connection::open(&place).and_then(|c| c.pragma_query(None, "wal_checkpoint", |_| Ok(())));
    if taken.is_ok() {
        whole = fs::read(&place).map_err(io)?;
    }
    Ok(whole)
}

fn text(cell: &Cell) -> Option<String> {
    match cell {
        Cell::Text(text) => Some(text.clone()),
        _ => None,
    }
}

fn whole(cell: &Cell) -> Option<i64> {
    match cell {
        Cell::Whole(n) => Some(*n),
        _ => None,
    }
}

/// A real number; SQLite keeps whole ones as such.
#[expect(clippy::cast_precision_loss, reason = "a reach in whole millimetres")]
fn real(cell: &Cell) -> Option<f64> {
    match cell {
        Cell::Real(x) => Some(*x),
        Cell::Whole(n) => Some(*n as f64),
        _ => None,
    }
}

fn value(cell: &Cell) -> Value {
    match cell {
        Cell::Null | Cell::Blob => Value::Null,
        Cell::Whole(n) => Value::Integer(*n),
        Cell::Real(x) => Value::Real(*x),
        Cell::Text(text) => Value::Text(text.clone()),
    }
}

impl Entry {
    /// `kind, recorded, before`, if they can be those of an entry.
    fn read(cells: &[Cell]) -> Option<Self> {
        let [kind, recorded, before] = cells else {
            return None;
        };
        let (kind, recorded) = (text(kind)?, text(recorded)?);
        EntryKind::read(&kind)?;
        recorded.parse::<When>().ok()?;
        Some(Self {
            kind,
            recorded,
            before: text(before),
        })
    }
}

impl Student {
    /// `label, hand, reach_mm, entry_id`, if they can be those of a student.
    fn read(cells: &[Cell]) -> Option<Self> {
        let [label, hand, reach, entry] = cells else {
            return None;
        };
        let label = text(label)?;
        check_label(&label).ok()?;
        Some(Self {
            label,
            hand: text(hand).filter(|h| h == "left" || h == "right"),
            reach_mm: real(reach).filter(|r| *r > 0.0),
            entry: whole(entry)?,
        })
    }
}

impl Found {
    /// Sorts records by their shape: no two tables of a log share one.
    fn among(pages: &Pages<'_>) -> Self {
        let mut found = Self::default();
        for record in pages.records() {
            found.take(record);
        }
        found
    }

    fn take(&mut self, Record { number, cells }: Record) {
        match (number, cells.as_slice()) {
            (Some(number), [Cell::Null, rest @ ..])
                if WIDTHS.contains(&cells.len()) && !rest.is_empty() =>
            {
                self.attempts.insert(number, cells);
            }
            (Some(number), [Cell::Null, rest @ ..]) if rest.len() == 3 => {
                if let Some(entry) = Entry::read(rest) {
                    self.entries.insert(number, entry);
                }
            }
            (None, [Cell::Whole(number), rest @ .., _]) if rest.len() == 3 => {
                if let Some(entry) = Entry::read(rest) {
                    self.entries.entry(*number).or_insert(entry);
                }
            }
            (Some(number), [Cell::Null, rest @ ..]) if rest.len() == 4 => {
                if let Some(student) = Student::read(rest) {
                    self.students.entry(number).or_default().insert(0, student);
                }
            }
            (None, [rest @ .., Cell::Whole(number)]) if rest.len() == 4 => {
                if let Some(student) = Student::read(rest) {
                    self.students.entry(*number).or_default().push(student);
                }
            }
            (Some(_), [Cell::Text(code), _, Cell::Text(body), Cell::Whole(sum), ..])
                if SHEET_WIDTHS.contains(&cells.len()) && body_sum(code, body) == *sum =>
            {
                self.sheets.insert(code.clone(), cells);
            }
            _ => {}
        }
    }

    /// Rows that are as they were recorded, and how many are not.
    fn certain(&self) -> (Vec<Certain<'_>>, usize) {
        let (mut rows, mut lost) = (Vec::new(), 0);
        for (number, cells) in &self.attempts {
            let owner = whole(&cells[2]).and_then(|id| {
                let known = self.students.get(&id)?;
                let own = known.iter().find(|s| is_as_recorded(cells, &s.label))?;
                Some((id, own))
            });
            match owner {
                Some((id, student)) => rows.push(Certain {
                    number: *number,
                    cells,
                    id,
                    student,
                }),
                None => lost += 1,
            }
        }
        (rows, lost)
    }

    /// Writes what is certain as a log.
    fn write(self, new: &mut Connection, recorded: &When) -> rusqlite::Result<Salvaged> {
        let change = new.transaction()?;
        let (rows, lost) = self.certain();
        let mut to = Target {
            change: &change,
            entries: HashSet::new(),
            recorded,
        };
        for (id, entry) in &self.entries {
            to.known_entry(*id, entry)?;
        }
        let students = to.students(&self.students, &rows)?;
        let mut sheets = 0;
        for cells in self.sheets.values() {
            sheets += to.sheet(cells)?;
        }
        let rows = to.rows(&rows)?;
        change.commit()?;
        Ok(Salvaged {
            rows,
            lost,
            students,
            sheets,
        })
    }
}

/// A row that is as it was recorded, and whose it is.
struct Certain<'a> {
    number: i64,
    cells: &'a [Cell],
    id: i64,
    student: &'a Student,
}

/// The new log.
struct Target<'a> {
    change: &'a Connection,
    entries: HashSet<i64>,
    recorded: &'a When,
}

impl Target<'_> {
    fn known_entry(&mut self, id: i64, entry: &Entry) -> rusqlite::Result<()> {
        self.entries.insert(id);
        self.change.execute(
            "INSERT INTO entry (id, kind, recorded, before) VALUES (?1, ?2, ?3, ?4)",
            params![id, entry.kind, entry.recorded, entry.before],
        )?;
        Ok(())
    }

    /// What an entry brought is kept even when the entry itself is gone.
    fn entry(&mut self, id: i64) -> rusqlite::Result<i64> {
        if self.entries.insert(id) {
            self.change.execute(
                "INSERT INTO entry (id, kind, recorded) VALUES (?1, 'import', ?2)",
                params![id, self.recorded.as_str()],
            )?;
        }
        Ok(id)
    }

    fn students(
        &mut self,
        all: &BTreeMap<i64, Vec<Student>>,
        rows: &[Certain<'_>],
    ) -> rusqlite::Result<usize> {
        let certain: BTreeMap<i64, &Student> = rows.iter().map(|r| (r.id, r.student)).collect();
        let mut count = 0;
        for (id, known) in all {
            let Some(s) = certain.get(id).copied().or(known.first()) else {
                continue;
            };
            let entry = self.entry(s.entry)?;
            count += self.change.execute(
                "INSERT OR IGNORE INTO student (id, label, hand, reach_mm, entry_id) VALUES (?1, ?2, ?3, ?4, ?5)",
                params![id, s.label, s.hand, s.reach_mm, entry],
            )?;
        }
        Ok(count)
    }

    fn sheet(&mut self, cells: &[Cell]) -> rusqlite::Result<usize> {
        let by = whole(&cells[4]).map(|id| self.entry(id)).transpose()?;
        let mut values: Vec<Value> = cells[..4].iter().map(value).collect();
        values.push(by.into());
        values.push(edition(cells.get(5)));
        self.change.execute(
            "INSERT OR IGNORE INTO sheet (code, kind, body, checksum, entry_id, edition) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
            params_from_iter(values),
        )
    }

    fn rows(&mut self, rows: &[Certain<'_>]) -> rusqlite::Result<usize> {
        let marks: Vec<String> = (1..=END + 4).map(|k| format!("?{k}")).collect();
        let sql = format!(
            "INSERT OR IGNORE INTO attempt (number, entry_id, student_id, day, instant_us, shot, counted, edition, checksum, {}) VALUES ({})",
            column_list(None),
            marks.join(", ")
        );
        let change = self.change;
        let mut insert = change.prepare(&sql)?;
        let mut saved = 0;
        for row in rows {
            // Day, instant and sums follow from what the checksum covers.
            let Some(when) = text(&row.cells[OWN + 1]).and_then(|w| w.parse::<When>().ok()) else {
                continue;
            };
            let entry = self.entry(whole(&row.cells[1]).unwrap_or_default())?;
            let mut values: Vec<Value> = vec![
                row.number.into(),
                entry.into(),
                row.id.into(),
                when.day().to_owned().into(),
                when.instant_us().into(),
            ];
            let texts = texts(row.cells, &row.student.label);
            let shot = shot_sum(&texts);
            values.push(shot.into());
            let counted = Counts::of(&texts).sum(&row.student.label, when.day(), shot);
            values.push(counted.into());
            values.push(edition(row.cells.get(EDITION)));
            values.extend(row.cells[OWN - 1..END].iter().map(value));
            values.push(row.cells.get(LATER).map_or(Value::Null, value));
            saved += insert.execute(params_from_iter(values))?;
        }
        Ok(saved)
    }
}

/// Which edition of the solver windows are of, as far as the page says.
fn edition(cell: Option<&Cell>) -> Value {
    match cell {
        Some(Cell::Whole(edition)) => (*edition).into(),
        _ => EARLIER.into(),
    }
}

/// A row of this student as the checksums count it.
fn texts(cells: &[Cell], label: &str) -> Vec<String> {
    let mut own = cells[OWN..END].iter().map(cell_text);
    let first = first_columns().iter().map(|(name, _)| match *name {
        "student" => label.to_owned(),
        _ => own.next().unwrap_or_default(),
    });
    let later = cells.get(LATER).map(cell_text).unwrap_or_default();
    // With a text that is not known here it is not as it was recorded.
    first
        .chain(read_later(&later).unwrap_or_default())
        .collect()
}

/// Whether a row of this student matches its checksum.
fn is_as_recorded(cells: &[Cell], label: &str) -> bool {
    let row = texts(cells, label);
    whole(&cells[OWN - 1]) == Some(row_sum(&row))
}

/// A value as the checksum counts it.
fn cell_text(cell: &Cell) -> String {
    match cell {
        Cell::Null | Cell::Blob => String::new(),
        Cell::Whole(n) => n.to_string(),
        Cell::Real(x) => x.to_string(),
        Cell::Text(text) => text.clone(),
    }
}
