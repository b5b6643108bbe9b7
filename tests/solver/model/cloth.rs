//! One ball on the cloth: sliding, rolling, arriving at its pace, bouncing.

use kurbo::{Point, Vec2};
use thincut::gear::GRAVITY_M_S2;
use thincut::motion::{
    BallBody, BallState, End, Feature, FeatureKind, Shape, Step, start_speed_for_pace_m_s, trace,
};
use thincut::pocket::{PocketKind, PocketShape};

use super::{EXACT, near, pool};

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
