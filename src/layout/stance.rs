//! Where the player stands, and what is awkward about it.
//!
//! The line of the cue is followed back from the cue ball. A right-hander's body is left of that
//! line, a left-hander's right of it; it stands at the rail's outer edge, level with the cue ball
//! or behind it. All numbers here are assumptions: nobody publishes how far people reach over a
//! table or what a rest costs them.

use kurbo::{Point, Vec2};
use serde::Serialize;

use super::table::Table;
use crate::gear::{Bed, Gear};
use crate::units::Hand;
use crate::window::{Shot, Solution};

/// Nose to the outer edge of the rail, m (assumption: 6 in).
const RAIL_WIDTH_M: f64 = 0.152;
/// How far the line of the cue may pass on the far side of the body's middle, m (assumption: under
/// the chin).
const UNDER_CHIN_M: f64 = 0.10;
/// A cue ball nearer than this to the nose behind it takes a raised cue, m (assumption: less than
/// a flat bridge is long).
const FLAT_BRIDGE_M: f64 = 0.08;
/// A ball this near behind the cue ball is in the way of the bridge, m (assumption: 10 in).
const BRIDGE_M: f64 = 0.254;
/// Half-width that the cue and the fingers take, m (assumption).
const FINGERS_M: f64 = 0.02;

/// How far a player gets.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Reach {
    /// Playing hand.
    pub hand: Hand,
    /// From the rail's outer edge to the farthest cue ball played without a rest.
    pub reach_m: f64,
}

impl Reach {
    /// Standing, 1 m (assumption: an adult leaning over with the bridge arm out).
    #[must_use]
    pub fn standing(hand: Hand) -> Self {
        Self { hand, reach_m: 1.0 }
    }

    /// Seated, 0.7 m (assumption).
    #[must_use]
    pub fn seated(hand: Hand) -> Self {
        Self { hand, reach_m: 0.7 }
    }
}

/// How the player gets at the cue ball.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stance {
    /// Where the body stands at the rail's outer edge.
    pub at: Point,
    /// From there to the cue ball.
    pub needed_m: f64,
    /// Farther than the player reaches.
    pub needs_rest: bool,
    /// With the cue in the other hand the player would reach.
    pub other_hand_reaches: bool,
    /// The cue has to be raised over the rail behind the cue ball.
    pub over_rail: bool,
    /// The cue has to be raised over this ball.
    pub over_ball: Option<usize>,
}

/// Arm factor of a cue raised over a ball, the most a stance without the rest costs (assumption).
pub(crate) const OVER_BALL: f64 = 1.6;

impl Stance {
    /// What it does to the arm's part of the aim error: 1.4 with the rest, 1.2 over a rail, 1.6 over
    /// a ball, multiplied (assumptions).
    #[must_use]
    pub fn arm_factor(&self) -> f64 {
        let rest = if self.needs_rest { 1.4 } else { 1.0 };
        let raised = match (self.over_ball, self.over_rail) {
            (Some(_), _) => OVER_BALL,
            (None, true) => 1.2,
            (None, false) => 1.0,
        };
        rest * raised
    }
}

/// A cue ball and the balls around it, as far as a stance goes.
#[derive(Debug, Clone)]
pub(crate) struct Around<'a> {
    pub(crate) bed: &'a Bed,
    pub(crate) cue: Point,
    /// Other balls with their indices.
    pub(crate) others: Vec<(usize, Point)>,
    pub(crate) ball_radius_m: f64,
}

/// The stance for sending the cue ball along `aim_rad`.
#[must_use]
pub fn stance(table: &Table<'_>, aim_rad: f64, reach: Reach) -> Stance {
    let around = Around {
        bed: &table.gear.bed,
        cue: table.layout.cue,
        others: table.others(None).collect(),
        ball_radius_m: table.object_bed.body.radius_m,
    };
    stance_among(&around, aim_rad, reach)
}

