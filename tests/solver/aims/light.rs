//! Shadow and reflection.

use std::f64::consts::FRAC_PI_2;

use kurbo::Vec2;
use proptest::prelude::*;

use super::*;
use thincut::units::Side;

// ---- shadow ----

fn lamp(gear: &Gear, height_m: f64, ahead_m: f64, left_m: f64) -> Lamp {
    Lamp::new(gear, height_m, ahead_m, left_m).unwrap()
}

#[test]
fn shadow_is_exact_under_the_lamp_and_displaced_away_from_it() {
    let eye = Eye::default();
    for cut in CUTS {
        let s = quiet(cut, 1.0);
        let under = Shadow {
            lamp: lamp(&s.gear, 0.85, 0.0, 0.0),
            eye,
        };
        assert!(s.judge(&under).bias_rad.abs() < WINDOW_RAD, "{cut}");
        // A lamp to the left pushes the shadow, and with it the aim, to the right.
        for (left, sign) in [(0.5, -1.0), (-0.5, 1.0)] {
            let beside = Shadow {
                lamp: lamp(&s.gear, 0.85, 0.0, left),
                eye,
            };
            let bias = s.judge(&beside).bias_rad;
            assert!(bias * sign > 0.0, "{cut} {left} {bias}");
        }
    }
}

/// The light's edges by plain tangents: from a lamp at height H, l beside the base, the lines
/// at β ± κ from the upright, tan β = l/(H − R), sin κ = R/√(l² + (H − R)²).
#[test]
fn shadow_shift_matches_the_tangents() {
    for radius in [0.02, 0.028575] {
        for height in [0.2, 0.5, 0.85, 2.0] {
            for beside in [0.0, 0.1, 0.5, 1.5] {
                let (up, beta) = (height - radius, f64::atan2(beside, height - radius));
                let kappa = f64::asin(radius / f64::hypot(beside, up));
                let near = height * (beta - kappa).tan() - beside;
                let far = height * (beta + kappa).tan() - beside;
                let middle = 0.5 * (near + far);
                let shift = shadow_shift(radius, height, beside);
                assert!((shift - middle).abs() < 1e-12 * (1.0 + far.abs()));
            }
        }
    }
}

#[test]
fn a_lamp_at_ball_height_or_behind_the_player_is_refused() {
    let s = quiet(30.0, 1.0);
    for height in [0.0, 0.028, s.gear.balls.object_diameter_m] {
        let text = Lamp::new(&s.gear, height, 0.5, 0.0)
            .unwrap_err()
            .to_string();
        assert!(
            text.contains("lamp-height") && text.contains("57.15 mm"),
            "{text}"
        );
    }
    assert!(Lamp::new(&s.gear, f64::NAN, 0.5, 0.0).is_err());
    // 1 m to the cue ball and 0.7 m to the eye: 2 m back is 0.3 m behind the eye.
    let behind = lamp(&s.gear, 0.85, -2.0, 0.0);
    let eye = Eye::default();
    for way in [
        Box::new(Shadow { lamp: behind, eye }) as Box<dyn Way>,
        Box::new(Reflection { lamp: behind, eye }),
    ] {
        let error = way.aim_rad(&s.scene()).unwrap_err();
        assert_eq!(error.name(), "lamp-behind-player");
        let text = error.to_string();
        assert!(
            text.contains("300 mm behind") && text.contains("lamp-ahead"),
            "{text}"
        );
    }
}

#[test]
fn a_lamp_on_the_plan_is_the_lamp_beside_the_ball() {
    let gear = no_throw();
    for cut_side in Side::BOTH {
        let shot = AbstractShot {
            cut_side,
            approach_rad: 0.2,
            ..at(35.0, 0.8)
        };
        let s = Solved::new(&gear, &shot, Stroke::default());
        let along = Vec2::from_angle(s.window.approach.base_rad);
        let left = Vec2::new(-along.y, along.x);
        let plan = s
            .shot
            .frame
            .to_plan(s.shot.object + along * 0.3 + left * 0.2);
        let on_table = Lamp::over(&gear, 0.85, plan, &s.shot).unwrap();
        let beside = lamp(&gear, 0.85, 0.3, 0.2);
        let eye = Eye::default();
        let a = s.judge(&Shadow {
            lamp: on_table,
            eye,
        });
        let b = s.judge(&Shadow { lamp: beside, eye });
        assert!((a.aim_rad - b.aim_rad).abs() < ROUNDING_RAD);
    }
}

// ---- reflection ----

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn unit(a: [f64; 3]) -> [f64; 3] {
    let n = dot(a, a).sqrt();
    a.map(|v| v / n)
}

