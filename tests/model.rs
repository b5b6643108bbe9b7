//! Published and exact values of the model, each with its source beside it.
//!
//! TP = technical proof by D. G. Alciatore, Colorado State University. "Exact" values follow from
//! the formula beside them and were worked out apart from this crate.

use kurbo::{Point, Vec2};
use parry2d_f64::math::{Pose, Vector};
use parry2d_f64::query::{ShapeCastOptions, cast_shapes};
use parry2d_f64::shape::Ball;
use thincut::contact::ThrowLaw;
use thincut::directions::{Directions, Span};
use thincut::gear::{GRAVITY_M_S2, Gear};
use thincut::motion::{
    BallBody, BallState, End, Feature, FeatureKind, Shape, Step, start_speed_for_pace_m_s, trace,
};
use thincut::pocket::{Acceptance, Component, How, PocketKind, PocketShape, accept};
use thincut::units::parse_cut;
use thincut::window::{AbstractShot, AimWindow, Flags, Shot, Stroke, solve, solve_with, why};

const INCH_M: f64 = 0.0254;

/// Half a unit in the last of three printed decimals, and rounding, degrees.
const THREE_DECIMALS: f64 = 5.1e-4;
/// The same for four.
const FOUR_DECIMALS: f64 = 5.1e-5;
/// Closed forms in doubles over a handful of operations.
const EXACT: f64 = 1e-12;

fn pool() -> Gear {
    Gear::preset("pool-9ft").unwrap()
}

#[track_caller]
fn near(got: f64, want: f64, tolerance: f64, what: &str) {
    assert!((got - want).abs() <= tolerance, "{what}: {got}, not {want}");
}

// ---- one ball on the cloth -------------------------------------------------------------------

/// A line to cross, that ends a trace there.
fn finish_line(at_m: f64) -> Feature {
    Feature {
        kind: FeatureKind::Ball,
        shape: Shape::Line {
            start: Point::new(at_m, -10.0),
            along: Vec2::new(0.0, 1.0),
            normal: Vec2::new(-1.0, 0.0),
            length_m: f64::INFINITY,
        },
        restitution: 0.0,
        friction: 0.0,
    }
}

/// Exact: a ball sent off sliding rolls at 5v/7 after 12v²/(49 μ g) (conservation of angular
/// momentum about the contact with the cloth; any text on mechanics).
#[test]
fn a_sliding_ball_rolls_at_five_sevenths() {
    let gear = pool();
    let body = BallBody::object(&gear);
    for v in [0.3, 1.0, 4.0] {
        let slide_m = 12.0 * v * v / (49.0 * gear.cloth.sliding_friction * GRAVITY_M_S2);
        let mut legs = Vec::new();
        let start = BallState::sliding(Point::ORIGIN, Vec2::new(v, 0.0));
        let (end, last) = trace(&[], &body, &gear.cloth, start, |step| {
            if let Step::Leg(leg) = step {
                legs.push(leg);
            }
        })
        .unwrap();
        assert_eq!(end, End::Rest);
        let rolling = &legs[1].start;
        near(rolling.at.x, slide_m, EXACT * 10.0, "slide");
        near(rolling.v.x, 5.0 * v / 7.0, EXACT, "speed");
        near((rolling.v - rolling.q).hypot(), 0.0, EXACT, "slip");
        let roll_m = rolling.v.hypot2() / (2.0 * gear.cloth.rolling_friction * GRAVITY_M_S2);
        near(last.at.x, slide_m + roll_m, 1e-11, "rest");
    }
}

/// Exact: the starting speed is that at which the ball passes the mouth at the pace asked for.
#[test]
fn the_pace_is_the_speed_at_the_mouth() {
    let gear = pool();
    let body = BallBody::object(&gear);
    for (pace, far_m) in [(0.05, 0.3), (0.6, 0.8), (1.0, 2.0), (3.0, 0.2), (6.0, 1.0)] {
        let v = start_speed_for_pace_m_s(&gear.cloth, pace, far_m);
        let start = BallState::sliding(Point::ORIGIN, Vec2::new(v, 0.0));
        let line = [finish_line(far_m)];
        let (end, last) = trace(&line, &body, &gear.cloth, start, |_| {}).unwrap();
        assert_eq!(end, End::Ball(0));
        // a root divided by the smallest pace costs some digits
        near(last.v.x, pace, 1e-10, "pace");
    }
}

