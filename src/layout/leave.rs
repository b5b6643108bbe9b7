//! The leave: the chance of the next shot from every place the cue ball may come to, and where
//! this shot sends it with roll, stun and draw.

use kurbo::Point;
use rayon::prelude::*;
use serde::Serialize;

use super::candidates::{Candidate, direct, pull_back};
use super::cueball::{CueEnd, Forward};
use super::file::Layout;
use super::table::{DropSet, Table};
use crate::player::{AimError, normal};
use crate::pocket::{AcceptanceError, PocketName};
use crate::window::{Hit, Stroke};

/// Aim errors followed for a resting area, at evenly spaced quantiles.
const QUANTILES: u32 = 60;

/// One place for the cue ball.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct LeaveCell {
    /// From the head rail.
    pub x_m: f64,
    /// From the right rail.
    pub y_m: f64,
    /// Chance of the next shot; `None` where the cue ball cannot lie.
    pub chance: Option<f64>,
}

/// Where a way of hitting sends the cue ball.
#[derive(Debug, Clone, PartialEq)]
pub struct RestingArea {
    /// How it is hit.
    pub hit: Hit,
    /// Chance to make this shot and keep the cue ball on the table.
    pub make: f64,
    /// Chance of the next shot after a make without scratch, on average; `None` if there is none.
    pub next: Option<f64>,
    /// Where the cue ball comes to lie over the makes, m; each as likely as the others.
    pub stops: Vec<Point>,
}

/// The bed as the next shot sees it.
#[derive(Debug, Clone, PartialEq)]
pub struct LeaveMap {
    /// Next ball.
    pub next_ball: usize,
    /// Its pocket.
    pub next_pocket: PocketName,
    /// Columns.
    pub columns: u32,
    /// Rows.
    pub rows: u32,
    /// Row by row from the right rail, each from the head rail on.
    pub cells: Vec<LeaveCell>,
    /// Roll, stun and draw, those that are on.
    pub resting: Vec<RestingArea>,
}

/// A table after a ball is gone, as the next shot finds it.
pub(crate) struct Next<'a> {
    gear: &'a crate::gear::Gear,
    balls: Layout,
    set: DropSet,
    stroke: Stroke,
}

impl<'a> Next<'a> {
    /// `ball` is an index of the table before `gone` left it.
    pub(crate) fn new(
        table: &Table<'a>,
        gone: usize,
        ball: usize,
        pocket: PocketName,
        stroke: &Stroke,
    ) -> Result<Option<Self>, AcceptanceError> {
        let balls = without(table.layout, gone);
        let index = if ball > gone { ball - 1 } else { ball };
        let set = Table::new(table.gear, &balls).drop_set(index, pocket, stroke.pace_m_s)?;
        Ok(set.ok().map(|set| Self {
            gear: table.gear,
            balls,
            set,
            stroke: *stroke,
        }))
    }

    /// Chance from a place of the cue ball; `None` where it cannot lie.
    pub(crate) fn chance(&self, cue: Point, player: &AimError) -> Option<f64> {
        let layout = Layout {
            cue,
            balls: self.balls.balls.clone(),
        };
        let table = Table::new(self.gear, &layout);
        let free = table.cue_bed.clearance_m(cue) >= -TOUCH_M
            && layout
                .balls
                .iter()
                .all(|b| (b.at - cue).hypot() >= table.cue_object_m - TOUCH_M);
        free.then(|| {
            direct(&table, Ok(&self.set), &self.stroke).map_or(0.0, |c| c.chance(player, 1.0))
        })
    }
}

/// Rounding of a ball stopped by another or by a rail, m.
const TOUCH_M: f64 = 1e-6;

/// The layout with one ball gone.
pub(crate) fn without(layout: &Layout, gone: usize) -> Layout {
    let kept = layout.balls.iter().enumerate().filter(|(i, _)| *i != gone);
    Layout {
        cue: layout.cue,
        balls: kept.map(|(_, b)| b.clone()).collect(),
    }
}

