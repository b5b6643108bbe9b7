//! The formulas behind the readings, each against something that does not use it.

use kurbo::{Point, Vec2};
use thincut::contact::ThrowLaw;
use thincut::gear::{Gear, LoadedGear};
use thincut::measure::strokes::{
    RunReading, friction_scale, restitution_of_run, rolling_friction, rolling_time_s, run_time_s,
};
use thincut::measure::{Instruments, MeasuredTable, Quantity};
use thincut::motion::{BallBody, BallState, End, Step, trace};
use thincut::pocket::PocketKind;

use super::read;

/// Standard gravity, m/s², as published.
const G: f64 = 9.80665;

#[test]
fn rolling_friction_of_a_ball_stepped_to_rest() {
    // Integrated in small steps from Newton's law alone: dv/dt = −μ g, dx/dt = v.
    for (friction, start) in [(0.005, 0.6), (0.01, 0.8), (0.015, 1.5), (0.03, 0.4)] {
        let (mut v, mut way, mut t) = (start, 0.0, 0.0);
        const DT: f64 = 1e-5;
        while v > friction * G * DT {
            let next = v - friction * G * DT;
            way += 0.5 * (v + next) * DT;
            v = next;
            t += DT;
        }
        // the last, shorter step
        let rest = v / (friction * G);
        way += 0.5 * v * rest;
        t += rest;
        let found = rolling_friction(way, t);
        assert!((found / friction - 1.0).abs() < 1e-9, "{found} {friction}");
        assert!((rolling_time_s(way, friction) - t).abs() < 1e-8);
    }
}

#[test]
fn rolling_friction_of_a_traced_ball() {
    let gear = Gear::preset("pool-9ft").unwrap();
    let v = Vec2::new(0.7, 0.3);
    let start = BallState {
        q: v,
        ..BallState::sliding(Point::new(0.5, 0.5), v)
    };
    let mut time = 0.0;
    let (end, rest) = trace(&[], &BallBody::cue(&gear), &gear.cloth, start, |step| {
        if let Step::Leg(leg) = step {
            time += leg.duration_s;
        }
    })
    .unwrap();
    assert_eq!(end, End::Rest);
    let found = rolling_friction(rest.at.distance(start.at), time);
    assert!(
        (found - gear.cloth.rolling_friction).abs() < 1e-12,
        "{found}"
    );
}

#[test]
fn the_remembered_deceleration_of_snooker_cloth_is_a_friction_in_the_range_of_pool_cloth() {
    // Mathavan, Jackson & Parkin, Am. J. Phys. 77 (2009), 788 (from memory): a snooker ball filmed
    // from above slows by about 0.125 m/s² while it rolls, so from half a metre a second it goes one
    // metre in four seconds. Alciatore's range of μ_r, Colorado State University: 0.005 to 0.015.
    let found = rolling_friction(1.0, 4.0);
    assert!((found - 0.012_746).abs() < 5e-7, "{found}");
    assert!((0.005..=0.015).contains(&found), "{found}");
}

/// Seconds to rest of runs from the head spot: lengths, restitution, time. Derived with a separate
/// script (Python, phases of constant acceleration on a line, the impact law of the model written
/// out in vectors), printed to a millisecond.
const RUNS: [(f64, f64, f64); 8] = [
    (1.5, 0.85, 7.703),
    (2.0, 0.75, 6.932),
    (2.0, 0.95, 8.111),
    (3.0, 0.75, 7.551),
    (3.0, 0.85, 8.325),
    (4.0, 0.85, 8.803),
    (4.0, 0.95, 9.633),
    (5.0, 0.95, 10.086),
];

