//! Aim windows: symmetry, shrinking, pulling back and pushing forward, nothing that panics.

use proptest::prelude::*;
use thincut::gear::Gear;
use thincut::units::Side;
use thincut::window::{AbstractShot, AimWindow, Flags, NoWindow, Shot, Solution, Stroke, solve};

use super::cases::{config, gears, kinds, orders};

/// Edges good to 1e-9 rad, pulled back with a factor below one and compared twice.
const WINDOW_RAD: f64 = 4e-9;
/// The promise: pulled back and pushed forward gives the same direction.
const THERE_AND_BACK_RAD: f64 = 1e-9;

fn shots() -> impl Strategy<Value = AbstractShot> {
    (
        kinds(),
        0.0..89.0_f64,
        any::<bool>().prop_map(Side::left_if),
        orders(0.05, 3.0),
        orders(0.05, 3.0),
        -50.0..50.0_f64,
    )
        .prop_map(
            |(kind, cut, cut_side, apart_m, to_pocket_m, approach)| AbstractShot {
                kind,
                cut_rad: cut.to_radians(),
                cut_side,
                apart_m,
                to_pocket_m,
                approach_rad: approach.to_radians(),
            },
        )
}

fn strokes() -> impl Strategy<Value = Stroke> {
    (orders(0.05, 6.0), -1.0..1.3, -0.8..0.8).prop_map(|(pace_m_s, roll, side)| Stroke {
        pace_m_s,
        roll,
        side,
        ..Stroke::default()
    })
}

/// `None` where the balls cannot lie.
fn solved(gear: &Gear, shot: &AbstractShot, stroke: Stroke) -> Option<Solution> {
    let shot = Shot::from_angles(gear, shot, stroke).ok()?;
    solve(gear, &shot).ok()
}

fn window(gear: &Gear, shot: &AbstractShot, stroke: Stroke) -> Option<AimWindow> {
    solved(gear, shot, stroke)?.window.ok()
}

/// Every number of a window is one.
fn all_finite(w: &AimWindow) -> bool {
    let parts = [w.clean, w.direct, w.drop].into_iter().flatten();
    let numbers = parts.flat_map(|p| {
        [
            p.thick_rad,
            p.thin_rad,
            p.thick_contact_m,
            p.thin_contact_m,
            p.object.from_rad,
            p.object.to_rad,
        ]
    });
    numbers
        .chain([
            w.aim.aim_rad,
            w.aim.travel_m,
            w.throw_rad,
            w.throw_slope,
            w.target_rad,
        ])
        .chain([w.cut_rad, w.cue_speed_m_s, w.object_speed_m_s])
        .all(f64::is_finite)
}

fn clean_rad(w: Option<AimWindow>) -> f64 {
    w.and_then(|w| w.clean).map_or(0.0, |c| c.total_rad())
}

/// A plain straight-in place where only one thing is then changed.
fn plain(cut_deg: f64, apart_m: f64, to_pocket_m: f64) -> AbstractShot {
    AbstractShot {
        kind: thincut::pocket::PocketKind::Corner,
        cut_rad: cut_deg.to_radians(),
        cut_side: Side::Left,
        apart_m,
        to_pocket_m,
        approach_rad: 0.0,
    }
}

fn frictionless() -> Gear {
    let mut gear = Gear::preset("pool-9ft").unwrap();
    gear.contact.friction_scale = 0.0;
    gear
}