/// The best next shot with the cue ball at `cue` after `gone` dropped: ball (index before it
/// dropped), pocket, chance. Sets are those of this table; only those that `gone` stood in the way
/// of are solved again.
pub(crate) fn best_next(
    table: &Table<'_>,
    sets: &[&DropSet],
    gone: usize,
    cue: Point,
    (stroke, player): (&Stroke, &AimError),
) -> Option<(usize, PocketName, f64)> {
    let layout = Layout {
        cue,
        ..without(table.layout, gone)
    };
    let after = Table::new(table.gear, &layout);
    sets.iter()
        .filter(|s| s.ball != gone)
        .filter_map(|set| {
            let ball = if set.ball > gone {
                set.ball - 1
            } else {
                set.ball
            };
            let again;
            let set_now = if set.blockers.contains(&gone) {
                again = after
                    .drop_set(ball, set.pocket, stroke.pace_m_s)
                    .ok()?
                    .ok()?;
                &again
            } else {
                *set
            };
            let shot = pull_back(&after, ball, &set_now.acceptance, &set_now.open, stroke).ok()?;
            Some((set.ball, set.pocket, shot.chance(player, 1.0)))
        })
        .max_by(|a, b| a.2.total_cmp(&b.2))
}

/// The leave map of a direct shot for a next ball and pocket.
///
/// # Errors
/// [`AcceptanceError`] for a bad pace. `Ok(None)` when the next ball cannot drop there at all.
pub fn leave_map(
    table: &Table<'_>,
    candidate: &Candidate,
    next: (usize, PocketName),
    (stroke, player): (&Stroke, &AimError),
    columns: u32,
) -> Result<Option<LeaveMap>, AcceptanceError> {
    let Some(after) = Next::new(table, candidate.ball, next.0, next.1, stroke)? else {
        return Ok(None);
    };
    let bed = &table.gear.bed;
    let cell_m = bed.length_m / f64::from(columns.max(1));
    let mut rows = 1;
    while f64::from(rows) * cell_m < bed.width_m - 0.5 * cell_m {
        rows += 1;
    }
    let height_m = bed.width_m / f64::from(rows);
    let places: Vec<(f64, f64)> = (0..rows)
        .flat_map(|r| (0..columns).map(move |c| (f64::from(c), f64::from(r))))
        .map(|(c, r)| ((c + 0.5) * cell_m, (r + 0.5) * height_m))
        .collect();
    let cells = places
        .par_iter()
        .map(|&(x_m, y_m)| LeaveCell {
            x_m,
            y_m,
            chance: after.chance(Point::new(x_m, y_m), player),
        })
        .collect();
    let set = table
        .drop_set(candidate.ball, candidate.pocket, stroke.pace_m_s)?
        .ok();
    let resting = [Hit::Roll, Hit::Stun, Hit::Draw]
        .into_iter()
        .filter_map(|hit| resting_area(table, set.as_ref()?, hit, &after, (stroke, player)))
        .collect();
    Ok(Some(LeaveMap {
        next_ball: next.0,
        next_pocket: next.1,
        columns,
        rows,
        cells,
        resting,
    }))
}

fn resting_area(
    table: &Table<'_>,
    set: &DropSet,
    hit: Hit,
    after: &Next<'_>,
    (stroke, player): (&Stroke, &AimError),
) -> Option<RestingArea> {
    let stroke = Stroke {
        roll: hit.roll(),
        ..*stroke
    };
    let shot = direct(table, Ok(set), &stroke).ok()?;
    let forward = Forward::new(table, &shot);
    let sigma_rad = shot.sigma_rad(player, 1.0);
    let mut stops = Vec::new();
    for k in 0..QUANTILES {
        let q = (f64::from(k) + 0.5) / f64::from(QUANTILES);
        let outcome = forward.outcome(player.bias_rad + sigma_rad * normal::quantile(q), false);
        if forward.made(&outcome) && !matches!(outcome.cue.end, CueEnd::Scratch(_)) {
            stops.push(outcome.cue.at);
        }
    }
    let chances: Vec<f64> = stops
        .iter()
        .filter_map(|&p| after.chance(p, player))
        .collect();
    let count = f64::from(u32::try_from(chances.len()).unwrap_or(u32::MAX));
    let next = (!chances.is_empty()).then(|| chances.iter().sum::<f64>() / count);
    let make = f64::from(u32::try_from(stops.len()).unwrap_or(u32::MAX)) / f64::from(QUANTILES);
    Some(RestingArea {
        hit,
        make,
        next,
        stops,
    })
}
