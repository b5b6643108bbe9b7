//! Structs as columns of a table: names and cells come from the struct's own fields, so that a field
//! added there is a column everywhere.
//!
//! A struct within a struct puts its field's name before its own (`clean_thick_deg`), a pair is two
//! columns x and y (`ghost_ball_x_mm`), a list of words is one cell; lists of structs are no column.
//! Limits: structs without `flatten` (its names are not known before there is a value).

mod cell;
mod cells;
mod column;
mod plan;
mod sample;

pub use cell::{Cell, shortest};

use std::io::Write;

use serde::Serialize;
use serde::de::value::MapDeserializer;
use serde::de::{DeserializeOwned, Deserializer, IntoDeserializer, Visitor, value};
use thiserror::Error;

use crate::shown::quoted;
use cell::Kept;
use cells::Walk;
use column::{Column, name};
use plan::{Noting, Plan};

/// The columns of a struct, in the order of its fields or as picked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Columns {
    columns: Vec<Column>,
    /// Every number and text of the struct, a column or not.
    paths: Vec<Vec<&'static str>>,
    plan: Plan,
}

/// A name that is no column's.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum NoColumn {
    /// None has it.
    #[error("`{name}` is no column; the nearest are {}", near.join(", "))]
    Unknown {
        /// As given.
        name: String,
        /// The most alike first.
        near: Vec<String>,
    },
    /// One stands there twice.
    #[error("`{name}` stands there twice")]
    Twice {
        /// As given.
        name: String,
    },
}

/// So many names are proposed for one that no column has.
const PROPOSED: usize = 4;

impl Columns {
    /// Of a struct.
    #[must_use]
    pub fn of<T: Serialize + DeserializeOwned>() -> Self {
        // A type that cannot be filled, or not be walked, has no columns.
        let columns = sample::whole::<T>().map_or(Vec::new(), |sample| {
            Walk::through(&sample, Noting::default()).columns
        });
        let paths = columns.iter().map(|column| column.path.clone()).collect();
        Self {
            columns,
            paths,
            plan: Plan::default(),
        }
        .planned()
    }

    /// With the way that leads to these columns.
    fn planned(mut self) -> Self {
        let place = |path: &[&'static str]| self.columns.iter().position(|c| c.path == path);
        self.plan = Plan::of(&self.paths, 0, &place);
        self
    }

    /// Without those of a field.
    #[must_use]
    pub fn without(mut self, field: &str) -> Self {
        self.columns.retain(|column| column.path[0] != field);
        self.planned()
    }

    /// Only those whose name passes.
    #[must_use]
    pub fn only(mut self, passes: impl Fn(&str) -> bool) -> Self {
        self.columns.retain(|column| passes(&column.name));
        self.planned()
    }

    /// Only those of these names, in this order; what is not looked at costs nothing. Hyphens may stand
    /// for underscores.
    ///
    /// # Errors
    /// [`NoColumn`].
    pub fn picked<'n>(
        mut self,
        names: impl IntoIterator<Item = &'n str>,
    ) -> Result<Self, NoColumn> {
        let mut picked: Vec<Column> = Vec::new();
        for name in names {
            let plain = plain(name);
            let is_it = |column: &&Column| self::plain(&column.name) == plain;
            if picked.iter().any(|column| is_it(&column)) {
                return Err(NoColumn::Twice { name: quoted(name) });
            }
            match self.columns.iter().find(is_it) {
                Some(column) => picked.push(column.clone()),
                None => {
                    return Err(NoColumn::Unknown {
                        name: quoted(name),
                        near: self.nearest(&plain),
                    });
                }
            }
        }
        self.columns = picked;
        Ok(self.planned())
    }

    /// The names most like one that none has; those that have it in them first.
    fn nearest(&self, plain: &str) -> Vec<String> {
        let alike = |name: &str| {
            let within = plain.len() > 1 && name.contains(plain);
            f64::from(u8::from(within)) + strsim::jaro_winkler(plain, name)
        };
        let mut near: Vec<(f64, &str)> = self.names().map(|n| (alike(n), n)).collect();
        near.sort_by(|a, b| b.0.total_cmp(&a.0));
        let names = near.into_iter().take(PROPOSED);
        names.map(|(_, name)| name.to_owned()).collect()
    }

    /// With those of a field under another name.
    #[must_use]
    pub fn called(mut self, field: &str, called: &'static str) -> Self {
        for column in self.columns.iter_mut().filter(|c| c.path[0] == field) {
            let parts = column.path.iter().skip(1).copied();
            let path: Vec<&'static str> = std::iter::once(called).chain(parts).collect();
            column.name = name(&path);
        }
        self
    }

    /// Their names.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.columns.iter().map(|column| column.name.as_str())
    }

    /// Whether each holds numbers.
    pub fn are_numbers(&self) -> impl Iterator<Item = bool> {
        self.columns.iter().map(|column| column.is_number)
    }

    /// Hands the cells of a value of that struct to `each`, one for every column, in order.
    pub fn cells(&self, value: &impl Serialize, mut each: impl FnMut(Cell<'_>)) {
        let count = self.columns.len();
        if self.plan.in_order {
            let mut next = 0;
            self.plan.follow(value, |place, cell| {
                (next..place).for_each(|_| each(Cell::Absent));
                each(cell);
                next = place + 1;
            });
            (next..count).for_each(|_| each(Cell::Absent));
            return;
        }
        let mut kept = vec![Kept::Absent; count];
        self.plan
            .follow(value, |place, cell| kept[place] = cell.into());
        kept.iter().for_each(|cell| each(cell.cell()));
    }

    /// The same with the columns' names.
    pub fn named_cells(&self, value: &impl Serialize, mut each: impl FnMut(&str, Cell<'_>)) {
        let mut names = self.names();
        self.cells(value, |cell| {
            if let Some(name) = names.next() {
                each(name, cell);
            }
        });
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
            let mut cells = Vec::with_capacity(self.columns.len());
            self.cells(&row, |cell| cells.push(cell.csv()));
            writer.write_record(&cells)?;
        }
        Ok(writer.flush()?)
    }
}

/// A name as others are told apart from it.
fn plain(name: &str) -> String {
    name.trim().to_lowercase().replace('-', "_")
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
) -> Result<T, value::Error> {
    T::deserialize(MapDeserializer::new(
        cells.map(|(name, text)| (name, Filled(text))),
    ))
}

/// A cell with something in it.
struct Filled<'a>(&'a str);

impl<'de> IntoDeserializer<'de, value::Error> for Filled<'_> {
    type Deserializer = Self;

    fn into_deserializer(self) -> Self {
        self
    }
}

impl<'de> Deserializer<'de> for Filled<'_> {
    type Error = value::Error;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, value::Error> {
        visitor.visit_str(self.0)
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, value::Error> {
        visitor.visit_some(self)
    }

    serde::forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf unit
        unit_struct newtype_struct seq tuple tuple_struct map struct enum identifier ignored_any
    }
}
