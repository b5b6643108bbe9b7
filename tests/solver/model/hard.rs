//! Chances over the speeds of a stroke, what side costs, rail and ball together, why a shot is hard:
//! the numbers that the model states.

use kurbo::Point;
use thincut::answer::{Easing, width_rad};
use thincut::forwards::{Forwards, Found, Lie, Miss};
use thincut::player::factors::{Factor, Hardness, Verdict};
use thincut::player::{AimError, Aimed, Level, Paced, Scatter, chance, ranged};
use thincut::pocket::PocketKind;
use thincut::units::Side;
use thincut::window::{AbstractShot, BedShot, Shot, Stroke, Tip, solve};

use super::{near, pool};

const FT_M: f64 = 0.3048;

fn aim(arm_deg: f64, picture_mm: f64) -> AimError {
    AimError::new(arm_deg.to_radians(), picture_mm / 1e3).unwrap()
}

/// By angles: cut to the left (degrees), between the balls and to the pocket (feet), off straight in
/// (degrees), pace.
fn by_angles(kind: PocketKind, places: [f64; 4], pace_m_s: f64) -> Shot {
    let [cut_deg, apart_ft, pocket_ft, off_deg] = places;
    let shot = AbstractShot {
        kind,
        cut_rad: cut_deg.to_radians(),
        cut_side: Side::Left,
        apart_m: apart_ft * FT_M,
        to_pocket_m: pocket_ft * FT_M,
        approach_rad: off_deg.to_radians(),
    };
    let stroke = Stroke {
        pace_m_s,
        ..Stroke::default()
    };
    Shot::from_angles(&pool(), &shot, stroke).unwrap()
}

fn struck(across_r: f64, player: &AimError) -> Paced {
    let gear = pool();
    let mut shot = by_angles(PocketKind::Corner, [30.0, 4.0, 3.0, 0.0], 1.0);
    shot.stroke.tip = Some(Tip {
        across_m: across_r * gear.cue_radius_m(),
        ..Tip::CENTRE
    });
    let found = solve(&gear, &shot).unwrap();
    Aimed::of(&gear, &shot, &found).unwrap().chance(player)
}

/// Half-ball, 4 ft and 3 ft, tip 0.2 R right: 2.0, 4.6 and 6.6 in ten, 3.4, 7.3 and 9.2 without.
#[test]
fn what_side_costs() {
    for (level, with, without) in [
        (Level::Club, 0.20, 0.34),
        (Level::Strong, 0.46, 0.73),
        (Level::Expert, 0.66, 0.92),
    ] {
        let player = level.aim_error();
        near(struck(0.2, &player).chance, with, 0.005, level.name());
        near(struck(0.0, &player).chance, without, 0.005, level.name());
    }
}

/// An expert makes about 9 of 10 straight, 4 ft and 4 ft, and 98 of 100 cuts of 30° at 3 ft and 3 ft
/// (two professionals made 136 of 139 attempted pots in a match, a report of 1996).
#[test]
fn what_an_expert_makes() {
    for (places, made) in [([0.0, 4.0, 4.0, 0.0], 0.89), ([30.0, 3.0, 3.0, 0.0], 0.98)] {
        let gear = pool();
        let shot = by_angles(PocketKind::Corner, places, 1.0);
        let window = solve(&gear, &shot).unwrap().window.unwrap();
        let aimed = Aimed {
            stick: None,
            ..Aimed::new(&gear, &shot, &window)
        };
        let level = Level::Expert;
        near(
            aimed.chance(&level.aim_error()).chance,
            made,
            0.005,
            "expert",
        );
    }
}

/// A few speeds against 201, also where a ball may die short.
#[test]
fn a_few_speeds_stand_for_all() {
    let gear = pool();
    for (places, pace_m_s) in [
        ([20.0, 3.0, 6.0, 20.0], 0.2),
        ([45.0, 3.0, 4.0, 0.0], 0.35),
        ([10.0, 2.0, 3.0, 40.0], 2.0),
    ] {
        let shot = by_angles(PocketKind::Corner, places, pace_m_s);
        let window = solve(&gear, &shot).unwrap().window.unwrap();
        let aimed = Aimed {
            stick: None,
            ..Aimed::new(&gear, &shot, &window)
        };
        let player = Level::Club.aim_error();
        let got = aimed.chance(&player);
        let spread = player.scatter.speed_share;
        let (mut sum, mut weights) = (0.0, 0.0);
        for k in -100..=100 {
            let z = 0.04 * f64::from(k);
            let weight = (-0.5 * z * z).exp();
            weights += weight;
            let share = 1.0 + spread * z;
            let speed = share * window.cue_speed_m_s;
            let sigma = player.sigma_rad(window.aim.travel_m, speed);
            sum += weight * chance(&aimed.intervals_rad(share), sigma, 0.0);
        }
        near(got.chance, sum / weights, 0.004, "a few speeds");
        assert!(pace_m_s > 1.0 || got.dies_short > 0.0);
    }
}

