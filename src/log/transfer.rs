//! Logs as CSV: everything out, everything in, nothing lost and nothing twice.
//!
//! One file holds students, sheets and attempts; the column `record` says which a row is, and a
//! file without that column holds attempts. Columns are found by name. A row with an `id` is the
//! same row wherever it goes; one without gets its id from what is in it, and the second row with
//! the same content in a file is a second go, not a repetition.

use std::collections::HashMap;
use std::io::Write;

use csv::{ByteRecord, ReaderBuilder, StringRecord, WriterBuilder};

use super::attempt::{Attempt, ShotEntered};
use super::cells::{
    COLUMNS, content, cut_name, difference, from_cells, id_for, solved_cells, to_cells,
};
use super::code::read_code;
use super::error::{LineFault, LogError};
use super::open::Log;
use super::sheet::Sheet;
use super::store::{EntryKind, Filter, Writer, cell};
use super::student::{Student, nearest};
use super::when::When;
use super::windows::Windows;
use crate::player::Cut;

/// What a solver says about a shot.
#[derive(Debug, Clone, PartialEq)]
pub struct Solved {
    /// Its windows.
    pub windows: Windows,
    /// Which way it cuts.
    pub cut: Cut,
}

/// Solves the shots of rows that come without windows; `Ok(None)` for a shot that has none, an
/// error (what is wrong, what would do) for one that cannot stand.
pub type Solver<'a> = &'a dyn Fn(&ShotEntered) -> Result<Option<Solved>, String>;

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

/// Columns beside those of attempts.
const EXTRA: [&str; 4] = ["record", "hand", "reach_mm", "sheet_body"];

/// All columns, in the order they are written.
fn header() -> Vec<&'static str> {
    let names = COLUMNS.map(|(name, _)| name);
    let (before, after) = names.split_at(2);
    [
        &["record"],
        before,
        &["hand", "reach_mm"],
        after,
        &["sheet_body"],
    ]
    .concat()
}

