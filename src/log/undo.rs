//! Taking an entry back, whole, saying what it was, and putting it back.
//!
//! What is taken back moves into tables beside those it came from: nothing else reads it there, so it
//! counts nowhere, and it can be put back as it was.

use rusqlite::{Connection, OptionalExtension, Transaction, TransactionBehavior, params};
use serde::{Deserialize, Serialize};

use super::attempt::Attempt;
use super::entry::EntryKind;
use super::error::LogError;
use super::handle::Log;
use super::rows::column_list;
use crate::field::Hint;

/// Most rows of an entry that are shown one by one: an import may have a million.
pub const SHOWN_ROWS: usize = 12;

/// What an entry holds that was taken back or put back, or would be.
#[derive(Debug, Clone, PartialEq)]
pub struct Undone {
    /// Its number.
    pub entry: i64,
    /// How it came about.
    pub kind: EntryKind,
    /// When it was recorded, as written then.
    pub recorded: String,
    /// The first of its rows, at most [`SHOWN_ROWS`].
    pub attempts: Vec<Attempt>,
    /// How many rows it has.
    pub rows: usize,
    /// Whose rows, in the order of their labels.
    pub of: Vec<String>,
    /// Students it had added, gone again.
    pub students: Vec<String>,
    /// Students it had changed, now as they were (as it left them, when it is put back).
    pub restored: Vec<String>,
    /// Codes of sheets it had brought.
    pub sheets: Vec<String>,
}

/// What came of taking an entry back.
#[derive(Debug, Clone, PartialEq)]
pub enum Undoing {
    /// It is no more.
    Done(Undone),
    /// It was not agreed to; the entry stays.
    Left(Undone),
    /// The log has no entries.
    Nothing,
}

/// A student as noted in an entry.
#[derive(Debug, PartialEq, Serialize, Deserialize)]
struct Before {
    label: String,
    hand: Option<String>,
    reach_mm: Option<f64>,
}

impl Log {
    /// Takes the last entry back; `None` when there is none.
    ///
    /// # Errors
    /// As [`Log::undo_if`].
    pub fn undo(&mut self) -> Result<Option<Undone>, LogError> {
        Ok(match self.undo_if(None, |_| true)? {
            Undoing::Done(undone) => Some(undone),
            Undoing::Left(_) | Undoing::Nothing => None,
        })
    }

    /// Takes an entry back, the last one unless its number is given, if `agreed` to what it holds. An
    /// entry before the last can go when it only holds rows: students and sheets have others rest
    /// on them.
    ///
    /// # Errors
    /// [`LogError::NoEntry`], [`LogError::NotLast`], [`LogError::Damaged`] and the faults of
    /// writing; the entry stays then.
    pub fn undo_if(
        &mut self,
        entry: Option<i64>,
        agreed: impl FnOnce(&Undone) -> bool,
    ) -> Result<Undoing, LogError> {
        let path = self.path.clone();
        let fault = |e: rusqlite::Error| LogError::from_sqlite(&path, &e);
        // Taken before reading, so that the entry shown is the entry removed.
        let lock = Transaction::new_unchecked(&self.connection, TransactionBehavior::Immediate)
            .map_err(fault)?;
        let last: Option<i64> = lock
            .query_row("SELECT max(id) FROM entry", [], |row| row.get(0))
            .map_err(fault)?;
        let Some(number) = entry.or(last) else {
            return Ok(Undoing::Nothing);
        };
        let Some((undone, before)) = self.entry(number)? else {
            return Err(LogError::NoEntry { entry: number });
        };
        let rows_only = before.is_none() && undone.students.is_empty() && undone.sheets.is_empty();
        if last != Some(number) && !rows_only {
            return Err(LogError::NotLast { entry: number });
        }
        if !agreed(&undone) {
            return Ok(Undoing::Left(undone));
        }
        take_back(&lock, number, before.as_ref()).map_err(fault)?;
        lock.commit().map_err(fault)?;
        Ok(Undoing::Done(undone))
    }

