//! A piece of a path without an event in it.

use kurbo::{Point, Vec2};

use super::phase::BallState;

/// Motion between two events: `at + v t + ½ a t²` for `duration_s`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leg {
    /// State at the start.
    pub start: BallState,
    /// Constant acceleration, m/s².
    pub acceleration: Vec2,
    /// Duration.
    pub duration_s: f64,
}

impl Leg {
    /// Where the ball is `t_s` after the start of the leg.
    #[must_use]
    pub fn position(&self, t_s: f64) -> Point {
        self.start.at + self.start.v * t_s + self.acceleration * (0.5 * t_s * t_s)
    }
}