impl Log {
    /// Writes what passes the filter as CSV: with the students and sheets it needs, or, with the
    /// default filter, with all there are.
    ///
    /// # Errors
    /// [`LogError::Export`] when writing fails, and the faults of reading.
    pub fn export_csv(&self, filter: &Filter, out: &mut dyn Write) -> Result<(), LogError> {
        let attempts = self.attempts(filter)?;
        let all = *filter == Filter::default();
        let mut writer = WriterBuilder::new().from_writer(out);
        let columns = header();
        let mut put = |value: &dyn Fn(&str) -> String| {
            writer
                .write_record(columns.iter().map(|name| value(name)))
                .map_err(|e| LogError::Export(e.into()))
        };
        put(&|name| name.to_owned())?;
        for s in self.students()? {
            if all || attempts.iter().any(|a| a.student == s.label) {
                put(&|name| match name {
                    "record" => "student".to_owned(),
                    "student" => s.label.clone(),
                    "hand" => s.hand.map(|h| h.to_string()).unwrap_or_default(),
                    "reach_mm" => s.reach_mm.map(|r| r.to_string()).unwrap_or_default(),
                    _ => String::new(),
                })?;
            }
        }
        for (code, body) in self.sheet_bodies()? {
            if all || attempts.iter().any(|a| a.sheet.as_ref() == Some(&code)) {
                put(&|name| match name {
                    "record" => "sheet".to_owned(),
                    "sheet" => code.clone(),
                    "sheet_body" => body.clone(),
                    _ => String::new(),
                })?;
            }
        }
        for attempt in &attempts {
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
                .prepare("SELECT code, body FROM sheet ORDER BY code")?
                .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?
                .collect::<rusqlite::Result<_>>()
        };
        read().map_err(|e| self.fault(&e))
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

enum Record {
    Student(Student),
    Sheet(String, String),
    Attempt(Box<Attempt>),
}

struct Line {
    line: u64,
    record: Record,
}

/// What has been seen of a file so far.
#[derive(Default)]
struct FileRows {
    /// Ids given in the file, with their lines.
    ids: HashMap<String, u64>,
    /// How often each content came without an id.
    contents: HashMap<u64, u64>,
}

/// Reads the lines; those that cannot be read become faults.
fn read_lines(file: &[u8], solver: Option<Solver<'_>>, faults: &mut Vec<LineFault>) -> Vec<Line> {
    // Spreadsheets put a byte-order mark before the first column's name.
    let file = file.strip_prefix(b"\xef\xbb\xbf").unwrap_or(file);
    let mut reader = ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .from_reader(file);
    let mut lines = Vec::new();
    let mut names: Option<Vec<String>> = None;
    for record in reader.byte_records() {
        let read = record.map_err(|e| e.to_string());
        let line = match &read {
            Ok(r) => r.position().map_or(1, csv::Position::line),
            Err(_) => 1,
        };
        let outcome = read.and_then(text).and_then(|fields| match &names {
            None => {
                names = Some(check_header(&fields)?);
                Ok(None)
            }
            Some(names) => read_line(names, &fields, solver).map(Some),
        });
        match outcome {
            Ok(Some(record)) => lines.push(Line { line, record }),
            Ok(None) => {}
            Err(problem) => {
                faults.push(LineFault { line, problem });
                if names.is_none() {
                    // Without names of columns nothing below can be understood.
                    return lines;
                }
            }
        }
    }
    if names.is_none() && faults.is_empty() {
        faults.push(LineFault {
            line: 1,
            problem: "the file is empty: the first line names the columns".to_owned(),
        });
    }
    lines
}

fn text(record: ByteRecord) -> Result<StringRecord, String> {
    StringRecord::from_byte_record(record)
        .map_err(|_| "is not UTF-8 text: save the file as CSV in UTF-8".to_owned())
}

fn check_header(fields: &StringRecord) -> Result<Vec<String>, String> {
    let known = || COLUMNS.iter().map(|(name, _)| *name).chain(EXTRA);
    let names: Vec<String> = fields.iter().map(|f| f.trim().to_owned()).collect();
    for (k, name) in names.iter().enumerate() {
        if !known().any(|n| n == name) {
            let hint = nearest(name, known()).map_or_else(
                || format!("columns are {}", header().join(", ")),
                |n| format!("did you mean {n}?"),
            );
            return Err(format!("unknown column \"{name}\": {hint}"));
        }
        if names[..k].contains(name) {
            return Err(format!(
                "column \"{name}\" stands there twice: take one out"
            ));
        }
    }
    for needed in ["student", "when", "gear", "tries", "made"] {
        if !names.iter().any(|n| n == needed) {
            return Err(format!("column \"{needed}\" is missing"));
        }
    }
    Ok(names)
}

fn read_line(
    names: &[String],
    fields: &StringRecord,
    solver: Option<Solver<'_>>,
) -> Result<Record, String> {
    if fields.len() != names.len() {
        let (found, wanted) = (fields.len(), names.len());
        return Err(format!("{found} cells, but there are {wanted} columns"));
    }
    let given = |name: &str| {
        let at = names.iter().position(|n| n == name);
        at.and_then(|k| fields.get(k)).unwrap_or_default()
    };
    match given("record") {
        "student" => read_student(&given).map(Record::Student),
        "sheet" => read_sheet(&given),
        "attempt" | "" => read_attempt(&given, solver).map(|a| Record::Attempt(Box::new(a))),
        other => Err(format!(
            "record = \"{other}\": write attempt, student or sheet"
        )),
    }
}

fn read_student<'a>(given: &dyn Fn(&str) -> &'a str) -> Result<Student, String> {
    let optional = |name| Some(given(name)).filter(|t| !t.is_empty());
    let student = Student {
        label: given("student").to_owned(),
        hand: optional("hand")
            .map(str::parse)
            .transpose()
            .map_err(|e: super::student::StudentError| e.to_string())?,
        reach_mm: optional("reach_mm")
            .map(|t| {
                t.parse::<f64>()
                    .map_err(|_| format!("reach_mm = \"{t}\" is not a number"))
            })
            .transpose()?,
    };
    student.check().map_err(|e| e.to_string())?;
    Ok(student)
}

fn read_sheet<'a>(given: &dyn Fn(&str) -> &'a str) -> Result<Record, String> {
    let code = read_code(given("sheet")).map_err(|e| e.to_string())?;
    let body = given("sheet_body");
    let sheet: Sheet =
        serde_json::from_str(body).map_err(|e| format!("sheet_body is no sheet: {e}"))?;
    match sheet.problem() {
        Some(problem) => Err(format!("sheet {code}: {problem}")),
        None => Ok(Record::Sheet(code, body.to_owned())),
    }
}

/// An attempt; one without windows is solved, if there is a solver.
fn read_attempt<'a>(
    given: &dyn Fn(&str) -> &'a str,
    solver: Option<Solver<'_>>,
) -> Result<Attempt, String> {
    let unsolved = solved_cells()
        .iter()
        .all(|(name, _)| given(name).is_empty());
    let Some(solver) = solver.filter(|_| unsolved) else {
        return from_cells(given);
    };
    let side = given("cut_direction");
    // The direction is the solver's to say; until then either will do.
    let asked = |name: &str| match name {
        "cut_direction" if side.is_empty() => cut_name(Cut::Left),
        other => given(other),
    };
    let mut attempt = from_cells(&asked)?;
    match solver(&attempt.shot)? {
        Some(solved) => {
            let (found, cut_deg) = (cut_name(solved.cut), solved.windows.cut_deg);
            if !side.is_empty() && side != found && cut_deg > STRAIGHT_DEG {
                return Err(format!(
                    "cut_direction = {side}, but this shot cuts {found}"
                ));
            }
            if side.is_empty() {
                attempt.cut = solved.cut;
            }
            attempt.windows = Some(solved.windows);
        }
        None if side.is_empty() => {
            return Err("cut_direction is empty, and this shot has no window to tell it: write left or right".to_owned());
        }
        None => {}
    }
    Ok(attempt)
}

/// Cuts below this have no side worth arguing about, degrees. Assumption: a hundredth of the
/// spread of the steadiest aim.
const STRAIGHT_DEG: f64 = 1e-3;

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
