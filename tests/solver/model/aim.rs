//! The aim window: the check table, straight shots, the factors, the speeds.

use kurbo::{Point, Vec2};
use thincut::directions::{Directions, Span};
use thincut::gear::Gear;
use thincut::motion::start_speed_for_pace_m_s;
use thincut::pocket::{Acceptance, Component, How, PocketKind};
use thincut::units::Side;
use thincut::window::{AbstractShot, AimWindow, Flags, Shot, Stroke, solve, solve_with, why};

use super::{EXACT, FOUR_DECIMALS, INCH_M, near, pool};

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
        cut_side: Side::Left,
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

/// Exact: v_o = m_c(1+e_b)/(m_c+m_o)·v cos φ/cos T (impulse of two spheres along the line of centres and
/// across it), at the contact as it is hit.
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
            cut_side: Side::Left,
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
        let passed_on = m_c * (1.0 + gear.contact.restitution) / (m_c + m_o) * w.aim.cos_cut
            / w.throw_rad.cos();
        near(
            w.cue_speed_m_s * passed_on,
            w.object_speed_m_s,
            EXACT,
            "cue ball",
        );
        assert_eq!(w.flags.has(Flags::TOO_FAST), w.cue_speed_m_s > 7.0);
    }
}
