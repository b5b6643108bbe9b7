//! From a place of the tip to the stick that does it, and back.

use super::aim::AimWindow;
use super::shot::Tip;
use crate::gear::Gear;
use crate::stroke::{
    Arrival, CannotArrive, FootMark, Hold, Stick, Wanted, arrives, stick_for, tip_speed_m_s,
};

/// Agreement of the speed as a share.
const AGREED: f64 = 1e-9;
/// Steps to the speed of a stick.
const SPEED_STEPS: u32 = 60;
/// Fastest ball off the tip looked at, m/s.
const FASTEST_M_S: f64 = 15.0;

/// The stick that strikes there so that the ball is so fast after `travel_m`, and the ball then.
/// `None` when no stroke brings it there so fast.
#[must_use]
pub(super) fn stick_at(
    gear: &Gear,
    tip: &Tip,
    speed_m_s: f64,
    travel_m: f64,
) -> Option<(Stick, Arrival)> {
    let mark = |start_m_s: f64| arrives(gear, &tip.stick(start_m_s), travel_m);
    let agrees = |arrival: &Arrival| (arrival.speed_m_s / speed_m_s - 1.0).abs() < 1e-6;
    if let Some(start_m_s) = tip_speed_m_s(gear, &tip.stick(1.0), speed_m_s, travel_m) {
        let arrival = mark(start_m_s)?.arrival;
        let found = start_m_s <= FASTEST_M_S && agrees(&arrival);
        return found.then(|| (tip.stick(start_m_s), arrival));
    }
    let off =
        |start_m_s: f64| mark(start_m_s).map_or(-speed_m_s, |m| m.arrival.speed_m_s - speed_m_s);
    // A harder stroke arrives faster, and no ball that slides loses more than the slide takes.
    let (mut lo, mut hi) = ((0.0, -speed_m_s), (FASTEST_M_S, off(FASTEST_M_S)));
    if hi.1 < 0.0 {
        return None;
    }
    let mut found = hi.0;
    for step in 0..SPEED_STEPS {
        // Regula falsi, every third step a halving, so that it cannot creep.
        let middle = if step % 3 == 2 {
            0.5 * (lo.0 + hi.0)
        } else {
            hi.0 - hi.1 * (hi.0 - lo.0) / (hi.1 - lo.1)
        };
        let miss = off(middle);
        found = middle;
        if miss.abs() <= AGREED * speed_m_s || hi.0 - lo.0 < AGREED * hi.0 {
            break;
        }
        if miss > 0.0 {
            hi = (middle, miss);
        } else {
            lo = (middle, miss);
        }
    }
    let arrival = mark(found)?.arrival;
    agrees(&arrival).then(|| (tip.stick(found), arrival))
}

/// The ball after so much way along the stick's line.
#[must_use]
pub fn at(gear: &Gear, stick: &Stick, travel_m: f64) -> Option<FootMark> {
    arrives(gear, stick, travel_m)
}

/// The stick that brings what a solved window's law asks for, held so.
///
/// # Errors
/// [`CannotArrive`]: what it would take.
pub fn stick_of(gear: &Gear, window: &AimWindow, hold: Hold) -> Result<Stick, CannotArrive> {
    let wanted = Wanted {
        speed_m_s: window.law.speed_m_s,
        roll: window.law.roll,
        side_right: window.law.side_right,
    };
    stick_for(gear, &wanted, window.aim.travel_m, hold)
}
