//! How the cushions bounce and rub: two rolls off a rail, read with a tape.
//!
//! A ball rolls down a ramp whose foot stands half a metre of the ball's way from the nose, once straight
//! at the cushion and once at 45°, and rests where it will. How far it comes back tells the restitution,
//! how far it goes along the rail the friction. Places are traced for each restitution and friction of a
//! grid; what the ramp's run is off, and how far a roll strays, is integrated out.
//!
//! Limits: the cloth brakes as in the gear, alike everywhere; the rail is one, and all are alike.

use kurbo::{Point, Vec2};
use rayon::prelude::*;
use serde::Serialize;
use statrs::distribution::{ChiSquared, ContinuousCDF};

use super::bounce::{Bounce, Grid, Rubber, set};
use super::jaws::RampRun;
use super::quantity::Instrument;
use super::reading::{Instruments, MeasureError};
use crate::field::Field;
use crate::gear::Gear;
use crate::motion::{BallBody, BallState, End, Feature, FeatureKind, Shape, Step, trace};
use crate::shown::quoted;
use crate::units::{Length, hint_units};

/// From the ramp's foot to the nose along the ball's way, m.
pub const FOOT_M: f64 = 0.5;
/// Speed at the foot that is asked for, m/s.
pub const SPEED_M_S: f64 = 0.7;
/// The ball strays, one standard deviation, as a share of its way back (assumption: ramp and cloth).
const STRAYS: f64 = 0.02;
/// The ramp's run is off for all rolls together, as a share (assumption).
const RUN_OFF: f64 = 0.02;
/// A roll at 45° is aimed this well, rad: 1° (assumption).
const AIMED_RAD: f64 = 1.0 * std::f64::consts::PI / 180.0;
/// Where nothing is known: flat over these (assumptions: a little more than what is published for
/// cushions, 0.6 to 0.9; friction over all that the impact law allows).
const PRIOR: Grid = Grid {
    restitution: (0.6, 0.95),
    friction: (0.0, 0.28),
    cells: 12,
};
/// Cells of the grid round what the first one found.
const CLOSE: u32 = 20;
/// What the ramp's run may be off, in standard deviations, and the weights of that.
const OFF: [(f64, f64); 7] = [
    (-2.25, 0.0796),
    (-1.5, 0.3247),
    (-0.75, 0.7548),
    (0.0, 1.0),
    (0.75, 0.7548),
    (1.5, 0.3247),
    (2.25, 0.0796),
];
/// Rolls that the best cushion would do less often than this cannot be (assumption).
const NEVER: f64 = 1e-4;

/// Where a ball came to rest.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum RailRoll {
    /// Rolled straight at the cushion.
    Straight {
        /// From the nose to the near side of the ball, m.
        back_m: f64,
    },
    /// Rolled at it at 45°.
    At45 {
        /// Along the rail, from level with the ramp's foot to level with the ball's middle, m.
        along_m: f64,
        /// From the nose to the near side of the ball, m.
        out_m: f64,
    },
}

/// Reads `62cm, 64cm`: rolls straight at the cushion.
///
/// # Errors
/// [`MeasureError`] naming the value and what would work.
pub fn read_straight(texts: &[String]) -> Result<Vec<RailRoll>, MeasureError> {
    parts_of(texts)
        .map(
            |text| match text.split_whitespace().collect::<Vec<_>>().as_slice() {
                [back] => Ok(RailRoll::Straight {
                    back_m: length(Field::RailStraight, back)?,
                }),
                _ => Err(parts(
                    Field::RailStraight,
                    text,
                    "how far from the nose the ball came to rest, such as \"62cm\"",
                )),
            },
        )
        .collect()
}

/// Reads `1.12m 30cm, …`: rolls at 45°, along the rail and out from it.
///
/// # Errors
/// [`MeasureError`] naming the value and what would work.
pub fn read_at_45(texts: &[String]) -> Result<Vec<RailRoll>, MeasureError> {
    parts_of(texts)
        .map(
            |text| match text.split_whitespace().collect::<Vec<_>>().as_slice() {
                [along, out] => Ok(RailRoll::At45 {
                    along_m: length(Field::RailAt45, along)?,
                    out_m: length(Field::RailAt45, out)?,
                }),
                _ => Err(parts(
                    Field::RailAt45,
                    text,
                    "along the rail and out from it, such as \"1.12m 30cm\"",
                )),
            },
        )
        .collect()
}

fn parts_of(texts: &[String]) -> impl Iterator<Item = &str> {
    let all = texts.iter().flat_map(|text| text.split([',', ';']));
    all.map(str::trim).filter(|text| !text.is_empty())
}

