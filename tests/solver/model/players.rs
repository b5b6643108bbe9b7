//! What a player makes of shots: better levels, side, mirror images, advice.

use kurbo::Point;
use rand::{Rng as _, SeedableRng as _};
use rand_pcg::Pcg64;
use thincut::answer::ShotAnswer;
use thincut::gear::Gear;
use thincut::player::{Aimed, Level, Player, Straights, chance, chance_of_solution, shot_chance};
use thincut::pocket::{PocketKind, PocketName};
use thincut::units::Side;
use thincut::window::{AbstractShot, BedShot, Shot, Stroke, Tip, solve};

use super::pool;

/// Rounding of the sums behind a chance.
const ROUNDING: f64 = 1e-12;
/// Edges are good to 1e-9 rad; a chance changes by less than this for so much.
const SAME: f64 = 1e-6;

fn on_bed(gear: &Gear, rng: &mut Pcg64) -> Option<Shot> {
    let (l, w, edge) = (
        gear.bed.length_m,
        gear.bed.width_m,
        gear.object_contact_radius_m(),
    );
    // One ball in four is frozen to a rail.
    let mut place = || {
        let (x, y) = (
            rng.random_range(edge..l - edge),
            rng.random_range(edge..w - edge),
        );
        match rng.random_range(0..8) {
            0 => Point::new(x, edge),
            1 => Point::new(l - edge, y),
            _ => Point::new(x, y),
        }
    };
    let (cue, object) = (place(), place());
    let pocket = PocketName::ALL[rng.random_range(0..6)];
    let bed = BedShot {
        cue,
        object,
        pocket,
    };
    let pace_m_s = rng.random_range(0.3..2.0);
    let stroke = Stroke {
        pace_m_s,
        ..Stroke::centre_ball()
    };
    Shot::on_bed(gear, &bed, stroke).ok()
}

/// A better level makes more on every shot, frozen balls included, counted on the interval that holds
/// the aim: flukes off another rail are not monotone.
#[test]
fn a_better_level_makes_more() {
    let gear = pool();
    let mut rng = Pcg64::seed_from_u64(20);
    let mut shots = 0;
    while shots < 2000 {
        let Some(shot) = on_bed(&gear, &mut rng) else {
            continue;
        };
        let Ok(solution) = solve(&gear, &shot) else {
            continue;
        };
        let Some(aimed) = Aimed::of(&gear, &shot, &solution) else {
            continue;
        };
        let intervals = aimed.as_intended_rad();
        let Some(held) = intervals.iter().find(|(a, b)| *a <= 0.0 && *b >= 0.0) else {
            continue;
        };
        shots += 1;
        let mut last = 0.0;
        for level in Level::ALL {
            let player = level.aim_error();
            let made = chance(&[*held], aimed.spread(&player).total_rad(), 0.0);
            assert!(
                made >= last - ROUNDING,
                "{shot:?}: {level} {made} after {last}"
            );
            last = made;
        }
    }
}

fn by_angles(gear: &Gear, rng: &mut Pcg64, apart_m: (f64, f64), tip: Tip) -> Option<Shot> {
    let shot = AbstractShot {
        kind: if rng.random_bool(0.5) {
            PocketKind::Corner
        } else {
            PocketKind::Side
        },
        cut_rad: rng.random_range(0.0..60.0_f64).to_radians(),
        cut_side: Side::left_if(rng.random_bool(0.5)),
        apart_m: rng.random_range(apart_m.0..apart_m.1),
        to_pocket_m: rng.random_range(0.3..1.2),
        approach_rad: rng.random_range(-30.0..30.0_f64).to_radians(),
    };
    let stroke = Stroke {
        pace_m_s: rng.random_range(0.6..1.6),
        tip: Some(tip),
        ..Stroke::default()
    };
    Shot::from_angles(gear, &shot, stroke).ok()
}

fn made(gear: &Gear, shot: &Shot, level: Level) -> Option<f64> {
    let solution = solve(gear, shot).ok()?;
    solution.window.as_ref().ok()?;
    Some(chance_of_solution(
        gear,
        shot,
        &solution,
        &level.aim_error(),
    ))
}

