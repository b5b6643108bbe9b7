//! Reading the lines of a CSV log: names of columns, cells, and shots that still need solving.

use csv::{ByteRecord, ReaderBuilder, StringRecord};

use super::attempt::Attempt;
use super::cells::{COLUMNS, from_cells, solved_cells};
use super::code::read_code;
use super::error::LineFault;
use super::sheet::Sheet;
use super::solver::Solver;
use super::student::{Student, nearest, read_hand};
use crate::field::{Face, spoken_by};
use crate::units::Side;

/// Columns beside those of attempts.
const EXTRA: [&str; 4] = ["record", "hand", "reach_mm", "sheet_body"];

/// All columns, in the order they are written.
pub(super) fn header() -> Vec<&'static str> {
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

pub(super) enum Record {
    Student(Student),
    Sheet(String, String),
    Attempt(Box<Attempt>),
}

pub(super) struct Line {
    pub(super) line: u64,
    pub(super) record: Record,
}

/// Reads the lines; those that cannot be read become faults.
pub(super) fn read_lines(
    file: &[u8],
    solver: Option<Solver<'_>>,
    faults: &mut Vec<LineFault>,
) -> Vec<Line> {
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
            Some(names) => {
                // A file knows its columns, not what else they are called.
                spoken_by(Face::PLAIN, || read_line(names, &fields, solver)).map(Some)
            }
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
            .map(read_hand)
            .transpose()
            .map_err(|e| e.to_string())?,
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
        "cut_direction" if side.is_empty() => Side::Left.name(),
        other => given(other),
    };
    let mut attempt = from_cells(&asked)?;
    let solved = solver(&attempt.shot)?;
    let found = solved.cut.name();
    let is_cut = solved
        .windows
        .as_ref()
        .is_some_and(|w| w.cut_deg > STRAIGHT_DEG);
    if !side.is_empty() && side != found && is_cut {
        return Err(format!(
            "cut_direction = {side}, but this shot cuts {found}"
        ));
    }
    if side.is_empty() {
        attempt.cut = solved.cut;
    }
    attempt.windows = solved.windows;
    Ok(attempt)
}

/// Cuts below this have no side worth arguing about, degrees. Assumption: a hundredth of the
/// spread of the steadiest aim.
const STRAIGHT_DEG: f64 = 1e-3;
