//! Reading the lines of a CSV log one by one: names of columns, cells, and shots that still need solving.

use std::io::{Read, Seek};

use csv::{ByteRecord, StringRecord};

use super::attempt::Attempt;
use super::cells::{Kind, columns, first_columns, from_cells, later_texts, solved_cells};
use super::code::read_code;
use super::error::{LineFault, LogError};
use super::sheet::Sheet;
use super::solver::Solver;
use super::student::{Student, read_hand};
use super::texts;
use crate::error::GearError;
use crate::field::{Face, Hint, spoken_by};
use crate::files::{Rows, unguarded, with_decimal_point};
use crate::gear::LoadedGear;
use crate::shown::{bounded, nearest, quoted};
use crate::units::Side;

/// Columns beside those of attempts.
const EXTRA: [&str; 4] = ["record", "hand", "reach_mm", "sheet_body"];

/// How many of an attempt's columns are written before those of a student.
pub(super) const OWN_BEFORE: usize = 2;

/// Columns in the order they are written, of the later texts these.
pub(super) fn header(later: &[&'static str]) -> Vec<&'static str> {
    let names: Vec<&str> = first_columns().iter().map(|(name, _)| *name).collect();
    let (before, after) = names.split_at(OWN_BEFORE);
    [
        &["record"],
        before,
        &["hand", "reach_mm"],
        after,
        later,
        &["sheet_body"],
    ]
    .concat()
}

pub(super) enum Record {
    Student(Student),
    Sheet(String, String),
    Attempt {
        attempt: Box<Attempt>,
        /// Whether its windows were worked out here: the file gave none.
        solved: bool,
    },
}

pub(super) struct Line {
    pub(super) line: u64,
    pub(super) record: Record,
}

/// Most faults that are gathered before the rest of a file is left unread. Assumption: far more than
/// anybody mends before trying again.
const MOST_FAULTS: usize = 1000;

/// Faults of a file so far.
#[derive(Default)]
pub(super) struct Faults(Vec<LineFault>);

impl Faults {
    fn note(&mut self, line: u64, problem: String) {
        self.0.push(LineFault { line, problem });
        if self.0.len() == MOST_FAULTS {
            self.0.push(LineFault {
                line,
                problem: format!("reading ended here, after {MOST_FAULTS} faults"),
            });
        }
    }

    fn too_many(&self) -> bool {
        self.0.len() > MOST_FAULTS
    }

    /// All of them by line, if there are any.
    pub(super) fn all(mut self) -> Option<Vec<LineFault>> {
        self.0.sort_by_key(|f| f.line);
        Some(self.0).filter(|f| !f.is_empty())
    }
}

/// A file is read twice.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Pass {
    /// Students and sheets.
    Definitions,
    /// Attempts, and everything that is wrong with any line.
    Attempts,
}

impl Pass {
    /// Whether a file with these columns has anything for it.
    fn has_work(self, columns: &[String]) -> bool {
        self == Self::Attempts || columns.iter().any(|name| name == "record")
    }
}

/// Which tables the rows of a file may name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tables {
    /// Presets and bare names of files: the file may come from anybody.
    Beside,
    /// Any, since the file is the user's own.
    Anywhere,
}

impl Tables {
    /// What is wrong with a row that names this one, if anything.
    fn problem(self, gear: &str) -> Option<String> {
        // That there is none is another fault.
        let is_fine =
            self == Self::Anywhere || gear.is_empty() || LoadedGear::may_stand_in_a_file(gear);
        (!is_fine).then(|| {
            let name = quoted(gear);
            format!(
                "gear = {}{}",
                GearError::NotBeside { name },
                Hint::OwnExport
            )
        })
    }
}

/// How a file is read.
#[derive(Clone, Copy)]
pub(super) struct How<'a> {
    pub(super) pass: Pass,
    pub(super) tables: Tables,
    /// Who solves shots without windows.
    pub(super) solver: Option<Solver<'a>>,
}

