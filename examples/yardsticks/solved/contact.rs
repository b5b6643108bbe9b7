//! Two balls meet: how they rub and how far the object ball is thrown.

use thincut::Angle;
use thincut::contact::ThrowLaw;

use super::{Solver, largest, pool};

pub(crate) const ALL: &[Solver] = &[
    ("three-quarter-ball", || {
        Angle::from_ball_fraction(0.75).deg()
    }),
    ("half-ball", || Angle::from_ball_fraction(0.5).deg()),
    ("quarter-ball", || Angle::from_ball_fraction(0.25).deg()),
    ("throw-largest", || {
        most(SLOW_M_S, 0.0).1.to_radians().tan() * 12.0
    }),
    ("throw-largest-at", || most(SLOW_M_S, 0.0).0),
    ("throw-slow-roll", || {
        most(SLOW_M_S, 1.0).1 / most(SLOW_M_S, 0.0).1
    }),
    ("throw-cap", || {
        let mut law = law(SLOW_M_S, 0.0);
        law.contact.restitution = 1.0;
        let (sin, cos) = 5.0_f64.to_radians().sin_cos();
        law.throw(sin, cos).angle_rad.tan() * cos / sin
    }),
    ("half-ball-cut-with-throw", || {
        30.0 - throw_deg(&law(SLOW_M_S, 1.0), 30.0)
    }),
    ("friction-slow", || pool().contact.friction(0.45)),
    ("friction-fast", || pool().contact.friction(1.5)),
];

/// The middle of what the speed list of the same author calls slow (0.45 to 0.89 m/s).
const SLOW_M_S: f64 = 0.67;

fn law(speed_m_s: f64, roll: f64) -> ThrowLaw {
    ThrowLaw {
        contact: pool().contact,
        speed_m_s,
        roll,
        side_right: 0.0,
    }
}

fn throw_deg(law: &ThrowLaw, cut_deg: f64) -> f64 {
    let (sin, cos) = cut_deg.to_radians().sin_cos();
    law.throw(sin, cos).angle_rad.to_degrees()
}

/// At which cut most is thrown, and how much, degrees.
fn most(speed_m_s: f64, roll: f64) -> (f64, f64) {
    let law = law(speed_m_s, roll);
    largest(1.0, 89.0, |cut_deg| throw_deg(&law, cut_deg))
}