    /// Puts an entry back that was taken back, the one taken back last unless its number is given.
    /// `None` when nothing is there to put back.
    ///
    /// # Errors
    /// [`LogError::NotBack`] for an entry that was not taken back, [`LogError::Stands`] when
    /// something of it is in the log again or what it rests on is no more, [`LogError::Damaged`] and
    /// the faults of writing; nothing is put back then.
    pub fn redo(&mut self, entry: Option<i64>) -> Result<Option<Undone>, LogError> {
        let path = self.path.clone();
        let fault = |e: rusqlite::Error| LogError::from_sqlite(&path, &e);
        let lock = Transaction::new_unchecked(&self.connection, TransactionBehavior::Immediate)
            .map_err(fault)?;
        let found: Option<(i64, Option<String>, Option<String>)> = lock
            .query_row(
                "SELECT id, before, after FROM entry_back WHERE ?1 IS NULL OR id = ?1 ORDER BY turn DESC LIMIT 1",
                [entry],
                |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)),
            )
            .optional()
            .map_err(fault)?;
        let Some((number, before, after)) = found else {
            return match entry {
                Some(entry) => Err(LogError::NotBack { entry }),
                None => Ok(None),
            };
        };
        if let Some(problem) = in_the_way(&lock, number, before.as_deref()).map_err(fault)? {
            return Err(LogError::Stands {
                entry: number,
                problem,
            });
        }
        let after: Option<Before> = after
            .map(|text| serde_json::from_str(&text))
            .transpose()
            .map_err(|e| self.damaged(format!("entry {number}: {e}")))?;
        put_back(&lock, number, after.as_ref()).map_err(fault)?;
        // Read back from where it stands now: checksums and all.
        let Some((done, _)) = self.entry(number)? else {
            return Err(self.damaged(format!("entry {number} was there a moment ago")));
        };
        lock.commit().map_err(fault)?;
        Ok(Some(done))
    }

    /// What an entry holds, and the student it changed as it was.
    fn entry(&self, number: i64) -> Result<Option<(Undone, Option<Before>)>, LogError> {
        let fault = |e: rusqlite::Error| self.fault(&e);
        let found: Option<(String, String, Option<String>)> = self
            .connection
            .query_row(
                "SELECT kind, recorded, before FROM entry WHERE id = ?1",
                [number],
                |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)),
            )
            .optional()
            .map_err(fault)?;
        let Some((kind, recorded, before)) = found else {
            return Ok(None);
        };
        let kind = EntryKind::read(&kind)
            .ok_or_else(|| self.damaged(format!("entry {number} is of no known kind")))?;
        let before: Option<Before> = before
            .map(|text| serde_json::from_str(&text))
            .transpose()
            .map_err(|e| self.damaged(format!("entry {number}: {e}")))?;
        let names = |sql: &str| -> rusqlite::Result<Vec<String>> {
            self.connection
                .prepare(sql)?
                .query_map([number], |row| row.get(0))?
                .collect()
        };
        let rows: i64 = self
            .connection
            .query_row(
                "SELECT count(*) FROM attempt WHERE entry_id = ?1",
                [number],
                |row| row.get(0),
            )
            .map_err(fault)?;
        let shown = format!(
            "attempt.number IN (SELECT number FROM attempt WHERE entry_id = ?1 ORDER BY number LIMIT {SHOWN_ROWS})"
        );
        let undone = Undone {
            entry: number,
            kind,
            recorded,
            attempts: self.select(&shown, vec![number.into()])?,
            rows: usize::try_from(rows).unwrap_or_default(),
            of: names(
                "SELECT label FROM student WHERE id IN (SELECT student_id FROM attempt WHERE entry_id = ?1) ORDER BY label",
            )
            .map_err(fault)?,
            students: names("SELECT label FROM student WHERE entry_id = ?1 ORDER BY label")
                .map_err(fault)?,
            restored: before
                .as_ref()
                .map(|b| b.label.clone())
                .into_iter()
                .collect(),
            sheets: names("SELECT code FROM sheet WHERE entry_id = ?1 ORDER BY code")
                .map_err(fault)?,
        };
        Ok(Some((undone, before)))
    }
}

/// A student as in [`Before`], as the log has it now.
fn student_now(lock: &Connection, label: &str) -> rusqlite::Result<Option<Before>> {
    lock.query_row(
        "SELECT label, hand, reach_mm FROM student WHERE label = ?1 COLLATE BINARY",
        [label],
        |row| {
            Ok(Before {
                label: row.get(0)?,
                hand: row.get(1)?,
                reach_mm: row.get(2)?,
            })
        },
    )
    .optional()
}

fn set_student(lock: &Connection, student: &Before) -> rusqlite::Result<usize> {
    lock.execute(
        "UPDATE student SET hand = ?1, reach_mm = ?2 WHERE label = ?3 COLLATE BINARY",
        params![student.hand, student.reach_mm, student.label],
    )
}

fn take_back(lock: &Connection, number: i64, before: Option<&Before>) -> rusqlite::Result<()> {
    let mut after = None;
    if let Some(before) = before {
        after = student_now(lock, &before.label)?;
        set_student(lock, before)?;
    }
    lock.execute(
        "INSERT INTO entry_back (id, kind, recorded, before, after)
         SELECT id, kind, recorded, before, ?2 FROM entry WHERE id = ?1",
        params![number, after.and_then(|a| serde_json::to_string(&a).ok())],
    )?;
    let columns = row_columns();
    let rows = format!(
        "INSERT INTO attempt_back (student_id, {columns}, label)
         SELECT student_id, {columns},
             (SELECT student.label FROM student WHERE student.id = student_id)
         FROM attempt WHERE entry_id = ?1 ORDER BY number"
    );
    for sql in [
        rows.as_str(),
        "INSERT INTO student_back SELECT label, hand, reach_mm, entry_id
         FROM student WHERE entry_id = ?1",
        "INSERT INTO sheet_back (code, kind, body, checksum, entry_id, edition)
         SELECT code, kind, body, checksum, entry_id, edition FROM sheet WHERE entry_id = ?1",
        "DELETE FROM attempt WHERE entry_id = ?1",
        "DELETE FROM student WHERE entry_id = ?1",
        "DELETE FROM sheet WHERE entry_id = ?1",
        "DELETE FROM entry WHERE id = ?1",
    ] {
        lock.execute(sql, [number])?;
    }
    Ok(())
}