/// Exact: without friction and loss (e = 1, μ = 0, a cloth that does not grip) the angle out is
/// the angle in.
#[test]
fn mirror_law() {
    let mut gear = pool();
    gear.cloth.sliding_friction = 0.0;
    (gear.cushion.restitution, gear.cushion.friction) = (1.0, 0.0);
    let body = BallBody::object(&gear);
    let shape = PocketShape::new(&gear, PocketKind::Side, &body);
    let object = Point::new(-0.7, 4.0);
    for incidence_deg in [-70.0_f64, -20.0, 0.0, 35.0, 60.0] {
        let (s, c) = incidence_deg.to_radians().sin_cos();
        let start = BallState::sliding(object, Vec2::new(c, s));
        let mut out = None;
        let rail = [shape.features[PocketShape::RAIL_LEFT]];
        trace(&rail, &body, &gear.cloth, start, |step| {
            if let (Step::Impact(_, state), None) = (step, out) {
                out = Some(state);
            }
        })
        .unwrap();
        let state = out.expect("the ball meets the rail");
        let into = start.v.y / start.v.x;
        near(state.v.y / -state.v.x, into, EXACT * 10.0, "angle out");
    }
}

// ---- acceptance ------------------------------------------------------------------------------

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
    near(edge(1.0) - edge(-1.0), 2.25 * INCH_M, EXACT, "square in");
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

// ---- contact and throw -----------------------------------------------------------------------

fn law(speed_m_s: f64, roll: f64, side_right: f64) -> ThrowLaw {
    let mut contact = pool().contact;
    contact.restitution = 1.0;
    ThrowLaw {
        contact,
        speed_m_s,
        roll,
        side_right,
    }
}

fn throw_deg(law: &ThrowLaw, cut_deg: f64) -> f64 {
    let (s, c) = cut_deg.to_radians().sin_cos();
    law.throw(s, c).angle_rad.to_degrees()
}

/// Largest throw of any cut, degrees: how much, at which cut.
fn most_throw(law: &ThrowLaw) -> (f64, f64) {
    (0..90_000)
        .map(|k| f64::from(k) * 1e-3)
        .map(|cut| (throw_deg(law, cut), cut))
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .unwrap()
}

/// Exact values of the published law (TP A.14) with its published constants, e_b = 1, stun, at
/// 1, 3 and 7 mph.
#[test]
fn throw_of_a_stun_shot() {
    let table: [(f64, &[(f64, f64)]); 3] = [
        (
            0.4470,
            &[
                (10.0, 1.443),
                (20.0, 2.976),
                (30.0, 4.715),
                (45.0, 4.945),
                (60.0, 4.621),
            ],
        ),
        (1.3411, &[(30.0, 3.549), (45.0, 2.773), (60.0, 2.318)]),
        (3.1293, &[(30.0, 1.697), (60.0, 0.894)]),
    ];
    for (speed, rows) in table {
        for &(cut, want) in rows {
            near(
                throw_deg(&law(speed, 0.0, 0.0), cut),
                want,
                THREE_DECIMALS,
                "throw",
            );
            near(
                throw_deg(&law(speed, 0.0, 0.0), -cut),
                -want,
                THREE_DECIMALS,
                "right cut",
            );
        }
    }
    // the cuts of the largest throw are given to 0.1°
    for (speed, want, at) in [(0.4470, 5.303, 33.0), (1.3411, 3.876, 25.4)] {
        let (most, cut) = most_throw(&law(speed, 0.0, 0.0));
        near(most, want, THREE_DECIMALS, "largest throw");
        near(cut, at, 0.051, "its cut");
    }
}

/// Exact values of the same law for natural roll at a half-ball hit.
#[test]
fn throw_of_a_rolling_ball() {
    for (speed, want) in [(0.4470, 2.186), (1.3411, 1.004), (3.1293, 0.388)] {
        near(
            throw_deg(&law(speed, 1.0, 0.0), 30.0),
            want,
            THREE_DECIMALS,
            "roll",
        );
        // only the amount of roll counts
        near(
            throw_deg(&law(speed, -1.0, 0.0), 30.0),
            want,
            THREE_DECIMALS,
            "draw",
        );
    }
}

/// Exact: with outside english side = sin φ the surfaces gear, and nothing is thrown.
#[test]
fn gearing_english_throws_nothing() {
    for cut in [5.0_f64, 20.0, 45.0, 70.0] {
        for roll in [0.0, 0.5, 1.0] {
            let gearing = law(1.0, roll, cut.to_radians().sin());
            near(throw_deg(&gearing, cut), 0.0, EXACT, "gearing");
        }
    }
}