proptest! {
    #![proptest_config(config(2000))]

    /// No shot on any gear panics or gives a number that is none, and nested parts nest.
    #[test]
    fn any_shot_has_an_answer(gear in gears(), shot in shots(), stroke in strokes()) {
        let Some(solution) = solved(&gear, &shot, stroke) else { return Ok(()) };
        let Ok(w) = solution.window else { return Ok(()) };
        prop_assert!(all_finite(&w), "{:?}", w);
        let drop = w.drop.map_or(0.0, |d| d.total_rad());
        for inner in [w.clean, w.direct].into_iter().flatten() {
            prop_assert!(inner.total_rad() > 0.0);
            prop_assert!(inner.total_rad() <= drop + WINDOW_RAD, "{} {:?} {:?}", drop, w.flags, w);
        }
        prop_assert_eq!(w.flags.has(Flags::TOO_FAST), w.cue_speed_m_s > 7.0);
    }

    /// The mirrored shot has the same window.
    #[test]
    fn left_cut_mirrors_right_cut(gear in gears(), shot in shots(), stroke in strokes()) {
        let other = AbstractShot {
            cut_side: shot.cut_side.other(),
            approach_rad: -shot.approach_rad,
            ..shot
        };
        let (here, there) = (solved(&gear, &shot, stroke), solved(&gear, &other, stroke));
        prop_assert_eq!(here.is_some(), there.is_some());
        let (Some(here), Some(there)) = (here, there) else { return Ok(()) };
        let (Ok(a), Ok(b)) = (&here.window, &there.window) else {
            prop_assert_eq!(here.window.err(), there.window.err());
            return Ok(());
        };
        prop_assert_eq!(a.clean.is_some(), b.clean.is_some());
        if let (Some(x), Some(y)) = (a.clean, b.clean) {
            prop_assert!((x.thick_rad - y.thick_rad).abs() < WINDOW_RAD, "{:?} {:?}", x, y);
            prop_assert!((x.thin_rad - y.thin_rad).abs() < WINDOW_RAD, "{:?} {:?}", x, y);
            prop_assert!((a.throw_fuller_rad() - b.throw_fuller_rad()).abs() < WINDOW_RAD);
        }
    }

    /// Pulling a direction back and pushing it forward is the identity.
    #[test]
    fn back_and_forth(gear in gears(), shot in shots(), stroke in strokes(), share in 0.0..=1.0) {
        let w = window(&gear, &shot, stroke);
        prop_assume!(w.is_some());
        let w = w.unwrap();
        let Some(drop) = w.drop else { return Ok(()) };
        let theta = drop.object.from_rad + share * drop.object.width_rad();
        let Some(delta) = w.aim_for_rad(theta) else {
            // only where the window was cut
            prop_assert!(w.flags.has(Flags::TRUNCATED));
            return Ok(());
        };
        let Some(back) = w.object_direction_rad(delta) else {
            prop_assert!(w.flags.has(Flags::TRUNCATED));
            return Ok(());
        };
        // θ turns with the aim by t_c/(D cos φ) and more; the promise is about the aim
        let travel = w.aim.travel_m / (w.approach.contact_m * w.aim.cos_cut);
        prop_assert!(
            (back - theta).abs() < THERE_AND_BACK_RAD * travel.max(1.0),
            "{} {}", back, theta
        );
    }

    /// More distance, on either side of the object ball, leaves less clean room.
    #[test]
    fn clean_shrinks_with_distance(
        cut in 0.0..70.0,
        apart in 0.1..2.0,
        to_pocket in 0.1..2.0,
        longer in 1.02..1.5,
    ) {
        let gear = frictionless();
        let at = |apart: f64, to_pocket: f64| {
            clean_rad(window(&gear, &plain(cut, apart, to_pocket), Stroke::default()))
        };
        let here = at(apart, to_pocket);
        prop_assert!(here > 0.0);
        prop_assert!(at(apart * longer, to_pocket) < here);
        prop_assert!(at(apart, to_pocket * longer) < here);
    }

    /// Without throw a thinner cut leaves less clean room at the same travel of the cue ball.
    #[test]
    fn clean_shrinks_with_the_cut(
        cut in 0.0..75.0,
        thinner in 1.0..10.0,
        travel in 0.2..2.0,
        to_pocket in 0.1..2.0,
    ) {
        let gear = frictionless();
        let ball = gear.contact_distance_m();
        let at = |cut: f64| {
            // d² = t² + D² + 2 t D cos φ
            let cos = f64::cos(cut.to_radians());
            let apart = f64::sqrt(travel * travel + ball * ball + 2.0 * travel * ball * cos);
            clean_rad(window(&gear, &plain(cut, apart, to_pocket), Stroke::default()))
        };
        prop_assert!(at(cut + thinner) < at(cut));
    }
}

/// Every typed answer of a window can be had.
#[test]
fn typed_answers_of_a_window() {
    let gear = Gear::preset("pool-9ft").unwrap();
    let answer = |shot: &AbstractShot, stroke| solved(&gear, shot, stroke).unwrap().window;
    let slow = |pace_m_s| Stroke {
        pace_m_s,
        ..Stroke::default()
    };
    let plain_stroke = Stroke::default();
    assert_eq!(
        answer(&plain(10.0, 1.0, 0.8), slow(0.004)).err(),
        Some(NoWindow::NoDrop)
    );
    // slow stun with the cue ball a few millimetres away folds
    let stun = Stroke {
        roll: 0.0,
        pace_m_s: 0.3,
        ..plain_stroke
    };
    assert_eq!(
        answer(&plain(0.0, 0.06, 0.8), stun).err(),
        Some(NoWindow::TooClose)
    );
    let thin = answer(&plain(89.0, 0.6, 0.4), slow(0.3)).unwrap();
    assert!(thin.flags.has(Flags::TRUNCATED));
    let fast = answer(&plain(75.0, 1.0, 1.0), slow(3.0)).unwrap();
    assert!(fast.flags.has(Flags::TOO_FAST));
    let mut steep = plain(20.0, 1.0, 1.0);
    steep.kind = thincut::pocket::PocketKind::Side;
    steep.approach_rad = 68_f64.to_radians();
    let steep = answer(&steep, slow(0.5)).unwrap();
    assert!(steep.flags.has(Flags::NO_CLEAN_PART) && steep.clean.is_none());
}