/// Hands on the lines of one pass; those that cannot be read, or that `take` refuses with its inner
/// error, become faults.
pub(super) fn read_lines<R: Read + Seek>(
    file: &mut R,
    how: How<'_>,
    faults: &mut Faults,
    mut take: impl FnMut(Line) -> Result<Result<(), String>, LogError>,
) -> Result<(), LogError> {
    // What neither pass can read is told once.
    let noted = |faults: &mut Faults, fault: LineFault| {
        if how.pass == Pass::Attempts {
            faults.note(fault.line, fault.problem);
        }
    };
    let mut record = ByteRecord::new();
    let (mut rows, names) = match open(file, &mut record) {
        Ok((rows, names)) if how.pass.has_work(&names) => (rows, names),
        Ok(_) => return Ok(()),
        Err(fault) => {
            noted(faults, fault);
            return Ok(());
        }
    };
    while !faults.too_many() {
        let line = match next(&mut rows, &mut record) {
            Ok(Some(line)) => line,
            Ok(None) => break,
            Err(fault) => {
                noted(faults, fault);
                break;
            }
        };
        let outcome = text(&record).and_then(|fields| {
            let fields = as_written(&names, &fields, rows.has_decimal_commas());
            read_line(&names, &fields, how)
        });
        match outcome {
            Ok(None) => {}
            Ok(Some(record)) => {
                if let Err(problem) = take(Line { line, record })? {
                    faults.note(line, problem);
                }
            }
            Err(problem) => noted(faults, LineFault { line, problem }),
        }
    }
    Ok(())
}

/// A reader behind the names of the columns, and these.
fn open<'a, R: Read + Seek>(
    file: &'a mut R,
    record: &mut ByteRecord,
) -> Result<(Rows<&'a mut R>, Vec<String>), LineFault> {
    let fault = |line, problem| LineFault { line, problem };
    let unreadable = |e| fault(1, format!("cannot be read: {e}"));
    file.rewind().map_err(unreadable)?;
    let mut rows = Rows::new(file, false).map_err(unreadable)?;
    let empty = || "the file is empty: the first line names the columns".to_owned();
    let line = next(&mut rows, record)?.ok_or_else(|| fault(1, empty()))?;
    // Without names of columns nothing below can be understood.
    let names = text(record)
        .and_then(|fields| check_header(&fields))
        .map_err(|problem| fault(line, problem))?;
    Ok((rows, names))
}

/// The next record and the line it stands in, if there is one.
fn next<R: Read>(rows: &mut Rows<R>, record: &mut ByteRecord) -> Result<Option<u64>, LineFault> {
    match rows.read(record) {
        Ok(true) => Ok(Some(record.position().map_or(1, csv::Position::line))),
        Ok(false) => Ok(None),
        Err(e) => Err(LineFault {
            line: e.line,
            problem: format!("cannot be read: {}", e.problem),
        }),
    }
}

/// The cells without what guards them in a spreadsheet, numbers with a decimal point.
fn as_written(names: &[String], fields: &StringRecord, commas: bool) -> StringRecord {
    let is_number = |name: &str| {
        let is = |(n, kind): &(&str, Kind)| *n == name && *kind == Kind::Real;
        columns().iter().any(is) || name == "reach_mm" || texts::is_quantity(name)
    };
    let mut cells = StringRecord::new();
    for (k, cell) in fields.iter().enumerate() {
        let cell = unguarded(cell);
        match names.get(k) {
            Some(name) if commas && is_number(name) => cells.push_field(&with_decimal_point(cell)),
            _ => cells.push_field(cell),
        }
    }
    cells
}

fn text(record: &ByteRecord) -> Result<StringRecord, String> {
    StringRecord::from_byte_record(record.clone())
        .map_err(|_| "is not UTF-8 text: save the file as CSV in UTF-8".to_owned())
}

