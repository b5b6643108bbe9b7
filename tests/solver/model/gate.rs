//! What a pocket accepts: the gate between the jaw points, the throat, and published tendencies.

use kurbo::{Point, Vec2};
use parry2d_f64::math::{Pose, Vector};
use parry2d_f64::query::{ShapeCastOptions, cast_shapes};
use parry2d_f64::shape::Ball;
use thincut::gear::Gear;
use thincut::motion::{BallBody, BallState, End, Feature, Shape, trace};
use thincut::pocket::{Acceptance, PocketKind, PocketShape, accept};

use super::{EXACT, INCH_M, near, pool};

/// Facings that lean away behind the jaw points by more than any angle tried, and a hole past
/// where a ball last touches one: only the jaw points limit the clean part. (No gear file may say
/// this; the geometry can.)
fn gate() -> Gear {
    let mut gear = pool();
    gear.side.mouth_m = 4.5 * INCH_M;
    gear.side.facing_angle_rad = (90.0 - GATE_DEG - 2.0).to_radians();
    gear.side.shelf_m = gear.object_radius_m() * GATE_DEG.to_radians().sin();
    // so wide that its edge is straight across the mouth
    gear.side.cutout_radius_m = 50.0;
    gear
}

/// Largest angle tried with [`gate`]; beyond 44° the ball would start behind a facing's line.
const GATE_DEG: f64 = 40.0;

fn accepted(
    gear: &Gear,
    kind: PocketKind,
    (far_m, approach_deg): (f64, f64),
    pace: f64,
) -> Acceptance {
    let body = BallBody::object(gear);
    let shape = PocketShape::new(gear, kind, &body);
    let object = Point::ORIGIN - Vec2::from_angle(approach_deg.to_radians()) * far_m;
    accept(&shape, &gear.cloth, &body, object, pace)
        .expect("a ball can lie there")
        .expect("it drops")
}

/// Far enough for parallel rays: the two edges differ from them by mouth²/far, below 1e-5 m.
const FAR_M: f64 = 2000.0;
/// Edges good to 1e-9 rad at that distance, and the rest of the rays' convergence.
const GATE_M: f64 = 1e-5;

/// Exact: W(ψ) = mouth·cos ψ − 2ρ for the part limited by the jaw points alone.
#[test]
fn gate_formula() {
    let gear = gate();
    let rho_m = gear.object_contact_radius_m();
    for psi in [-40.0_f64, -20.0, 0.0, 10.0, 30.0, 40.0] {
        let a = accepted(&gear, PocketKind::Side, (FAR_M, psi), 1.0);
        let want_m = gear.side.mouth_m * psi.to_radians().cos() - 2.0 * rho_m;
        let got_m = a.effective_size_m(&a.clean.unwrap());
        near(got_m, want_m, GATE_M, "gate");
    }
}

/// Exact: with ρ → R, 4.5 in and a 2.25 in ball leave 2.25 in at 0° and close at exactly 60°.
/// Traced between two bare points.
#[test]
fn gate_of_two_balls() {
    let gear = pool();
    let (radius_m, half_m) = (gear.object_radius_m(), 0.5 * 4.5 * INCH_M);
    let points = [half_m, -half_m].map(|y| Feature::ball(Point::new(0.0, y), radius_m));
    let meets = |psi_deg: f64, p_m: f64| {
        let along = Vec2::from_angle(psi_deg.to_radians());
        let from = Point::ORIGIN - along * 0.8 + Vec2::new(-along.y, along.x) * p_m;
        let start = BallState::sliding(from, along * 2.0);
        let body = BallBody::object(&gear);
        let (end, _) = trace(&points, &body, &gear.cloth, start, |_| {}).unwrap();
        end != End::Rest
    };
    let edge = |way: f64| first_blocked(0.0, way * half_m, |p| meets(0.0, p));
    near(edge(1.0) - edge(-1.0), 2.25 * INCH_M, EXACT, "straight in");
    // a millionth of a degree either way is a nanometre of width: far above rounding
    assert!(!meets(60.0 - 1e-6, 0.0) && meets(60.0 + 1e-6, 0.0));
}

/// Whether a ball sent from `from` meets either jaw point, by parry's shape cast.
fn meets_a_point(gear: &Gear, from: Point, direction: Vec2) -> bool {
    let ball = Ball::new(gear.object_contact_radius_m());
    // parry's balls need a radius; this one is far below every tolerance here
    let point = Ball::new(1e-13);
    let half_m = 0.5 * gear.side.mouth_m;
    [half_m, -half_m].into_iter().any(|y| {
        cast_shapes(
            &Pose::translation(from.x, from.y),
            Vector::new(direction.x, direction.y),
            &ball,
            &Pose::translation(0.0, y),
            Vector::new(0.0, 0.0),
            &point,
            ShapeCastOptions::with_max_time_of_impact(1e6),
        )
        .unwrap()
        .is_some()
    })
}

