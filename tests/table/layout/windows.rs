//! Windows past other balls, and those of banks, combinations and kicks, against brute force.

use super::*;
use thincut::window::{BedShot, Shot, solve};

#[test]
fn direct_chances_are_those_of_brute_force() {
    let gear = nine_foot();
    for name in ["five-left", "crowded"] {
        let layout = read(name, &gear);
        let table = Table::new(&gear, &layout);
        let mut checked = 0;
        for ball in 0..layout.balls.len() {
            for pocket in PocketName::ALL {
                let Ok(set) = table.drop_set(ball, pocket, 1.0).unwrap() else {
                    continue;
                };
                let Ok(shot) = direct(&table, Ok(&set), &Stroke::default()) else {
                    continue;
                };
                if shot.cue_speed_m_s > 7.0 {
                    continue;
                }
                let exact = shot.chance(&Level::Club.aim_error(), 1.0);
                let tried = simulated(&table, &shot, Level::Club).make;
                assert!(
                    (exact - tried).abs() < SHARE,
                    "{name} {} {pocket}: {exact} {tried}",
                    layout.balls[ball].label
                );
                checked += 1;
            }
        }
        assert!(checked >= 5, "{checked}");
    }
}

/// Share of tries, evenly over the window and half as much again on both sides, in which the set of
/// directions and the forward simulation disagree; and the share of those made outside the set.
fn disagreement(table: &Table<'_>, shot: &Candidate) -> (f64, f64) {
    let forward = Forward::new(table, shot);
    let spans = shot.directions.spans();
    let (lo, hi) = (spans[0].from_rad, spans[spans.len() - 1].to_rad);
    let wide = 0.5 * (hi - lo);
    let (mut wrong, mut lucky) = (0, 0);
    let tries = 2000;
    for k in 0..tries {
        let delta = lo - wide + (hi - lo + 2.0 * wide) * (f64::from(k) + 0.5) / f64::from(tries);
        let made = forward.made(&forward.outcome(delta, false));
        let inside = shot.directions.tag_at(delta).is_some();
        wrong += i32::from(made != inside);
        lucky += i32::from(made && !inside);
    }
    (
        f64::from(wrong) / f64::from(tries),
        f64::from(lucky) / f64::from(tries),
    )
}

/// Most of a window that the simulation may refuse: rounding for banks and kicks; speed and roll of
/// the second contact change a little over a combination's window, which the solved set leaves out.
const BANK_WRONG: f64 = 0.005;
const COMBINATION_WRONG: f64 = 0.08;
const KICK_WRONG: f64 = 0.005;

#[test]
fn roundabout_windows_are_those_of_brute_force() {
    let gear = nine_foot();
    let mut seen = [0, 0, 0];
    for name in ["five-left", "crowded", "last-three"] {
        let layout = read(name, &gear);
        let table = Table::new(&gear, &layout);
        let choice = all(&table, &options(Level::Club));
        for shot in &choice.shots {
            let (wrong, lucky) = disagreement(&table, &shot.shot);
            let (kind, allowed) = match shot.shot.family {
                Family::Direct => continue,
                Family::Bank { .. } => (0, BANK_WRONG),
                Family::Combination { .. } => (1, COMBINATION_WRONG),
                Family::Kick { .. } => (2, KICK_WRONG),
            };
            seen[kind] += 1;
            assert!(
                wrong - lucky <= allowed,
                "{name} {:?} {}: {wrong}",
                shot.shot.family,
                layout.balls[shot.shot.ball].label
            );
        }
    }
    assert!(seen.iter().all(|n| *n >= 10), "{seen:?}");
}

/// The best of a family for an expert, whose errors stay near the window.
fn best_of(choice: &Choice, fits: impl Fn(Family) -> bool) -> &RankedShot {
    // neither hopeless nor sure, so that the edges matter
    let found = choice
        .shots
        .iter()
        .filter(|s| fits(s.shot.family) && s.chance > 0.15 && s.chance < 0.9);
    found.max_by(|a, b| a.chance.total_cmp(&b.chance)).unwrap()
}

