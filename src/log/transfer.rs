//! Logs as CSV: everything out, everything in, nothing lost and nothing twice.
//!
//! One file holds students, sheets and attempts; the column `record` says which a row is, and a
//! file without that column holds attempts. Columns are found by name. A row with an `id` is the
//! same row wherever it goes; one without gets its id from what is in it, and the second row with
//! the same content in a file is a second go, not a repetition.

use std::cell::RefCell;
use std::collections::{HashMap, HashSet};
use std::io::{Cursor, Read, Seek, Write};

use csv::WriterBuilder;
use rusqlite::params_from_iter;

use super::attempt::{Attempt, ShotEntered};
use super::cells::{
    FIRST_COLUMNS, cell, checksum, content, difference, id_for, later_texts, read_later, to_cells,
};
use super::entry::EntryKind;
use super::error::LogError;
use super::handle::Log;
use super::lines::{Faults, How, Line, OWN_BEFORE, Pass, Record, Tables, header, read_lines};
use super::rows::LATER;
use super::sheet::Sheet;
use super::solver::{Solved, Solver};
use super::store::Filter;
use super::student::Student;
use super::texts;
use super::when::When;
use super::windows::{EARLIER, EDITION};
use super::writer::Writer;
use crate::field::Hint;
use crate::files::guarded;
use crate::shown::quoted;

/// Where an attempt comes from.
struct Row {
    line: u64,
    /// Whether its windows were worked out here.
    solved: bool,
}

/// Pages at hand during an import, KiB (SQLite's sign): the ids of a million rows. Assumption.
const IMPORT_CACHE: i64 = -32 * 1024;

/// Most shots remembered with their windows while a file is read. Assumption.
const SOLVED_KEPT: usize = 10_000;

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

/// Rows of CSV on their way out.
pub struct CsvRows<'a> {
    writer: csv::Writer<&'a mut dyn Write>,
    header: Vec<&'static str>,
    later: Later,
}

/// Columns that some rows need and others do not: texts of a shot that its request has been given since
/// the first edition, as far as any row has one.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Later(Vec<&'static str>);

impl Later {
    /// Those that any of these cells fill.
    fn of<'c>(rows: impl Iterator<Item = &'c [String]> + Clone) -> Self {
        let is_filled = |name: &&str| rows.clone().any(|cells| !cell(cells, name).is_empty());
        Self(later_texts().filter(is_filled).collect())
    }
}

impl std::fmt::Debug for CsvRows<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("CsvRows").finish_non_exhaustive()
    }
}

impl<'a> CsvRows<'a> {
    /// Writes the names of the columns, those that the rows need among them.
    ///
    /// # Errors
    /// [`LogError::Export`], here and below.
    pub fn new(later: Later, out: &'a mut dyn Write) -> Result<Self, LogError> {
        let header = header(&later.0);
        let mut rows = Self {
            writer: WriterBuilder::new().from_writer(out),
            header: header.clone(),
            later,
        };
        rows.put(header)?;
        Ok(rows)
    }

    fn put<T: AsRef<str>>(&mut self, cells: impl IntoIterator<Item = T>) -> Result<(), LogError> {
        let fault = |e| LogError::Export(io_error(e));
        for cell in cells {
            let cell = guarded(cell.as_ref());
            self.writer.write_field(cell.as_bytes()).map_err(fault)?;
        }
        self.writer.write_record(None::<&[u8]>).map_err(fault)
    }

    /// A student.
    ///
    /// # Errors
    /// [`LogError::Export`].
    pub fn student(&mut self, s: &Student) -> Result<(), LogError> {
        self.put(self.header.clone().into_iter().map(|name| match name {
            "record" => "student".to_owned(),
            "student" => s.label.clone(),
            "hand" => s.hand.map(|h| h.to_string()).unwrap_or_default(),
            "reach_mm" => s.reach_mm.map(|r| r.to_string()).unwrap_or_default(),
            _ => String::new(),
        }))
    }

    /// A sheet.
    ///
    /// # Errors
    /// [`LogError::Export`].
    pub fn sheet(&mut self, code: &str, body: &str) -> Result<(), LogError> {
        self.put(self.header.clone().into_iter().map(|name| match name {
            "record" => "sheet",
            "sheet" => code,
            "sheet_body" => body,
            _ => "",
        }))
    }

    /// A row of tries.
    ///
    /// # Errors
    /// [`LogError::Export`].
    pub fn attempt(&mut self, attempt: &Attempt) -> Result<(), LogError> {
        let cells = to_cells(attempt);
        let (before, after) = cells[..FIRST_COLUMNS].split_at(OWN_BEFORE);
        let later = self.later.0.clone();
        self.put(
            ["attempt"]
                .into_iter()
                .chain(before.iter().map(String::as_str))
                .chain(["", ""])
                .chain(after.iter().map(String::as_str))
                .chain(later.iter().map(|name| cell(&cells, name)))
                .chain([""]),
        )
    }

