//! Structs as columns of a table: names and cells come from the struct's own fields, so that a field
//! added there is a column everywhere.
//!
//! A struct within a struct puts its field's name before its own (`clean_thick_deg`), a pair is two
//! columns x and y (`ghost_ball_x_mm`), a list of words is one cell; lists of structs are no column.
//! Limits: structs without `flatten` (its names are not known before there is a value).

mod cell;
mod cells;
mod sample;

pub use cell::{Cell, shortest};

use std::io::Write;

use serde::Serialize;
use serde::de::value::MapDeserializer;
use serde::de::{DeserializeOwned, Deserializer, IntoDeserializer, Visitor, value::Error};

use cells::Walk;

/// A column of a struct.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Column {
    /// The fields that lead to it.
    path: Vec<&'static str>,
    name: String,
    is_number: bool,
}

/// The columns of a struct, in the order of its fields.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Columns(Vec<Column>);

impl Columns {
    /// Of a struct.
    #[must_use]
    pub fn of<T: Serialize + DeserializeOwned>() -> Self {
        let mut columns = Vec::new();
        // A type that cannot be filled, or not be walked, has no columns.
        if let Ok(sample) = sample::whole::<T>() {
            let mut note = |path: &[&'static str], cell: Cell<'_>| {
                columns.push(Column {
                    path: path.to_vec(),
                    name: name(path),
                    is_number: matches!(cell, Cell::Number(_)),
                });
            };
            let _ = sample.serialize(&mut Walk::new(&mut note));
        }
        Self(columns)
    }

    /// Without those of a field.
    #[must_use]
    pub fn without(mut self, field: &str) -> Self {
        self.0.retain(|column| column.path[0] != field);
        self
    }

    /// Only those whose name passes.
    #[must_use]
    pub fn only(mut self, passes: impl Fn(&str) -> bool) -> Self {
        self.0.retain(|column| passes(&column.name));
        self
    }

    /// With those of a field under another name.
    #[must_use]
    pub fn called(mut self, field: &str, called: &'static str) -> Self {
        for column in self.0.iter_mut().filter(|c| c.path[0] == field) {
            let parts = column.path.iter().skip(1).copied();
            let path: Vec<&'static str> = std::iter::once(called).chain(parts).collect();
            column.name = name(&path);
        }
        self
    }

    /// Their names.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.0.iter().map(|column| column.name.as_str())
    }

    /// Whether each holds numbers.
    pub fn are_numbers(&self) -> impl Iterator<Item = bool> {
        self.0.iter().map(|column| column.is_number)
    }

    /// Hands the cells of a value of that struct to `each`, one for every column, in order.
    pub fn cells(&self, value: &impl Serialize, mut each: impl FnMut(Cell<'_>)) {
        self.named_cells(value, |_, cell| each(cell));
    }

    /// The same with the columns' names.
    pub fn named_cells(&self, value: &impl Serialize, mut each: impl FnMut(&str, Cell<'_>)) {
        let mut rest = self.0.iter();
        let mut sink = |path: &[&'static str], cell: Cell<'_>| {
            // An empty list looks like one of words, also where it is of structs.
            if rest.clone().all(|column| column.path != path) {
                return;
            }
            for column in rest.by_ref() {
                if column.path == path {
                    each(&column.name, cell);
                    return;
                }
                each(&column.name, Cell::Absent);
            }
        };
        let _ = value.serialize(&mut Walk::new(&mut sink));
        for column in rest {
            each(&column.name, Cell::Absent);
        }
    }

    /// Writes values of that struct as CSV, the names first.
    ///
    /// # Errors
    /// From the writer.
    pub fn write_rows<T: Serialize>(
        &self,
        rows: impl IntoIterator<Item = T>,
        out: impl Write,
    ) -> Result<(), csv::Error> {
        let mut writer = csv::Writer::from_writer(out);
        writer.write_record(self.names())?;
        for row in rows {
            let mut cells = Vec::with_capacity(self.0.len());
            self.cells(&row, |cell| cells.push(cell.csv()));
            writer.write_record(&cells)?;
        }
        Ok(writer.flush()?)
    }
}

/// `clean_thick_deg`; of a pair `ghost_ball_x_mm`, its axis before the unit.
fn name(path: &[&'static str]) -> String {
    match path {
        [before @ .., pair, axis] if cells::AXES.contains(axis) => {
            let (what, unit) = pair.rsplit_once('_').unwrap_or((pair, ""));
            [before, &[what, axis, unit]].concat().join("_")
        }
        _ => path.join("_"),
    }
}

/// Writes rows as CSV, the names of their columns first.
///
/// # Errors
/// From the writer.
pub fn write_rows<T: Serialize + DeserializeOwned>(
    rows: impl IntoIterator<Item = T>,
    out: impl Write,
) -> Result<(), csv::Error> {
    Columns::of::<T>().write_rows(rows, out)
}

/// Reads a struct whose fields are texts, each there or not, from cells by name.
///
/// # Errors
/// Where a field is no text.
pub fn read<'a, T: DeserializeOwned>(
    cells: impl Iterator<Item = (&'a str, &'a str)>,
) -> Result<T, Error> {
    T::deserialize(MapDeserializer::new(
        cells.map(|(name, text)| (name, Filled(text))),
    ))
}

/// A cell with something in it.
struct Filled<'a>(&'a str);

impl<'de> IntoDeserializer<'de, Error> for Filled<'_> {
    type Deserializer = Self;

    fn into_deserializer(self) -> Self {
        self
    }
}

impl<'de> Deserializer<'de> for Filled<'_> {
    type Error = Error;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_str(self.0)
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        visitor.visit_some(self)
    }

    serde::forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf unit
        unit_struct newtype_struct seq tuple tuple_struct map struct enum identifier ignored_any
    }
}
