//! The stroke in table lengths: how far it would send the cue ball up and down with nothing in the
//! way.
//!
//! The cue ball starts on the head spot towards the foot, sliding, without spin, and runs along the
//! long middle line from cushion to cushion until rest, traced. One length is the length between the
//! noses. Between stroke and contact the ball takes the roll it has there (see [`start_speed_m_s`]).

use kurbo::{Point, Vec2};
use thiserror::Error;

use super::aim::{AimWindow, NoWindow};
use super::shot::{Shot, ShotError};
use super::solution::solve;
use super::words::no_window_words;
use crate::field::Field;
use crate::gear::{Cloth, GRAVITY_M_S2, Gear};
use crate::motion::{
    BallBody, BallState, Leg, MotionFault, Step, pace_for_start_speed_m_s,
    start_speed_for_pace_m_s, trace,
};
use crate::pocket::FullBed;

/// Fastest stroke looked at, m/s (assumption: a hard break is near 10).
const MAX_STROKE_M_S: f64 = 15.0;
/// Accuracy of a speed found for a number of lengths, m/s.
const SPEED_M_S: f64 = 1e-6;
/// Accuracy of a pace found for a stroke, m/s: far below what anyone strokes.
const PACE_M_S: f64 = 1e-4;
/// Slowest pace looked at for a stroke, m/s.
const MIN_PACE_M_S: f64 = 0.02;

/// A stroke that cannot be had.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum StrokeError {
    /// No such number of lengths on this table.
    #[error(
        "{} {lengths}lengths: the hardest stroke on this table runs {most:.1} lengths; give more than 0 and at most that",
        Field::Stroke
    )]
    Lengths {
        /// As asked for.
        lengths: f64,
        /// The most there is.
        most: f64,
    },
    /// The stroke does not take the object ball to the pocket.
    #[error(
        "{} {lengths}lengths: too soft for this shot, which takes at least {least:.2} lengths",
        Field::Stroke
    )]
    TooSoft {
        /// As asked for.
        lengths: f64,
        /// What just drops the ball.
        least: f64,
    },
    /// The shot cannot be made at any pace.
    #[error("no stroke makes this shot: {}", no_window_words(*.0))]
    NoWindow(NoWindow),
    /// The path cannot be followed.
    #[error(transparent)]
    Motion(#[from] MotionFault),
    /// The shot cannot stand.
    #[error(transparent)]
    Shot(#[from] ShotError),
}

/// Words for the pace at the pocket.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PaceWord {
    /// The ball reaches the pocket with little to spare.
    DeadWeight,
    /// As most shots are played.
    Medium,
    /// The ball reaches the back of the pocket with a knock.
    Firm,
}

impl PaceWord {
    /// All words.
    pub const ALL: [Self; 3] = [Self::DeadWeight, Self::Medium, Self::Firm];

    /// As typed: `dead-weight`, `medium`, `firm`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::DeadWeight => "dead-weight",
            Self::Medium => "medium",
            Self::Firm => "firm",
        }
    }

    /// Speed at the mouth, m/s: 0.4, 1 and 2 (common practice; no source measures the words).
    #[must_use]
    pub fn pace_m_s(self) -> f64 {
        match self {
            Self::DeadWeight => 0.4,
            Self::Medium => 1.0,
            Self::Firm => 2.0,
        }
    }

    /// Reads one of the words; `None` for anything else.
    pub(crate) fn from_word(word: &str) -> Option<Self> {
        let word = word.trim();
        // As the first edition had it.
        let word = if word == "just-drops" {
            "dead-weight"
        } else {
            word
        };
        Self::ALL.into_iter().find(|w| w.name() == word)
    }
}

/// A stroke up and down the middle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Run {
    /// Way until rest.
    pub travelled_m: f64,
    /// Time until rest.
    pub duration_s: f64,
}

/// How far (m) a cue ball stroked at `speed_m_s` runs up and down from the head spot until rest.
///
/// # Errors
/// [`MotionFault`] where nothing brakes the ball.
pub(crate) fn run_m(gear: &Gear, speed_m_s: f64) -> Result<f64, MotionFault> {
    let bed = FullBed::new(gear, &BallBody::cue(gear));
    Ok(run_on(gear, &bed, speed_m_s)?.travelled_m)
}

