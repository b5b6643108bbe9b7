//! What a pocket accepts: symmetry, pace, tightness, and no interval missed.

use kurbo::Point;
use proptest::prelude::*;
use thincut::gear::Gear;
use thincut::pocket::{Acceptance, How, NoAcceptance, PocketKind, PocketShape};

use super::cases::{Ball, config, gears, kinds, orders};
use super::hunt::hunt;

/// Edges are promised to 1e-9 rad; two of them are compared.
const EDGES_RAD: f64 = 2e-9;
/// Random directions for each ball of a hunt.
const SAMPLES: u32 = 1500;

/// Any ball before a pocket: near and far, every approach, creeping to hard, one in five frozen to
/// a rail.
fn balls() -> impl Strategy<Value = Ball> {
    let places = (orders(0.03, 3.0), -89.0..89.0);
    (
        gears(),
        kinds(),
        places,
        orders(0.003, 8.0),
        0..5_u8,
        0.0..1.5,
    )
        .prop_map(|(gear, kind, polar, pace, freeze, along)| {
            let ball = Ball::new(gear, kind, polar, pace);
            if freeze == 0 {
                ball.frozen(along)
            } else {
                ball
            }
        })
}

fn accepted(ball: &Ball) -> Option<Acceptance> {
    ball.accept()?.ok()
}

proptest! {
    #![proptest_config(config(1500))]

    /// Random directions agree with the accepted pieces: no interval wider than 1 mm at the mouth
    /// is missed or made up.
    #[test]
    fn no_interval_is_missed(ball in balls(), seed in any::<u64>()) {
        let misses = hunt(&ball, SAMPLES, seed);
        prop_assert!(misses.is_empty(), "{:?}", misses);
    }

    /// The mirrored ball has the mirrored pieces.
    #[test]
    fn left_mirrors_right(ball in balls()) {
        let (here, there) = (ball.accept(), ball.mirrored().accept());
        let (Some(Ok(here)), Some(Ok(there))) = (&here, &there) else {
            prop_assert_eq!(here.map(|r| r.err()), there.map(|r| r.err()));
            return Ok(());
        };
        let (clean, other) = (here.clean, there.clean);
        prop_assert_eq!(clean.is_some(), other.is_some());
        if let (Some(a), Some(b)) = (clean, other) {
            prop_assert!((a.from_rad + b.to_rad).abs() < EDGES_RAD);
            prop_assert!((a.to_rad + b.from_rad).abs() < EDGES_RAD);
        }
        // pieces narrower than the promise may be found on one side only
        let wide = |a: &Acceptance, sign: f64| {
            let mut edges: Vec<(f64, How)> = a.pieces.spans().iter()
                .filter(|s| s.width_rad() * a.distance_m > 0.001)
                .map(|s| (sign * 0.5 * (s.from_rad + s.to_rad), s.tag))
                .collect();
            edges.sort_by(|a, b| a.0.total_cmp(&b.0));
            edges
        };
        for (middle, how) in wide(here, 1.0) {
            prop_assert_eq!(there.pieces.tag_at(-middle), Some(how), "{}", middle);
        }
    }

    /// The clean part does not depend on the pace while the ball arrives.
    #[test]
    fn clean_is_independent_of_pace(ball in balls(), pace in orders(0.6, 8.0)) {
        // 0.6 m/s at the mouth reaches past every hole here: 0.6²/(2·0.03·g) = 0.6 m
        let (slow, fast) = (Ball { pace_m_s: 0.6, ..ball.clone() }, Ball { pace_m_s: pace, ..ball });
        let (slow, fast) = (accepted(&slow), accepted(&fast));
        prop_assume!(slow.is_some() && fast.is_some());
        let (slow, fast) = (slow.unwrap().clean, fast.unwrap().clean);
        prop_assert_eq!(slow.is_some(), fast.is_some());
        if let (Some(a), Some(b)) = (slow, fast) {
            prop_assert!((a.from_rad - b.from_rad).abs() < EDGES_RAD, "{:?} {:?}", a, b);
            prop_assert!((a.to_rad - b.to_rad).abs() < EDGES_RAD, "{:?} {:?}", a, b);
        }
    }

    /// A tighter mouth leaves less clean room.
    #[test]
    fn clean_shrinks_with_the_mouth(ball in balls(), share in 0.8..0.98) {
        let mut tight = ball.clone();
        let spec = match ball.kind {
            PocketKind::Corner => &mut tight.gear.corner,
            PocketKind::Side => &mut tight.gear.side,
        };
        spec.mouth_m *= share;
        prop_assume!(tight.gear.check().is_ok());
        let (wide, tight) = (accepted(&ball), accepted(&tight));
        let width = |a: Option<Acceptance>| a.and_then(|a| a.clean).map_or(0.0, |c| c.width_rad());
        prop_assert!(width(tight) <= width(wide) + EDGES_RAD);
    }
}

