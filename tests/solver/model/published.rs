//! Numbers that others print, held against the model.

use kurbo::{Point, Vec2};
use thincut::contact::{Pair, aftermath};
use thincut::gear::Gear;
use thincut::motion::{BallBody, BallState};
use thincut::pocket::{PocketKind, PocketShape, accept};
use thincut::stroke::Stick;

use super::{EXACT, INCH_M, near, pool};

const FT_M: f64 = 0.3048;

/// Width of the directions that go in clean or off the jaws, degrees, 22.5° off straight in: an average
/// angle.
fn direct_deg(mouth_in: f64, far_m: f64) -> f64 {
    let mut gear = pool();
    gear.corner.mouth_m = mouth_in * INCH_M;
    let body = BallBody::object(&gear);
    let shape = PocketShape::new(&gear, PocketKind::Corner, &body);
    let object = Point::ORIGIN - Vec2::from_angle(22.5_f64.to_radians()) * far_m;
    let found = accept(&shape, &gear.cloth, &body, object, 1.0)
        .unwrap()
        .unwrap();
    found.direct.unwrap().width_rad().to_degrees()
}

/// From about 3 ft into a "large" pocket it takes about 19 fixed aims to have every cut (Alciatore,
/// TP A.13 and the FAQ on lines of aim, Colorado State University).
#[test]
fn nineteen_aims_have_every_cut() {
    near(90.0 / direct_deg(5.0, 3.0 * FT_M), 18.9, 0.1, "5 in");
    near(90.0 / direct_deg(5.125, 3.0 * FT_M), 18.1, 0.1, "5 1/8 in");
}

/// With aims at 15, 30 and 45° only every cut of 7.5 to 52.5° goes from less than a foot; less than half
/// of them from more than 2 ft (same source): 15° at a foot, 7.5° at two.
#[test]
fn three_lines_have_every_cut_from_a_foot() {
    for mouth_in in [5.0, 5.125] {
        let (near_deg, far_deg) = (direct_deg(mouth_in, FT_M), direct_deg(mouth_in, 2.0 * FT_M));
        assert!((14.4..15.2).contains(&near_deg), "{near_deg}");
        assert!((7.1..7.5).contains(&far_deg), "{far_deg}");
    }
}

/// Squirt does not depend on speed (R. Shepard, "Everything you always wanted to know about cue ball
/// squirt", 2001), and shrinks as the pivot moves away, that is with the end mass.
#[test]
fn squirt_knows_no_speed() {
    let radius_m = pool().cue_radius_m();
    let leaves = |speed_m_s: f64, pivot_m: f64| {
        let stick = Stick {
            across_m: 0.3 * radius_m,
            pivot_m,
            ..Stick::centre(speed_m_s)
        };
        let v = stick.leaves(radius_m, Point::ORIGIN, 0.0).v;
        v.y.atan2(v.x)
    };
    near(leaves(0.5, 0.3), leaves(6.0, 0.3), EXACT, "squirt");
    assert!(leaves(2.0, 0.5) < leaves(2.0, 0.25));
}

fn after(gear: &Gear, cut_deg: f64) -> (f64, f64) {
    let pair = Pair {
        first_mass_kg: gear.balls.cue_mass_kg,
        second_mass_kg: gear.balls.object_mass_kg,
        first_radius_m: gear.cue_radius_m(),
    };
    let state = BallState::sliding(Point::ORIGIN, Vec2::new(1.0, 0.0));
    let centres = Vec2::from_angle(cut_deg.to_radians());
    let met = aftermath(&gear.contact, &pair, &state, centres);
    (met.first.v.hypot(), met.second_velocity.hypot())
}

/// A stun shot at a 45° contact sends both balls equally fast without friction and loss; with a
/// restitution of 0.95 the object ball has 0.69 of the cue ball's speed (Alciatore, tutorials on speed,
/// Colorado State University).
#[test]
fn stun_at_a_half_right_angle_shares_the_speed() {
    let mut gear = pool();
    gear.contact.friction_scale = 0.0;
    let (_, object) = after(&gear, 45.0);
    near(object, 0.69, 0.005, "with loss");
    gear.contact.restitution = 1.0;
    let (cue, object) = after(&gear, 45.0);
    near(cue, object, EXACT, "both");
    near(object, 0.5_f64.sqrt(), EXACT, "both");
}

/// Two equal spheres without loss and friction: the one that comes keeps v sin φ, the one met takes
/// v cos φ, at a right angle to each other (exact).
#[test]
fn two_spheres() {
    let mut gear = pool();
    gear.contact.friction_scale = 0.0;
    gear.contact.restitution = 1.0;
    for cut_deg in [0.0, 10.0, 37.0, 80.0_f64] {
        let (cue, object) = after(&gear, cut_deg);
        let (sin, cos) = cut_deg.to_radians().sin_cos();
        near(cue, sin, 1e-12, "cue ball");
        near(object, cos, 1e-12, "object ball");
    }
}