/// The run of so many metres, whatever stroke it takes; to 1e-6 m/s of it.
///
/// # Errors
/// [`StrokeError::Lengths`] outside what a stroke can do, or a fault of the trace.
pub fn run_of_length(gear: &Gear, travelled_m: f64) -> Result<Run, StrokeError> {
    let bed = FullBed::new(gear, &BallBody::cue(gear));
    let most_m = run_on(gear, &bed, MAX_STROKE_M_S)?.travelled_m;
    if !(travelled_m > 0.0 && travelled_m <= most_m) {
        return Err(StrokeError::Lengths {
            lengths: travelled_m / gear.bed.length_m,
            most: most_m / gear.bed.length_m,
        });
    }
    let mut fault = None;
    let over_m = |speed: f64| match run_on(gear, &bed, speed) {
        Ok(run) => run.travelled_m - travelled_m,
        Err(e) => {
            fault = Some(e);
            0.0
        }
    };
    // A harder stroke never runs less, so there is one root.
    let (low, high) = (-travelled_m, most_m - travelled_m);
    let k1 = 0.2 / MAX_STROKE_M_S;
    let speed = kurbo::common::solve_itp(over_m, 0.0, MAX_STROKE_M_S, SPEED_M_S, 1, k1, low, high);
    match fault {
        Some(fault) => Err(fault.into()),
        None => Ok(run_on(gear, &bed, speed)?),
    }
}

fn run_on(gear: &Gear, bed: &FullBed, speed_m_s: f64) -> Result<Run, MotionFault> {
    let head_spot = Point::new(0.25 * gear.bed.length_m, 0.5 * gear.bed.width_m);
    let start = BallState::sliding(head_spot, Vec2::new(speed_m_s, 0.0));
    let mut run = Run {
        travelled_m: 0.0,
        duration_s: 0.0,
    };
    trace(bed.features(), &bed.body, &gear.cloth, start, |step| {
        if let Step::Leg(leg) = step {
            run.travelled_m += straight_travel_m(&leg);
            run.duration_s += leg.duration_s;
        }
    })?;
    Ok(run)
}

/// Way along a leg on the x axis, there and back when it turns.
fn straight_travel_m(leg: &Leg) -> f64 {
    let (v, a) = (leg.start.v.x, leg.acceleration.x);
    let x = |t: f64| leg.position(t).x;
    let turn_s = -v / a;
    if turn_s > 0.0 && turn_s < leg.duration_s {
        (x(turn_s) - x(0.0)).abs() + (x(leg.duration_s) - x(turn_s)).abs()
    } else {
        (x(leg.duration_s) - x(0.0)).abs()
    }
}

/// A stroke's speed said in lengths of the bed.
///
/// # Errors
/// As `run_m`.
pub fn lengths_for_speed(gear: &Gear, speed_m_s: f64) -> Result<f64, MotionFault> {
    Ok(run_m(gear, speed_m_s)? / gear.bed.length_m)
}

/// The speed of a stroke that would run so many lengths; to 1e-6 m/s.
///
/// # Errors
/// [`StrokeError::Lengths`] outside what a stroke can do, or a fault of the trace.
pub fn speed_for_lengths(gear: &Gear, lengths: f64) -> Result<f64, StrokeError> {
    let bed = FullBed::new(gear, &BallBody::cue(gear));
    let run = |speed| run_on(gear, &bed, speed).map(|r| r.travelled_m / gear.bed.length_m);
    let most = run(MAX_STROKE_M_S)?;
    if !(lengths > 0.0 && lengths <= most) {
        return Err(StrokeError::Lengths { lengths, most });
    }
    // A harder stroke never runs less, so halving the bracket finds it.
    let (mut lo, mut hi) = (0.0, MAX_STROKE_M_S);
    while hi - lo > SPEED_M_S {
        let middle = 0.5 * (lo + hi);
        if run(middle)? < lengths {
            lo = middle;
        } else {
            hi = middle;
        }
    }
    Ok(0.5 * (lo + hi))
}

