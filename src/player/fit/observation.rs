//! Tries as they come in: a window of directions, how the ball gets there, and what happened.
//!
//! Angles are counter-clockwise positive inside. On a left cut the object ball lies to the
//! left of the aim line, so a miss to the left (δ > 0) is too full; on a right cut too thin.

use serde::Serialize;

use crate::player::chance::aim_error::AimError;
use crate::player::fault::PlayerError;
use crate::units::Side;

/// Misses by side; together they are `tries − made`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
pub struct Misses {
    /// Too full (undercut).
    pub full: u64,
    /// Too thin (overcut).
    pub thin: u64,
    /// Short, scratched, or not seen.
    pub other: u64,
}

/// Tries at one shot.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Observation {
    /// Cue-ball directions that make the shot, relative to the aim, counter-clockwise
    /// positive, sorted and disjoint (touching allowed), radians.
    pub intervals_rad: Vec<(f64, f64)>,
    /// The cue ball's travel to the ghost ball.
    pub cue_travel_m: f64,
    /// The cue ball's speed.
    pub cue_speed_m_s: f64,
    /// Which way it cuts.
    pub cut: Side,
    /// Whether somebody said which way it cuts. Where nobody did, `cut` is a guess: misses were too full or
    /// too thin, and whether they went left or right is not known.
    pub cut_told: bool,
    /// Tries.
    pub tries: u64,
    /// Makes.
    pub made: u64,
    /// The misses by side, if sides were noted.
    pub sides: Option<Misses>,
}

impl Observation {
    /// Checks one observation; `row` (from 1) is for the message.
    ///
    /// # Errors
    /// [`PlayerError::BadObservation`] naming what is wrong.
    pub fn check(&self, row: usize) -> Result<(), PlayerError> {
        let fault = |problem: String| Err(PlayerError::BadObservation { row, problem });
        let in_order = self
            .intervals_rad
            .iter()
            .all(|(lo, hi)| lo.is_finite() && hi.is_finite() && lo < hi)
            && self
                .intervals_rad
                .windows(2)
                .all(|pair| pair[0].1 <= pair[1].0);
        if self.intervals_rad.is_empty() {
            return fault("no direction makes it: leave out shots without a window".to_owned());
        }
        if !in_order {
            return fault("the window's intervals must be finite, sorted and apart".to_owned());
        }
        if !(self.cue_travel_m.is_finite() && self.cue_travel_m > 0.0) {
            return fault(format!(
                "a cue-ball travel of {} m: it must be more than 0",
                self.cue_travel_m
            ));
        }
        if !(self.cue_speed_m_s.is_finite() && self.cue_speed_m_s >= 0.0) {
            return fault(format!(
                "a cue-ball speed of {} m/s: it must be 0 or more",
                self.cue_speed_m_s
            ));
        }
        if self.made > self.tries {
            return fault(format!(
                "{} made of {} tries: at most as many as tries",
                self.made, self.tries
            ));
        }
        match self.sides {
            Some(sides) if sides.full + sides.thin + sides.other != self.tries - self.made => {
                fault(format!(
                    "{} full, {} thin and {} other misses, but {} tries less {} made is {}",
                    sides.full,
                    sides.thin,
                    sides.other,
                    self.tries,
                    self.made,
                    self.tries - self.made
                ))
            }
            _ => Ok(()),
        }
    }

    /// Misses of which it was noted on which side they were.
    #[must_use]
    pub fn sided_misses(&self) -> u64 {
        self.sides.map_or(0, |s| s.full + s.thin)
    }

    /// Chance of a make for a given player.
    #[must_use]
    pub fn chance(&self, player: &AimError) -> f64 {
        player.caught(&self.intervals_rad, self.cue_travel_m, self.cue_speed_m_s)
    }
}

/// What the sides of misses can tell of a steady error.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Recorded {
    /// No sides were noted.
    Nothing,
    /// Too full or too thin, but not whether that was left or right.
    FullThin,
    /// Sides were noted on left cuts and on right cuts, so left and right are known too.
    LeftRight,
}

impl Recorded {
    /// In these tries.
    #[must_use]
    pub fn of(observations: &[Observation]) -> Self {
        let on = |cut: Option<Side>| {
            observations
                .iter()
                .filter(|o| cut.is_none_or(|c| o.cut_told && o.cut == c))
                .any(|o| o.sided_misses() > 0)
        };
        if !on(None) {
            Self::Nothing
        } else if on(Some(Side::Left)) && on(Some(Side::Right)) {
            Self::LeftRight
        } else {
            Self::FullThin
        }
    }
}
