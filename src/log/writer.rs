//! An open entry: one transaction that keeps it whole, and rows on their way in and out of the
//! database.

use std::collections::HashMap;
use std::path::PathBuf;

use rusqlite::types::Value;
use rusqlite::{OptionalExtension, Transaction, TransactionBehavior, params, params_from_iter};

use super::attempt::Attempt;
use super::cells::{COLUMNS, Counts, MISSES, checksum, content, id_for, shot_sum};
use super::entry::{EntryKind, Recorded};
use super::error::LogError;
use super::handle::Log;
use super::rows::{column_list, read_cells, stored, student_row, unknown};
use super::sheet::body_sum;
use super::student::Student;
use super::when::When;
use crate::units::Hand;

/// An open entry: the transaction that keeps it whole, and who is known.
pub(super) struct Writer<'a> {
    change: Transaction<'a>,
    path: PathBuf,
    entry: i64,
    students: HashMap<String, i64>,
}

impl Log {
    /// Begins an entry. Waits while another process writes.
    pub(super) fn begin(
        &mut self,
        kind: EntryKind,
        recorded: &When,
    ) -> Result<Writer<'_>, LogError> {
        let path = self.path.clone();
        let fault = |e: rusqlite::Error| LogError::from_sqlite(&path, &e);
        let change = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(fault)?;
        change
            .execute(
                "INSERT INTO entry (kind, recorded) VALUES (?1, ?2)",
                params![kind.name(), recorded.as_str()],
            )
            .map_err(fault)?;
        let entry = change.last_insert_rowid();
        let students = change
            .prepare_cached("SELECT label, id FROM student")
            .and_then(|mut q| {
                q.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?
                    .collect::<rusqlite::Result<_>>()
            })
            .map_err(fault)?;
        Ok(Writer {
            change,
            path,
            entry,
            students,
        })
    }
}