/// Speed off the tip of a cue ball that meets the object ball at `contact_m_s` with a roll ratio
/// after `travel_m`.
///
/// With natural roll or more it started sliding without spin and rolls by then, where the way is
/// long enough: `v² = 49(c² + 2μ_r g t)/(25 + 24 μ_r/μ_s)`. With less roll (stun, draw) it still
/// slides at contact: `v² = c² + 2 μ_s g t`.
#[must_use]
pub fn start_speed_m_s(cloth: &Cloth, contact_m_s: f64, roll: f64, travel_m: f64) -> f64 {
    if roll < 1.0 {
        let brake = 2.0 * cloth.sliding_friction * GRAVITY_M_S2;
        return (contact_m_s * contact_m_s + brake * travel_m).sqrt();
    }
    start_speed_for_pace_m_s(cloth, contact_m_s, travel_m)
}

impl AimWindow {
    /// Speed of the cue ball off the tip, m/s: the stick's where it is known, else that of
    /// [`start_speed_m_s`].
    #[must_use]
    pub fn tip_speed_m_s(&self, cloth: &Cloth) -> f64 {
        self.stick.map_or_else(
            || start_speed_m_s(cloth, self.cue_speed_m_s, self.law.roll, self.aim.travel_m),
            |stick| stick.speed_m_s,
        )
    }
}

/// The other way round: speed at contact of a cue ball sent off at `start_m_s`; `None` when it
/// does not get there.
#[must_use]
pub fn contact_speed_m_s(cloth: &Cloth, start_m_s: f64, roll: f64, travel_m: f64) -> Option<f64> {
    let speed = if roll < 1.0 {
        let brake = 2.0 * cloth.sliding_friction * GRAVITY_M_S2;
        (start_m_s * start_m_s - brake * travel_m).max(0.0).sqrt()
    } else {
        pace_for_start_speed_m_s(cloth, start_m_s, travel_m)
    };
    (speed > 0.0).then_some(speed)
}

/// The stroke of a solved shot in lengths.
///
/// # Errors
/// As `run_m`.
pub fn stroke_lengths(
    gear: &Gear,
    contact_m_s: f64,
    roll: f64,
    travel_m: f64,
) -> Result<f64, MotionFault> {
    lengths_for_speed(
        gear,
        start_speed_m_s(&gear.cloth, contact_m_s, roll, travel_m),
    )
}

/// The pace at the pocket that a stroke of so many lengths gives in this shot; to 1e-4 m/s. The
/// pace in `shot.stroke` is not looked at.
///
/// # Errors
/// [`StrokeError`]: no such stroke, too soft for the shot, or a shot that cannot be made.
pub fn pace_for_stroke(gear: &Gear, shot: &Shot, lengths: f64) -> Result<f64, StrokeError> {
    pace_for_tip_speed(gear, shot, lengths, speed_for_lengths(gear, lengths)?)
}

/// As [`pace_for_stroke`], with the stroke in lengths and as its speed off the tip, m/s, so that many
/// shots share one [`speed_for_lengths`].
///
/// # Errors
/// As [`pace_for_stroke`].
pub fn pace_for_tip_speed(
    gear: &Gear,
    shot: &Shot,
    lengths: f64,
    speed_m_s: f64,
) -> Result<f64, StrokeError> {
    let needed = |pace_m_s: f64| -> Result<Result<f64, NoWindow>, StrokeError> {
        let mut paced = *shot;
        paced.stroke.pace_m_s = pace_m_s;
        Ok(solve(gear, &paced)?
            .window
            .map(|w| w.tip_speed_m_s(&gear.cloth)))
    };
    let (mut lo, mut hi) = (MIN_PACE_M_S, MAX_STROKE_M_S);
    while hi - lo > PACE_M_S {
        let middle = 0.5 * (lo + hi);
        match needed(middle)? {
            // Too slow to drop: the answer is faster.
            Err(NoWindow::NoDrop) => lo = middle,
            Err(no) => return Err(StrokeError::NoWindow(no)),
            Ok(v) if v < speed_m_s => lo = middle,
            Ok(_) => hi = middle,
        }
    }
    let pace_m_s = 0.5 * (lo + hi);
    match needed(hi)? {
        Ok(v) if v <= speed_m_s + 0.01 => Ok(pace_m_s),
        Ok(v) => Err(StrokeError::TooSoft {
            lengths,
            least: lengths_for_speed(gear, v)?,
        }),
        Err(no) => Err(StrokeError::NoWindow(no)),
    }
}
