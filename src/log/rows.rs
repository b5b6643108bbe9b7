//! Rows as the database has them.

use rusqlite::Row;
use rusqlite::types::{ToSqlOutput, Type, Value, ValueRef};

use super::cells::{Kind, first_columns, later_json, read_later};
use super::error::LogError;
use super::student::Student;
use crate::shown::{quoted, suggestion};
use crate::units::Hand;

pub(super) fn unknown<'a>(label: &str, known: impl Iterator<Item = &'a str>) -> LogError {
    LogError::UnknownStudent {
        label: quoted(label),
        suggestion: suggestion(label, known),
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

/// The column of the texts that a shot's request has been given since schema 1.
pub(super) const LATER: &str = "later";

/// The column names, quoted; `student` in the place of the student's label, or left out.
pub(super) fn column_list(student: Option<&str>) -> String {
    let own = first_columns().iter().map(|(name, _)| *name);
    listed(own.chain([LATER]), student)
}

/// The same for a row of schema 1 or 2, with nothing in the last place.
pub(super) fn first_column_list(student: &str) -> String {
    let own = first_columns().iter().map(|(name, _)| *name);
    format!("{}, NULL", listed(own, Some(student)))
}

fn listed<'a>(names: impl Iterator<Item = &'a str>, student: Option<&str>) -> String {
    let names: Vec<String> = names
        .filter_map(|name| match name {
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

/// How many columns [`column_list`] names with a student's label; what else is selected comes after.
pub(super) fn width() -> usize {
    first_columns().len() + 1
}

/// The values of a row's cells, the student's label left out, in the order of [`column_list`].
pub(super) fn own_values(cells: &[String]) -> impl Iterator<Item = ToSqlOutput<'_>> {
    let own = first_columns().iter().zip(cells);
    let own = own.filter(|((name, _), _)| *name != "student");
    let later = later_json(cells).map_or(Value::Null, Value::Text);
    own.map(|((_, kind), cell)| stored(*kind, cell))
        .chain([ToSqlOutput::Owned(later)])
}

/// The cells of a row selected as [`column_list`] says, and its checksum.
pub(super) fn read_cells(row: &Row<'_>) -> rusqlite::Result<(Vec<String>, i64)> {
    let first = first_columns().len();
    let mut cells = (0..first)
        .map(|k| {
            Ok(match row.get_ref(k)? {
                ValueRef::Null => String::new(),
                ValueRef::Integer(i) => i.to_string(),
                ValueRef::Real(x) => x.to_string(),
                ValueRef::Text(t) | ValueRef::Blob(t) => String::from_utf8_lossy(t).into_owned(),
            })
        })
        .collect::<rusqlite::Result<Vec<String>>>()?;
    let later: Option<String> = row.get(first)?;
    let later = read_later(later.as_deref().unwrap_or_default());
    cells.extend(
        later.map_err(|e| {
            rusqlite::Error::FromSqlConversionFailure(first, Type::Text, Box::new(e))
        })?,
    );
    Ok((cells, row.get(width())?))
}