/// No spread of speed: as intended.
#[test]
fn without_a_spread_of_speed_the_chance_is_as_intended() {
    let player = AimError {
        scatter: Scatter::NONE,
        ..Level::Club.aim_error()
    };
    let got = struck(0.0, &player);
    near(got.chance, got.as_intended, 0.0, "as intended");
    near(got.dies_short, 0.0, 0.0, "never short");
}

/// The range holds the chance and the mean; a shot that needs no jaw has hardly any.
#[test]
fn a_chance_lies_in_its_range() {
    let gear = pool();
    for off_deg in [0.0, 35.0] {
        let shot = by_angles(PocketKind::Corner, [15.0, 2.0, 3.0, off_deg], 1.0);
        let window = solve(&gear, &shot).unwrap().window.unwrap();
        let aimed = Aimed {
            stick: None,
            ..Aimed::new(&gear, &shot, &window)
        };
        let (range, _) = ranged(&aimed, &Level::League.aim_error());
        assert!(
            range.low <= range.chance && range.chance <= range.high,
            "{range:?}"
        );
        assert!(range.low <= range.mean && range.mean <= range.high);
        assert_eq!(off_deg > 0.0, range.high - range.low > 0.1, "{range:?}");
    }
}

fn along_the_rail(cue: Point) -> (Forwards<'static>, f64, f64, f64) {
    let gear: &'static _ = Box::leak(Box::new(pool()));
    let object = Point::new(0.75 * gear.bed.length_m, gear.object_contact_radius_m());
    let pocket = "foot-right".parse().unwrap();
    let bed = BedShot {
        cue,
        object,
        pocket,
    };
    let shot = Shot::on_bed(gear, &bed, Stroke::default()).unwrap();
    let window = solve(gear, &shot).unwrap().window.unwrap();
    let forwards = Forwards::new(Lie {
        gear,
        cue,
        object,
        others: &[],
        pocket,
        law: window.law,
        object_speed_m_s: window.object_speed_m_s,
    });
    let about = window.aim_in_pocket_frame_rad() + shot.frame.axis_rad;
    (forwards, about, window.aim.travel_m, window.law.speed_m_s)
}

fn played(player: &AimError, cue: Point) -> (Found, f64, f64) {
    let (forwards, about, travel_m, speed) = along_the_rail(cue);
    let sigma = player.sigma_rad(travel_m, speed);
    let found = forwards.find(about, 5.0 * sigma, &[]).unwrap();
    let spans = found.pieces.spans();
    let intervals: Vec<_> = spans.iter().map(|s| (s.from_rad, s.to_rad)).collect();
    let made = chance(&intervals, sigma, 0.0);
    // The same without what the cue ball makes off the rail.
    let ball_first: Vec<_> = intervals
        .iter()
        .flat_map(|&(lo, hi)| {
            (0..200).map(move |k| {
                let at = |k: i32| lo + (hi - lo) * f64::from(k) / 200.0;
                (at(k), at(k + 1))
            })
        })
        .filter(|(lo, hi)| {
            let sent = forwards.sent(found.aim_rad + 0.5 * (lo + hi));
            sent.is_some_and(|s| s.cushions == 0)
        })
        .collect();
    let middle = match (ball_first.first(), ball_first.last()) {
        (Some(a), Some(b)) => 0.5 * (a.0 + b.1),
        _ => 0.0,
    };
    let shifted: Vec<_> = ball_first
        .iter()
        .map(|(a, b)| (a - middle, b - middle))
        .collect();
    (found, made, chance(&shifted, sigma, 0.0))
}

/// Object ball frozen on the long rail at 6 diamonds, cue ball on the middle of the table (46°): 4.6
/// and 9.9 in ten for a club player and an expert of the first edition's levels, about 7.6 for the
/// expert without what goes in off the rail first.
#[test]
fn rail_and_ball_together() {
    let gear = pool();
    let cue = Point::new(0.5 * gear.bed.length_m, 0.5 * gear.bed.width_m);
    let (found, club, _) = played(&aim(0.25, 2.0), cue);
    assert!(found.rail_first);
    near(club, 0.46, 0.01, "club");
    let (_, expert, ball_first) = played(&aim(0.06, 0.4), cue);
    near(expert, 0.99, 0.005, "expert");
    assert!(ball_first < expert - 0.1, "{ball_first}");
}

/// Every better player makes more of it.
#[test]
fn a_frozen_ball_is_easier_for_every_better_player() {
    let gear = pool();
    let (l, w) = (gear.bed.length_m, gear.bed.width_m);
    for (x, y) in [(0.5, 0.5), (0.45, 0.2), (0.6, 0.8), (0.7, 0.3)] {
        let mut last = 0.0;
        for level in Level::ALL {
            let (_, made, _) = played(&level.aim_error(), Point::new(x * l, y * w));
            assert!(made > last, "{x} {y} {level}: {made} after {last}");
            last = made;
        }
    }
}