fn check_header(fields: &StringRecord) -> Result<Vec<String>, String> {
    let known = || columns().iter().map(|(name, _)| *name).chain(EXTRA);
    // Columns by today's names are those of the log by the first.
    let first = |name: &str| {
        let plain = name.replace('_', "-");
        match texts::column(&plain) {
            same if same == plain => name.to_owned(),
            first => first.to_owned(),
        }
    };
    let names: Vec<String> = fields.iter().map(|f| first(f.trim())).collect();
    for (k, name) in names.iter().enumerate() {
        if !known().any(|n| n == name) {
            let hint = nearest(name, known()).map_or_else(
                || {
                    let all: Vec<&str> = later_texts().collect();
                    format!("columns are {}", header(&all).join(", "))
                },
                |n| format!("did you mean {n}?"),
            );
            return Err(format!("unknown column \"{}\": {hint}", quoted(name)));
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
    how: How<'_>,
) -> Result<Option<Record>, String> {
    let How {
        pass,
        tables,
        solver,
    } = how;
    if fields.len() != names.len() {
        let (found, wanted) = (fields.len(), names.len());
        return Err(format!("{found} cells, but there are {wanted} columns"));
    }
    let given = |name: &str| {
        let at = names.iter().position(|n| n == name);
        at.and_then(|k| fields.get(k)).unwrap_or_default()
    };
    match (given("record"), pass) {
        ("attempt" | "", Pass::Definitions) => Ok(None),
        // Their faults are told with those of the other lines.
        ("student", Pass::Attempts) => read_student(&given).map(|_| None),
        ("sheet", Pass::Attempts) => read_sheet(&given, tables).map(|_| None),
        ("student", Pass::Definitions) => read_student(&given).map(|s| Some(Record::Student(s))),
        ("sheet", Pass::Definitions) => read_sheet(&given, tables).map(Some),
        ("attempt" | "", Pass::Attempts) => {
            if let Some(problem) = tables.problem(given("gear")) {
                return Err(problem);
            }
            read_attempt(&given, solver).map(Some)
        }
        (other, _) => Err(format!(
            "record = \"{}\": write attempt, student or sheet",
            quoted(other)
        )),
    }
}

fn read_student<'a>(given: &dyn Fn(&str) -> &'a str) -> Result<Student, String> {
    let optional = |name| Some(given(name)).filter(|t| !t.is_empty());
    let student = Student {
        label: given("student").to_owned(),
        hand: optional("hand")
            .map(read_hand)
            .transpose()
            .map_err(|e| e.to_string())?,
        reach_mm: optional("reach_mm")
            .map(|t| {
                t.parse::<f64>()
                    .map_err(|_| format!("reach_mm = \"{}\" is not a number", quoted(t)))
            })
            .transpose()?,
    };
    student.check().map_err(|e| e.to_string())?;
    Ok(student)
}

fn read_sheet<'a>(given: &dyn Fn(&str) -> &'a str, tables: Tables) -> Result<Record, String> {
    let code = read_code(given("sheet")).map_err(|e| e.to_string())?;
    let body = given("sheet_body");
    let sheet: Sheet = serde_json::from_str(body)
        .map_err(|e| format!("sheet_body is no sheet: {}", bounded(&e.to_string())))?;
    let mut gears = sheet.rungs.iter().map(|rung| &rung.shot.gear);
    let problem = sheet.problem();
    match problem.or_else(|| gears.find_map(|gear| tables.problem(gear))) {
        Some(problem) => Err(format!("sheet {code}: {problem}")),
        None => Ok(Record::Sheet(code, body.to_owned())),
    }
}

/// An attempt; one without windows is solved, if there is a solver.
fn read_attempt<'a>(
    given: &dyn Fn(&str) -> &'a str,
    solver: Option<Solver<'_>>,
) -> Result<Record, String> {
    let unsolved = solved_cells()
        .iter()
        .all(|(name, _)| given(name).is_empty());
    let Some(solver) = solver.filter(|_| unsolved) else {
        return from_cells(given).map(|attempt| Record::Attempt {
            attempt: Box::new(attempt),
            solved: false,
        });
    };
    let side = given("cut_direction");
    // The direction is the solver's to say; until then either will do.
    let asked = |name: &str| match name {
        "cut_direction" if side.is_empty() => Side::Left.name(),
        other => given(other),
    };
    let mut attempt = from_cells(&asked)?;
    // A file knows its columns, not what else they are called.
    let solved = spoken_by(Face::PLAIN, || solver(&attempt.shot))?;
    let found = solved.cut.name();
    let is_cut = solved
        .windows
        .as_ref()
        .is_some_and(|w| w.cut_deg > STRAIGHT_DEG);
    if !side.is_empty() && side != found && is_cut {
        return Err(format!(
            "cut_direction = {}, but this shot cuts {found}",
            quoted(side)
        ));
    }
    if side.is_empty() {
        attempt.cut = solved.cut;
    }
    attempt.windows = solved.windows;
    Ok(Record::Attempt {
        attempt: Box::new(attempt),
        solved: true,
    })
}

/// Cuts below this have no side worth arguing about, degrees. Assumption: a hundredth of the
/// spread of the steadiest aim.
const STRAIGHT_DEG: f64 = 1e-3;
