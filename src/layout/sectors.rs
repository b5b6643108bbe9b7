//! What a picture shows of balls in the way: the directions that each of them closes.

use kurbo::Point;

use super::candidate::{Candidate, Refusal};
use super::obstruct::{sector, turn_rad};
use super::table::{Table, ends};

/// Sectors touch an edge that they made within this, rad.
const TOUCH_RAD: f64 = 1e-6;

/// Directions that a ball closes for another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BlockedSector {
    /// The ball in the way.
    pub by: usize,
    /// Place of the ball whose way it closes.
    pub apex: Point,
    /// From there to the ball in the way.
    pub far_m: f64,
    /// First direction on the plan, rad.
    pub from_rad: f64,
    /// Last direction, rad.
    pub to_rad: f64,
}

/// What takes part of a shot away.
#[must_use]
pub fn sectors_of_shot(table: &Table<'_>, shot: &Candidate) -> Vec<BlockedSector> {
    let (low, high) = ends(&shot.directions);
    let in_cue_way = |s: &BlockedSector| {
        let turn = turn_rad(shot.aim_rad, 0.5 * (s.from_rad + s.to_rad));
        let half = 0.5 * (s.to_rad - s.from_rad) + TOUCH_RAD;
        shot.window().is_some()
            && turn + half > low
            && turn - half < high
            && s.far_m < (table.at(shot.first) - table.layout.cue).hypot()
    };
    shot.blockers
        .iter()
        .map(|&by| {
            let from_cue = closed(table, by, None);
            if in_cue_way(&from_cue) {
                from_cue
            } else {
                closed(table, by, Some(shot.ball))
            }
        })
        .collect()
}

/// What closes a shot that is not on.
#[must_use]
pub fn sectors_of_refusal(table: &Table<'_>, ball: usize, why: &Refusal) -> Vec<BlockedSector> {
    match why {
        Refusal::ObjectBlocked(by) => by.iter().map(|&b| closed(table, b, Some(ball))).collect(),
        Refusal::CueBlocked(by) => by.iter().map(|&b| closed(table, b, None)).collect(),
        Refusal::NoDrop | Refusal::TooSteep | Refusal::OutOfReach | Refusal::TooClose => Vec::new(),
    }
}

/// The sector that `by` closes for an object ball, or for the cue ball.
fn closed(table: &Table<'_>, by: usize, of: Option<usize>) -> BlockedSector {
    let (apex, contact_m) = match of {
        Some(ball) => (table.at(ball), table.object_object_m),
        None => (table.layout.cue, table.cue_object_m),
    };
    let (middle, half, far_m) = sector(apex, table.at(by), contact_m);
    BlockedSector {
        by,
        apex,
        far_m,
        from_rad: middle - half,
        to_rad: middle + half,
    }
}