/// Which side a miss lies on follows from the cut at the contact.
#[test]
fn sides_of_a_miss_follow_from_the_contact() {
    let gear = pool();
    let cue = Point::new(0.5 * gear.bed.length_m, 0.5 * gear.bed.width_m);
    let (forwards, about, ..) = along_the_rail(cue);
    let found = forwards.find(about, 0.02, &[]).unwrap();
    let miss = |off: f64| forwards.miss(&found, found.aim_rad + off);
    assert_eq!(miss(0.0), None);
    // A left cut: turning left hits fuller, and off the rail first thinner.
    let step = 0.75 * found.component.width_rad();
    assert_eq!(miss(step), Some(Miss::TooFull));
    assert_eq!(miss(-step), Some(Miss::TooThin));
    assert_eq!(miss(1.2), Some(Miss::NoBall));
}

fn why(shot: &Shot) -> Verdict {
    let gear = pool();
    let solution = solve(&gear, shot).unwrap();
    let hardness = Hardness::of(&gear, shot, solution.solved().unwrap());
    hardness.unwrap().verdict(None)
}

/// The worked list of the model, without a player.
#[test]
fn what_makes_a_shot_hard() {
    let corner = PocketKind::Corner;
    let side = PocketKind::Side;
    for (shot, main) in [
        (
            by_angles(corner, [0.0, 2.0 / 3.0, 8.0, 0.0], 1.0),
            Factor::ObjectDistance,
        ),
        (
            by_angles(side, [30.0, 2.0, 1.0, 55.0], 1.0),
            Factor::PocketAngle,
        ),
        (
            by_angles(corner, [0.0, 8.0, 2.0, 0.0], 1.0),
            Factor::CueDistance,
        ),
        (by_angles(corner, [75.0, 2.0, 2.0, 0.0], 1.0), Factor::Cut),
        (by_angles(corner, [0.0, 2.0, 3.0, 40.0], 3.0), Factor::Pace),
    ] {
        let verdict = why(&shot);
        assert_eq!(verdict.main, [main], "{verdict:?}");
        assert!((0.95..1.06).contains(&verdict.factors.rest), "{verdict:?}");
        let factors = verdict.factors.named().iter().map(|f| f.1).product::<f64>();
        near(
            factors * verdict.factors.rest,
            verdict.product,
            1e-9,
            &format!("{main:?}"),
        );
    }
    let gear = pool();
    let at = |x: f64, y: f64| Point::new(x * gear.bed.length_m / 8.0, y * gear.bed.width_m / 4.0);
    let bed = BedShot {
        cue: at(7.0, 2.3),
        object: at(5.6, 1.1),
        pocket: "side-right".parse().unwrap(),
    };
    let shot = Shot::on_bed(&gear, &bed, Stroke::default()).unwrap();
    assert_eq!(why(&shot).main, [Factor::PocketAngle]);
}

/// Off straight in, a corner at 1 m/s takes more (7.1° to 12.1° at 40°), most of it off jaw and rail.
#[test]
fn a_corner_takes_more_off_straight_in_but_off_the_jaws() {
    let plain = why(&by_angles(PocketKind::Corner, [0.0, 2.0, 2.0, 0.0], 1.0));
    near(plain.product, 1.0, 1e-6, "plain");
    assert!(plain.main.is_empty() && !plain.mostly_jaws);
    let off = why(&by_angles(PocketKind::Corner, [0.0, 2.0, 2.0, 40.0], 1.0));
    near(off.factors.pocket_angle, 12.1 / 7.1, 0.02, "7.1° to 12.1°");
    assert!(off.main.is_empty() && off.mostly_jaws);
}

/// What would be easier is solved as any other shot is, beside a cushion too, where what the pocket takes is
/// written down for one place of the cue ball.
#[test]
fn an_easier_shot_is_solved_like_any_other() {
    let gear = pool();
    let player = Level::Club.aim_error();
    for (cue, object) in [((3.0, 1.0), (5.0, 2.4)), ((2.0, 1.0), (5.0, 3.9))] {
        let place = |(x, y): (f64, f64)| {
            Point::new(x * gear.bed.length_m / 8.0, y * gear.bed.width_m / 4.0)
        };
        let bed = BedShot {
            cue: place(cue),
            object: place(object),
            pocket: "foot-left".parse().unwrap(),
        };
        let sided = Stroke {
            side: 0.3,
            ..Stroke::default()
        };
        let shot = Shot::on_bed(&gear, &bed, sided).unwrap();
        let solution = solve(&gear, &shot).unwrap();
        let aimed = Aimed::of(&gear, &shot, &solution).unwrap();
        let chance = aimed.chance(&player).chance;
        for (who, now) in [(None, width_rad(&solution)), (Some(&player), Some(chance))] {
            let found = Easing::of(&gear, &shot, &solution, who)
                .beside(now)
                .unwrap();
            assert_eq!(found.solution, solve(&gear, &found.shot).unwrap());
            assert!(found.worth.1 > found.worth.0, "{found:?}");
        }
    }
}
