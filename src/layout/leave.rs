//! The leave: the chance of the next shot from every place the cue ball may come to, and where
//! this shot sends it with roll, stun and draw.

use kurbo::Point;
use rayon::prelude::*;
use serde::Serialize;

use super::candidate::{AimSpread, Candidate};
use super::cueball::Forward;
use super::direct::{direct, direct_from, windows};
use super::file::Layout;
use super::request::ChooseOptions;
use super::scratch::evenly_likely;
use super::stance::stance;
use super::table::{DropSet, Table};
use crate::player::chance;
use crate::pocket::{AcceptanceError, PocketName};
use crate::window::{AimWindow, Hit, NoWindow};

/// Makes followed for a resting area, each as likely as the others.
const STOPS: u32 = 60;

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
    /// The bed; its balls are those of before.
    bed: Table<'a>,
    balls: Layout,
    set: DropSet,
    options: ChooseOptions,
}

impl<'a> Next<'a> {
    /// `ball` is an index of the table before `gone` left it.
    pub(crate) fn new(
        table: &Table<'a>,
        gone: usize,
        ball: usize,
        pocket: PocketName,
        options: &ChooseOptions,
    ) -> Result<Option<Self>, AcceptanceError> {
        let balls = without(table.layout, gone);
        let index = if ball > gone { ball - 1 } else { ball };
        let after = table.with_layout(&balls);
        let set = after.drop_set(index, pocket, options.stroke.pace_m_s)?;
        Ok(set.ok().map(|set| Self {
            bed: table.with_layout(table.layout),
            balls,
            set,
            options: options.clone(),
        }))
    }

    /// Chances from places of the cue ball, the stance there counted; `None` where it cannot lie.
    pub(crate) fn chances(&self, places: impl IntoIterator<Item = Point>) -> Vec<Option<f64>> {
        let mut layout = self.balls.clone();
        let places: Vec<Point> = places.into_iter().collect();
        let windows = windows(&self.bed, &self.set, &self.options.stroke, &places);
        let places = places.into_iter().zip(windows).map(|(cue, window)| {
            layout.cue = cue;
            self.chance(&self.bed.with_layout(&layout), window)
        });
        places.collect()
    }

    fn chance(&self, table: &Table<'_>, window: Result<AimWindow, NoWindow>) -> Option<f64> {
        let (layout, cue) = (table.layout, table.layout.cue);
        let free = table.cue_bed.clearance_m(cue) >= -TOUCH_M
            && layout
                .balls
                .iter()
                .all(|b| (b.at - cue).hypot() >= table.cue_object_m - TOUCH_M);
        free.then(|| {
            let shot = direct_from(table, &self.set, &self.options.stroke, window);
            shot.map_or(0.0, |(shot, _)| {
                let factor = stance(table, shot.aim_rad, self.options.reach).arm_factor();
                shot.chance(self.options.aims(&shot), factor)
            })
        })
    }
}

/// Places of a leave map that one thread looks at.
const PLACES_AT_ONCE: usize = 32;
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

/// The ball to be played next, and where.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NextBall {
    /// Index among the balls of the layout.
    pub ball: usize,
    /// The pocket.
    pub pocket: PocketName,
}

/// The leave map of a direct shot for a next ball and pocket.
///
/// # Errors
/// [`AcceptanceError`] for a bad pace. `Ok(None)` when the next ball cannot drop there at all.
pub fn leave_map(
    table: &Table<'_>,
    candidate: &Candidate,
    next: NextBall,
    options: &ChooseOptions,
    columns: u32,
) -> Result<Option<LeaveMap>, AcceptanceError> {
    let Some(after) = Next::new(table, candidate.ball, next.ball, next.pocket, options)? else {
        return Ok(None);
    };
    let bed = &table.gear.bed;
    // from rail to rail, a ball frozen to either included
    let edge_m = table.cue_bed.body.plan_radius_m;
    let (length_m, width_m) = (bed.length_m - 2.0 * edge_m, bed.width_m - 2.0 * edge_m);
    let columns = columns.max(2);
    let step_m = length_m / f64::from(columns - 1);
    let mut rows = 2;
    while f64::from(rows - 1) * step_m < width_m - 0.5 * step_m {
        rows += 1;
    }
    let rise_m = width_m / f64::from(rows - 1);
    let places: Vec<(f64, f64)> = (0..rows)
        .flat_map(|r| (0..columns).map(move |c| (f64::from(c), f64::from(r))))
        .map(|(c, r)| (edge_m + c * step_m, edge_m + r * rise_m))
        .collect();
    let cells = places
        .par_chunks(PLACES_AT_ONCE)
        .flat_map_iter(|some| {
            let chances = after.chances(some.iter().map(|&at| at.into()));
            let cells = some.iter().zip(chances);
            cells.map(|(&(x_m, y_m), chance)| LeaveCell { x_m, y_m, chance })
        })
        .collect();
    let pace_m_s = candidate.pace_m_s.unwrap_or(options.stroke.pace_m_s);
    let set = table
        .drop_set(candidate.ball, candidate.pocket, pace_m_s)?
        .ok();
    let resting = [Hit::Roll, Hit::Stun, Hit::Draw]
        .into_iter()
        .filter_map(|hit| resting_area(table, set.as_ref()?, hit, &after))
        .collect();
    Ok(Some(LeaveMap {
        next_ball: next.ball,
        next_pocket: next.pocket,
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
) -> Option<RestingArea> {
    let asked = after.options.stroke;
    let stroke = asked.arriving(hit.roll(), asked.side);
    let shot = direct(table, Ok(set), &stroke).ok()?;
    let forward = Forward::new(table, &shot);
    let arm_factor = stance(table, shot.aim_rad, after.options.reach).arm_factor();
    let aims = after.options.aims(&shot);
    let spread = AimSpread {
        sigma_rad: shot.sigma_rad(aims, arm_factor),
        bias_rad: aims.bias_rad,
    };
    let kept = forward.kept(spread);
    let stops: Vec<Point> = evenly_likely(&kept, spread, STOPS)
        .into_iter()
        .map(|delta| forward.outcome(delta, false).cue.at)
        .collect();
    let chances = after.chances(stops.iter().copied());
    let chances: Vec<f64> = chances.into_iter().flatten().collect();
    let count = f64::from(u32::try_from(chances.len()).unwrap_or(u32::MAX));
    let next = (!chances.is_empty()).then(|| chances.iter().sum::<f64>() / count);
    Some(RestingArea {
        hit,
        make: chance(&kept, spread.sigma_rad, spread.bias_rad),
        next,
        stops,
    })
}