fn less(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

const R: f64 = 0.028575;

#[test]
fn bright_spot_of_equal_distances_is_on_the_bisector() {
    for half_deg in [0.0f64, 10.0, 35.0, 60.0, 80.0] {
        let (sin, cos) = half_deg.to_radians().sin_cos();
        let (lamp, eye) = ([2.0 * cos, 0.0, 2.0 * sin], [2.0 * cos, 0.0, -2.0 * sin]);
        let spot = bright_spot(R, lamp, eye).unwrap();
        assert!(dot(spot.normal, [1.0, 0.0, 0.0]) > 1.0 - 1e-15);
        let expected = (2.0 * sin).atan2(2.0 * cos - R);
        assert!((spot.incidence_rad - expected).abs() < ROUNDING_RAD * 10.0);
    }
}

/// Far lamp and eye: the normal halves the angle between them; the rest shrinks with R/distance.
#[test]
fn bright_spot_of_far_lamp_and_eye_halves_the_angle() {
    for gamma_deg in [20.0f64, 90.0, 150.0] {
        let gamma = gamma_deg.to_radians();
        let mut last = f64::INFINITY;
        for far in [10.0, 1e3, 1e5] {
            let lamp = [3.0 * far * gamma.cos(), 3.0 * far * gamma.sin(), 0.0];
            let spot = bright_spot(R, lamp, [far, 0.0, 0.0]).unwrap();
            let off = (spot.from_eye_rad - 0.5 * gamma).abs();
            assert!(off <= R / far && off < last, "{gamma_deg} {far} {off}");
            last = off;
        }
    }
}

/// Lamp at infinity, eye at E: sin(γ − 2ψ) = (R/E) sin(γ − ψ), the limit of Alhazen's equation.
#[test]
fn bright_spot_of_a_lamp_at_infinity() {
    let (far, eye) = (1e9, 0.5);
    for gamma_deg in [30.0f64, 90.0, 140.0] {
        let gamma = gamma_deg.to_radians();
        let lamp = [far * gamma.cos(), far * gamma.sin(), 0.0];
        let psi = bright_spot(R, lamp, [eye, 0.0, 0.0]).unwrap().from_eye_rad;
        let left = (gamma - 2.0 * psi).sin();
        let right = R / eye * ((gamma - psi).sin() - eye / far * psi.sin());
        assert!((left - right).abs() < 1e-9, "{gamma_deg}: {left} {right}");
    }
}

#[test]
fn lamp_and_eye_on_one_line_reflect_straight_back() {
    let spot = bright_spot(R, [3.0, 0.0, 0.0], [1.0, 0.0, 0.0]).unwrap();
    assert!(spot.incidence_rad.abs() < ROUNDING_RAD);
    assert!((spot.normal[0] - 1.0).abs() < 1e-15);
    // right opposite: the spot would lie behind the edge
    assert!(bright_spot(R, [-3.0, 0.0, 0.0], [1.0, 0.0, 0.0]).is_none());
    assert!(bright_spot(R, [0.01, 0.0, 0.0], [1.0, 0.0, 0.0]).is_none());
}

proptest! {
    /// Law of reflection in space, and Alhazen's equation in the plane.
    #[test]
    fn bright_spot_obeys_the_law_of_reflection(
        lamp in [-2.0..2.0f64, -2.0..2.0, 0.1..2.0],
        eye in [-3.0..-0.3f64, -0.5..0.5, -0.02..1.0],
    ) {
        if let Some(spot) = bright_spot(R, lamp, eye) {
            let n = spot.normal;
            prop_assert!((dot(n, n) - 1.0).abs() < 1e-12);
            let at = n.map(|v| v * R);
            let (to_lamp, to_eye) = (unit(less(lamp, at)), unit(less(eye, at)));
            // to_lamp + to_eye = 2 (n·to_eye) n
            let twice = 2.0 * dot(n, to_eye);
            for k in 0..3 {
                prop_assert!((to_lamp[k] + to_eye[k] - twice * n[k]).abs() < 1e-11);
            }
            prop_assert!(spot.incidence_rad < FRAC_PI_2);
            let (l, e) = (dot(lamp, lamp).sqrt(), dot(eye, eye).sqrt());
            let gamma = (dot(lamp, eye) / (l * e)).clamp(-1.0, 1.0).acos();
            let psi = spot.from_eye_rad;
            let left = l * e * (gamma - 2.0 * psi).sin();
            let right = R * (l * (gamma - psi).sin() - e * psi.sin());
            // acos loses half the digits where lamp and eye lie on one line
            prop_assert!((left - right).abs() < 1e-6);
        }
    }

    /// Left and right cuts are mirror images for every way that has no lamp to one side.
    #[test]
    fn mirror_symmetry(cut in 1.0..75.0f64, apart in 0.2..2.0f64) {
        let gear = gear(&[]);
        let options = WayOptions::usual(&gear).unwrap();
        let solved = |cut_side| {
            let shot = AbstractShot { cut_side, ..at(cut, apart) };
            Solved::new(&gear, &shot, Stroke::default())
        };
        let [left, right] = Side::BOTH.map(solved);
        for way in ways(&[], &options).unwrap() {
            let (a, b) = (left.judge(&*way), right.judge(&*way));
            prop_assert!((a.aim_rad + b.aim_rad).abs() < 1e-8, "{}", way.name());
            prop_assert!((a.too_full_rad - b.too_full_rad).abs() < 1e-8, "{}", way.name());
            prop_assert_eq!(a.drops, b.drops);
        }
    }
}

/// Lamp straight ahead: the spot lies on the sight line, so the aim is a full ball whatever the cut.
#[test]
fn reflection_of_a_lamp_straight_ahead_is_a_full_ball() {
    for cut in CUTS {
        let s = quiet(cut, 1.0);
        let way = Reflection {
            lamp: lamp(&s.gear, 0.85, 0.5, 0.0),
            eye: Eye::default(),
        };
        assert!(way.aim_rad(&s.scene()).unwrap().abs() < ROUNDING_RAD);
    }
    let s = quiet(20.0, 1.0);
    let way = Reflection {
        lamp: lamp(&s.gear, 0.85, 0.2, 0.6),
        eye: Eye::default(),
    };
    let aim = way.aim_rad(&s.scene()).unwrap();
    assert!(aim > 0.0 && aim < (R / 0.97f64).atan(), "{aim}");
}
