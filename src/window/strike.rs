//! A shot from the stick on: the tip strikes somewhere on the cue ball, and what arrives follows.

use kurbo::Point;

use super::aim::AimWindow;
use super::shot::{Shot, ShotError};
use super::solution::{Solution, solve};
use crate::gear::Gear;
use crate::stroke::{CannotArrive, FootMark, Stick, Wanted, feet, stick_for};

/// Where the tip strikes and how the stick is held; the speed follows from the shot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tip {
    /// Right of the middle, seen along the stick, m.
    pub across_m: f64,
    /// Above the middle, m.
    pub height_m: f64,
    /// Elevation of the stick, rad.
    pub elevation_rad: f64,
    /// Pivot length from the ball's middle, m.
    pub pivot_m: f64,
}

/// A shot solved from the stick on.
#[derive(Debug, Clone, PartialEq)]
pub struct Strike {
    /// The stick.
    pub stick: Stick,
    /// The shot with the roll and side that arrive.
    pub shot: Shot,
    /// Its window, of a cue ball that runs straight to the contact with what arrives.
    pub solution: Solution,
}

/// Rounds that bring the stick's speed and what arrives into agreement; each shrinks the difference
/// tenfold or more.
const ROUNDS: u32 = 30;
/// Agreement of roll and side, and of the speed as a share.
const AGREED: f64 = 1e-9;
/// Steps to the speed of a stick.
const SPEED_STEPS: u32 = 60;
/// Fastest ball off the tip looked at, m/s.
const FASTEST_M_S: f64 = 15.0;

/// Solves a shot for a tip that strikes at a place. What arrives (roll and side) follows from the
/// way, and the stick's speed from the pace of the shot; both depend on each other and are brought
/// into agreement. `None` in place of the strike when the cue ball cannot get there so.
///
/// # Errors
/// [`ShotError`] as [`solve`].
pub fn strike(gear: &Gear, shot: &Shot, tip: &Tip) -> Result<Option<Strike>, ShotError> {
    let mut shot = *shot;
    let mut last = None;
    for _ in 0..ROUNDS {
        let solution = solve(gear, &shot)?;
        let Ok(window) = &solution.window else {
            return Ok(None);
        };
        let needed = window.cue_speed_m_s;
        let Some((stick, mark)) = arriving(gear, tip, needed, window.aim.travel_m) else {
            return Ok(None);
        };
        let arrival = mark.arrival;
        let side = window.cut_side.sign() * arrival.side_right;
        let (roll_off, side_off) = (arrival.roll - shot.stroke.roll, side - shot.stroke.side);
        shot.stroke.roll = arrival.roll;
        shot.stroke.side = side;
        let done = roll_off.abs() < AGREED && side_off.abs() < AGREED;
        last = Some(Strike {
            stick,
            shot,
            solution,
        });
        if done {
            break;
        }
    }
    Ok(last)
}

/// The stick that strikes there so that the ball is so fast after `travel_m`, and the ball then.
fn arriving(gear: &Gear, tip: &Tip, speed_m_s: f64, travel_m: f64) -> Option<(Stick, FootMark)> {
    let with = |start_m_s: f64| Stick {
        speed_m_s: start_m_s,
        across_m: tip.across_m,
        height_m: tip.height_m,
        elevation_rad: tip.elevation_rad,
        pivot_m: tip.pivot_m,
    };
    let mark = |start_m_s: f64| at(gear, &with(start_m_s), travel_m);
    // A harder stroke arrives faster: halve.
    let (mut lo, mut hi) = (0.0, FASTEST_M_S);
    for _ in 0..SPEED_STEPS {
        let middle = 0.5 * (lo + hi);
        match mark(middle) {
            Some(m) if m.arrival.speed_m_s >= speed_m_s => hi = middle,
            _ => lo = middle,
        }
        if hi - lo < AGREED * hi {
            break;
        }
    }
    let found = mark(hi)?;
    ((found.arrival.speed_m_s / speed_m_s - 1.0).abs() < 1e-6).then(|| (with(hi), found))
}

/// The ball after so much way along the stick's line.
#[must_use]
pub fn at(gear: &Gear, stick: &Stick, travel_m: f64) -> Option<FootMark> {
    feet(gear, stick, (Point::ORIGIN, 0.0), &[travel_m]).pop()
}

/// The stick that brings what a solved window's law asks for, at an elevation (rad) and pivot (m).
///
/// # Errors
/// [`CannotArrive`]: what it would take.
pub fn stick_of(gear: &Gear, window: &AimWindow, held: (f64, f64)) -> Result<Stick, CannotArrive> {
    let wanted = Wanted {
        speed_m_s: window.law.speed_m_s,
        roll: window.law.roll,
        side_right: window.law.side_right,
    };
    stick_for(gear, &wanted, window.aim.travel_m, held)
}
