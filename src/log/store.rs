//! Recording and reading. Every entry is one transaction: it is kept whole or not at all.

use rusqlite::types::Value;
use rusqlite::{OptionalExtension as _, params_from_iter};

use super::attempt::Attempt;
use super::cells::{cell, from_cells, row_sum, to_cells};
use super::entry::{EntryKind, NewEntry, Recorded};
use super::error::LogError;
use super::handle::Log;
use super::rows::{column_list, read_cells, student_row, unknown, width};
use super::student::Student;
use super::when::When;

/// Which rows to read; everything by default.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Filter {
    /// Only this student's.
    pub student: Option<String>,
    /// From this day or instant on. Days compare as written; a row or bound without a time of day
    /// counts by its day.
    pub since: Option<When>,
    /// Up to and with this day or instant.
    pub until: Option<When>,
    /// Only this session.
    pub session: Option<String>,
    /// Only this sheet (code in upper case).
    pub sheet: Option<String>,
}

impl Log {
    /// Records rows as one entry.
    ///
    /// # Errors
    /// [`LogError::Row`] or [`LogError::UnknownStudent`] for a row that cannot be kept,
    /// [`LogError::Empty`], and the faults of writing. Nothing is kept then.
    pub fn add(&mut self, entry: &NewEntry) -> Result<Recorded, LogError> {
        self.add_if(entry, false)
    }

    fn add_if(&mut self, entry: &NewEntry, once: bool) -> Result<Recorded, LogError> {
        if entry.attempts.is_empty() {
            return Err(LogError::Empty);
        }
        for (k, attempt) in entry.attempts.iter().enumerate() {
            if let Some(problem) = attempt.problem() {
                return Err(LogError::Row {
                    row: k + 1,
                    problem,
                });
            }
        }
        let mut writer = self.begin(entry.kind, &entry.recorded)?;
        for attempt in &entry.attempts {
            writer.known(&attempt.student)?;
            let mut cells = to_cells(attempt);
            if once && let Some(standing) = writer.standing(&cells, attempt)? {
                return Err(LogError::Already {
                    student: attempt.student.clone(),
                    made: attempt.made,
                    tries: attempt.tries,
                    day: attempt.when.day().to_owned(),
                    entry: standing,
                });
            }
            cells[0] = writer.free_id(&cells)?;
            writer.attempt(&cells, attempt)?;
        }
        writer.commit(entry.attempts.len())
    }

    /// Records rows as one entry, unless one of them stands there already: the same tries of the same
    /// student at the same shot on the same day, in the same session and from the same sheet.
    ///
    /// # Errors
    /// As [`Log::add`], and [`LogError::Already`].
    pub fn add_once(&mut self, entry: &NewEntry) -> Result<Recorded, LogError> {
        self.add_if(entry, true)
    }

    /// Rows in the order they were recorded.
    ///
    /// # Errors
    /// As [`Log::each_attempt`].
    pub fn attempts(&self, filter: &Filter) -> Result<Vec<Attempt>, LogError> {
        let mut attempts = Vec::new();
        self.each_attempt(filter, None, |attempt| {
            attempts.push(attempt);
            Ok::<(), LogError>(())
        })?;
        Ok(attempts)
    }

    /// Hands on rows one by one, in the order they were recorded: all that pass the filter, or the
    /// `last` so many of them.
    ///
    /// # Errors
    /// [`LogError::UnknownStudent`], [`LogError::Damaged`] when a row does not match its checksum,
    /// the faults of reading, and what `take` answers.
    pub fn each_attempt<E: From<LogError>>(
        &self,
        filter: &Filter,
        last: Option<usize>,
        take: impl FnMut(Attempt) -> Result<(), E>,
    ) -> Result<(), E> {
        let (mut condition, values) = self.condition(filter)?;
        if let Some(last) = last {
            condition = format!(
                "{condition} AND number >= (SELECT min(number) FROM (SELECT number FROM attempt WHERE {condition} ORDER BY number DESC LIMIT {last}))"
            );
        }
        self.each(&condition, values, take)
    }

    /// What is read within is of one moment, whoever writes meanwhile.
    ///
    /// # Errors
    /// The faults of reading, and what `work` answers.
    pub fn at_one_moment<T, E: From<LogError>>(
        &self,
        work: impl FnOnce(&Self) -> Result<T, E>,
    ) -> Result<T, E> {
        let moment = self
            .connection
            .unchecked_transaction()
            .map_err(|e| self.fault(&e))?;
        let done = work(self);
        // Nothing was written: ending it either way is the same.
        drop(moment);
        done
    }

    /// A filter as an SQL condition on `attempt`.
    pub(crate) fn condition(&self, filter: &Filter) -> Result<(String, Vec<Value>), LogError> {
        let mut wanted = vec!["1".to_owned()];
        let mut values: Vec<Value> = Vec::new();
        if let Some(label) = &filter.student {
            values.push(self.student_number(label)?.into());
            wanted.push("attempt.student_id = ?1".to_owned());
        }
        for (column, value) in [("session", &filter.session), ("sheet", &filter.sheet)] {
            if let Some(value) = value {
                values.push(Value::Text(value.clone()));
                wanted.push(format!("attempt.{column} = ?{}", values.len()));
            }
        }
        for (bound, sign) in [(&filter.since, ">="), (&filter.until, "<=")] {
            let Some(bound) = bound else { continue };
            values.push(Value::Text(bound.day().to_owned()));
            let day = values.len();
            if let Some(us) = bound.instant_us() {
                values.push(Value::Integer(us));
                let us = values.len();
                wanted.push(format!(
                    "CASE WHEN instant_us IS NULL THEN day {sign} ?{day} ELSE instant_us {sign} ?{us} END"
                ));
            } else {
                wanted.push(format!("day {sign} ?{day}"));
            }
        }
        Ok((wanted.join(" AND "), values))
    }

