//! Logs as CSV: everything out, everything in, nothing lost and nothing twice.
//!
//! One file holds students, sheets and attempts; the column `record` says which a row is, and a
//! file without that column holds attempts. Columns are found by name. A row with an `id` is the
//! same row wherever it goes; one without gets its id from what is in it, and the second row with
//! the same content in a file is a second go, not a repetition.

use std::collections::HashMap;
use std::io::Write;

use csv::WriterBuilder;

use super::attempt::Attempt;
use super::cells::{cell, content, difference, id_for, to_cells};
use super::error::{LineFault, LogError};
use super::lines::{Line, Record, header, read_lines};
use super::open::Log;
use super::sheet::Sheet;
use super::solver::Solver;
use super::store::{EntryKind, Filter};
use super::student::Student;
use super::when::When;
use super::writer::Writer;

/// What an import did.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Imported {
    /// Number of the entry; `None` when nothing was new.
    pub entry: Option<i64>,
    /// New attempts.
    pub added: usize,
    /// Attempts that were in the log already.
    pub known: usize,
    /// Students added.
    pub students: Vec<String>,
    /// Codes of sheets added.
    pub sheets: Vec<String>,
}

impl Log {
    /// Writes what passes the filter as CSV: with the students and sheets it needs, or, with the
    /// default filter, with all there are.
    ///
    /// # Errors
    /// [`LogError::Export`] when writing fails, and the faults of reading.
    pub fn export_csv(&self, filter: &Filter, out: &mut dyn Write) -> Result<(), LogError> {
        let attempts = self.attempts(filter)?;
        let (mut students, mut sheets) = (self.students()?, self.sheet_bodies()?);
        if *filter != Filter::default() {
            students.retain(|s| attempts.iter().any(|a| a.student == s.label));
            sheets.retain(|(code, _)| attempts.iter().any(|a| a.sheet.as_ref() == Some(code)));
        }
        Self::write_csv(&students, &sheets, &attempts, out)
    }

    /// Writes students, sheets (code and body) and attempts as CSV that [`Log::import_csv`] reads.
    ///
    /// # Errors
    /// [`LogError::Export`].
    pub fn write_csv(
        students: &[Student],
        sheets: &[(String, String)],
        attempts: &[Attempt],
        out: &mut dyn Write,
    ) -> Result<(), LogError> {
        let mut writer = WriterBuilder::new().from_writer(out);
        let columns = header();
        let mut put = |value: &dyn Fn(&str) -> String| {
            writer
                .write_record(columns.iter().map(|name| value(name)))
                .map_err(|e| LogError::Export(e.into()))
        };
        put(&|name| name.to_owned())?;
        for s in students {
            put(&|name| match name {
                "record" => "student".to_owned(),
                "student" => s.label.clone(),
                "hand" => s.hand.map(|h| h.to_string()).unwrap_or_default(),
                "reach_mm" => s.reach_mm.map(|r| r.to_string()).unwrap_or_default(),
                _ => String::new(),
            })?;
        }
        for (code, body) in sheets {
            put(&|name| match name {
                "record" => "sheet".to_owned(),
                "sheet" => code.clone(),
                "sheet_body" => body.clone(),
                _ => String::new(),
            })?;
        }
        for attempt in attempts {
            let cells = to_cells(attempt);
            put(&|name| match name {
                "record" => "attempt".to_owned(),
                other => cell(&cells, other).to_owned(),
            })?;
        }
        writer.flush().map_err(LogError::Export)
    }

