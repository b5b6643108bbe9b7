//! What a player makes of shots: better levels, side, mirror images, advice.

use kurbo::Point;
use rand::{Rng as _, SeedableRng as _};
use rand_pcg::Pcg64;
use thincut::answer::ShotAnswer;
use thincut::gear::Gear;
use thincut::player::paced::over_speeds;
use thincut::player::{
    AimError, Aimed, Level, Player, Straights, chance, chance_of_solution, shot_chance,
};
use thincut::pocket::{PocketKind, PocketName};
use thincut::units::Side;
use thincut::window::{
    AbstractShot, AimWindow, BedShot, Flags, NoWindow, Shot, Solution, Stroke, Tip, solve,
};

use super::pool;

/// Rounding of the sums behind a chance.
const ROUNDING: f64 = 1e-12;
/// Edges are good to 1e-9 rad; a chance changes by less than this for so much.
const SAME: f64 = 1e-6;
/// Gains below this are never said: a hundredth of a make in ten.
const SAID: f64 = 1e-3;

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

/// Whether an interval of directions off the aim has the aim in it.
fn holds_the_aim((a, b): &(f64, f64)) -> bool {
    *a <= 0.0 && *b >= 0.0
}

/// The next shot on the bed that has an aim which makes it.
fn held_on_bed(gear: &Gear, rng: &mut Pcg64) -> (Shot, Solution) {
    loop {
        let Some(shot) = on_bed(gear, rng) else {
            continue;
        };
        let Ok(solution) = solve(gear, &shot) else {
            continue;
        };
        let held = Aimed::of(gear, &shot, &solution)
            .is_some_and(|aimed| aimed.as_intended_rad().iter().any(holds_the_aim));
        if held {
            return (shot, solution);
        }
    }
}