/// The stance for a shot alone on the bed; `None` for one that is given by angle and distances, and
/// where there is no way to play it.
#[must_use]
pub fn stance_alone(gear: &Gear, shot: &Shot, solution: &Solution, reach: Reach) -> Option<Stance> {
    shot.frame.name?;
    let window = solution.window.as_ref().ok()?;
    let alone = Around {
        bed: &gear.bed,
        cue: shot.frame.to_plan(shot.cue),
        others: Vec::new(),
        ball_radius_m: gear.object_radius_m(),
    };
    let aim_rad = shot.frame.axis_rad + window.aim_in_pocket_frame_rad();
    Some(stance_among(&alone, aim_rad, reach))
}

/// The same without a whole table.
#[must_use]
pub(crate) fn stance_among(around: &Around<'_>, aim_rad: f64, reach: Reach) -> Stance {
    let cue = around.cue;
    let forward = Vec2::from_angle(aim_rad);
    let left = Vec2::new(-forward.y, forward.x);
    let body_side = match reach.hand {
        Hand::Right => left,
        Hand::Left => -left,
    };
    let (at, needed_m) = standing_place(around.bed, cue, forward, body_side);
    let needs_rest = needed_m > reach.reach_m;
    let (_, other_m) = standing_place(around.bed, cue, forward, -body_side);
    Stance {
        at,
        needed_m,
        needs_rest,
        other_hand_reaches: needs_rest && other_m <= reach.reach_m,
        over_rail: to_nose_behind_m(around.bed, cue, forward) < FLAT_BRIDGE_M,
        over_ball: ball_behind(around, forward),
    }
}

/// The nearest place at the outer edge behind the cue ball and on the body's side of the cue.
fn standing_place(bed: &Bed, cue: Point, forward: Vec2, body_side: Vec2) -> (Point, f64) {
    let (l, w, out) = (bed.length_m, bed.width_m, RAIL_WIDTH_M);
    let corners = [
        Point::new(-out, -out),
        Point::new(l + out, -out),
        Point::new(l + out, w + out),
        Point::new(-out, w + out),
    ];
    let mut best: Option<(Point, f64)> = None;
    for (i, &a) in corners.iter().enumerate() {
        let side = corners[(i + 1) % 4] - a;
        // a + t·side with t in [0, 1], behind the cue ball and on the body's side
        let (mut lo, mut hi) = (0.0_f64, 1.0_f64);
        for (normal, offset) in [(-forward, 0.0), (body_side, UNDER_CHIN_M)] {
            let (at_start, slope) = ((a - cue).dot(normal) + offset, side.dot(normal));
            if slope > 0.0 {
                lo = lo.max(-at_start / slope);
            } else if slope < 0.0 {
                hi = hi.min(-at_start / slope);
            } else if at_start < 0.0 {
                hi = -1.0;
            }
        }
        if lo > hi {
            continue;
        }
        let t = ((cue - a).dot(side) / side.hypot2()).clamp(lo, hi);
        let place = a + side * t;
        let far_m = (place - cue).hypot();
        if best.is_none_or(|(_, m)| far_m < m) {
            best = Some((place, far_m));
        }
    }
    // The outline surrounds the cue ball, so some part of it lies behind and to the side.
    best.unwrap_or((cue, 0.0))
}

/// From the cue ball back to the nose line.
fn to_nose_behind_m(bed: &Bed, cue: Point, forward: Vec2) -> f64 {
    let (l, w) = (bed.length_m, bed.width_m);
    let along = |at: f64, size: f64, v: f64| {
        if v > 0.0 {
            (size - at) / v
        } else if v < 0.0 {
            -at / v
        } else {
            f64::INFINITY
        }
    };
    along(cue.x, l, -forward.x).min(along(cue.y, w, -forward.y))
}

fn ball_behind(around: &Around<'_>, forward: Vec2) -> Option<usize> {
    let half = around.ball_radius_m + FINGERS_M;
    let others = around.others.iter();
    others
        .filter_map(|&(i, at)| {
            let d = at - around.cue;
            let (back_m, aside_m) = (-d.dot(forward), d.cross(forward).abs());
            (back_m > 0.0 && back_m < BRIDGE_M && aside_m < half).then_some((i, back_m))
        })
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(i, _)| i)
}
