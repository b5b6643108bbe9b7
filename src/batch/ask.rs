//! A row of cells as a shot.

use std::borrow::Cow;
use std::collections::HashSet;
use std::sync::{Arc, LazyLock};

use serde::{Deserialize, Serialize};
use thiserror::Error;

use super::block::Row;
use super::gears::Gears;
use crate::columns::{Columns, read};
use crate::field::today;
use crate::files::with_decimal_point;
use crate::gear::Gear;
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

/// Columns that a row is read from: the fields of what it asks for.
static COLUMNS: LazyLock<Vec<String>> = LazyLock::new(|| {
    let parts = [
        EQUIPMENT.clone(),
        Columns::of::<PlacesRequest>(),
        Columns::of::<StrokeRequest>(),
        Columns::of::<PlayerRequest>(),
    ];
    let names = parts
        .iter()
        .flat_map(|part| part.names().map(str::to_owned));
    names.collect()
});

/// Column names of a table of shots.
#[derive(Debug, Clone)]
pub struct Header {
    names: Vec<String>,
    /// The column of [`COLUMNS`] that each is, if any.
    known: Vec<Option<&'static str>>,
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
            let column = COLUMNS.iter().find(|column| **column == plain);
            let near = || COLUMNS.iter().find(|column| is_slip(column, &plain));
            if let (None, Some(near)) = (column, near()) {
                return Err(BatchError::Misspelt {
                    name: quoted(name),
                    near,
                });
            }
            known.push(column.map(String::as_str));
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

/// A row, read.
#[derive(Debug)]
pub(super) struct Ask {
    pub(super) gear: Arc<Gear>,
    pub(super) shot: Shot,
    /// Who aims, if the row says; else whoever aims in all rows.
    pub(super) player: Option<Player>,
}

impl Ask {
    pub(super) fn read(header: &Header, row: Row<'_>, gears: &Gears) -> Result<Self, String> {
        if row.len() != header.names.len() {
            return Err(format!(
                "{} cells under {} columns",
                row.len(),
                header.names.len()
            ));
        }
        let told = header.known.iter().zip(row.cells());
        let told = told.filter_map(|(name, cell)| Some(((*name)?, cell.trim())));
        let told: Vec<(&str, Cow<'_, str>)> = told
            .filter(|(_, cell)| !cell.is_empty())
            .map(|(name, cell)| {
                if header.decimal_commas && is_quantity(name) {
                    (name, with_decimal_point(cell))
                } else {
                    (name, cell.into())
                }
            })
            .collect();
        let told = || told.iter().map(|(name, cell)| (*name, &**cell));
        let fault = |e: serde::de::value::Error| e.to_string();
        let equipment: Equipment = read(told()).map_err(fault)?;
        let request = ShotRequest {
            places: read(told()).map_err(fault)?,
            stroke: read(told()).map_err(fault)?,
        };
        let own: PlayerRequest = read(told()).map_err(fault)?;
        let gear = gears.get(equipment.gear.as_deref(), equipment.set.as_deref())?;
        let shot = request.shot(&gear).map_err(|e| e.to_string())?;
        let player = own.player().map_err(|e| e.to_string())?;
        Ok(Self { gear, shot, player })
    }
}