    /// Hands the last of it on.
    ///
    /// # Errors
    /// [`LogError::Export`].
    pub fn finish(mut self) -> Result<(), LogError> {
        self.writer.flush().map_err(LogError::Export)
    }
}

/// A reader that went away stays told from a disk that is full.
fn io_error(error: csv::Error) -> std::io::Error {
    match error.into_kind() {
        csv::ErrorKind::Io(e) => e,
        other => std::io::Error::other(format!("{other:?}")),
    }
}

impl Log {
    /// Writes what passes the filter as CSV, row by row: with the students and sheets it needs, or,
    /// with the default filter, with all there are.
    ///
    /// # Errors
    /// [`LogError::Export`] when writing fails, and the faults of reading.
    pub fn export_csv(&self, filter: &Filter, out: &mut dyn Write) -> Result<(), LogError> {
        self.at_one_moment(|log| {
            let (mut students, mut sheets) = (log.students()?, log.sheet_bodies()?);
            if *filter != Filter::default() {
                let labels = log.named_in(
                    filter,
                    "SELECT label FROM student WHERE id IN (SELECT student_id FROM attempt WHERE ROWS)",
                )?;
                let codes = log.named_in(
                    filter,
                    "SELECT DISTINCT sheet FROM attempt WHERE sheet IS NOT NULL AND ROWS",
                )?;
                students.retain(|s| labels.contains(&s.label));
                sheets.retain(|(code, _)| codes.contains(code));
            }
            let mut rows = CsvRows::new(log.later(filter)?, out)?;
            for student in &students {
                rows.student(student)?;
            }
            for (code, body) in &sheets {
                rows.sheet(code, body)?;
            }
            log.each_attempt(filter, None, |attempt| rows.attempt(&attempt))?;
            rows.finish()
        })
    }

    /// Columns that rows of a filter need beside those that all have.
    ///
    /// # Errors
    /// [`LogError::UnknownStudent`] and the faults of reading.
    pub fn later(&self, filter: &Filter) -> Result<Later, LogError> {
        let filled = self.named_in(
            filter,
            &format!("SELECT DISTINCT {LATER} FROM attempt WHERE {LATER} IS NOT NULL AND ROWS"),
        )?;
        let read = |json: &String| read_later(json).ok();
        let filled: Vec<Vec<String>> = filled.iter().filter_map(read).collect();
        let is_filled = |k: usize| filled.iter().any(|texts| !texts[k].is_empty());
        let names = later_texts().enumerate().filter(|(k, _)| is_filled(*k));
        Ok(Later(names.map(|(_, name)| name).collect()))
    }