/// A better level makes more on every shot, frozen balls included, counted on the interval that holds
/// the aim: flukes off another rail are not monotone.
#[test]
fn a_better_level_makes_more() {
    let gear = pool();
    let mut rng = Pcg64::seed_from_u64(20);
    let mut shots = 0;
    while shots < 2000 {
        let (shot, solution) = held_on_bed(&gear, &mut rng);
        let aimed = Aimed::of(&gear, &shot, &solution).expect("it has an aim");
        let intervals = aimed.as_intended_rad();
        let held = intervals.iter().find(|at| holds_the_aim(at)).expect("held");
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

/// What is made over the speeds of a stroke on the interval that holds the aim; `slowest` is the slowest
/// stroke that drops.
fn held_over_speeds(aimed: &Aimed<'_>, player: &AimError, slowest: f64) -> f64 {
    let window = aimed.window;
    let at = |share: f64| {
        let intervals = aimed.intervals_rad(share);
        let held = intervals.iter().find(|(a, b)| *a <= 0.0 && *b >= 0.0);
        let sigma_rad = player.sigma_rad(window.aim.travel_m, share * window.cue_speed_m_s);
        held.map_or(0.0, |held| chance(&[*held], sigma_rad, 0.0))
    };
    over_speeds(player.scatter.speed_share, slowest, at).chance
}

/// The same over the speeds of the stroke, one level against the next better one: a stroke that comes out
/// as meant more often makes more.
#[test]
fn a_better_level_makes_more_over_its_speeds() {
    let gear = pool();
    let mut rng = Pcg64::seed_from_u64(21);
    let (mut shots, mut frozen) = (0, 0);
    let mut lost: Vec<f64> = Vec::new();
    while shots < 400 {
        let (shot, solution) = held_on_bed(&gear, &mut rng);
        let aimed = Aimed::of(&gear, &shot, &solution).expect("it has an aim");
        let k = rng.random_range(0..5);
        let [worse, better] = [Level::ALL[k], Level::ALL[k + 1]].map(Level::aim_error);
        let slowest = aimed.chance(&worse).slowest;
        let made = [&worse, &better].map(|p| held_over_speeds(&aimed, p, slowest));
        shots += 1;
        frozen += u32::from(aimed.window.flags.has(Flags::CUSHION_NEAR));
        if made[1] < made[0] {
            println!("{} {made:?} k {slowest} {shot:?}", Level::ALL[k]);
            lost.push(made[0] - made[1]);
        }
    }
    let worst = lost.iter().copied().fold(0.0, f64::max);
    println!(
        "{} of {shots} lost, at most {worst}; {frozen} beside a cushion",
        lost.len()
    );
    assert!(frozen > 20, "{frozen}");
    assert!(worst < 1e-3 && lost.len() < 4, "{} {worst}", lost.len());
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
    for k in 0..600 {
        let is_far = k % 3 > 0;
        let apart_m = if is_far { (1.2192, 2.2) } else { (0.25, 0.6) };
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
        if is_far {
            far += 1;
            assert!(with <= without + SAME, "{level}: {with} {without} {shot:?}");
        } else if with > without + SAID {
            gains += 1;
            gain_is_thrown_off(&gear, (&shot, &plain), level);
        }
    }
    println!("{far} from 4 ft on, {gains} gains nearer");
    assert!(far > 300 && gains > 5, "{far} {gains}");
}

/// The answer says what side does to throw where it pays, and it does so.
fn gain_is_thrown_off(gear: &Gear, (shot, plain): (&Shot, &Shot), level: Level) {
    let player = Player {
        error: level.aim_error(),
        who: level.spoken(),
        assumed: true,
    };
    let solution = solve(gear, shot).unwrap();
    let answer =
        ShotAnswer::new(gear, shot, &solution, None).with_player(gear, shot, &solution, &player);
    let lines = thincut::answer::shot_lines(
        &answer,
        &thincut::answer::Beside::default(),
        thincut::units::UnitSystem::Metric,
    );
    let throw = |s: &Shot| solve(gear, s).unwrap().window.unwrap().throw_rad.abs();
    let said = |text: &str| lines.iter().any(|l| l.contains(text));
    if throw(shot) < throw(plain) {
        assert!(said("it takes throw off"), "{lines:?}");
    } else {
        assert!(said("more throw leaves more margin"), "{lines:?}");
    }
}

/// Left and right are alike, the tip mirrored too.
#[test]
fn a_mirror_image_is_as_hard() {
    let gear = pool();
    let mut rng = Pcg64::seed_from_u64(6);
    let (mut alike, mut beside) = (0, 0);
    for _ in 0..120 {
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
        let sticks = [&shot, &mirrored].map(|s| solve(&gear, s).unwrap().window.ok());
        let [Some(one), Some(other)] = sticks else {
            continue;
        };
        alike += 1;
        beside += u32::from(one.flags.has(Flags::CUSHION_NEAR));
        assert_eq!(one.flags, other.flags, "{shot:?}");
        let squirt = |w: &AimWindow| w.stick.map_or(0.0, |s| s.squirt_rad(gear.cue_radius_m()));
        assert!((squirt(&one) + squirt(&other)).abs() < ROUNDING);
        assert!(
            (one.law.side_right + other.law.side_right).abs() < SAME,
            "{shot:?}"
        );
        assert!((one.cut_rad + other.cut_rad).abs() < SAME, "{shot:?}");
    }
    assert!(alike > 20 && beside > 2, "{alike} {beside}");
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

/// A wider mouth of the pocket aimed at never shrinks what goes in clean, by angles or on the bed; nor
/// what is left where there was something.
#[test]
fn a_wider_mouth_takes_more() {
    let tight = pool();
    let mut rng = Pcg64::seed_from_u64(12);
    let mut looked = [0, 0];
    for k in 0..400 {
        let on_a_bed = k % 2 == 1;
        let shot = if on_a_bed {
            on_bed(&tight, &mut rng)
        } else {
            by_angles(&tight, &mut rng, (0.3, 2.0), Tip::CENTRE)
        };
        let Some(shot) = shot else { continue };
        let mut wide = tight.clone();
        let more_m = rng.random_range(0.5e-3..10e-3);
        match shot.frame.kind {
            PocketKind::Corner => wide.corner.mouth_m += more_m,
            PocketKind::Side => wide.side.mouth_m += more_m,
        }
        // The same places of the balls on the plan: a wider mouth's middle lies elsewhere.
        let again = match shot.frame.name {
            Some(pocket) => {
                let places = BedShot {
                    cue: shot.frame.to_plan(shot.cue),
                    object: shot.frame.to_plan(shot.object),
                    pocket,
                };
                Shot::on_bed(&wide, &places, shot.stroke)
            }
            None => Ok(shot),
        };
        let Ok(again) = again else { continue };
        let clean = |gear: &Gear, shot: &Shot| {
            let window = solve(gear, shot).ok()?.window.ok()?;
            window.clean.map(|c| c.total_rad())
        };
        let Some(before) = clean(&tight, &shot) else {
            continue;
        };
        // A wider mouth's line lies farther out: a ball may hang past it.
        if solve(&wide, &again).unwrap().window == Err(NoWindow::InTheJaws) {
            continue;
        }
        let after = clean(&wide, &again).unwrap_or(0.0);
        looked[usize::from(on_a_bed)] += 1;
        assert!(after >= before - 1e-9, "{before} {after} {more_m} {shot:?}");
    }
    assert!(looked[0] > 100 && looked[1] > 40, "{looked:?}");
}

/// Looked at roughly, the pocket gives three speeds the chance that a fine look gives: what a range and the
/// choice of an easier shot are made of.
#[test]
fn a_rough_look_gives_three_speeds_the_same_chance() {
    let gear = pool();
    let mut rng = Pcg64::seed_from_u64(22);
    let mut off: Vec<f64> = Vec::new();
    for shots in 0..400 {
        let (shot, solution) = held_on_bed(&gear, &mut rng);
        let aimed = Aimed::of(&gear, &shot, &solution).expect("it has an aim");
        let player = Level::ALL[shots % 6].aim_error();
        let (fine, rough) = (
            aimed.chance(&player).by_three,
            aimed.chance_by_three(&player),
        );
        off.push((fine - rough).abs());
    }
    off.sort_by(f64::total_cmp);
    let mean = off.iter().sum::<f64>() / 400.0;
    println!(
        "mean {mean:.1e}, 99 in 100 {:.1e}, most {:.1e}",
        off[395], off[399]
    );
    assert!(off[399] < 5e-3 && mean < 1e-4, "{:?} {mean}", &off[390..]);
}