proptest! {
    #![proptest_config(config(400))]

    /// The same hunt for the presets, where people play.
    #[test]
    fn no_interval_is_missed_on_the_presets(
        preset in 0..Gear::preset_names().len(),
        kind in kinds(),
        polar in (orders(0.03, 3.0), -89.0..89.0),
        pace in orders(0.02, 8.0),
        seed in any::<u64>(),
    ) {
        let gear = Gear::preset(Gear::preset_names()[preset]).unwrap();
        let misses = hunt(&Ball::new(gear, kind, polar, pace), SAMPLES, seed);
        prop_assert!(misses.is_empty(), "{:?}", misses);
    }

    /// So slow that it dies about the hole's edge.
    #[test]
    fn no_interval_is_missed_at_the_reach_limit(
        gear in gears(),
        kind in kinds(),
        polar in (orders(0.05, 1.5), -60.0..60.0),
        share in 0.9..1.5,
        seed in any::<u64>(),
    ) {
        // rolling, it needs pace² = 2 μ_r g · shelf to reach the hole on the axis
        let shelf_m = kind.spec(&gear).shelf_m.max(0.002);
        let pace = (2.0 * gear.cloth.rolling_friction * 9.80665 * shelf_m).sqrt() * share;
        let misses = hunt(&Ball::new(gear, kind, polar, pace), SAMPLES, seed);
        prop_assert!(misses.is_empty(), "{:?}", misses);
    }
}

/// The clean width and the hunt at places that are special.
fn look(gear: &Gear, kind: PocketKind, polar: (f64, f64), pace: f64) -> Ball {
    let ball = Ball::new(gear.clone(), kind, polar, pace);
    assert!(ball.accept().is_some(), "no ball can lie at {polar:?}");
    assert!(hunt(&ball, SAMPLES, 7).is_empty(), "{polar:?}");
    ball
}

#[test]
fn special_places() {
    let gear = Gear::preset("pool-9ft").unwrap();
    let mut round = gear.clone();
    (round.corner.jaw_radius_m, round.side.jaw_radius_m) = (0.006, 0.006);
    round.check().unwrap();
    for gear in [&gear, &round] {
        for pace in [0.05, 1.0, 5.0] {
            for far_m in [0.03, 0.06, 0.2, 1.0, 2.5] {
                look(gear, PocketKind::Corner, (far_m, 0.0), pace);
                look(gear, PocketKind::Side, (far_m, 20.0), pace);
            }
            for approach in [-45.0, 45.0] {
                look(gear, PocketKind::Corner, (1.0, approach), pace);
            }
            for approach in [-75.0, -65.0, 70.0, 80.0] {
                look(gear, PocketKind::Side, (1.0, approach), pace);
            }
            let frozen =
                |kind, along| Ball::new(gear.clone(), kind, (1.0, 0.0), pace).frozen(along);
            for ball in [
                frozen(PocketKind::Corner, 0.05),
                frozen(PocketKind::Corner, 1.0),
                frozen(PocketKind::Side, 0.4),
            ] {
                assert!(ball.accept().is_some());
                assert!(hunt(&ball, SAMPLES, 11).is_empty());
            }
        }
    }
}

#[test]
fn typed_answers_of_a_pocket() {
    let gear = Gear::preset("pool-9ft").unwrap();
    let ball = |polar, pace| Ball::new(gear.clone(), PocketKind::Corner, polar, pace);
    // a tenth of a millimetre of roll past the mouth cannot reach a hole 41 mm behind it
    assert_eq!(
        ball((0.8, 0.0), 0.004).accept(),
        Some(Err(NoAcceptance::NoDrop))
    );
    let mut hanging = ball((0.8, 0.0), 1.0);
    hanging.object = Point::new(0.002, 0.0);
    assert_eq!(hanging.accept(), Some(Err(NoAcceptance::InTheJaws)));
    hanging.object = Point::ORIGIN;
    assert_eq!(hanging.accept(), Some(Err(NoAcceptance::InTheJaws)));
    hanging.object = Point::new(-1e-4, 0.0);
    assert!(matches!(hanging.accept(), Some(Ok(_))));
    assert!(
        ball((0.8, 60.0), 1.0).accept().is_none(),
        "that is behind the rail"
    );
    // past the closing angle of the side's gate nothing goes in untouched
    let steep = Ball::new(gear.clone(), PocketKind::Side, (1.0, 68.0), 0.5);
    let steep = accepted(&steep).expect("still off the jaws");
    assert!(steep.clean.is_none() && steep.drop.width_rad() > 0.0);
}

#[test]
fn a_frozen_ball_goes_along_its_rail() {
    let gear = Gear::preset("pool-9ft").unwrap();
    let ball = Ball::new(gear, PocketKind::Corner, (1.0, 0.0), 0.6).frozen(0.8);
    let a = accepted(&ball).expect("it drops");
    let shape = ball.shape();
    let along = match shape.features[PocketShape::RAIL_LEFT].shape {
        thincut::motion::Shape::Line { along, .. } => (-along).atan2() - a.approach_rad,
        _ => panic!("a rail is a line"),
    };
    assert!(a.pieces.tag_at(along - 1e-4).is_some(), "{a:?}");
}
