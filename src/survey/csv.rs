//! Survey rows as CSV.

use std::io::Write;

use super::{Grid, Row};
use crate::gear::Gear;
use crate::player::chance::EqualStraight;
use crate::window::{AimWindow, Window};

/// The columns, in order. Lengths in mm, angles in degrees, speeds in m/s; empty where there is
/// no number. `*_ghost_mm` is the whole window at the ghost ball (thick and thin side together).
pub const HEADER: [&str; 23] = [
    "gear",
    "kind",
    "approach_deg",
    "pace_m_s",
    "roll",
    "cut_deg",
    "apart_mm",
    "to_pocket_mm",
    "cue_travel_mm",
    "cue_speed_m_s",
    "throw_deg",
    "clean_thick_deg",
    "clean_thin_deg",
    "clean_total_deg",
    "clean_ghost_mm",
    "direct_total_deg",
    "direct_ghost_mm",
    "drop_thick_deg",
    "drop_thin_deg",
    "drop_total_deg",
    "drop_ghost_mm",
    "share_of_straight",
    "status",
];

/// Columns added where a player is named. The straight shot is empty where it is nearer than any
/// sensible one or beyond the table.
pub const PLAYER_HEADER: [&str; 2] = ["makes_in_ten", "equal_straight_mm"];

/// Writes survey rows.
#[derive(Debug)]
pub struct SurveyCsv<W: Write> {
    out: csv::Writer<W>,
    fixed: [String; 4],
    /// Of shots without a window.
    roll: f64,
    with_player: bool,
}

impl<W: Write> SurveyCsv<W> {
    /// Starts with the header.
    ///
    /// # Errors
    /// From `out`.
    pub fn new(out: W, gear: &Gear, grid: &Grid) -> Result<Self, csv::Error> {
        let mut out = csv::Writer::from_writer(out);
        let player = grid.player.map_or(&[][..], |_| &PLAYER_HEADER[..]);
        out.write_record(HEADER.iter().chain(player))?;
        let fixed = [
            gear.name.clone(),
            grid.kind.name().to_owned(),
            decimals(grid.approach_rad.to_degrees(), 6),
            decimals(grid.stroke.pace_m_s, 6),
        ];
        Ok(Self {
            out,
            fixed,
            roll: grid.stroke.roll,
            with_player: grid.player.is_some(),
        })
    }

    /// Writes one row.
    ///
    /// # Errors
    /// From the writer.
    pub fn write(&mut self, row: &Row) -> Result<(), csv::Error> {
        let window = row.window.as_ref().ok();
        let deg = |rad: Option<f64>| rad.map_or(String::new(), |r| decimals(r.to_degrees(), 6));
        let mm = |m: Option<f64>| m.map_or(String::new(), |m| decimals(m * 1e3, 4));
        let plain = |x: Option<f64>| x.map_or(String::new(), |x| decimals(x, 6));
        let part = |pick: fn(&AimWindow) -> Option<Window>| window.and_then(pick);
        let (clean, direct, drop) = (part(|w| w.clean), part(|w| w.direct), part(|w| w.drop));
        let ghost = |w: Option<Window>| {
            let a = window?;
            w.map(|w| a.ghost_offset_m(w.thick_rad) + a.ghost_offset_m(w.thin_rad))
        };
        for field in &self.fixed {
            self.out.write_field(field)?;
        }
        let fields = [
            decimals(window.map_or(self.roll, |w| w.law.roll), 6),
            deg(Some(row.cut_rad)),
            mm(Some(row.apart_m)),
            mm(Some(row.to_pocket_m)),
            mm(window.map(|w| w.aim.travel_m)),
            plain(window.map(|w| w.cue_speed_m_s)),
            deg(window.map(AimWindow::throw_fuller_rad)),
            deg(clean.map(|w| w.thick_rad)),
            deg(clean.map(|w| w.thin_rad)),
            deg(clean.map(|w| w.total_rad())),
            mm(ghost(clean)),
            deg(direct.map(|w| w.total_rad())),
            mm(ghost(direct)),
            deg(drop.map(|w| w.thick_rad)),
            deg(drop.map(|w| w.thin_rad)),
            deg(drop.map(|w| w.total_rad())),
            mm(ghost(drop)),
            plain(row.share_of_straight),
            row.status().to_owned(),
        ];
        for field in fields {
            self.out.write_field(field)?;
        }
        if self.with_player {
            self.out.write_field(plain(row.chance.map(|p| 10.0 * p)))?;
            self.out
                .write_field(mm(row.equal_straight.and_then(EqualStraight::distance_m)))?;
        }
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

pub(crate) use crate::units::decimals;