#[test]
fn runs_take_the_time_another_script_gives_and_tell_the_restitution() {
    let gear = Gear::preset("pool-9ft").unwrap();
    for (lengths, restitution, time) in RUNS {
        let way_m = lengths * gear.bed.length_m;
        let found = run_time_s(&gear, restitution, way_m).unwrap();
        assert!((found - time).abs() < 6e-4, "{lengths}: {found} {time}");
        let back = restitution_of_run(&gear, way_m, found).unwrap();
        let RunReading::Restitution(e) = back else {
            panic!("{lengths} {restitution}: {back:?}");
        };
        assert!((e - restitution).abs() < 1e-4, "{e} {restitution}");
    }
    for time in [2.0, 30.0] {
        let back = restitution_of_run(&gear, 10.16, time).unwrap();
        assert!(matches!(back, RunReading::Impossible { .. }), "{back:?}");
    }
}

#[test]
fn friction_of_the_balls_is_the_one_that_threw() {
    let mut gear = Gear::preset("pool-9ft").unwrap();
    for (scale, cut_deg, speed_m_s) in
        [(0.6_f64, 30.0_f64, 2.0), (1.0, 45.0, 1.5), (1.3, 60.0, 3.0)]
    {
        gear.contact.friction_scale = scale;
        let law = ThrowLaw {
            contact: gear.contact,
            speed_m_s,
            roll: 0.0,
            side_right: 0.0,
        };
        let (sin, cos) = cut_deg.to_radians().sin_cos();
        let throw = law.throw(sin, cos);
        assert!(!throw.gripping);
        let found = friction_scale(
            &gear.contact,
            cut_deg.to_radians(),
            speed_m_s,
            throw.angle_rad,
        );
        assert!((found.unwrap() - scale).abs() < 1e-12);
    }
    // Slow and full the balls grip: nothing can be told.
    assert_eq!(
        friction_scale(&gear.contact, 0.2, 0.3, 0.05),
        None,
        "gripping"
    );
}

#[test]
fn a_mouth_follows_from_the_gap_between_two_balls() {
    // In space, not by the plan radius: a ball on the slate that touches a point at the nose's height.
    let base = LoadedGear::load("pool-9ft", &[]).unwrap();
    let radius = base.gear.object_radius_m();
    let nose = base.gear.nose_height_m();
    let mouth: f64 = 0.1175;
    let touching = |x: f64| (0.5 * mouth - x).hypot(nose - radius) - radius;
    let (mut lo, mut hi) = (0.0, 0.5 * mouth);
    for _ in 0..60 {
        let middle = 0.5 * (lo + hi);
        if touching(middle) > 0.0 {
            lo = middle;
        } else {
            hi = middle;
        }
    }
    let gap = 2.0 * (lo - radius);
    let readings = [read(Quantity::Gap(PocketKind::Corner), &[gap])];
    let table = MeasuredTable::new(base, &readings, &Instruments::default()).unwrap();
    let found = table.gear_at(&table.means()).corner.mouth_m;
    assert!((found - mouth).abs() < 1e-9, "{found}");
}

#[test]
fn two_ways_to_a_mouth_count_by_how_sure_they_are() {
    let base = LoadedGear::load("pool-9ft", &[]).unwrap();
    let corner = PocketKind::Corner;
    let gear = &base.gear;
    let both = 2.0 * (gear.object_radius_m() + gear.object_contact_radius_m());
    let readings = [
        read(Quantity::Mouth(corner), &[0.116]),
        read(Quantity::Gap(corner), &[0.115 - both]),
    ];
    let table = MeasuredTable::new(base.clone(), &readings, &Instruments::default()).unwrap();
    let found = table.uncertain(|g| g.corner.mouth_m);
    // weights 1/u² of a rule (1 mm) and of cards (0.4 mm)
    let (a, b) = (1.0, 1.0 / 0.16);
    let mean = (a * 0.116 + b * 0.115) / (a + b);
    assert!((found.value - mean).abs() < 1e-9);
    let u = 1e-3 / (a + b).sqrt();
    assert!((found.standard_uncertainty / u - 1.0).abs() < 1e-6);
}