/// Between `free` and `blocked`, where the ball begins to meet a point.
fn first_blocked(mut free: f64, mut blocked: f64, meets: impl Fn(f64) -> bool) -> f64 {
    assert!(!meets(free) && meets(blocked));
    for _ in 0..60 {
        let middle = 0.5 * (free + blocked);
        if meets(middle) {
            blocked = middle;
        } else {
            free = middle;
        }
    }
    0.5 * (free + blocked)
}

/// parry2d as an independent geometry library: the width W(ψ) for parallel rays, and the very
/// edges of the clean part from a ball 0.8 m away.
#[test]
fn gate_against_parry() {
    // parry's ball cast solves a quadratic in f64; a grazing root keeps half the digits
    const PARRY: f64 = 1e-7;
    let gear = gate();
    let rho_m = gear.object_contact_radius_m();
    for psi in [-40.0_f64, 0.0, 15.0, 35.0] {
        let along = Vec2::from_angle(psi.to_radians());
        let across = Vec2::new(-along.y, along.x);
        let shifted =
            |p_m: f64| meets_a_point(&gear, Point::ORIGIN - along * 0.8 + across * p_m, along);
        let width_m = first_blocked(0.0, 0.2 * gear.side.mouth_m + rho_m, shifted)
            - first_blocked(0.0, -0.2 * gear.side.mouth_m - rho_m, shifted);
        let want_m = gear.side.mouth_m * psi.to_radians().cos() - 2.0 * rho_m;
        near(width_m, want_m, PARRY, "parallel rays");

        let a = accepted(&gear, PocketKind::Side, (0.8, psi), 1.0);
        let clean = a.clean.unwrap();
        let sent =
            |theta: f64| meets_a_point(&gear, a.object, Vec2::from_angle(a.approach_rad + theta));
        let middle = clean.middle_rad();
        let edge = |way: f64| first_blocked(middle, middle + way * 0.08, sent);
        near(clean.from_rad, edge(-1.0), PARRY, "right edge");
        near(clean.to_rad, edge(1.0), PARRY, "left edge");
    }
}

/// Exact: between the facings at depth s the throat is mouth − 2 s tan β, β = 142° − 135° and
/// 104° − 90° by default (published facing angles: WPA Tournament Table & Equipment
/// Specifications, 2001).
#[test]
fn throat() {
    let gear = pool();
    let body = BallBody::object(&gear);
    for (kind, beta_deg) in [(PocketKind::Corner, 7.0_f64), (PocketKind::Side, 14.0)] {
        let shape = PocketShape::new(&gear, kind, &body);
        near(
            shape.closing_rad.to_degrees(),
            beta_deg,
            EXACT * 100.0,
            "closing",
        );
        let at = |index: usize, depth_m: f64| match shape.features[index].shape {
            Shape::Line {
                start,
                along,
                normal,
                ..
            } => {
                // the feature is the ball centre's line; the facing itself is ρ behind it
                let face = start - normal * body.plan_radius_m;
                face.y + along.y * (depth_m - face.x) / along.x
            }
            _ => panic!("a facing is a line"),
        };
        for s in [0.0, 0.01, 0.04] {
            let got = at(PocketShape::FACING_LEFT, s) - at(PocketShape::FACING_RIGHT, s);
            let want = kind.spec(&gear).mouth_m - 2.0 * s * beta_deg.to_radians().tan();
            near(got, want, EXACT, "throat");
        }
    }
}

/// Published, qualitative: at slow pace and some angles the corner's effective size exceeds the
/// side's, which is the larger one square in (Alciatore, TP 3.5–3.8 and "Just how big are the
/// pockets, anyway?", Billiards Digest, 2004–2005).
#[test]
fn slow_corner_beats_side_at_some_angles() {
    let gear = pool();
    let size = |kind, approach| {
        let a = accepted(&gear, kind, (0.8, approach), 0.2);
        a.effective_size_m(&a.drop)
    };
    assert!(size(PocketKind::Corner, 0.0) < size(PocketKind::Side, 0.0));
    assert!(size(PocketKind::Corner, 45.0) > size(PocketKind::Side, 45.0));
}

/// Published, qualitative: a faster ball is accepted less (same sources). Past about 3 m/s there is
/// little left to lose.
#[test]
fn faster_is_accepted_less() {
    let gear = pool();
    for (kind, approach) in [
        (PocketKind::Corner, 0.0),
        (PocketKind::Corner, 30.0),
        (PocketKind::Side, 0.0),
        (PocketKind::Side, 40.0),
    ] {
        let size = |pace| {
            let a = accepted(&gear, kind, (0.8, approach), pace);
            a.effective_size_m(&a.direct.unwrap())
        };
        let sizes = [0.6, 1.5, 3.0].map(size);
        assert!(
            sizes.is_sorted_by(|slow, fast| slow > fast),
            "{kind} at {approach}: {sizes:?}"
        );
    }
}