    /// Rows that meet an SQL condition.
    pub(super) fn select(
        &self,
        condition: &str,
        values: Vec<Value>,
    ) -> Result<Vec<Attempt>, LogError> {
        let mut attempts = Vec::new();
        self.each(condition, values, |attempt| {
            attempts.push(attempt);
            Ok::<(), LogError>(())
        })?;
        Ok(attempts)
    }

    fn each<E: From<LogError>>(
        &self,
        condition: &str,
        values: Vec<Value>,
        mut take: impl FnMut(Attempt) -> Result<(), E>,
    ) -> Result<(), E> {
        // CROSS JOIN keeps the rows outermost: they come in their order without being sorted.
        let sql = format!(
            "SELECT {}, checksum, day FROM attempt CROSS JOIN student ON student.id = student_id WHERE {condition} ORDER BY number",
            column_list(Some("student.label"))
        );
        let fault = |e: rusqlite::Error| self.fault(&e);
        let mut query = self.connection.prepare_cached(&sql).map_err(fault)?;
        let mut rows = query.query(params_from_iter(values)).map_err(fault)?;
        while let Some(row) = rows.next().map_err(fault)? {
            let (cells, sum) = read_cells(row).map_err(fault)?;
            let day: String = row.get(width() + 1).map_err(fault)?;
            take(self.check_row(&cells, sum, &day)?)?;
        }
        Ok(())
    }

    /// What nobody wrote is not handed on.
    fn check_row(&self, cells: &[String], sum: i64, day: &str) -> Result<Attempt, LogError> {
        let what = || format!("row {}", cells[0]);
        if row_sum(cells) != sum {
            return Err(self.damaged(format!("{} does not match its checksum", what())));
        }
        let attempt = from_cells(&|name| cell(cells, name))
            .map_err(|problem| self.damaged(format!("{}: {problem}", what())))?;
        if attempt.when.day() != day {
            return Err(self.damaged(format!("{} stands under another day", what())));
        }
        Ok(attempt)
    }

    /// The student's number in the database.
    pub(super) fn student_number(&self, label: &str) -> Result<i64, LogError> {
        let found = self
            .connection
            .query_row(
                "SELECT id FROM student WHERE label = ?1 COLLATE BINARY",
                [label],
                |row| row.get(0),
            )
            .optional()
            .map_err(|e| self.fault(&e))?;
        match found {
            Some(number) => Ok(number),
            // Says who was meant.
            None => Err(self.student(label).err().unwrap_or_else(|| {
                self.damaged(format!("student {label} was there a moment ago"))
            })),
        }
    }

    /// Codes of the sheets a student has tries of, those tried last first.
    ///
    /// # Errors
    /// [`LogError::UnknownStudent`] and the faults of reading.
    pub fn sheets_tried(&self, label: &str) -> Result<Vec<String>, LogError> {
        let number = self.student_number(label)?;
        let read = || {
            self.connection
                .prepare_cached(
                    "SELECT sheet FROM attempt WHERE student_id = ?1 AND sheet IS NOT NULL GROUP BY sheet ORDER BY max(number) DESC",
                )?
                .query_map([number], |row| row.get(0))?
                .collect::<rusqlite::Result<Vec<String>>>()
        };
        read().map_err(|e| self.fault(&e))
    }

    /// All students, in the order of their labels.
    ///
    /// # Errors
    /// The faults of reading.
    pub fn students(&self) -> Result<Vec<Student>, LogError> {
        let read = || {
            self.connection
                .prepare_cached("SELECT label, hand, reach_mm FROM student ORDER BY label, id")?
                .query_map([], student_row)?
                .collect::<rusqlite::Result<Vec<_>>>()
        };
        read().map_err(|e| self.fault(&e))
    }

    /// One student.
    ///
    /// # Errors
    /// [`LogError::UnknownStudent`] suggesting the nearest, and the faults of reading.
    pub fn student(&self, label: &str) -> Result<Student, LogError> {
        let students = self.students()?;
        students
            .iter()
            .find(|s| s.label == label)
            .cloned()
            .ok_or_else(|| unknown(label, students.iter().map(|s| s.label.as_str())))
    }

    /// Adds a student, or sets hand and reach of one. This is an entry of its own.
    ///
    /// # Errors
    /// [`LogError::Student`], [`LogError::LabelTaken`], and the faults of writing.
    pub fn set_student(
        &mut self,
        student: &Student,
        recorded: &When,
    ) -> Result<Recorded, LogError> {
        student.check()?;
        let mut writer = self.begin(EntryKind::Student, recorded)?;
        if let Some(before) = writer.student(&student.label)? {
            writer.change_student(&before, student)?;
        } else {
            writer.new_student(student)?;
        }
        writer.commit(0)
    }
}
