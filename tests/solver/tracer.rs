//! The tracer over the whole bed: energy, mirror law, long strokes, lengths both ways, aftermath.

#![expect(clippy::unwrap_used, reason = "a test may stop at a broken promise")]

use kurbo::{Point, Vec2};
use thincut::contact::{Pair, aftermath};
use thincut::gear::Gear;
use thincut::motion::{BallBody, BallState, End, FeatureKind, Step, straight_hit, trace};
use thincut::pocket::{FullBed, PocketName};
use thincut::window::{contact_speed_m_s, lengths_for_speed, speed_for_lengths, start_speed_m_s};

/// Closed forms in doubles over a few metres.
const TIGHT: f64 = 1e-9;
/// Speeds are found to 1e-6 m/s, a few mm of run.
const SPEED_TOLERANCE_M_S: f64 = 3e-6;

fn nine_foot() -> Gear {
    Gear::preset("pool-9ft").unwrap()
}

fn pair(gear: &Gear) -> Pair {
    Pair {
        first_mass_kg: gear.balls.cue_mass_kg,
        second_mass_kg: gear.balls.object_mass_kg,
        first_radius_m: gear.cue_radius_m(),
    }
}

#[test]
fn the_bed_has_six_rails_and_six_pockets() {
    let gear = nine_foot();
    let bed = FullBed::new(&gear, &BallBody::object(&gear));
    let count = |kind| bed.features().iter().filter(|f| f.kind == kind).count();
    assert_eq!(count(FeatureKind::Rail), 6);
    assert_eq!(count(FeatureKind::Jaw), 12);
    assert_eq!(count(FeatureKind::Facing), 12);
    assert_eq!(count(FeatureKind::Drop), 6);
    for name in PocketName::ALL {
        let parts = (0..bed.first_ball())
            .filter(|&i| bed.pocket_of(i) == Some(name))
            .count();
        assert_eq!(parts, 5);
        let middle = name.frame(&gear).mouth_middle;
        let centre = Point::new(0.5 * gear.bed.length_m + 0.01, 0.5 * gear.bed.width_m);
        let v = (middle - centre).normalize() * 2.0;
        let (end, _) = trace(
            bed.features(),
            &bed.body,
            &gear.cloth,
            BallState::sliding(centre, v),
            |_| {},
        )
        .unwrap();
        match end {
            End::Drop(i) => assert_eq!(bed.pocket_of(i), Some(name)),
            other => panic!("{name}: {other:?}"),
        }
    }
}

/// A disagreement with print, kept in sight: the WPA asks for at least 4 to 4½ lengths of a firm stroke, and
/// the hardest class in Alciatore's list of shot speeds ends at 4.5 m/s. Ours takes 6.2 m/s for four lengths,
/// since a rolling ball keeps little more than half its speed at a cushion (both from memory; DEVELOPERS.md,
/// "Held against print").
#[test]
fn four_lengths_ask_for_more_than_the_hardest_stroke_in_print() {
    let gear = nine_foot();
    let hardest = lengths_for_speed(&gear, 4.5).unwrap();
    assert!((3.0..3.1).contains(&hardest), "{hardest}");
    let four_m_s = speed_for_lengths(&gear, 4.0).unwrap();
    assert!((6.1..6.4).contains(&four_m_s), "{four_m_s}");
}

#[test]
fn lengths_go_both_ways() {
    for name in ["pool-9ft", "pool-7ft", "snooker-12ft"] {
        let gear = Gear::preset(name).unwrap();
        for lengths in [0.3, 0.7, 1.0, 2.0, 3.0] {
            let speed = speed_for_lengths(&gear, lengths).unwrap();
            assert!((lengths_for_speed(&gear, speed).unwrap() - lengths).abs() < 1e-4);
        }
        let mut last = 0.0;
        for k in 1..60 {
            let run = lengths_for_speed(&gear, 0.15 * f64::from(k)).unwrap();
            assert!(run > last);
            last = run;
        }
        assert!(speed_for_lengths(&gear, 60.0).is_err());
    }
}

#[test]
fn speed_at_contact_and_at_the_start_invert_each_other() {
    let cloth = nine_foot().cloth;
    for roll in [-0.5, 0.0, 1.0] {
        for travel in [0.1, 0.8, 2.0] {
            for contact in [0.8, 2.0, 4.0] {
                let start = start_speed_m_s(&cloth, contact, roll, travel);
                let back = contact_speed_m_s(&cloth, start, roll, travel).unwrap();
                assert!(
                    (back - contact).abs() < SPEED_TOLERANCE_M_S,
                    "{roll} {travel} {contact} {back}"
                );
            }
        }
    }
}