/// A sentence about what a query found.
type Say = fn(&str) -> String;

/// Why an entry cannot be put back, if it cannot.
fn in_the_way(
    lock: &Connection,
    number: i64,
    before: Option<&str>,
) -> rusqlite::Result<Option<String>> {
    let first = |sql: &str| -> rusqlite::Result<Option<String>> {
        lock.query_row(sql, [number], |row| row.get(0)).optional()
    };
    let problems: [(&str, Say); 4] = [
        (
            "SELECT attempt.id || ', entry ' || attempt.entry_id FROM attempt_back AS b
             JOIN attempt ON attempt.id = b.id WHERE b.entry_id = ?1 LIMIT 1",
            |row: &str| format!("a row of it is in the log again ({row})"),
        ),
        (
            "SELECT student.label FROM student_back AS b JOIN student ON student.label = b.label
             WHERE b.entry_id = ?1 AND student.label <> b.label COLLATE BINARY LIMIT 1",
            |row| format!("a student is called {row} now, which would be mistaken for one of its"),
        ),
        (
            "SELECT sheet.code FROM sheet_back AS b JOIN sheet ON sheet.code = b.code
             WHERE b.entry_id = ?1 AND sheet.body <> b.body LIMIT 1",
            |row| format!("the code {row} is another sheet's now"),
        ),
        (
            "SELECT label FROM attempt_back WHERE entry_id = ?1
             AND NOT EXISTS (SELECT 1 FROM student_back AS s
                 WHERE s.entry_id = ?1 AND s.label = attempt_back.label)
             AND NOT EXISTS (SELECT 1 FROM student
                 WHERE student.label = attempt_back.label COLLATE BINARY) LIMIT 1",
            |row| {
                let add = Hint::SetStudent { label: row };
                format!(
                    "student {row} is no more: put the entry back that added them, or add them{add}"
                )
            },
        ),
    ];
    for (sql, problem) in problems {
        if let Some(row) = first(sql)? {
            return Ok(Some(problem(&row)));
        }
    }
    let Some(before) = before.and_then(|text| serde_json::from_str::<Before>(text).ok()) else {
        return Ok(None);
    };
    Ok(
        (student_now(lock, &before.label)?.as_ref() != Some(&before)).then(|| {
            format!(
                "student {} is not as before it: change them{}",
                before.label,
                Hint::SetStudent {
                    label: &before.label
                }
            )
        }),
    )
}

/// Columns of a row but whose it is.
fn row_columns() -> String {
    format!(
        "number, entry_id, day, instant_us, checksum, shot, counted, edition, {}",
        column_list(None)
    )
}

fn put_back(lock: &Connection, number: i64, after: Option<&Before>) -> rusqlite::Result<()> {
    if let Some(after) = after {
        set_student(lock, after)?;
    }
    let columns = row_columns();
    let rows = format!(
        "INSERT INTO attempt (student_id, {columns})
         SELECT (SELECT student.id FROM student
             WHERE student.label = attempt_back.label COLLATE BINARY), {columns}
         FROM attempt_back WHERE entry_id = ?1 ORDER BY number"
    );
    for sql in [
        "INSERT INTO entry (id, kind, recorded, before)
         SELECT id, kind, recorded, before FROM entry_back WHERE id = ?1",
        // Who or what was added again meanwhile stays as it is.
        "INSERT INTO student (label, hand, reach_mm, entry_id)
         SELECT label, hand, reach_mm, entry_id FROM student_back WHERE entry_id = ?1
         AND NOT EXISTS (SELECT 1 FROM student WHERE student.label = student_back.label)",
        "INSERT INTO sheet (code, kind, body, checksum, entry_id, edition)
         SELECT code, kind, body, checksum, entry_id, edition FROM sheet_back WHERE entry_id = ?1
         AND NOT EXISTS (SELECT 1 FROM sheet WHERE sheet.code = sheet_back.code)",
        &rows,
        "DELETE FROM attempt_back WHERE entry_id = ?1",
        "DELETE FROM student_back WHERE entry_id = ?1",
        "DELETE FROM sheet_back WHERE entry_id = ?1",
        "DELETE FROM entry_back WHERE id = ?1",
    ] {
        lock.execute(sql, [number])?;
    }
    Ok(())
}