#[test]
fn one_bank_one_combination_one_kick_by_monte_carlo() {
    let gear = nine_foot();
    let layout = read("crowded", &gear);
    let table = Table::new(&gear, &layout);
    let asked = ChooseOptions {
        player: steady(Level::Expert),
        ..options(Level::Expert)
    };
    let choice = all(&table, &asked);
    let shots = [
        best_of(&choice, |f| matches!(f, Family::Bank { .. })),
        best_of(&choice, |f| matches!(f, Family::Combination { .. })),
        best_of(&choice, |f| matches!(f, Family::Kick { .. })),
    ];
    for RankedShot {
        shot,
        chance: exact,
        stance,
        ..
    } in shots
    {
        let mut rng = Pcg64Mcg::seed_from_u64(11);
        let player = Plays {
            aims: &steady(Level::Expert),
            arm_factor: stance.arm_factor(),
        };
        let tried = risk(&table, shot, &player, TRIES, &mut rng).make;
        println!("{:?} {exact} {tried}", shot.family);
        assert!(*exact > 0.1 && *exact < 0.999, "{exact}");
        assert!(
            (exact - tried).abs() < 2.0 * SHARE,
            "{:?} {exact} {tried}",
            shot.family
        );
    }
}

#[test]
fn without_others_the_window_is_that_of_the_single_shot() {
    let gear = nine_foot();
    let layout = layout(&gear, (3.0, 1.0), &[("1", 6.0, 2.6)]);
    let table = Table::new(&gear, &layout);
    for pocket in [
        PocketName::FootLeft,
        PocketName::FootRight,
        PocketName::SideLeft,
    ] {
        let shot = BedShot {
            cue: layout.cue,
            object: layout.balls[0].at,
            pocket,
        };
        let solved = solve(
            &gear,
            &Shot::on_bed(&gear, &shot, Stroke::default()).unwrap(),
        )
        .unwrap();
        let set = table.drop_set(0, pocket, 1.0).unwrap().unwrap();
        match (solved.window, direct(&table, Ok(&set), &Stroke::default())) {
            (Ok(window), Ok(shot)) => {
                let one = *shot.window().unwrap();
                assert!(
                    (one.drop.unwrap().total_rad() - window.drop.unwrap().total_rad()).abs() < EDGE
                );
                assert!((one.aim.aim_rad - window.aim.aim_rad).abs() < EDGE);
            }
            (Err(_), Err(_)) => {}
            (a, b) => panic!("{a:?} {b:?}"),
        }
    }
}

/// A ball moved across the way of the object ball, then of the cue ball: the window falls
/// continuously to nothing and returns to what it was.
#[test]
fn a_blocker_moved_across_closes_and_opens_the_window() {
    let gear = nine_foot();
    let free = width(&gear, &layout(&gear, (3.0, 1.0), &[("1", 6.0, 2.6)]));
    // steps of 0.7 mm and, on the cue ball's side, where the whole window is 3 mm wide, 0.27 mm
    for (x, y, dx, dy, steps) in [(7.0, 3.3, -0.5, 0.5, 320), (4.5, 1.8, -0.4, 0.75, 1000)] {
        let mut widths = Vec::new();
        for k in -steps..=steps {
            let s = f64::from(k) / f64::from(steps);
            let moved = ("2", x + s * dx, y + s * dy);
            widths.push(width(
                &gear,
                &layout(&gear, (3.0, 1.0), &[("1", 6.0, 2.6), moved]),
            ));
        }
        let middle = widths.len() / 2;
        assert!((widths[0] - free).abs() < EDGE && (widths[2 * middle] - free).abs() < EDGE);
        assert!(widths[middle] < EDGE, "{}", widths[middle]);
        let largest = widths
            .windows(2)
            .map(|w| (w[1] - w[0]).abs())
            .fold(0.0, f64::max);
        assert!(largest < 0.15 * free, "{largest} of {free}");
        // no width is above the free one, and it falls before it rises
        assert!(widths.iter().all(|w| *w <= free + EDGE));
        let closed: Vec<usize> = (0..widths.len()).filter(|&i| widths[i] < EDGE).collect();
        assert_eq!(
            closed.len(),
            closed[closed.len() - 1] - closed[0] + 1,
            "closed once"
        );
    }
}
