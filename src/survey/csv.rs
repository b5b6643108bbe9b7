//! Survey rows as CSV.

use std::io::Write;

use serde::{Deserialize, Serialize};

use super::grid::{Grid, Row};
use crate::columns::{Cell, Columns};
use crate::gear::Gear;
use crate::player::chance::EqualStraight;
use crate::units::decimals;
use crate::window::{AimWindow, Window};

/// A row as data: the columns, in order. Empty where there is no number.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct RowAnswer {
    /// Name of the table.
    pub gear: String,
    /// corner or side.
    pub kind: String,
    /// Pocket axis to the object ball's path, counter-clockwise positive.
    pub approach_deg: f64,
    /// Speed of the object ball at the mouth.
    pub pace_m_s: f64,
    /// Roll of the cue ball at contact: 1 rolling, 0 stun.
    pub roll: f64,
    /// Cut as asked for, before throw, for the middle of the pocket.
    pub cut_deg: f64,
    /// Cue ball to object ball, centre to centre.
    pub apart_mm: f64,
    /// Object ball to the middle of the mouth.
    pub to_pocket_mm: f64,
    /// Cue ball to ghost ball.
    pub cue_travel_mm: Option<f64>,
    /// Speed of the cue ball at contact that this pace needs.
    pub cue_speed_m_s: Option<f64>,
    /// Throw at the aim, positive when it makes the cut fuller.
    pub throw_deg: Option<f64>,
    /// Margin towards a fuller hit, clean.
    pub clean_thick_deg: Option<f64>,
    /// Margin towards a thinner hit, clean.
    pub clean_thin_deg: Option<f64>,
    /// Both.
    pub clean_total_deg: Option<f64>,
    /// Both, at the ghost ball.
    pub clean_ghost_mm: Option<f64>,
    /// Clean or off the jaws.
    pub direct_total_deg: Option<f64>,
    /// The same at the ghost ball.
    pub direct_ghost_mm: Option<f64>,
    /// Clean, off the jaws or off the rail, fuller side.
    pub drop_thick_deg: Option<f64>,
    /// The same, thinner side.
    pub drop_thin_deg: Option<f64>,
    /// Both.
    pub drop_total_deg: Option<f64>,
    /// Both, at the ghost ball.
    pub drop_ghost_mm: Option<f64>,
    /// `direct_total_deg` over that of the straight shot at the same distances.
    pub share_of_straight: Option<f64>,
    /// ok, off-table (it cannot be set up on this table), too-fast, out-of-reach, too-close, no-drop or in-the-jaws.
    pub status: String,
}

/// What a player makes of a row.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct PlayedAnswer {
    /// Chance to make it, times ten.
    pub makes_in_ten: Option<f64>,
    /// As hard as a straight shot this long twice.
    pub equal_straight_mm: Option<f64>,
}

impl RowAnswer {
    fn new(gear: &Gear, grid: &Grid, row: &Row) -> Self {
        let window = row.window.as_ref().ok();
        let deg = |rad: f64| rad.to_degrees();
        let part = |pick: fn(&AimWindow) -> Option<Window>| window.and_then(pick);
        let (clean, direct, drop) = (part(|w| w.clean), part(|w| w.direct), part(|w| w.drop));
        let ghost = |w: Option<Window>| {
            let a = window?;
            w.map(|w| 1e3 * (a.ghost_offset_m(w.thick_rad) + a.ghost_offset_m(w.thin_rad)))
        };
        Self {
            gear: gear.name.clone(),
            kind: grid.kind.name().to_owned(),
            approach_deg: deg(grid.approach_rad),
            pace_m_s: grid.stroke.pace_m_s,
            roll: window.map_or(grid.stroke.roll, |w| w.law.roll),
            cut_deg: deg(row.cut_rad),
            apart_mm: row.apart_m * 1e3,
            to_pocket_mm: row.to_pocket_m * 1e3,
            cue_travel_mm: window.map(|w| w.aim.travel_m * 1e3),
            cue_speed_m_s: window.map(|w| w.cue_speed_m_s),
            throw_deg: window.map(|w| deg(w.throw_fuller_rad())),
            clean_thick_deg: clean.map(|w| deg(w.thick_rad)),
            clean_thin_deg: clean.map(|w| deg(w.thin_rad)),
            clean_total_deg: clean.map(|w| deg(w.total_rad())),
            clean_ghost_mm: ghost(clean),
            direct_total_deg: direct.map(|w| deg(w.total_rad())),
            direct_ghost_mm: ghost(direct),
            drop_thick_deg: drop.map(|w| deg(w.thick_rad)),
            drop_thin_deg: drop.map(|w| deg(w.thin_rad)),
            drop_total_deg: drop.map(|w| deg(w.total_rad())),
            drop_ghost_mm: ghost(drop),
            share_of_straight: row.share_of_straight,
            status: row.status().to_owned(),
        }
    }
}

/// Writes survey rows, those of a player where the grid has one.
#[derive(Debug)]
pub struct SurveyCsv<'a, W: Write> {
    out: csv::Writer<W>,
    gear: &'a Gear,
    grid: &'a Grid,
    columns: Columns,
    played: Option<Columns>,
}

impl<'a, W: Write> SurveyCsv<'a, W> {
    /// Starts with the header.
    ///
    /// # Errors
    /// From `out`.
    pub fn new(out: W, gear: &'a Gear, grid: &'a Grid) -> Result<Self, csv::Error> {
        let mut out = csv::Writer::from_writer(out);
        let columns = Columns::of::<RowAnswer>();
        let played = grid.player.map(|_| Columns::of::<PlayedAnswer>());
        let names = columns.names();
        out.write_record(names.chain(played.iter().flat_map(Columns::names)))?;
        Ok(Self {
            out,
            gear,
            grid,
            columns,
            played,
        })
    }

    /// Writes one row.
    ///
    /// # Errors
    /// From the writer.
    pub fn write(&mut self, row: &Row) -> Result<(), csv::Error> {
        let mut written = Ok(());
        let out = &mut self.out;
        let mut write = |name: &str, cell: Cell<'_>| {
            if written.is_ok() {
                written = out.write_field(rounded(name, cell));
            }
        };
        self.columns
            .named_cells(&RowAnswer::new(self.gear, self.grid, row), &mut write);
        if let Some(columns) = &self.played {
            let straight = row.equal_straight.and_then(EqualStraight::distance_m);
            let played = PlayedAnswer {
                makes_in_ten: row.chance.map(|p| 10.0 * p),
                equal_straight_mm: straight.map(|m| m * 1e3),
            };
            columns.named_cells(&played, &mut write);
        }
        written?;
        self.out.write_record(None::<&[u8]>)
    }

    /// Flushes and gives the writer back.
    ///
    /// # Errors
    /// From the writer.
    pub fn finish(mut self) -> Result<W, std::io::Error> {
        self.out.flush()?;
        self.out
            .into_inner()
            .map_err(|e| std::io::Error::other(e.to_string()))
    }
}

/// Six decimals, four of a length in mm.
fn rounded(name: &str, cell: Cell<'_>) -> String {
    match cell {
        Cell::Number(x) => decimals(x, if name.ends_with("_mm") { 4 } else { 6 }),
        other => other.csv(),
    }
}
