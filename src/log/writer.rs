//! An open entry: one transaction that keeps it whole, and rows on their way in and out of the
//! database.

use std::collections::HashMap;
use std::path::PathBuf;
use std::sync::LazyLock;

use rusqlite::types::{ToSqlOutput, Value};
use rusqlite::{OptionalExtension, Transaction, TransactionBehavior, params, params_from_iter};

use super::attempt::Attempt;
use super::cells::{Counts, MISSES, columns, content, id_for, row_sum, shot_sum};
use super::entry::{EntryKind, Recorded};
use super::error::LogError;
use super::handle::Log;
use super::rows::{column_list, own_values, read_cells, stored, student_row, unknown, width};
use super::sheet::body_sum;
use super::student::Student;
use super::when::When;
use super::windows::EDITION;
use crate::units::Hand;

/// Values of a stored row beside its cells; the student's label is none of these.
const OF_THE_ROW: usize = 8;

/// Stores a row. Written once: an import asks a million times.
static INSERT: LazyLock<String> = LazyLock::new(|| {
    let marks: Vec<String> = (1..OF_THE_ROW + width()).map(|k| format!("?{k}")).collect();
    format!(
        "INSERT INTO attempt (entry_id, student_id, day, instant_us, checksum, shot, counted, edition, {}) VALUES ({}) ON CONFLICT (id) DO NOTHING",
        column_list(None),
        marks.join(", ")
    )
});

/// The cells of a row.
static SELECT: LazyLock<String> = LazyLock::new(|| {
    format!(
        "SELECT {}, checksum FROM attempt JOIN student ON student.id = student_id WHERE attempt.id = ?1",
        column_list(Some("student.label"))
    )
});

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

    /// Takes the indexes of the rows away where there are no rows yet, and says how to make them
    /// again: many rows are sorted into an index at once in a part of the time of one by one.
    pub(super) fn without_indexes(&self) -> Result<Vec<String>, LogError> {
        let take = || {
            let rows = "SELECT EXISTS (SELECT 1 FROM attempt)";
            if self.change.query_row(rows, [], |row| row.get(0))? {
                return Ok(Vec::new());
            }
            let made: Vec<(String, String)> = self
                .change
                .prepare("SELECT name, sql FROM sqlite_schema WHERE type = 'index' AND tbl_name = 'attempt' AND sql IS NOT NULL ORDER BY rowid")?
                .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?
                .collect::<rusqlite::Result<_>>()?;
            for (name, _) in &made {
                self.change
                    .execute_batch(&format!("DROP INDEX \"{name}\""))?;
            }
            Ok(made.into_iter().map(|(_, sql)| sql).collect())
        };
        take().map_err(|e: rusqlite::Error| self.fault(&e))
    }

    /// Makes indexes.
    pub(super) fn make_indexes(&self, indexes: &[String]) -> Result<(), LogError> {
        indexes
            .iter()
            .try_for_each(|sql| self.change.execute_batch(sql))
            .map_err(|e| self.fault(&e))
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

    /// Stores a row whose id, in the first cell, no student's row has.
    pub(super) fn attempt(&mut self, cells: &[String], attempt: &Attempt) -> Result<(), LogError> {
        let edition = self.solved_by(attempt)?;
        if self.attempt_if_new(cells, attempt, edition)? {
            Ok(())
        } else {
            Err(self.nobodys(&cells[0]))
        }
    }

    /// A row is there, but its student is not.
    pub(super) fn nobodys(&self, id: &str) -> LogError {
        LogError::Damaged {
            path: self.path.clone(),
            reason: format!("row {id} is of a student it does not have"),
        }
    }

    /// Which edition of the solver the windows of a new row are of: those of a try at a kept sheet are
    /// the sheet's, all others were found just now.
    fn solved_by(&self, attempt: &Attempt) -> Result<i64, LogError> {
        let Some(code) = &attempt.sheet else {
            return Ok(EDITION);
        };
        self.change
            .prepare_cached("SELECT edition FROM sheet WHERE code = ?1")
            .and_then(|mut q| q.query_row([code], |row| row.get(0)).optional())
            .map(|edition| edition.unwrap_or(EDITION))
            .map_err(|e| self.fault(&e))
    }

    /// Stores a row, its windows by an edition of the solver; its id is in the first cell. `false` when a row of that id is there: it stays
    /// as it is.
    pub(super) fn attempt_if_new(
        &mut self,
        cells: &[String],
        attempt: &Attempt,
        edition: i64,
    ) -> Result<bool, LogError> {
        let student = self.known(&attempt.student)?;
        let sum = row_sum(cells);
        let shot = shot_sum(cells);
        let counted = Counts::of(cells).sum(&attempt.student, attempt.when.day(), shot);
        let mut values: Vec<ToSqlOutput<'_>> = Vec::with_capacity(OF_THE_ROW + width());
        values.extend([
            self.entry.into(),
            student.into(),
            attempt.when.day().into(),
            ToSqlOutput::Owned(
                attempt
                    .when
                    .instant_us()
                    .map_or(Value::Null, Value::Integer),
            ),
            sum.into(),
            shot.into(),
            counted.into(),
            edition.into(),
        ]);
        values.extend(own_values(cells));
        self.change
            .prepare_cached(&INSERT)
            .and_then(|mut q| q.execute(params_from_iter(values)))
            .map(|stored| stored == 1)
            .map_err(|e| self.fault(&e))
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
        let mut values: Vec<ToSqlOutput<'_>> = vec![
            self.known(&attempt.student)?.into(),
            attempt.when.day().into(),
            shot_sum(cells).into(),
            self.entry.into(),
        ];
        let own = columns().iter().zip(cells);
        for name in ["session", "sheet", "rung", "tries", "made"]
            .into_iter()
            .chain(MISSES)
        {
            let found = own.clone().find(|((column, _), _)| *column == name);
            values.push(
                found.map_or(ToSqlOutput::Owned(Value::Null), |((_, kind), cell)| {
                    stored(*kind, cell)
                }),
            );
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
        self.change
            .prepare_cached(&SELECT)
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