#[test]
fn energy_never_grows_and_balls_stay_on_the_bed() {
    let gear = nine_foot();
    let bed = FullBed::new(&gear, &BallBody::cue(&gear));
    let (mut drops, mut rests) = (0, 0);
    for k in 0..720 {
        let v = Vec2::from_angle(f64::from(k).to_radians() * 0.5) * 5.0;
        let start = BallState {
            q: v * -0.4,
            spin_z_rad_s: 60.0,
            ..BallState::sliding(Point::new(0.9, 0.47), v)
        };
        let mut energy = start.energy_j_kg(bed.body.radius_m);
        let (end, last) = trace(bed.features(), &bed.body, &gear.cloth, start, |step| {
            let now = match step {
                Step::Leg(leg) => leg.start.energy_j_kg(bed.body.radius_m),
                Step::Impact(_, state) => state.energy_j_kg(bed.body.radius_m),
            };
            assert!(now <= energy * (1.0 + TIGHT));
            energy = now;
        })
        .unwrap();
        match end {
            End::Drop(_) => drops += 1,
            _ => {
                rests += 1;
                assert!(bed.clearance_m(last.at) > -TIGHT);
            }
        }
    }
    assert!(drops > 10 && rests > 300, "{drops} {rests}");
}

/// Cushion without loss and friction, cloth without sliding friction: angle out = angle in.
#[test]
fn mirror_law() {
    let gear = nine_foot()
        .with_overrides(&[
            "cushion.restitution=1".into(),
            "cushion.friction=0".into(),
            "cloth.sliding_friction=0".into(),
        ])
        .unwrap();
    let bed = FullBed::new(&gear, &BallBody::object(&gear));
    let (from, reach) = (
        Point::new(0.6, 0.3),
        gear.bed.width_m - bed.body.plan_radius_m,
    );
    for deg in [40.0_f64, 65.0, 75.0] {
        let v = Vec2::from_angle(deg.to_radians()) * 1.5;
        let mut seen = None;
        trace(
            bed.features(),
            &bed.body,
            &gear.cloth,
            BallState::sliding(from, v),
            |step| {
                if let Step::Impact(index, state) = step
                    && seen.is_none()
                {
                    seen = Some((index, state));
                }
            },
        )
        .ok();
        let (index, state) = seen.unwrap();
        assert_eq!(bed.features()[index].kind, FeatureKind::Rail);
        assert!((state.at.y - reach).abs() < TIGHT);
        assert!((state.v.atan2() + deg.to_radians()).abs() < TIGHT);
    }
}

/// Direction of the cue ball once it rolls, off its line of aim.
fn turned_rad(gear: &Gear, cut_rad: f64, roll: f64) -> f64 {
    let v = Vec2::new(2.0, 0.0);
    let state = BallState {
        q: v * roll,
        ..BallState::sliding(Point::ORIGIN, v)
    };
    let after = aftermath(
        &gear.contact,
        &pair(gear),
        &state,
        Vec2::from_angle(cut_rad),
    );
    let mut rolling = after.first.v;
    trace(
        &[],
        &BallBody::cue(gear),
        &gear.cloth,
        after.first,
        |step| {
            if let Step::Leg(leg) = step {
                rolling = leg.start.v;
            }
        },
    )
    .unwrap();
    -rolling.atan2()
}

/// tan = sin φ cos φ/(sin² φ + 2/5), largest 33.749° at 28.126° (derived; e_b = 1, no friction).
#[test]
fn natural_angle_in_closed_form() {
    let gear = nine_foot()
        .with_overrides(&[
            "ball.contact.restitution=1".into(),
            "ball.contact.friction_scale=0".into(),
        ])
        .unwrap();
    for deg in [5.0_f64, 14.5, 28.126, 30.0, 48.6, 70.0] {
        let (s, c) = deg.to_radians().sin_cos();
        let exact = (s * c / (s * s + 0.4)).atan();
        assert!((turned_rad(&gear, deg.to_radians(), 1.0) - exact).abs() < TIGHT);
    }
    let largest = turned_rad(&gear, 28.126_f64.to_radians(), 1.0).to_degrees();
    assert!((largest - 33.749).abs() < 5e-4, "{largest}");
}

