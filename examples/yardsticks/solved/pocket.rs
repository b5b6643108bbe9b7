//! What a pocket takes.

use thincut::gear::Gear;
use thincut::motion::BallBody;
use thincut::pocket::{Acceptance, PocketKind, PocketShape, accept};
use thincut::{Point, Vec2};

use super::{INCH_M, Solver, pool};

pub(crate) const ALL: &[Solver] = &[
    ("side-over-corner-square-in", || {
        let gear = pool();
        untouched_in(&gear, PocketKind::Side, 0.0) / untouched_in(&gear, PocketKind::Corner, 0.0)
    }),
    ("slow-corner-over-side-45-off", || {
        let size = |kind| {
            let taken = taken(&pool(), kind, 45.0, 0.8, 0.2);
            taken.effective_size_m(&taken.drop)
        };
        size(PocketKind::Corner) / size(PocketKind::Side)
    }),
    ("fast-over-slow-corner", || {
        fast_over_slow(PocketKind::Corner, 30.0)
    }),
    ("fast-over-slow-side", || {
        fast_over_slow(PocketKind::Side, 40.0)
    }),
];

fn taken(
    gear: &Gear,
    kind: PocketKind,
    approach_deg: f64,
    far_m: f64,
    pace_m_s: f64,
) -> Acceptance {
    let body = BallBody::object(gear);
    let shape = PocketShape::new(gear, kind, &body);
    let object = Point::ORIGIN - Vec2::from_angle(approach_deg.to_radians()) * far_m;
    accept(&shape, &gear.cloth, &body, object, pace_m_s)
        .expect("it can lie so")
        .expect("something drops")
}

fn untouched_in(gear: &Gear, kind: PocketKind, approach_deg: f64) -> f64 {
    let taken = taken(gear, kind, approach_deg, 0.8, 1.0);
    taken.effective_size_m(&taken.clean.expect("clean")) / INCH_M
}

/// What goes in untouched or off the jaws at 3 m/s over what does at 0.6.
fn fast_over_slow(kind: PocketKind, approach_deg: f64) -> f64 {
    let size = |pace_m_s| {
        let taken = taken(&pool(), kind, approach_deg, 0.8, pace_m_s);
        taken.effective_size_m(&taken.direct.expect("direct"))
    };
    size(3.0) / size(0.6)
}

/// Width of the directions that go in untouched or off the jaws of a corner, degrees, 22.5° off
/// straight in: an average angle.
pub(crate) fn direct_deg(mouth_in: f64, far_m: f64) -> f64 {
    let mut gear = pool();
    gear.corner.mouth_m = mouth_in * INCH_M;
    let taken = taken(&gear, PocketKind::Corner, 22.5, far_m, 1.0);
    taken.direct.expect("direct").width_rad().to_degrees()
}
