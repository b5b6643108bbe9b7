//! A row of cells as a shot.

use std::collections::HashSet;
use std::sync::Arc;

use thiserror::Error;

use super::cache::Gears;
use crate::field::Field;
use crate::files::with_decimal_point;
use crate::gear::Gear;
use crate::player::{Player, PlayerRequest};
use crate::request::ShotRequest;
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
        "the header names no shot: it needs cue, object and pocket, or cut, apart and to-pocket, with commas, semicolons or tabs between columns"
    )]
    NoShot,
}

/// Where a cell goes.
#[derive(Debug, Clone, Copy)]
enum Slot {
    Gear,
    Set,
    Place(fn(&mut ShotRequest) -> &mut Option<String>),
    Shot(fn(&mut ShotRequest) -> &mut Option<String>),
    Player(fn(&mut PlayerRequest) -> &mut Option<String>),
}

const COLUMNS: [(Field, Slot); 23] = [
    (Field::Gear, Slot::Gear),
    (Field::Set, Slot::Set),
    (Field::Cue, Slot::Place(|r| &mut r.places.cue)),
    (Field::Object, Slot::Place(|r| &mut r.places.object)),
    (Field::Pocket, Slot::Shot(|r| &mut r.places.pocket)),
    (Field::Cut, Slot::Shot(|r| &mut r.places.cut)),
    (Field::Apart, Slot::Shot(|r| &mut r.places.apart)),
    (Field::ToPocket, Slot::Shot(|r| &mut r.places.to_pocket)),
    (Field::Approach, Slot::Shot(|r| &mut r.places.approach)),
    (Field::Kind, Slot::Shot(|r| &mut r.places.kind)),
    (Field::CutSide, Slot::Shot(|r| &mut r.places.cut_side)),
    (Field::Pace, Slot::Shot(|r| &mut r.stroke.pace)),
    (Field::Stroke, Slot::Shot(|r| &mut r.stroke.stroke)),
    (Field::Roll, Slot::Shot(|r| &mut r.stroke.roll)),
    (Field::Hit, Slot::Shot(|r| &mut r.stroke.hit)),
    (Field::Side, Slot::Shot(|r| &mut r.stroke.side)),
    (Field::Bridge, Slot::Shot(|r| &mut r.stroke.bridge)),
    (Field::Level, Slot::Player(|p| &mut p.level)),
    (Field::Arm, Slot::Player(|p| &mut p.arm)),
    (Field::Picture, Slot::Player(|p| &mut p.picture)),
    (Field::Sigma, Slot::Player(|p| &mut p.sigma)),
    (Field::Bias, Slot::Player(|p| &mut p.bias)),
    (Field::ArmGrowth, Slot::Player(|p| &mut p.arm_growth)),
];

/// Column names of a table of shots.
#[derive(Debug, Clone)]
pub struct Header {
    names: Vec<String>,
    slots: Vec<Option<Slot>>,
    decimal_commas: bool,
}

impl Header {
    /// Reads the names.
    ///
    /// # Errors
    /// [`BatchError`]: a misspelt option, a column twice, or no shot at all.
    pub fn new(names: Vec<String>) -> Result<Self, BatchError> {
        let mut slots: Vec<Option<Slot>> = Vec::with_capacity(names.len());
        let mut seen: HashSet<String> = HashSet::new();
        for name in &names {
            let plain = name
                .trim()
                .trim_start_matches("--")
                .replace('_', "-")
                .to_lowercase();
            if seen.contains(&plain) {
                return Err(BatchError::Twice { name: quoted(name) });
            }
            let slot = COLUMNS
                .iter()
                .find(|(n, _)| n.name() == plain)
                .map(|(_, s)| *s);
            if slot.is_none() {
                let near = COLUMNS.iter().find(|(n, _)| is_slip(n.name(), &plain));
                if let Some((near, _)) = near {
                    return Err(BatchError::Misspelt {
                        name: quoted(name),
                        near: near.name(),
                    });
                }
            }
            seen.insert(plain);
            slots.push(slot);
        }
        let has = |option: &str| seen.contains(option);
        if !has("cue") && !has("cut") {
            return Err(BatchError::NoShot);
        }
        Ok(Self {
            names,
            slots,
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
    pub(super) fn read(header: &Header, cells: &[String], gears: &Gears) -> Result<Self, String> {
        if cells.len() != header.names.len() {
            return Err(format!(
                "{} cells under {} columns",
                cells.len(),
                header.names.len()
            ));
        }
        let mut request = ShotRequest::default();
        let mut own = PlayerRequest::default();
        let (mut gear, mut set) = (None, None);
        for (slot, cell) in header.slots.iter().zip(cells) {
            let (Some(slot), cell) = (slot, cell.trim()) else {
                continue;
            };
            if cell.is_empty() {
                continue;
            }
            let text = |cell| {
                if header.decimal_commas {
                    with_decimal_point(cell).into_owned()
                } else {
                    str::to_owned(cell)
                }
            };
            match slot {
                Slot::Gear => gear = Some(cell),
                Slot::Set => set = Some(cell),
                // Two numbers, parted by a comma.
                Slot::Place(slot) => *slot(&mut request) = Some(cell.to_owned()),
                Slot::Shot(slot) => *slot(&mut request) = Some(text(cell)),
                Slot::Player(slot) => *slot(&mut own) = Some(text(cell)),
            }
        }
        let gear = gears.get(gear, set)?;
        let shot = request.shot(&gear).map_err(|e| e.to_string())?;
        let player = own.player().map_err(|e| e.to_string())?;
        Ok(Self { gear, shot, player })
    }
}