/// 30° rule (Alciatore, Colorado State): between 27° and 34° from ¼- to ¾-ball hits, for the closed
/// form; 90° rule for stun.
#[test]
fn thirty_and_ninety_degree_rules() {
    let ideal = nine_foot()
        .with_overrides(&[
            "ball.contact.restitution=1".into(),
            "ball.contact.friction_scale=0".into(),
        ])
        .unwrap();
    for fraction in [0.25, 0.4, 0.5, 0.6, 0.75] {
        let cut = f64::acos(0.0) - f64::acos(1.0 - fraction);
        let turned = turned_rad(&ideal, cut, 1.0).to_degrees();
        assert!((26.9..34.0).contains(&turned), "{fraction} {turned}");
        let tangent = turned_rad(&ideal, cut, 0.0);
        assert!((tangent + cut - std::f64::consts::FRAC_PI_2).abs() < TIGHT);
    }
    // with losses and throw the half-ball hit stays near 30°
    let real = turned_rad(&nine_foot(), 30.0_f64.to_radians(), 1.0).to_degrees();
    assert!((29.0..35.0).contains(&real), "{real}");
}

#[test]
fn contact_keeps_momentum_and_loses_energy() {
    let gear = nine_foot();
    let p = pair(&gear);
    for k in -8..=8 {
        let v = Vec2::new(3.0, 0.0);
        let state = BallState {
            q: v * 0.3,
            spin_z_rad_s: 30.0,
            ..BallState::sliding(Point::ORIGIN, v)
        };
        let after = aftermath(
            &gear.contact,
            &p,
            &state,
            Vec2::from_angle(f64::from(k) * 0.17),
        );
        let total = after.first.v + after.second_velocity;
        // the object ball's speed leaves the tangential part out: below 0.5 %
        assert!((total - v).hypot() < 0.005 * 3.0);
        let energy =
            after.first.energy_j_kg(p.first_radius_m) + 0.5 * after.second_velocity.hypot2();
        assert!(energy < state.energy_j_kg(p.first_radius_m));
    }
}

#[test]
fn the_first_thing_on_a_straight_way() {
    let gear = nine_foot();
    let bed = FullBed::new(&gear, &BallBody::cue(&gear));
    let balls = [Point::new(1.5, 0.6), Point::new(2.0, 0.6)];
    let features = bed.with_balls(balls, gear.contact_distance_m());
    let from = Point::new(0.5, 0.6);
    let (s, i) = straight_hit(&features, from, Vec2::new(1.0, 0.0)).unwrap();
    assert_eq!(i, bed.first_ball());
    assert!((s - (1.0 - gear.contact_distance_m())).abs() < TIGHT);
    // along a rail it touches, a ball meets what stands there, not the rail
    let frozen = Point::new(0.6, bed.body.plan_radius_m);
    let next = Point::new(1.0, bed.body.plan_radius_m);
    let features = bed.with_balls([next], gear.contact_distance_m());
    let (_, i) = straight_hit(&features, frozen, Vec2::new(1.0, 0.0)).unwrap();
    assert_eq!(i, bed.first_ball());
}

/// A stroke in lengths gives the pace that takes just that stroke; the words have their values.
#[test]
fn a_shot_takes_a_stroke_in_lengths_or_a_pace_in_words() {
    use thincut::request::ShotRequest;
    use thincut::window::{solve, stroke_lengths};
    let gear = nine_foot();
    let ask = |pace: Option<&str>, stroke: Option<&str>| {
        let mut request = ShotRequest::default();
        request.places.cue = Some("3,1".into());
        request.places.object = Some("5,2.4".into());
        request.places.pocket = Some("foot-left".into());
        request.stroke.pace = pace.map(str::to_owned);
        request.stroke.stroke = stroke.map(str::to_owned);
        request.shot(&gear)
    };
    let shot = ask(None, Some("2lengths")).unwrap();
    let window = solve(&gear, &shot).unwrap().window.unwrap();
    let said = stroke_lengths(&gear, window.cue_speed_m_s, 1.0, window.aim.travel_m).unwrap();
    assert!((said - 2.0).abs() < 1e-3, "{said}");
    assert!((ask(Some("firm"), None).unwrap().stroke.pace_m_s - 2.0).abs() < TIGHT);
    assert!(ask(Some("1m/s"), Some("2lengths")).is_err());
    assert_eq!(ask(None, Some("2")).unwrap(), shot);
    assert!(ask(None, Some("2 lots")).is_err());
    let soft = ask(None, Some("0.2 lengths")).unwrap_err().to_string();
    assert!(soft.contains("too soft"), "{soft}");
}
