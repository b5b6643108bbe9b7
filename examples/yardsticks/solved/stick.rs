//! From the stick to the ball.

use thincut::Point;
use thincut::stroke::Stick;

use super::{Solver, pool};

pub(crate) const ALL: &[Solver] = &[
    ("squirt-largest-short-pivot", || squirt_deg(0.2, 2.0)),
    ("squirt-largest-usual-pivot", || squirt_deg(0.3, 2.0)),
    ("squirt-fast-over-slow", || {
        squirt_deg(0.3, 6.0) / squirt_deg(0.3, 0.5)
    }),
    ("squirt-end-mass", || {
        squirt_deg(0.5, 2.0) / squirt_deg(0.25, 2.0)
    }),
];

/// Struck half a radius right, where the tip still holds: the largest there is, degrees.
fn squirt_deg(pivot_m: f64, speed_m_s: f64) -> f64 {
    let radius_m = pool().cue_radius_m();
    let stick = Stick {
        across_m: 0.5 * radius_m,
        elevation_rad: 0.0,
        pivot_m,
        ..Stick::centre(speed_m_s)
    };
    let v = stick.leaves(radius_m, Point::ORIGIN, 0.0).v;
    v.atan2().to_degrees().abs()
}
