//! A solved shot as outlines to draw: the wedge of allowed cue-ball directions, the ghost balls at
//! the fullest and the thinnest make, and where the object ball may go, by how it drops.
//!
//! All places in millimetres on the table, so nothing is computed in the page.

use std::f64::consts::FRAC_PI_2;

use kurbo::{Point, Vec2};
use schemars::JsonSchema;
use serde::Serialize;

use super::plan::{PlaceMm, place_mm};
use crate::charts::corridor::{Corridor, Margin};
use crate::draw::colour::part_fill;
use crate::gear::Gear;
use crate::motion::{BallBody, BallState, End, Leg, Step, trace};
use crate::pocket::{Acceptance, How, PocketShape};
use crate::window::{AimWindow, Shot, Solution, Window};

/// Directions drawn across one piece; its far side is a curve only where a jaw rounds it.
const ACROSS: u32 = 8;
/// Points along a curved stretch of a path.
const ALONG: u32 = 6;

/// A ball.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Disc {
    /// Centre.
    pub at: PlaceMm,
    /// Radius.
    pub radius_mm: f64,
}

/// Cue-ball directions that make the shot in one way.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Wedge {
    /// `clean`, `jaw` or `rail`.
    pub how: String,
    /// Closed outline: the cue ball's centre, then the ghost balls' centres.
    pub outline: Vec<PlaceMm>,
}

/// Object-ball directions that drop in one way.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Fan {
    /// `clean`, `jaw` or `rail`.
    pub how: String,
    /// Closed outline: the object ball's centre, then where it first meets something or drops.
    pub outline: Vec<PlaceMm>,
    /// The way of the middle direction, down to the hole.
    pub path: Vec<PlaceMm>,
}

/// Centres of the ghost balls of one window.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Ghosts {
    /// At the fullest make.
    pub fullest: PlaceMm,
    /// At the thinnest.
    pub thinnest: PlaceMm,
}

/// A band a ball wide.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Lane {
    /// `clean`, `jaw` or `rail`.
    pub how: String,
    /// Closed outline.
    pub outline: Vec<PlaceMm>,
}

/// Where the cue ball may run.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Run {
    /// Its margins are drawn so many times as wide.
    pub times: f64,
    /// The band a ball wide of the aim, closed.
    pub band: Vec<PlaceMm>,
    /// The outermost bands of each way of going in, the widest first, their offsets from the aim so many
    /// times as large.
    pub margins: Vec<Lane>,
}

/// One shot to draw.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Drawing {
    /// Cue ball.
    pub cue: Disc,
    /// Object ball.
    pub object: Disc,
    /// Middle of the mouth aimed at.
    pub mouth: PlaceMm,
    /// Allowed cue-ball directions.
    pub wedges: Vec<Wedge>,
    /// The cue ball's band with its margins; null without a window.
    pub run: Option<Run>,
    /// Ghost ball when aimed right.
    pub ghost: Option<PlaceMm>,
    /// Ghost balls at the ends of the clean window.
    pub clean: Option<Ghosts>,
    /// At the ends of the window that counts jaws.
    pub direct: Option<Ghosts>,
    /// At the ends of the widest window.
    pub drop: Option<Ghosts>,
    /// Accepted object-ball directions.
    pub fans: Vec<Fan>,
}

impl Drawing {
    /// The outlines of a solved shot.
    #[must_use]
    pub fn new(gear: &Gear, shot: &Shot, solution: &Solution) -> Self {
        let plan = |p: Point| place_mm(shot.frame.to_plan(p));
        let found = solution.window.as_ref().ok();
        let ends =
            |pick: fn(&AimWindow) -> Option<Window>| found.and_then(|w| ghosts(shot, w, &pick(w)?));
        Self {
            cue: Disc {
                at: plan(shot.cue),
                radius_mm: gear.cue_radius_m() * 1e3,
            },
            object: Disc {
                at: plan(shot.object),
                radius_mm: gear.object_radius_m() * 1e3,
            },
            mouth: place_mm(shot.frame.mouth_middle),
            wedges: match (found, &solution.acceptance) {
                (Some(w), Some(a)) => wedges(shot, w, a),
                _ => Vec::new(),
            },
            run: found.and_then(|w| run(gear, shot, w)),
            ghost: found.map(|w| plan(w.ghost(shot.object, &w.aim))),
            clean: ends(|w| w.clean),
            direct: ends(|w| w.direct),
            drop: ends(|w| w.drop),
            fans: solution
                .acceptance
                .as_ref()
                .map_or_else(Vec::new, |a| fans(gear, shot, a)),
        }
    }
}

