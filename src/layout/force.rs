//! How hard each shot is played: the object ball's pace at the pocket is the same for all shots, or
//! the stroke of the cue is.
//!
//! With one stroke for all, each ball and pocket has its own pace: the one that takes just that
//! stroke when nothing stands in the way. Other balls shift the middle of what is left of a pocket,
//! and with it the cut, by so little that the pace is not solved again.

use kurbo::Vec2;
use rayon::prelude::*;

use super::direct::direct;
use super::table::{DropSet, Table};
use crate::gear::Gear;
use crate::pocket::{AcceptanceError, NoAcceptance, PocketName};
use crate::request::{RequestError, StrokeRequest};
use crate::window::{
    BedShot, Shot, Stroke, StrokeError, contact_speed_m_s, pace_for_tip_speed, speed_for_lengths,
};

/// Rounds that bring the pace of a hanging ball or a combination and the stroke into agreement.
pub(super) const ROUNDS: u32 = 5;
/// A stroke found by rounds is good within this share of its speed (assumption: a tenth of what
/// anyone can tell).
const AGREES: f64 = 0.01;

/// A stroke as its speed off the tip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tip {
    /// How far it would send the cue ball up and down with nothing in the way, in table lengths.
    pub lengths: f64,
    /// Speed off the tip.
    pub speed_m_s: f64,
}

impl Tip {
    /// From a number of table lengths.
    ///
    /// # Errors
    /// [`StrokeError::Lengths`] outside what a stroke can do.
    pub fn new(gear: &Gear, lengths: f64) -> Result<Self, StrokeError> {
        let speed_m_s = speed_for_lengths(gear, lengths)?;
        Ok(Self { lengths, speed_m_s })
    }

    /// Speed of the cue ball when it meets a ball after `travel_m`; `None` when it does not get there.
    pub(super) fn arriving_m_s(&self, table: &Table<'_>, roll: f64, travel_m: f64) -> Option<f64> {
        contact_speed_m_s(&table.gear.cloth, self.speed_m_s, roll, travel_m)
    }

    /// Speed that an object ball gets which leaves in `direction_rad`, throw left out; `None` when
    /// the cue ball cannot send it there.
    pub(super) fn sends_m_s(
        &self,
        table: &Table<'_>,
        ball: usize,
        roll: f64,
        direction_rad: f64,
    ) -> Option<f64> {
        let along = Vec2::from_angle(direction_rad);
        let ghost = table.at(ball) - along * table.cue_object_m;
        let way = ghost - table.layout.cue;
        let cos_cut = along.dot(way.normalize());
        if cos_cut <= 0.0 {
            return None;
        }
        Some(table.gear.passed_on() * cos_cut * self.arriving_m_s(table, roll, way.hypot())?)
    }
}

/// A stroke as asked for, for all shots of a layout: with a stroke in table lengths its speed, and the
/// usual pace for the next shots and where a search begins.
///
/// # Errors
/// [`RequestError`] naming the option.
pub fn played(request: &StrokeRequest, gear: &Gear) -> Result<(Stroke, Option<Tip>), RequestError> {
    let lengths = request.lengths()?;
    let paced = StrokeRequest {
        stroke: None,
        ..request.clone()
    };
    let tip = lengths.map(|lengths| Tip::new(gear, lengths)).transpose()?;
    Ok((paced.stroke(gear)?, tip))
}

/// A drop set, or why there is none.
pub(crate) type MaybeSet = Result<DropSet, (usize, PocketName, NoAcceptance)>;

/// All drop sets of the balls wanted, six for each in the order of [`PocketName::ALL`]: at the
/// stroke's pace, or at the pace that a stroke off the tip gives each.
pub(crate) fn drop_sets(
    table: &Table<'_>,
    balls: &[usize],
    stroke: &Stroke,
    tip: Option<&Tip>,
) -> Result<Vec<MaybeSet>, AcceptanceError> {
    balls
        .par_iter()
        .flat_map_iter(|&ball| PocketName::ALL.map(|pocket| (ball, pocket)))
        .map(|(ball, pocket)| {
            let pace_m_s = match tip {
                None => stroke.pace_m_s,
                Some(tip) => match pace_for(table, ball, pocket, stroke, tip)? {
                    Some(pace_m_s) => pace_m_s,
                    None => return Ok(Err((ball, pocket, NoAcceptance::NoDrop))),
                },
            };
            Ok(table
                .drop_set(ball, pocket, pace_m_s)?
                .map_err(|no| (ball, pocket, no)))
        })
        .collect()
}

/// The pace that a stroke gives a direct shot; `None` when it is too soft.
pub(crate) fn pace_for(
    table: &Table<'_>,
    ball: usize,
    pocket: PocketName,
    stroke: &Stroke,
    tip: &Tip,
) -> Result<Option<f64>, AcceptanceError> {
    let shot = BedShot {
        cue: table.layout.cue,
        object: table.at(ball),
        pocket,
    };
    let found = Shot::on_bed(table.gear, &shot, *stroke)
        .map_err(StrokeError::from)
        .and_then(|shot| pace_for_tip_speed(table.gear, &shot, tip.lengths, tip.speed_m_s));
    match found {
        Ok(pace_m_s) => Ok(Some(pace_m_s)),
        Err(StrokeError::TooSoft { .. }) => Ok(None),
        // It hangs in the jaws, or cannot be cut there at all: then any pace says so.
        Err(_) => agreed(table, tip, stroke.pace_m_s, |pace_m_s| {
            let set = table.drop_set(ball, pocket, pace_m_s)?;
            Ok(set.ok().and_then(|set| {
                let found = direct(
                    table,
                    Ok(&set),
                    &Stroke {
                        pace_m_s,
                        ..*stroke
                    },
                )
                .ok()?;
                Some((found.cue_speed_m_s, stroke.roll, found.cue_travel_m))
            }))
        })
        .map(|agreed| Some(agreed.unwrap_or(stroke.pace_m_s))),
    }
}

/// The pace at which what `needs` says (speed at contact, roll, travel of the cue ball) is what a
/// stroke gives. The needed speed is nearly proportional to the pace, so that each round divides
/// the difference. `None` when a round finds nothing or they do not agree.
pub(super) fn agreed(
    table: &Table<'_>,
    tip: &Tip,
    start_m_s: f64,
    needs: impl Fn(f64) -> Result<Option<(f64, f64, f64)>, AcceptanceError>,
) -> Result<Option<f64>, AcceptanceError> {
    let mut pace_m_s = start_m_s;
    for _ in 0..ROUNDS {
        let Some((needed, roll, travel_m)) = needs(pace_m_s)? else {
            return Ok(None);
        };
        let Some(given) = tip.arriving_m_s(table, roll, travel_m) else {
            return Ok(None);
        };
        if (given / needed - 1.0).abs() < AGREES {
            return Ok(Some(pace_m_s));
        }
        pace_m_s *= given / needed;
    }
    Ok(None)
}