/// From 4 ft on side never gains; nearer it may, by removing throw, and then the answer names throw.
#[test]
fn side_costs() {
    let gear = pool();
    let mut rng = Pcg64::seed_from_u64(4);
    let (mut far, mut gains) = (0, 0);
    for k in 0..160 {
        let apart_m = if k % 2 == 0 {
            (1.2192, 2.2)
        } else {
            (0.25, 0.6)
        };
        let across_m = rng.random_range(-12e-3..12e-3);
        let tip = Tip {
            across_m,
            ..Tip::CENTRE
        };
        let Some(shot) = by_angles(&gear, &mut rng, apart_m, tip) else {
            continue;
        };
        let mut plain = shot;
        plain.stroke.tip = Some(Tip::CENTRE);
        let level = Level::ALL[k % 6];
        let (Some(with), Some(without)) = (made(&gear, &shot, level), made(&gear, &plain, level))
        else {
            continue;
        };
        if k % 2 == 0 {
            far += 1;
            assert!(with <= without + SAME, "{level}: {with} {without} {shot:?}");
        } else if with > without {
            gains += 1;
            let player = Player {
                error: level.aim_error(),
                who: level.spoken(),
                assumed: true,
            };
            let solution = solve(&gear, &shot).unwrap();
            let answer = ShotAnswer::new(&gear, &shot, &solution, None)
                .with_player(&gear, &shot, &solution, &player);
            if answer.chance_without_side.is_some() {
                let lines = thincut::answer::shot_lines(
                    &answer,
                    &thincut::answer::Beside::default(),
                    thincut::units::UnitSystem::Metric,
                );
                assert!(lines.iter().any(|l| l.contains("throw off")), "{lines:?}");
            }
        }
    }
    assert!(far > 50 && gains < 60, "{far} {gains}");
}

/// Left and right are alike, the tip mirrored too.
#[test]
fn a_mirror_image_is_as_hard() {
    let gear = pool();
    let mut rng = Pcg64::seed_from_u64(6);
    for _ in 0..20 {
        let Some(shot) = on_bed(&gear, &mut rng) else {
            continue;
        };
        let mut shot = shot;
        let across_m = rng.random_range(-8e-3..8e-3);
        shot.stroke.tip = Some(Tip {
            across_m,
            ..Tip::CENTRE
        });
        let name = shot.frame.name.unwrap();
        let other = match name {
            PocketName::HeadLeft => PocketName::HeadRight,
            PocketName::HeadRight => PocketName::HeadLeft,
            PocketName::SideLeft => PocketName::SideRight,
            PocketName::SideRight => PocketName::SideLeft,
            PocketName::FootLeft => PocketName::FootRight,
            PocketName::FootRight => PocketName::FootLeft,
        };
        let flip = |p: Point| {
            let plan = shot.frame.to_plan(p);
            Point::new(plan.x, gear.bed.width_m - plan.y)
        };
        let bed = BedShot {
            cue: flip(shot.cue),
            object: flip(shot.object),
            pocket: other,
        };
        let stroke = Stroke {
            tip: Some(Tip {
                across_m: -across_m,
                ..Tip::CENTRE
            }),
            ..shot.stroke
        };
        let mirrored = Shot::on_bed(&gear, &bed, stroke).unwrap();
        let pair = (
            made(&gear, &shot, Level::League),
            made(&gear, &mirrored, Level::League),
        );
        match pair {
            (Some(a), Some(b)) => assert!((a - b).abs() < SAME, "{a} {b} {shot:?}"),
            (a, b) => assert_eq!(a.is_some(), b.is_some(), "{shot:?}"),
        }
    }
}

/// The best aim never makes less than the aim it is an advice against.
#[test]
fn advice_never_lowers_the_chance() {
    let gear = pool();
    let mut rng = Pcg64::seed_from_u64(9);
    let mut advised = 0;
    for k in 0..60 {
        let Some(shot) = on_bed(&gear, &mut rng) else {
            continue;
        };
        let Ok(solution) = solve(&gear, &shot) else {
            continue;
        };
        let Some(aimed) = Aimed::of(&gear, &shot, &solution) else {
            continue;
        };
        let level = Level::ALL[k % 6];
        let bias_rad = rng.random_range(-0.2..0.2_f64).to_radians();
        let player = level.aim_error().with_bias(bias_rad).unwrap();
        let straights = Straights::new(&gear, &player, &shot.stroke);
        let found = shot_chance(&aimed, &player, &straights, false);
        let Some(best) = found.best else { continue };
        let turned = Aimed {
            turn_rad: best.shift_rad,
            ..aimed
        };
        let then = turned.chance(&player).chance;
        assert!(best.gain >= 0.0 && (then - best.chance).abs() < SAME);
        assert!(then >= found.chance - ROUNDING, "{shot:?}");
        advised += u32::from(best.gain > 0.0);
    }
    assert!(advised > 5, "{advised}");
}

/// A wider mouth of the pocket aimed at never shrinks what goes in clean.
#[test]
fn a_wider_mouth_takes_more() {
    let tight = pool();
    let mut rng = Pcg64::seed_from_u64(12);
    let mut wide = tight.clone();
    wide.corner.mouth_m += 6e-3;
    wide.side.mouth_m += 6e-3;
    for _ in 0..40 {
        let Some(shot) = by_angles(&tight, &mut rng, (0.3, 2.0), Tip::CENTRE) else {
            continue;
        };
        let clean = |gear: &Gear| {
            let window = solve(gear, &shot).ok()?.window.ok()?;
            window.clean.map(|c| c.total_rad())
        };
        if let (Some(a), Some(b)) = (clean(&tight), clean(&wide)) {
            assert!(b >= a - 1e-9, "{a} {b} {shot:?}");
        }
    }
}
