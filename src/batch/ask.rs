//! A row of cells as a shot.

use std::borrow::Cow;
use std::collections::HashSet;
use std::sync::LazyLock;

use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use thiserror::Error;

use super::block::Row;
use super::gears::{Gears, RowGear};
use crate::columns::{Columns, read};
use crate::field::today;
use crate::files::with_decimal_point;
use crate::player::{Player, PlayerRequest};
use crate::request::{PlacesRequest, ShotRequest, StrokeRequest};
use crate::shown::{may_be_a_slip, quoted};
use crate::window::Shot;

/// A table that cannot be read at all.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum BatchError {
    /// A column whose name is almost an option's.
    #[error(
        "column `{name}` is no option of a shot; did you mean `{near}`? Columns carried through unchanged need a name of their own"
    )]
    Misspelt {
        /// As in the header.
        name: String,
        /// The option.
        near: &'static str,
    },
    /// Twice the same column.
    #[error("column `{name}` stands twice in the header")]
    Twice {
        /// As in the header.
        name: String,
    },
    /// Nothing to go by.
    #[error(
        "the header names no shot: it needs cue, object and pocket, or cut, cue-to-object and to-pocket, with commas, semicolons or tabs between columns"
    )]
    NoShot,
}

/// What a row says beside shot and player.
#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(default)]
struct Equipment {
    #[serde(rename = "table", alias = "gear")]
    gear: Option<String>,
    set: Option<String>,
}

/// Columns of the equipment.
static EQUIPMENT: LazyLock<Columns> = LazyLock::new(Columns::of::<Equipment>);

/// Whether a column takes one quantity, whose comma is a decimal one: neither a place nor equipment.
fn is_quantity(name: &str) -> bool {
    !PlacesRequest::is_place(name) && EQUIPMENT.names().all(|column| column != name)
}

/// What a column belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Part {
    Equipment,
    Places,
    Stroke,
    Player,
}

/// A column that a row is read from: a field of what it asks for.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Known {
    name: String,
    part: Part,
}

static COLUMNS: LazyLock<Vec<Known>> = LazyLock::new(|| {
    let parts = [
        (Part::Equipment, EQUIPMENT.clone()),
        (Part::Places, Columns::of::<PlacesRequest>()),
        (Part::Stroke, Columns::of::<StrokeRequest>()),
        (Part::Player, Columns::of::<PlayerRequest>()),
    ];
    let known = |(part, columns): &(Part, Columns)| -> Vec<Known> {
        let part = *part;
        let names = columns.names().map(str::to_owned);
        names.map(|name| Known { name, part }).collect()
    };
    parts.iter().flat_map(known).collect()
});

/// Column names of a table of shots.
#[derive(Debug, Clone)]
pub struct Header {
    names: Vec<String>,
    /// The column of [`COLUMNS`] that each is, if any.
    known: Vec<Option<&'static Known>>,
    decimal_commas: bool,
}

impl Header {
    /// Reads the names.
    ///
    /// # Errors
    /// [`BatchError`]: a misspelt option, a column twice, or no shot at all.
    pub fn new(names: Vec<String>) -> Result<Self, BatchError> {
        let mut known = Vec::with_capacity(names.len());
        let mut seen: HashSet<String> = HashSet::new();
        for name in &names {
            let plain = name
                .trim()
                .trim_start_matches("--")
                .replace('_', "-")
                .to_lowercase();
            let plain = today(&plain).to_owned();
            if seen.contains(&plain) {
                return Err(BatchError::Twice { name: quoted(name) });
            }
            let column = COLUMNS.iter().find(|column| column.name == plain);
            let near = || COLUMNS.iter().find(|column| is_slip(&column.name, &plain));
            if let (None, Some(near)) = (column, near()) {
                return Err(BatchError::Misspelt {
                    name: quoted(name),
                    near: &near.name,
                });
            }
            known.push(column);
            seen.insert(plain);
        }
        let has = |option: &str| seen.contains(option);
        if !has("cue") && !has("cut") {
            return Err(BatchError::NoShot);
        }
        Ok(Self {
            names,
            known,
            decimal_commas: false,
        })
    }

    /// For rows whose numbers may have a decimal comma, since semicolons part the cells.
    #[must_use]
    pub fn with_decimal_commas(mut self, yes: bool) -> Self {
        self.decimal_commas = yes;
        self
    }

    /// The names as they came.
    #[must_use]
    pub fn names(&self) -> &[String] {
        &self.names
    }
}

/// One slip of the keyboard away from a name that is long enough to tell.
fn is_slip(option: &str, given: &str) -> bool {
    const LONG_ENOUGH: usize = 4;
    option.len() >= LONG_ENOUGH
        && may_be_a_slip(given)
        && strsim::damerau_levenshtein(option, given) == 1
}

/// A cell of a column that is known, with something in it.
struct Told<'a> {
    column: &'static Known,
    cell: Cow<'a, str>,
}

/// What a row says of one part; where it says nothing there is nothing to read.
fn part_of<T: DeserializeOwned + Default>(told: &[Told<'_>], part: Part) -> Result<T, String> {
    let mut told = told.iter().filter(|t| t.column.part == part).peekable();
    if told.peek().is_none() {
        return Ok(T::default());
    }
    let cells = told.map(|t| (t.column.name.as_str(), &*t.cell));
    read(cells).map_err(|e: serde::de::value::Error| e.to_string())
}

/// A row, read.
#[derive(Debug)]
pub(super) struct Ask<'g> {
    pub(super) gear: RowGear<'g>,
    pub(super) shot: Shot,
    /// Who aims, if the row says; else whoever aims in all rows.
    pub(super) player: Option<Player>,
}

impl<'g> Ask<'g> {
    pub(super) fn read(header: &Header, row: Row<'_>, gears: &'g Gears) -> Result<Self, String> {
        if row.len() != header.names.len() {
            return Err(format!(
                "{} cells under {} columns",
                row.len(),
                header.names.len()
            ));
        }
        let mut told: Vec<Told<'_>> = Vec::with_capacity(row.len());
        for (column, cell) in header.known.iter().zip(row.cells()) {
            let (Some(column), cell) = (*column, cell.trim()) else {
                continue;
            };
            if cell.is_empty() {
                continue;
            }
            let cell = if header.decimal_commas && is_quantity(&column.name) {
                with_decimal_point(cell)
            } else {
                cell.into()
            };
            told.push(Told { column, cell });
        }
        let equipment: Equipment = part_of(&told, Part::Equipment)?;
        let request = ShotRequest {
            places: part_of(&told, Part::Places)?,
            stroke: part_of(&told, Part::Stroke)?,
        };
        let own: PlayerRequest = part_of(&told, Part::Player)?;
        let gear = gears.get(equipment.gear.as_deref(), equipment.set.as_deref())?;
        let shot = request.shot(gear.shared()).map_err(|e| e.to_string())?;
        let player = own.player().map_err(|e| e.to_string())?;
        Ok(Self { gear, shot, player })
    }
}