    /// Texts that a query finds among the rows of a filter.
    fn named_in(&self, filter: &Filter, sql: &str) -> Result<HashSet<String>, LogError> {
        let (condition, values) = self.condition(filter)?;
        let read = || {
            self.connection
                .prepare(&sql.replace("ROWS", &condition))?
                .query_map(params_from_iter(values), |row| row.get(0))?
                .collect::<rusqlite::Result<HashSet<String>>>()
        };
        read().map_err(|e| self.fault(&e))
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
        let cells: Vec<Vec<String>> = attempts.iter().map(to_cells).collect();
        let later = Later::of(cells.iter().map(Vec::as_slice));
        let mut rows = CsvRows::new(later, out)?;
        for student in students {
            rows.student(student)?;
        }
        for (code, body) in sheets {
            rows.sheet(code, body)?;
        }
        for attempt in attempts {
            rows.attempt(attempt)?;
        }
        rows.finish()
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

    /// Takes in a CSV file of anybody's that is at hand whole; as [`Log::import_from`].
    ///
    /// # Errors
    /// As [`Log::import_from`].
    pub fn import_csv(
        &mut self,
        file: &[u8],
        recorded: &When,
        solver: Option<Solver<'_>>,
    ) -> Result<Imported, LogError> {
        self.import_from(&mut Cursor::new(file), Tables::Beside, recorded, solver)
    }

    /// Takes in a CSV file, all of it or nothing, as one entry. Rows that are in the log already
    /// are counted and left alone. The file is read twice, line by line: students and sheets first,
    /// wherever they stand in it.
    ///
    /// # Errors
    /// [`LogError::Import`] with every faulty line (the first thousand), and the faults of writing.
    pub fn import_from<R: Read + Seek>(
        &mut self,
        file: &mut R,
        tables: Tables,
        recorded: &When,
        solver: Option<Solver<'_>>,
    ) -> Result<Imported, LogError> {
        // Ids are as good as random: with too few pages at hand each row would move one to and fro.
        let usual = self.cache_size(IMPORT_CACHE)?;
        let done = self.take_in(file, tables, recorded, solver);
        self.cache_size(usual)?;
        done
    }

    /// Sets how many pages (negative: KiB) are kept at hand, and says how many were.
    fn cache_size(&self, size: i64) -> Result<i64, LogError> {
        let set = || {
            let before = self
                .connection
                .pragma_query_value(None, "cache_size", |row| row.get(0))?;
            self.connection.pragma_update(None, "cache_size", size)?;
            Ok(before)
        };
        set().map_err(|e| self.fault(&e))
    }

    fn take_in<R: Read + Seek>(
        &mut self,
        file: &mut R,
        tables: Tables,
        recorded: &When,
        solver: Option<Solver<'_>>,
    ) -> Result<Imported, LogError> {
        // The same shot is solved once.
        let solved: RefCell<HashMap<String, Result<Solved, String>>> = RefCell::default();
        let once = |shot: &ShotEntered| match solver {
            None => Err(String::new()),
            Some(solver) => {
                let key = key(shot);
                if let Some(known) = solved.borrow().get(&key) {
                    return known.clone();
                }
                let answer = solver(shot);
                let mut kept = solved.borrow_mut();
                if kept.len() >= SOLVED_KEPT {
                    kept.clear();
                }
                kept.insert(key, answer.clone());
                answer
            }
        };
        let solver: Option<Solver<'_>> = solver.is_some().then_some(&once);
        let mut faults = Faults::default();
        let mut writer = self.begin(EntryKind::Import, recorded)?;
        let mut done = Imported::default();
        let indexes = writer.without_indexes()?;
        let mut file_rows = FileRows::default();
        for pass in [Pass::Definitions, Pass::Attempts] {
            let how = How {
                pass,
                tables,
                solver,
            };
            read_lines(file, how, &mut faults, |line| {
                let Line { line, record } = line;
                match record {
                    Record::Attempt { attempt, solved } => {
                        let row = Row { line, solved };
                        writer.take_attempt(*attempt, row, &mut file_rows, &mut done)
                    }
                    definition => writer.take_definition(&definition, &mut done),
                }
            })?;
        }
        if let Some(faults) = faults.all() {
            return Err(LogError::Import(faults));
        }
        if done.added > 0 || !done.students.is_empty() || !done.sheets.is_empty() {
            drop(file_rows);
            writer.make_indexes(&indexes)?;
            done.entry = Some(writer.commit(done.added)?.entry);
        }
        Ok(done)
    }
}

/// What has been seen of a file so far.
#[derive(Default)]
struct FileRows {
    /// Checksums of the ids in the file, with their lines: a million take 36 MB.
    ids: HashMap<u64, u32>,
    /// How often each content came without an id.
    contents: HashMap<u64, u32>,
}

/// What tells shots of a file apart: all that a row says of one. No cell holds a control character.
fn key(shot: &ShotEntered) -> String {
    let mut key = String::with_capacity(128);
    let texts = texts::of(&shot.request);
    for text in texts
        .iter()
        .map(|t| t.as_deref().unwrap_or("\u{1}"))
        .chain([shot.gear.as_str()])
        .chain(shot.set.iter().map(String::as_str))
    {
        key.push_str(text);
        key.push('\0');
    }
    key
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
                    "student {} has another hand or reach in this log: change it there{}, or change the file",
                    student.label,
                    Hint::SetStudent {
                        label: &student.label
                    }
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
            Record::Attempt { .. } => Ok(Ok(())),
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
        Row { line, solved }: Row,
        seen: &mut FileRows,
        done: &mut Imported,
    ) -> Result<Result<(), String>, LogError> {
        if !self.is_known(&attempt.student)
            && let Err(problem) = self.take_student(&Student::named(&attempt.student), done)?
        {
            return Ok(Err(problem));
        }
        let mut cells = to_cells(&attempt);
        let id = attempt.id.clone().unwrap_or_else(|| {
            let content = content(&cells);
            let count = seen.contents.entry(content).or_default();
            *count += 1;
            id_for(content, u64::from(*count))
        });
        let place = u32::try_from(line).unwrap_or(u32::MAX);
        if let Some(first) = seen.ids.insert(checksum([id.as_str()]), place) {
            return Ok(Err(format!(
                "id {id} stands in line {first} already: leave one of the two out, or clear its id"
            )));
        }
        cells[0].clone_from(&id);
        attempt.id = Some(id.clone());
        // Whose windows a file gives it does not say.
        let edition = if solved { EDITION } else { EARLIER };
        if self.attempt_if_new(&cells, &attempt, edition)? {
            done.added += 1;
            return Ok(Ok(()));
        }
        match self.row(&id)? {
            None => Err(self.nobodys(&id)),
            Some(known) => match difference(&known, &cells, !solved) {
                None => {
                    done.known += 1;
                    Ok(Ok(()))
                }
                Some((column, was, is)) => Ok(Err(format!(
                    "row {id} is in the log with {column} = \"{}\", not \"{}\": undo the change, or clear its id to add it as a new row",
                    quoted(&was),
                    quoted(&is)
                ))),
            },
        }
    }
}
