//! What the model gives for each published number, solved anew; one file a subject, as the tables in
//! `tests/data/published`.

pub(crate) mod contact;
pub(crate) mod cushion;
pub(crate) mod paths;
pub(crate) mod pocket;
pub(crate) mod statistics;
pub(crate) mod stick;
pub(crate) mod table;
pub(crate) mod window;

use thincut::gear::Gear;
use thincut::motion::{BallBody, BallState, Step, trace};
use thincut::{Point, Vec2};

/// Metres in an inch and in a foot: exact by definition.
pub(crate) const INCH_M: f64 = 0.0254;
pub(crate) const FOOT_M: f64 = 0.3048;

/// A row's name and what solves it.
pub(crate) type Solver = (&'static str, fn() -> f64);

/// Every subject: the name of its table, and its rows in the table's order.
pub(crate) const SUBJECTS: [(&str, &[Solver]); 8] = [
    ("window", window::ALL),
    ("pocket", pocket::ALL),
    ("contact", contact::ALL),
    ("paths", paths::ALL),
    ("cushion", cushion::ALL),
    ("stick", stick::ALL),
    ("table", table::ALL),
    ("statistics", statistics::ALL),
];

/// The table everything is solved on unless the row says another.
pub(crate) fn pool() -> Gear {
    preset("pool-9ft")
}

pub(crate) fn preset(name: &str) -> Gear {
    Gear::preset(name).expect("a preset")
}

/// The same with some values changed.
pub(crate) fn with(gear: &Gear, changes: &[&str]) -> Gear {
    let changes: Vec<String> = changes.iter().map(|&change| change.to_owned()).collect();
    gear.with_overrides(&changes).expect("values that work")
}

/// Follows a ball on open cloth to rest: its velocity once it rolls, and how far it gets.
pub(crate) fn runs(gear: &Gear, body: &BallBody, start: BallState) -> (Vec2, f64) {
    let (mut rolling, mut way_m) = (start.v, 0.0);
    let (_, rest) = trace(&[], body, &gear.cloth, start, |step| {
        if let Step::Leg(leg) = step {
            rolling = leg.start.v;
        }
    })
    .expect("open cloth");
    way_m += (rest.at - start.at).hypot();
    (rolling, way_m)
}

/// A ball at the origin that slides, or rolls, along +x.
pub(crate) fn coming(speed_m_s: f64, roll: f64) -> BallState {
    let v = Vec2::new(speed_m_s, 0.0);
    BallState {
        q: v * roll,
        ..BallState::sliding(Point::ORIGIN, v)
    }
}

/// Where a falling function crosses zero between two ends.
pub(crate) fn crossing(mut low: f64, mut high: f64, f: impl Fn(f64) -> f64) -> f64 {
    let falls = f(low) > 0.0;
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if (f(middle) > 0.0) == falls {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

/// Where a function with one top is largest between two ends, and that largest value.
pub(crate) fn largest(mut low: f64, mut high: f64, f: impl Fn(f64) -> f64) -> (f64, f64) {
    for _ in 0..100 {
        let third = (high - low) / 3.0;
        let (a, b) = (low + third, high - third);
        if f(a) < f(b) {
            low = a;
        } else {
            high = b;
        }
    }
    let at = 0.5 * (low + high);
    (at, f(at))
}
