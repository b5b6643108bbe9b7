//! Rows as the database has them.

use rusqlite::Row;
use rusqlite::types::{ToSqlOutput, Value, ValueRef};

use super::cells::{COLUMNS, Kind};
use super::error::LogError;
use super::student::Student;
use crate::shown::{nearest, quoted};
use crate::units::Hand;

pub(super) fn unknown<'a>(label: &str, known: impl Iterator<Item = &'a str>) -> LogError {
    LogError::UnknownStudent {
        label: quoted(label),
        suggestion: nearest(label, known)
            .map(|near| format!(" (did you mean {near}?)"))
            .unwrap_or_default(),
    }
}

pub(super) fn student_row(row: &Row<'_>) -> rusqlite::Result<Student> {
    let hand: Option<String> = row.get(1)?;
    Ok(Student {
        label: row.get(0)?,
        hand: hand.as_deref().and_then(Hand::from_name),
        reach_mm: row.get(2)?,
    })
}

/// The column names, quoted; `student` in the place of the student's label, or left out.
pub(super) fn column_list(student: Option<&str>) -> String {
    let names: Vec<String> = COLUMNS
        .iter()
        .filter_map(|(name, _)| match *name {
            "student" => student.map(str::to_owned),
            // "id" and "kind" are columns of other tables too.
            other if student.is_some() => Some(format!("attempt.\"{other}\"")),
            other => Some(format!("\"{other}\"")),
        })
        .collect();
    names.join(", ")
}

pub(super) fn stored(kind: Kind, cell: &str) -> ToSqlOutput<'_> {
    if cell.is_empty() {
        return ToSqlOutput::Owned(Value::Null);
    }
    let number = match kind {
        Kind::Text => None,
        Kind::Whole => cell.parse::<i64>().ok().map(Value::Integer),
        Kind::Real => cell.parse::<f64>().ok().map(Value::Real),
    };
    number.map_or_else(|| cell.into(), ToSqlOutput::Owned)
}

/// The cells of a row selected as [`column_list`] says, and its checksum.
pub(super) fn read_cells(row: &Row<'_>) -> rusqlite::Result<(Vec<String>, i64)> {
    let cells = (0..COLUMNS.len())
        .map(|k| {
            Ok(match row.get_ref(k)? {
                ValueRef::Null => String::new(),
                ValueRef::Integer(i) => i.to_string(),
                ValueRef::Real(x) => x.to_string(),
                ValueRef::Text(t) | ValueRef::Blob(t) => String::from_utf8_lossy(t).into_owned(),
            })
        })
        .collect::<rusqlite::Result<_>>()?;
    Ok((cells, row.get(COLUMNS.len())?))
}