impl Writer<'_> {
    pub(super) fn fault(&self, error: &rusqlite::Error) -> LogError {
        LogError::from_sqlite(&self.path, error)
    }

    /// Keeps the entry.
    pub(super) fn commit(self, rows: usize) -> Result<Recorded, LogError> {
        let Self {
            change,
            path,
            entry,
            ..
        } = self;
        change
            .commit()
            .map_err(|e| LogError::from_sqlite(&path, &e))?;
        Ok(Recorded { entry, rows })
    }

    pub(super) fn known(&self, label: &str) -> Result<i64, LogError> {
        self.students
            .get(label)
            .copied()
            .ok_or_else(|| unknown(label, self.students.keys().map(String::as_str)))
    }

    pub(super) fn is_known(&self, label: &str) -> bool {
        self.students.contains_key(label)
    }

    /// Adds a student that is not there.
    pub(super) fn new_student(&mut self, student: &Student) -> Result<(), LogError> {
        let lower = student.label.to_lowercase();
        if let Some(existing) = self.students.keys().find(|k| k.to_lowercase() == lower) {
            return Err(LogError::LabelTaken {
                label: student.label.clone(),
                existing: existing.clone(),
            });
        }
        self.change
            .prepare_cached(
                "INSERT INTO student (label, hand, reach_mm, entry_id) VALUES (?1, ?2, ?3, ?4)",
            )
            .and_then(|mut q| {
                let hand = student.hand.map(Hand::name);
                q.execute(params![student.label, hand, student.reach_mm, self.entry])
            })
            .map_err(|e| self.fault(&e))?;
        let id = self.change.last_insert_rowid();
        self.students.insert(student.label.clone(), id);
        Ok(())
    }

    /// Changes a student and notes in the entry how it was.
    pub(super) fn change_student(
        &mut self,
        before: &Student,
        after: &Student,
    ) -> Result<(), LogError> {
        let id = self.known(&after.label)?;
        let note = serde_json::json!({
            "label": before.label,
            "hand": before.hand.map(Hand::name),
            "reach_mm": before.reach_mm,
        });
        self.change
            .execute(
                "UPDATE student SET hand = ?1, reach_mm = ?2 WHERE id = ?3",
                params![after.hand.map(Hand::name), after.reach_mm, id],
            )
            .and_then(|_| {
                self.change.execute(
                    "UPDATE entry SET before = ?1 WHERE id = ?2",
                    params![note.to_string(), self.entry],
                )
            })
            .map_err(|e| self.fault(&e))?;
        Ok(())
    }

    /// Stores a row; its id is in the first cell.
    pub(super) fn attempt(&mut self, cells: &[String], attempt: &Attempt) -> Result<(), LogError> {
        let student = self.known(&attempt.student)?;
        let sum = checksum(cells.iter().map(String::as_str)).cast_signed();
        let shot = shot_sum(cells);
        let mut values: Vec<Value> = vec![
            self.entry.into(),
            student.into(),
            attempt.when.day().to_owned().into(),
            attempt.when.instant_us().into(),
            sum.into(),
            shot.into(),
            Counts::of(cells)
                .sum(&attempt.student, attempt.when.day(), shot)
                .into(),
        ];
        let own = COLUMNS
            .iter()
            .zip(cells)
            .filter(|((name, _), _)| *name != "student");
        values.extend(own.map(|((_, kind), cell)| stored(*kind, cell)));
        let marks: Vec<String> = (1..=values.len()).map(|k| format!("?{k}")).collect();
        let sql = format!(
            "INSERT INTO attempt (entry_id, student_id, day, instant_us, checksum, shot, counted, {}) VALUES ({})",
            column_list(None),
            marks.join(", ")
        );
        self.change
            .prepare_cached(&sql)
            .and_then(|mut q| q.execute(params_from_iter(values)))
            .map_err(|e| self.fault(&e))?;
        Ok(())
    }

    /// The last entry before this one with the same tries at the same shot on the same day.
    pub(super) fn standing(
        &self,
        cells: &[String],
        attempt: &Attempt,
    ) -> Result<Option<i64>, LogError> {
        let same: Vec<String> = ["session", "sheet", "rung", "tries", "made"]
            .into_iter()
            .chain(MISSES)
            .enumerate()
            .map(|(k, name)| format!("\"{name}\" IS ?{}", k + 5))
            .collect();
        // The plus keeps the order from choosing the index: the one that comes in it holds all rows of
        // the student.
        let sql = format!(
            "SELECT entry_id FROM attempt WHERE student_id = ?1 AND day = ?2 AND shot = ?3 AND entry_id <> ?4 AND {} ORDER BY +number DESC LIMIT 1",
            same.join(" AND ")
        );
        let mut values: Vec<Value> = vec![
            self.known(&attempt.student)?.into(),
            attempt.when.day().to_owned().into(),
            shot_sum(cells).into(),
            self.entry.into(),
        ];
        let own = COLUMNS.iter().zip(cells);
        for name in ["session", "sheet", "rung", "tries", "made"]
            .into_iter()
            .chain(MISSES)
        {
            let found = own.clone().find(|((column, _), _)| *column == name);
            values.push(found.map_or(Value::Null, |((_, kind), cell)| stored(*kind, cell)));
        }
        self.change
            .prepare_cached(&sql)
            .and_then(|mut q| {
                q.query_row(params_from_iter(values), |row| row.get(0))
                    .optional()
            })
            .map_err(|e| self.fault(&e))
    }

    /// The first unused id for this content: the same thing done twice is two rows.
    pub(super) fn free_id(&self, cells: &[String]) -> Result<String, LogError> {
        let content = content(cells);
        let mut n = 1;
        loop {
            let id = id_for(content, n);
            if self.row(&id)?.is_none() {
                return Ok(id);
            }
            n += 1;
        }
    }

    /// The cells of a row that is there already.
    pub(super) fn row(&self, id: &str) -> Result<Option<Vec<String>>, LogError> {
        let sql = format!(
            "SELECT {}, checksum FROM attempt JOIN student ON student.id = student_id WHERE attempt.id = ?1",
            column_list(Some("student.label"))
        );
        self.change
            .prepare_cached(&sql)
            .and_then(|mut q| q.query_row([id], |row| Ok(read_cells(row)?.0)).optional())
            .map_err(|e| self.fault(&e))
    }

    /// The student of that label as stored.
    pub(super) fn student(&self, label: &str) -> Result<Option<Student>, LogError> {
        self.change
            .prepare_cached(
                "SELECT label, hand, reach_mm FROM student WHERE label = ?1 COLLATE BINARY",
            )
            .and_then(|mut q| q.query_row([label], student_row).optional())
            .map_err(|e| self.fault(&e))
    }

    /// The body of a sheet that is there already.
    pub(super) fn sheet(&self, code: &str) -> Result<Option<String>, LogError> {
        self.change
            .prepare_cached("SELECT body FROM sheet WHERE code = ?1")
            .and_then(|mut q| q.query_row([code], |row| row.get(0)).optional())
            .map_err(|e| self.fault(&e))
    }

    pub(super) fn new_sheet(&self, code: &str, kind: &str, body: &str) -> Result<(), LogError> {
        self.change
            .execute(
                "INSERT INTO sheet (code, kind, body, checksum, entry_id) VALUES (?1, ?2, ?3, ?4, ?5)",
                params![code, kind, body, body_sum(code, body), self.entry],
            )
            .map_err(|e| self.fault(&e))?;
        Ok(())
    }
}
