//! Which fields lead to which columns.

use serde::Serialize;

use super::cell::Cell;
use super::cells::{Visitor, Walk};
use super::column::{Column, name};

/// Notes every column of a value.
#[derive(Default)]
pub(super) struct Noting {
    path: Vec<&'static str>,
    pub(super) columns: Vec<Column>,
}

impl Visitor for Noting {
    fn enters(&mut self, name: &'static str) -> bool {
        self.path.push(name);
        true
    }

    fn leaves(&mut self) {
        self.path.pop();
    }

    fn sees(&mut self, cell: Cell<'_>) {
        self.columns.push(Column {
            path: self.path.clone(),
            name: name(&self.path),
            is_number: matches!(cell, Cell::Number(_)),
        });
    }
}

/// What is to be done with a field.
#[derive(Debug, Clone, PartialEq, Eq)]
enum What {
    /// Nothing in it is a column.
    Skip,
    /// It is the column of this place.
    Column(usize),
    /// Its own fields.
    Fields(Vec<Field>),
}

#[derive(Debug, Clone, PartialEq, Eq)]
struct Field {
    name: &'static str,
    what: What,
}

/// The fields of a struct in order, and where among the columns each belongs.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Plan {
    fields: Vec<Field>,
    /// Columns come in the order of the fields.
    pub(super) in_order: bool,
}

impl Plan {
    /// Of paths in the order in which a walk comes to them; `place` tells which column one is.
    pub(super) fn of(
        paths: &[Vec<&'static str>],
        depth: usize,
        place: &dyn Fn(&[&'static str]) -> Option<usize>,
    ) -> Self {
        let places: Vec<usize> = paths.iter().filter_map(|path| place(path)).collect();
        Self {
            fields: fields(paths, depth, place),
            in_order: places.is_sorted(),
        }
    }

    /// Hands the cells that a value has to `each`, with their places.
    pub(super) fn follow(&self, value: &impl Serialize, each: impl FnMut(usize, Cell<'_>)) {
        let mut levels = Vec::with_capacity(4);
        levels.push(Level {
            fields: &self.fields,
            column: None,
        });
        Walk::through(value, Following { levels, each });
    }
}

fn fields(
    paths: &[Vec<&'static str>],
    depth: usize,
    place: &dyn Fn(&[&'static str]) -> Option<usize>,
) -> Vec<Field> {
    let groups = paths.chunk_by(|a, b| a[depth] == b[depth]);
    let field = |group: &[Vec<&'static str>]| {
        let what = match group {
            [path] if path.len() == depth + 1 => place(path).map_or(What::Skip, What::Column),
            inner if inner.iter().any(|path| place(path).is_some()) => {
                What::Fields(fields(inner, depth + 1, place))
            }
            _ => What::Skip,
        };
        Field {
            name: group[0][depth],
            what,
        }
    };
    let mut fields: Vec<Field> = groups.map(field).collect();
    // After the last that leads to a column there is nothing to look for.
    let last = fields.iter().rposition(|f| f.what != What::Skip);
    fields.truncate(last.map_or(0, |k| k + 1));
    fields
}

/// The fields that are still to come, of one struct.
struct Level<'p> {
    fields: &'p [Field],
    column: Option<usize>,
}

struct Following<'p, F> {
    levels: Vec<Level<'p>>,
    each: F,
}

impl<F: FnMut(usize, Cell<'_>)> Visitor for Following<'_, F> {
    fn enters(&mut self, name: &'static str) -> bool {
        let Some(level) = self.levels.last_mut() else {
            return false;
        };
        // Fields come in order, nearly always the next; one that is not there now is none that leads to a
        // column.
        let is_it = |field: &Field| field.name == name;
        let k = match level.fields {
            [] => return false,
            [next, ..] if is_it(next) => 0,
            others => match others.iter().position(is_it) {
                Some(k) => k,
                None => return false,
            },
        };
        let what = &level.fields[k].what;
        level.fields = &level.fields[k + 1..];
        let (fields, column): (&[Field], _) = match what {
            What::Skip => return false,
            What::Column(place) => (&[], Some(*place)),
            What::Fields(fields) => (fields, None),
        };
        self.levels.push(Level { fields, column });
        true
    }

    fn leaves(&mut self) {
        self.levels.pop();
    }

    fn sees(&mut self, cell: Cell<'_>) {
        if let Some(place) = self.levels.last().and_then(|level| level.column) {
            (self.each)(place, cell);
        }
    }
}