fn run(gear: &Gear, shot: &Shot, window: &AimWindow) -> Option<Run> {
    let parts = [
        (How::Rail, window.drop),
        (How::Jaw, window.direct),
        (How::Clean, window.clean),
    ];
    let parts: Vec<(How, Margin)> = parts
        .into_iter()
        .filter_map(|(how, part)| {
            let margin = Margin {
                fill: part_fill(0),
                ends_rad: part?.interval_rad(),
            };
            Some((how, margin))
        })
        .collect();
    let corridor = Corridor {
        cue: shot.frame.to_plan(shot.cue),
        aim_rad: shot.frame.axis_rad + window.aim_in_pocket_frame_rad(),
        reach_m: window.aim.travel_m,
        radius_m: gear.cue_radius_m(),
        margins: parts.iter().map(|(_, margin)| *margin).collect(),
    };
    if parts.is_empty() {
        return None;
    }
    let times = corridor.times();
    let outline = |lane: Vec<Point>| lane.into_iter().map(place_mm).collect();
    let margins = parts.iter().flat_map(|(how, margin)| {
        corridor.edges(margin, times).map(|lane| Lane {
            how: how.name().to_owned(),
            outline: outline(lane),
        })
    });
    Some(Run {
        times,
        band: outline(corridor.band(times)),
        margins: margins.collect(),
    })
}

fn ghost_at(shot: &Shot, window: &AimWindow, delta_rad: f64) -> Option<PlaceMm> {
    let contact = window.approach.sent(window.aim.aim_rad + delta_rad)?;
    Some(place_mm(
        shot.frame.to_plan(window.ghost(shot.object, &contact)),
    ))
}

fn ghosts(shot: &Shot, window: &AimWindow, part: &Window) -> Option<Ghosts> {
    let from = ghost_at(shot, window, part.aim_from_rad)?;
    let to = ghost_at(shot, window, part.aim_to_rad)?;
    // On a left cut the fuller hit sends the object ball to the right: the lower end.
    let (fullest, thinnest) = if window.cut_side.is_left() {
        (from, to)
    } else {
        (to, from)
    };
    Some(Ghosts { fullest, thinnest })
}

fn wedges(shot: &Shot, window: &AimWindow, acceptance: &Acceptance) -> Vec<Wedge> {
    let one = |from: f64, to: f64, how: &str| {
        let (lo, hi) = window.turn_for_rad(from, to)?;
        let mut outline = vec![place_mm(shot.frame.to_plan(shot.cue))];
        for k in 0..=ALONG {
            let delta = lo + (hi - lo) * f64::from(k) / f64::from(ALONG);
            // at a grazing hit rounding may miss the ball
            outline.extend(ghost_at(shot, window, delta));
        }
        Some(Wedge {
            how: how.to_owned(),
            outline,
        })
    };
    acceptance
        .pieces
        .spans()
        .iter()
        .filter_map(|s| one(s.from_rad, s.to_rad, s.tag.name()))
        .collect()
}

fn fans(gear: &Gear, shot: &Shot, acceptance: &Acceptance) -> Vec<Fan> {
    let body = BallBody::object(gear);
    let shape = PocketShape::in_frame(gear, &shot.frame, &body);
    let follow = |theta: f64| {
        let direction = (acceptance.approach_rad + theta).clamp(-FRAC_PI_2 * 2.0, FRAC_PI_2 * 2.0);
        let v = Vec2::from_angle(direction) * acceptance.object_speed_m_s;
        follow(&shape, gear, &body, BallState::sliding(shot.object, v))
    };
    let plan = |p: Point| place_mm(shot.frame.to_plan(p));
    acceptance
        .pieces
        .spans()
        .iter()
        .map(|s| {
            let mut outline = vec![plan(shot.object)];
            for k in 0..=ACROSS {
                let theta = s.from_rad + s.width_rad() * f64::from(k) / f64::from(ACROSS);
                outline.extend(follow(theta).first.map(plan));
            }
            let middle = follow(0.5 * (s.from_rad + s.to_rad));
            Fan {
                how: s.tag.name().to_owned(),
                outline,
                path: middle.points.into_iter().map(plan).collect(),
            }
        })
        .collect()
}

/// A traced way.
struct Way {
    /// Where it first meets something, or ends.
    first: Option<Point>,
    /// The whole way.
    points: Vec<Point>,
}

fn follow(shape: &PocketShape, gear: &Gear, body: &BallBody, start: BallState) -> Way {
    let mut points = vec![start.at];
    let mut first = None;
    let end = trace(
        &shape.features,
        body,
        &gear.cloth,
        start,
        |step| match step {
            Step::Leg(leg) => points.extend(stretch(&leg)),
            Step::Impact(_, state) => first = first.or(Some(state.at)),
        },
    );
    // A way that cannot be followed to its end is drawn as far as it went.
    let last = match end {
        Ok((End::Drop(_) | End::Rest | End::Ball(_), state)) => Some(state.at),
        Err(_) => points.last().copied(),
    };
    Way {
        first: first.or(last),
        points,
    }
}

/// Points along one stretch, its start left out.
fn stretch(leg: &Leg) -> Vec<Point> {
    let bends = leg.start.v.cross(leg.acceleration).abs() > 1e-9;
    let pieces = if bends { ALONG } else { 1 };
    (1..=pieces)
        .map(|k| leg.position(leg.duration_s * f64::from(k) / f64::from(pieces)))
        .collect()
}
