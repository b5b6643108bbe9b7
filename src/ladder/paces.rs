//! A pace of its own for each shot, where all are played with one stroke.
//!
//! Each such pace costs an acceptance, so a search first guesses: from the opening and the angle
//! alone, then from acceptances at paces a quarter apart, which all shots on a lie share.

use std::collections::BTreeMap;

use kurbo::Point;

use super::lie::{Accepted, Lie, Room, Rough, Tried};
use crate::layout::OVER_BALL;
use crate::player::{AimError, chance};
use crate::window::contact_speed_m_s;

/// How far off a chance may be that is guessed from the opening and the angle alone, by the window at
/// the nearest known pace, and between the windows at two (assumptions).
const GUESS_OFF: [f64; 3] = [0.15, 0.05, 0.01];
/// The pace that a stroke gives is found to this, m/s: far below what a chance shows.
const PACE_M_S: f64 = 1e-5;
/// Times the pace is refined; it settles within three, since the cut hardly changes with it.
const PACE_TRIES: u32 = 6;

impl Room<'_> {
    /// Whether every shot has a pace of its own.
    pub(super) fn has_own_paces(&self) -> bool {
        self.start_m_s.is_some()
    }

    /// The pace a stroke leaves at the pocket at this throw-free cut, as if throw took no speed.
    fn rough_pace_m_s(&self, lie: &Lie, rough: &Rough) -> Option<f64> {
        let share = self.gear.passed_on() * rough.cut_rad.cos();
        self.own_pace_m_s(lie, share, rough.travel_m)
    }

    /// The pace a stroke leaves at the pocket: what the cue ball keeps until contact, the share of it
    /// that it hands on, and what the object ball keeps on its way.
    fn own_pace_m_s(&self, lie: &Lie, share: f64, travel_m: f64) -> Option<f64> {
        let cloth = &self.gear.cloth;
        let contact = contact_speed_m_s(cloth, self.start_m_s?, self.stroke.roll, travel_m)?;
        let object = share * contact;
        // the object ball starts sliding and begins to roll, as a cue ball does
        contact_speed_m_s(cloth, object, 1.0, lie.usual.acceptance.distance_m)
    }

    /// Lowest and highest chance guessed from the opening and the angle alone: a direction of the
    /// cue ball moves the object ball's by the travel over two radii times the cosine of the cut.
    /// Lower by a raised cue, and down to 0 by balls in the way, which are not looked at.
    fn rough_chances(&self, accepted: &Accepted, rough: &Rough) -> (f64, f64) {
        let travel_m = rough.travel_m;
        let opening = accepted.acceptance.pieces.measure_rad();
        let half = 0.5 * opening * self.gear.contact_distance_m() * rough.cut_rad.cos() / travel_m;
        let speed = self.start_m_s.unwrap_or(accepted.acceptance.pace_m_s);
        let of = |player: &AimError, arm_times: f64| {
            let sigma = player.with_arm_times(arm_times).sigma_rad(travel_m, speed);
            chance(&[(-half, half)], sigma, player.bias_rad)
        };
        let raised = if self.reach.is_some() { OVER_BALL } else { 1.0 };
        let [left, right] = &self.aims;
        let low = of(left, raised).min(of(right, raised));
        let low = if self.obstacles.is_empty() { low } else { 0.0 };
        (low, of(left, 1.0).max(of(right, 1.0)))
    }

    /// What the pocket accepts at the pace that the stroke gives a shot, and the shot at it.
    pub(super) fn settled(&self, lie: &Lie, cue: Point) -> Option<(Accepted, Tried)> {
        let mut pace = self.rough_pace_m_s(lie, &self.geometry(lie, cue)?)?;
        let mut last = None;
        for _ in 0..PACE_TRIES {
            let accepted = self.accepted(lie.at, lie.pocket, &lie.frame, pace)?;
            let tried = self.tried_with(lie, &accepted, cue)?;
            let window = &tried.window;
            let share = window.object_speed_m_s / window.cue_speed_m_s;
            let next = self.own_pace_m_s(lie, share, window.aim.travel_m)?;
            last = Some((accepted, tried));
            if (next - pace).abs() < PACE_M_S {
                break;
            }
            pace = next;
        }
        last
    }
}

/// What the pocket accepts at paces a quarter apart, for guesses between them.
#[derive(Default)]
pub(super) struct Paces {
    known: BTreeMap<i32, Option<Accepted>>,
}

impl Paces {
    /// Ratio of neighbouring paces (assumption: between them a chance is nearly a straight line).
    const RATIO: f64 = 1.25;

    /// The rungs that a shot may serve, by guesses that cost more the nearer they come.
    pub(super) fn wanted(
        &mut self,
        room: &Room<'_>,
        lie: &Lie,
        rough: &Rough,
        wanted: &dyn Fn(f64, f64) -> Vec<usize>,
    ) -> Vec<usize> {
        let none = Vec::new;
        let Some(pace) = room.rough_pace_m_s(lie, rough) else {
            return none();
        };
        let step = pace.ln() / Self::RATIO.ln();
        let Some(accepted) = self.at(room, lie, step.round()) else {
            return none();
        };
        let (low, high) = room.rough_chances(accepted, rough);
        if wanted(low - GUESS_OFF[0], high + GUESS_OFF[0]).is_empty() {
            return none();
        }
        let Some(nearest) = room.tried_with(lie, accepted, rough.cue).map(|t| t.chance) else {
            return none();
        };
        if wanted(nearest - GUESS_OFF[1], nearest + GUESS_OFF[1]).is_empty() {
            return none();
        }
        let next = step.round() + (step - step.round()).signum();
        let other = self.at(room, lie, next);
        let other = other.and_then(|a| room.tried_with(lie, a, rough.cue));
        let guess = other.map_or(nearest, |t| {
            nearest + (t.chance - nearest) * (step - step.round()).abs()
        });
        wanted(guess - GUESS_OFF[2], guess + GUESS_OFF[2])
    }

    fn at(&mut self, room: &Room<'_>, lie: &Lie, step: f64) -> Option<&Accepted> {
        #[expect(clippy::cast_possible_truncation, reason = "a small whole number")]
        let number = step as i32;
        let accepted = || room.accepted(lie.at, lie.pocket, &lie.frame, Self::RATIO.powf(step));
        self.known.entry(number).or_insert_with(accepted).as_ref()
    }
}