fn parts(what: Field, text: &str, example: &'static str) -> MeasureError {
    MeasureError::Parts {
        what: what.into(),
        value: quoted(text),
        stroke: "roll off the rail".to_owned(),
        example,
    }
}

/// Longest distance a tape reads here, m.
const LONGEST_M: f64 = 5.0;

fn length(what: Field, text: &str) -> Result<f64, MeasureError> {
    let holds = |m: f64| (0.0..=LONGEST_M).contains(&m);
    let m = text
        .parse::<Length>()
        .map_err(|problem| MeasureError::Unit {
            what: what.into(),
            problem: Box::new(hint_units(problem, holds)),
        })?
        .m();
    if holds(m) {
        return Ok(m);
    }
    Err(MeasureError::Impossible {
        what: what.into(),
        value: quoted(text),
        problem: "no ball of this test rests there".to_owned(),
        remedy: "give 0 to 5 m".to_owned(),
    })
}

/// Where a ball rolled at a cushion comes to rest: how far along, from level with the ramp's foot, and how
/// far its near side is from the nose, m; `None` where it does not reach the cushion or never rests.
#[must_use]
pub fn rests_at(gear: &Gear, speed_m_s: f64, at_45: bool) -> Option<RailRoll> {
    rests(gear, speed_m_s, at_45).map(|at| at.roll)
}

struct Rests {
    roll: RailRoll,
    /// Way after the cushion, m.
    back_m: f64,
}

fn rests(gear: &Gear, speed_m_s: f64, at_45: bool) -> Option<Rests> {
    let body = BallBody::object(gear);
    // The nose along y, the table at positive x.
    let towards = if at_45 {
        Vec2::new(-1.0, 1.0) / std::f64::consts::SQRT_2
    } else {
        Vec2::new(-1.0, 0.0)
    };
    let from = Point::ORIGIN - towards * FOOT_M;
    let foot = Point::new(from.x, 0.0);
    let rail = Feature {
        kind: FeatureKind::Rail,
        shape: Shape::Line {
            start: Point::new(body.plan_radius_m, -10.0),
            along: Vec2::new(0.0, 1.0),
            normal: Vec2::new(1.0, 0.0),
            length_m: f64::INFINITY,
        },
        restitution: gear.cushion.restitution,
        friction: gear.cushion.friction,
    };
    let v = towards * speed_m_s;
    let start = BallState {
        q: v,
        ..BallState::sliding(foot, v)
    };
    let mut met = None;
    let end = trace(&[rail], &body, &gear.cloth, start, |step| {
        if let Step::Impact(_, state) = step {
            met = met.or(Some(state.at));
        }
    });
    let (Ok((End::Rest, state)), Some(met)) = (end, met) else {
        return None;
    };
    let out_m = (state.at.x - body.radius_m).max(0.0);
    let roll = if at_45 {
        RailRoll::At45 {
            along_m: state.at.y,
            out_m,
        }
    } else {
        RailRoll::Straight { back_m: out_m }
    };
    Some(Rests {
        roll,
        back_m: (state.at - met).hypot(),
    })
}

/// What rolls off a rail tell of the cushions.
///
/// # Errors
/// [`MeasureError`]: none, a ramp too slow or too fast, or places at which no cushion would bring a ball
/// to rest.
pub fn rail_fit(
    gear: &Gear,
    run: &RampRun,
    rolls: &[RailRoll],
    instruments: &Instruments,
) -> Result<Bounce, MeasureError> {
    let at_45 = |roll: &RailRoll| matches!(roll, RailRoll::At45 { .. });
    let (slanted, straight): (Vec<RailRoll>, Vec<RailRoll>) =
        rolls.iter().copied().partition(at_45);
    for (missing, what, needed) in [
        (straight.is_empty(), Field::RailAt45, Field::RailStraight),
        (slanted.is_empty(), Field::RailStraight, Field::RailAt45),
    ] {
        if missing {
            return Err(MeasureError::Needs {
                what,
                needed,
                why: "one tells mostly how the cushion bounces, the other how it rubs",
            });
        }
    }
    let held = Held {
        gear,
        rolls,
        speed_m_s: run.speed_m_s(gear, SPEED_M_S)?,
        tape_m: instruments.good_to(Instrument::Tape),
    };
    let first = held.posterior(&PRIOR);
    if !first.squares.is_finite() {
        return Err(impossible(gear, held.speed_m_s));
    }
    let close = held.posterior(&PRIOR.around(&first.bounce, CLOSE));
    #[expect(clippy::cast_precision_loss, reason = "a handful of readings")]
    let limit = ChiSquared::new((straight.len() + 2 * slanted.len()) as f64)
        .map_or(f64::INFINITY, |chi2| chi2.inverse_cdf(1.0 - NEVER));
    if close.squares <= limit {
        Ok(close.bounce)
    } else {
        Err(impossible(gear, held.speed_m_s))
    }
}

