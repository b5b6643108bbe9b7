//! Motion: energy, ends, and impacts.

use kurbo::Vec2;
use proptest::prelude::*;
use thincut::motion::{BallBody, BallState, MotionFault, Step, rebound, trace};

use super::cases::{Ball, config, gears, kinds, orders};

/// Rounding of energies over one impact or leg, as a share.
const ROUNDING: f64 = 1e-12;

/// A ball that bounces touches: roots in doubles over metres, and many bounces in one place.
const TOUCHING_M: f64 = 1e-9;

fn speeds() -> impl Strategy<Value = Vec2> {
    (-8.0..8.0, -8.0..8.0).prop_map(|(x, y)| Vec2::new(x, y))
}

proptest! {
    #![proptest_config(config(4096))]

    /// Energy never grows in an impact, whatever the speed, spin, restitution and friction.
    #[test]
    fn impacts_lose_energy(
        gear in gears(),
        v in speeds(),
        q in speeds(),
        spin_z_rad_s in -300.0..300.0,
        angle in 0.0..std::f64::consts::TAU,
        e in 0.2..=1.0,
        mu in 0.0..0.279,
    ) {
        let body = BallBody::object(&gear);
        let normal = Vec2::from_angle(angle);
        let state = BallState { q, spin_z_rad_s, ..BallState::sliding(kurbo::Point::ORIGIN, v) };
        let after = rebound(&body, &state, normal, e, mu);
        let (had, has) = (state.energy_j_kg(body.radius_m), after.energy_j_kg(body.radius_m));
        prop_assert!(has <= had * (1.0 + ROUNDING), "{had} J/kg became {has}");
        if v.dot(normal) < 0.0 {
            prop_assert!((after.v.dot(normal) + e * v.dot(normal)).abs() < 1e-12);
        } else {
            prop_assert_eq!(after, state);
        }
    }
}

proptest! {
    #![proptest_config(config(1024))]

    /// Every trace ends, with finite numbers; its energy never grows on the way, and it bounces only
    /// where it touches.
    #[test]
    fn traces_end_and_lose_energy(
        gear in gears(),
        kind in kinds(),
        polar in (orders(0.03, 3.0), -85.0..85.0),
        v in speeds(),
        q in speeds(),
        spin_z_rad_s in -100.0..100.0,
    ) {
        let ball = Ball::new(gear, kind, polar, 1.0);
        prop_assume!(ball.accept().is_some());
        let (shape, body) = (ball.shape(), ball.body());
        let start = BallState { q, spin_z_rad_s, ..BallState::sliding(ball.object, v) };
        let mut energy = start.energy_j_kg(body.radius_m);
        let mut grown = None;
        let mut see = |state: &BallState| {
            let now = state.energy_j_kg(body.radius_m);
            if now.is_nan() || now > energy * (1.0 + ROUNDING) + f64::MIN_POSITIVE {
                grown = Some((energy, now));
            }
            energy = now;
        };
        let mut early = None;
        let end = trace(&shape.features, &body, &ball.gear.cloth, start, |step| match step {
            Step::Leg(leg) => see(&leg.start),
            Step::Impact(index, state) => {
                // at the end of a line its gap counts as infinite: there the jaw begins
                let gap_m = shape.features[index].gap_m(state.at);
                if gap_m.is_finite() && gap_m.abs() > TOUCHING_M {
                    early = Some((index, gap_m));
                }
                see(&state);
            }
        });
        prop_assert_eq!(early, None, "an impact without touching");
        prop_assert_eq!(grown, None);
        // rattling between two lossless jaws is a typed fault; here jaws lose
        let lossless = ball.gear.cushion.restitution > 0.99
            || kind.spec(&ball.gear).facing_restitution > 0.99;
        match end {
            Ok((_, last)) => prop_assert!(last.at.is_finite() && last.v.is_finite()),
            Err(fault) => prop_assert!(
                lossless && fault == MotionFault::TooManyImpacts, "{}", fault
            ),
        }
    }
}