/// Published: the cap of the law is a seventh (TP A.14), tan T = tan φ/7 for thick stun shots.
#[test]
fn thick_hits_are_thrown_a_seventh() {
    let law = law(0.4470, 0.0, 0.0);
    for cut in [1.0_f64, 5.0, 15.0] {
        let (s, c) = cut.to_radians().sin_cos();
        let throw = law.throw(s, c);
        assert!(throw.gripping);
        near(throw.angle_rad.tan(), s / c / 7.0, EXACT, "cap");
    }
}

/// Published, coarse: most throw is about an inch per foot, 4.76°, for slow stun near half ball and
/// beyond; a slow rolling ball about half of that (Alciatore, Colorado State, throw tutorial).
#[test]
fn most_throw_is_about_an_inch_a_foot() {
    let (stun, cut) = most_throw(&law(0.4470, 0.0, 0.0));
    assert!(
        (4.0..=5.6).contains(&stun) && (25.0..=45.0).contains(&cut),
        "{stun} at {cut}"
    );
    let half = throw_deg(&law(0.4470, 1.0, 0.0), 30.0) / throw_deg(&law(0.4470, 0.0, 0.0), 30.0);
    assert!((0.35..=0.65).contains(&half), "{half}");
}

/// Trade facts (common practice; exact by sin φ = 1 − fraction): a ¾-ball hit cuts 14.478°, a half
/// ball 30°, a quarter ball 48.590°.
#[test]
fn fractions_of_a_ball() {
    for (words, deg) in [
        ("3/4-ball", 14.478),
        ("half-ball", 30.0),
        ("quarter-ball", 48.590),
    ] {
        near(parse_cut(words).unwrap().deg(), deg, THREE_DECIMALS, words);
    }
}

// ---- the aim window --------------------------------------------------------------------------

/// A symmetric opening, given instead of solved.
fn opening(object: Point, half_rad: f64) -> Acceptance {
    let part = Component {
        from_rad: -half_rad,
        to_rad: half_rad,
    };
    Acceptance {
        object,
        distance_m: -object.x,
        approach_rad: 0.0,
        pace_m_s: 1.0,
        object_speed_m_s: 1.0,
        pieces: Directions::from_spans(vec![Span {
            from_rad: -half_rad,
            to_rad: half_rad,
            tag: How::Clean,
        }]),
        clean: Some(part),
        direct: Some(part),
        drop: part,
    }
}

/// A left cut through an opening ± `half_rad`, the cue ball travelling `travel_m`; friction scaled.
fn through(scale: f64, cut_deg: f64, (travel_m, far_m): (f64, f64), half_rad: f64) -> AimWindow {
    let mut gear = pool();
    gear.contact.friction_scale = scale;
    let object = Point::new(-far_m, 0.0);
    let ghost = object - Vec2::new(gear.contact_distance_m(), 0.0);
    let cue = ghost - Vec2::from_angle(-cut_deg.to_radians()) * travel_m;
    solve_with(&gear, &opening(object, half_rad), cue, &Stroke::default()).unwrap()
}

/// Exact: D = 2.25 in, opening ± atan(1.125/ℓ), the cue ball's travel ℓ, no throw; fuller and
/// thinner room in degrees (ℓ in inches).
#[test]
fn check_table_of_windows() {
    let table = [
        (12.5, 0.0, 0.9237, 0.9237),
        (12.5, 30.0, 0.8275, 0.7731),
        (12.5, 60.0, 0.5050, 0.4202),
        (12.5, 75.0, 0.2837, 0.1961),
        (25.0, 30.0, 0.2038, 0.1977),
        (25.0, 60.0, 0.1208, 0.1110),
        (25.0, 75.0, 0.0653, 0.0547),
        (50.0, 0.0, 0.0580, 0.0580),
        (50.0, 45.0, 0.0415, 0.0405),
        (50.0, 75.0, 0.0157, 0.0144),
    ];
    for (l_in, cut, thick, thin) in table {
        let l_m = l_in * INCH_M;
        let w = through(0.0, cut, (l_m, l_m), (1.125_f64 / l_in).atan());
        let clean = w.clean.unwrap();
        let what = format!("{l_in} in, {cut}°");
        near(clean.thick_rad.to_degrees(), thick, FOUR_DECIMALS, &what);
        near(clean.thin_rad.to_degrees(), thin, FOUR_DECIMALS, &what);
        near(w.aim.travel_m, l_m, EXACT, "travel");
        near(w.cut_rad.to_degrees(), cut, 1e-10, "cut");
        assert!(!w.flags.has(Flags::TRUNCATED));
    }
}