/// Rolls, and what they are held against.
struct Held<'a> {
    gear: &'a Gear,
    rolls: &'a [RailRoll],
    speed_m_s: f64,
    tape_m: f64,
}

/// What a grid gives.
struct Posterior {
    bounce: Bounce,
    /// Squares of the best node, in standard deviations.
    squares: f64,
}

impl Held<'_> {
    fn posterior(&self, grid: &Grid) -> Posterior {
        let nodes = grid.nodes();
        // For each node and each way the run may be off: the log likelihood.
        let logs: Vec<Vec<Told>> = nodes
            .par_iter()
            .map(|node| {
                let mut gear = self.gear.clone();
                set(&mut gear, Rubber::Cushions, *node);
                OFF.map(|(z, _)| {
                    // The run goes with the speed's square.
                    let speed = self.speed_m_s * (1.0 + RUN_OFF * z).sqrt();
                    let of = |at_45| rests(&gear, speed, at_45);
                    told(&[of(false), of(true)], self.rolls, self.tape_m)
                })
                .to_vec()
            })
            .collect();
        let better = |a: Told, b: &Told| if b.log > a.log { *b } else { a };
        let best = logs.iter().flatten().fold(Told::NEVER, better);
        let weight = |own: &Vec<Told>| {
            let each = own.iter().zip(OFF);
            each.map(|(told, (_, weight))| weight * (told.log - best.log).exp())
                .sum()
        };
        let weights: Vec<f64> = logs.iter().map(weight).collect();
        Posterior {
            bounce: Bounce::of(&nodes, &weights),
            squares: best.squares,
        }
    }
}

/// Where a roll rests on the cushions as they are in the gear, beside what nobody's cushions do.
fn impossible(gear: &Gear, speed_m_s: f64) -> MeasureError {
    let cm = |m: f64| format!("{:.0} cm", 100.0 * m);
    let usual = |at_45| rests_at(gear, speed_m_s, at_45);
    let remedy = match (usual(false), usual(true)) {
        (Some(RailRoll::Straight { back_m }), Some(RailRoll::At45 { along_m, out_m })) => format!(
            "measure again; on the usual cushions a straight roll comes back {}, one at 45° goes {} along and {} out",
            cm(back_m),
            cm(along_m),
            cm(out_m)
        ),
        _ => "measure again, with more speed from the ramp".to_owned(),
    };
    MeasureError::Impossible {
        what: Field::RailStraight.into(),
        value: format!("and {}", Field::RailAt45),
        problem: "no cushion brings balls to rest at these places together".to_owned(),
        remedy,
    }
}

/// How well places fit.
#[derive(Debug, Clone, Copy)]
struct Told {
    log: f64,
    squares: f64,
}

impl Told {
    const NEVER: Self = Self {
        log: f64::NEG_INFINITY,
        squares: f64::INFINITY,
    };
}

/// How well rolls fit where a ball would rest, straight and at 45°.
fn told(expected: &[Option<Rests>; 2], rolls: &[RailRoll], tape_m: f64) -> Told {
    let [Some(straight), Some(slanted)] = expected else {
        return Told::NEVER;
    };
    let mut out = Told {
        log: 0.0,
        squares: 0.0,
    };
    let mut add = |read: f64, expected: f64, sigma: f64| {
        let z = (read - expected) / sigma;
        out.squares += z * z;
        out.log -= 0.5 * z * z + sigma.ln();
    };
    for roll in rolls {
        match (roll, &straight.roll, &slanted.roll) {
            (RailRoll::Straight { back_m: read }, RailRoll::Straight { back_m }, _) => {
                add(*read, *back_m, tape_m.hypot(STRAYS * straight.back_m));
            }
            (
                RailRoll::At45 {
                    along_m: a,
                    out_m: o,
                },
                _,
                RailRoll::At45 { along_m, out_m },
            ) => {
                let strays = tape_m
                    .hypot(STRAYS * slanted.back_m)
                    .hypot(AIMED_RAD * slanted.back_m);
                add(*a, *along_m, strays);
                add(*o, *out_m, strays);
            }
            _ => {}
        }
    }
    out
}