    fn sheet_bodies(&self) -> Result<Vec<(String, String)>, LogError> {
        let read = || {
            self.connection
                .prepare("SELECT code, body, checksum FROM sheet ORDER BY code")?
                .query_map([], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?
                .collect::<rusqlite::Result<Vec<(String, String, i64)>>>()
        };
        let sheets = read().map_err(|e| self.fault(&e))?;
        sheets
            .into_iter()
            .map(|(code, body, sum)| {
                self.check_body(&code, &body, sum)?;
                Ok((code, body))
            })
            .collect()
    }

    /// Takes in a CSV file, all of it or nothing, as one entry. Rows that are in the log already
    /// are counted and left alone.
    ///
    /// # Errors
    /// [`LogError::Import`] with every faulty line, and the faults of writing.
    pub fn import_csv(
        &mut self,
        file: &[u8],
        recorded: &When,
        solver: Option<Solver<'_>>,
    ) -> Result<Imported, LogError> {
        let mut faults = Vec::new();
        let lines = read_lines(file, solver, &mut faults);
        let mut writer = self.begin(EntryKind::Import, recorded)?;
        let mut done = Imported::default();
        // Students and sheets first, wherever they stand in the file.
        for Line { line, record } in &lines {
            if let Err(problem) = writer.take_definition(record, &mut done)? {
                faults.push(LineFault {
                    line: *line,
                    problem,
                });
            }
        }
        let mut file_rows = FileRows::default();
        for Line { line, record } in lines {
            if let Record::Attempt(attempt) = record
                && let Err(problem) =
                    writer.take_attempt(*attempt, line, &mut file_rows, &mut done)?
            {
                faults.push(LineFault { line, problem });
            }
        }
        if !faults.is_empty() {
            faults.sort_by_key(|f| f.line);
            return Err(LogError::Import(faults));
        }
        if done.added > 0 || !done.students.is_empty() || !done.sheets.is_empty() {
            done.entry = Some(writer.commit(done.added)?.entry);
        }
        Ok(done)
    }
}

/// What has been seen of a file so far.
#[derive(Default)]
struct FileRows {
    /// Ids given in the file, with their lines.
    ids: HashMap<String, u64>,
    /// How often each content came without an id.
    contents: HashMap<u64, u64>,
}

impl Writer<'_> {
    /// Adds a student or a sheet. The inner error is the line's fault.
    fn take_definition(
        &mut self,
        record: &Record,
        done: &mut Imported,
    ) -> Result<Result<(), String>, LogError> {
        match record {
            Record::Student(student) => match self.student(&student.label)? {
                None => self.take_student(student, done),
                Some(known) if known == *student => Ok(Ok(())),
                Some(_) => Ok(Err(format!(
                    "student {} has another hand or reach in this log: change it with thincut log students set, or the file",
                    student.label
                ))),
            },
            Record::Sheet(code, body) => match self.sheet(code)? {
                None => {
                    let kind = serde_json::from_str::<Sheet>(body).map(|s| s.kind);
                    let Ok(kind) = kind else {
                        return Ok(Err("sheet_body is no sheet".to_owned()));
                    };
                    self.new_sheet(code, kind.name(), body)?;
                    done.sheets.push(code.clone());
                    Ok(Ok(()))
                }
                Some(known) if known == *body => Ok(Ok(())),
                Some(_) => Ok(Err(format!(
                    "the code {code} is another sheet's in this log"
                ))),
            },
            Record::Attempt(_) => Ok(Ok(())),
        }
    }

    fn take_student(
        &mut self,
        student: &Student,
        done: &mut Imported,
    ) -> Result<Result<(), String>, LogError> {
        match self.new_student(student) {
            Ok(()) => {
                done.students.push(student.label.clone());
                Ok(Ok(()))
            }
            Err(taken @ LogError::LabelTaken { .. }) => Ok(Err(taken.to_string())),
            Err(other) => Err(other),
        }
    }

    /// Adds an attempt that is not there yet. The inner error is the line's fault.
    fn take_attempt(
        &mut self,
        mut attempt: Attempt,
        line: u64,
        seen: &mut FileRows,
        done: &mut Imported,
    ) -> Result<Result<(), String>, LogError> {
        if !self.is_known(&attempt.student)
            && let Err(problem) = self.take_student(&Student::named(&attempt.student), done)?
        {
            return Ok(Err(problem));
        }
        let id = attempt.id.clone().unwrap_or_else(|| {
            let content = content(&to_cells(&attempt));
            let count = seen.contents.entry(content).or_default();
            *count += 1;
            id_for(content, *count)
        });
        if let Some(first) = seen.ids.insert(id.clone(), line) {
            return Ok(Err(format!(
                "id {id} stands in line {first} already: leave one of the two out, or clear its id"
            )));
        }
        attempt.id = Some(id.clone());
        let cells = to_cells(&attempt);
        match self.row(&id)? {
            None => {
                self.attempt(&cells, &attempt)?;
                done.added += 1;
                Ok(Ok(()))
            }
            Some(known) => match difference(&known, &cells) {
                None => {
                    done.known += 1;
                    Ok(Ok(()))
                }
                Some((column, was, is)) => Ok(Err(format!(
                    "row {id} is in the log with {column} = \"{was}\", not \"{is}\": undo the change, or clear its id to add it as a new row"
                ))),
            },
        }
    }
}