fn straight_shot(apart_m: f64, to_pocket_m: f64) -> AimWindow {
    let gear = pool();
    let shot = AbstractShot {
        kind: PocketKind::Corner,
        cut_rad: 0.0,
        cut_left: true,
        apart_m,
        to_pocket_m,
        approach_rad: 0.0,
    };
    let shot = Shot::from_angles(&gear, &shot, Stroke::default()).unwrap();
    solve(&gear, &shot).unwrap().window.unwrap()
}

/// Published: a straight shot's difficulty goes as the product of the distances, so it is hardest
/// with the object ball half way (TP 3.4 and the margin-for-error FAQ; in diamonds B. Jewett,
/// "How Tough is Tough?", Billiards Digest, April 1994). The cue ball's distance is its travel.
#[test]
fn straight_shots_go_as_the_product() {
    // throw turns a little with the speed the distance needs; the product law has none
    const PRODUCT: f64 = 0.04;
    let product = |apart_m: f64, to_pocket_m: f64| {
        let w = straight_shot(apart_m, to_pocket_m);
        w.clean.unwrap().total_rad() * w.aim.travel_m * to_pocket_m
    };
    let base = product(0.9, 0.9);
    for (apart, to_pocket) in [(0.5, 1.5), (1.5, 0.5), (1.5, 1.5), (0.6, 0.6)] {
        near(product(apart, to_pocket) / base, 1.0, PRODUCT, "product");
    }
    let ball_m = pool().contact_distance_m();
    let total = |travel_m: f64| {
        straight_shot(travel_m + ball_m, 2.0 - travel_m)
            .clean
            .unwrap()
            .total_rad()
    };
    let places: Vec<f64> = (2..=18).map(|k| 0.1 * f64::from(k)).collect();
    let hardest = places
        .iter()
        .copied()
        .min_by(|a, b| total(*a).total_cmp(&total(*b)))
        .unwrap();
    near(hardest, 1.0, 0.1 + EXACT, "hardest place");
}

/// Exact: the factors multiply to the first-order window, and the exact one approaches it with the
/// square of the opening.
#[test]
fn factors_make_the_window() {
    for scale in [0.0, 1.0] {
        for cut in [0.0, 20.0, 45.0, 70.0] {
            let off_by = |half_rad: f64| {
                let w = through(scale, cut, (0.8, 1.0), half_rad);
                let why = why(&w).unwrap();
                let product = why.pocket_opening_rad
                    * why.distance_factor
                    * why.cut_factor
                    * why.throw_factor;
                near(why.first_order_rad() / product, 1.0, EXACT, "product");
                near(why.pocket_opening_rad, 2.0 * half_rad, EXACT, "opening");
                near(
                    why.distance_factor,
                    w.approach.contact_m / w.aim.travel_m,
                    EXACT,
                    "distance",
                );
                near(why.cut_factor, w.aim.cut_rad().cos(), EXACT, "cut");
                (w.clean.unwrap().total_rad() / product - 1.0).abs()
            };
            let (wide, narrow) = (off_by(1e-2), off_by(1e-4));
            // 1e-4 squared is 1e-8; curvature a few tens times that, and edges good to 1e-12 rad
            assert!(
                narrow < 1e-6 && narrow <= wide + 1e-7,
                "{cut}: {wide} {narrow}"
            );
        }
    }
}

/// Exact: v_o = m_c(1+e_b)/(m_c+m_o)·v cos φ (normal impulse of two spheres), at the throw-free cut.
#[test]
fn speeds_of_the_two_balls() {
    for (name, cut_deg) in [
        ("pool-9ft", 0.0),
        ("pool-9ft", 50.0),
        ("smallball-7ft", 35.0_f64),
    ] {
        let gear = Gear::preset(name).unwrap();
        let shot = AbstractShot {
            kind: PocketKind::Corner,
            cut_rad: cut_deg.to_radians(),
            cut_left: true,
            apart_m: 0.7,
            to_pocket_m: 0.9,
            approach_rad: 0.0,
        };
        let shot = Shot::from_angles(&gear, &shot, Stroke::default()).unwrap();
        let w = solve(&gear, &shot).unwrap().window.unwrap();
        near(
            w.object_speed_m_s,
            start_speed_for_pace_m_s(&gear.cloth, 1.0, 0.9),
            EXACT,
            "object ball",
        );
        let (m_c, m_o) = (gear.balls.cue_mass_kg, gear.balls.object_mass_kg);
        let passed_on = m_c * (1.0 + gear.contact.restitution) / (m_c + m_o) * w.cut_rad.cos();
        near(
            w.cue_speed_m_s * passed_on,
            w.object_speed_m_s,
            EXACT,
            "cue ball",
        );
        assert_eq!(w.flags.has(Flags::TOO_FAST), w.cue_speed_m_s > 7.0);
    }
}
