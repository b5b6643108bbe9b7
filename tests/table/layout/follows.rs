//! What follows: scratches, the next shot, the leave, the best pace, go or safe.

use super::*;
use thincut::units::Hand;
use thincut::window::Hit;

#[test]
fn scratch_chance_is_that_of_brute_force() {
    let gear = nine_foot();
    for name in ["five-left", "crowded"] {
        let layout = read(name, &gear);
        let table = Table::new(&gear, &layout);
        let choice = choose(
            &table,
            &ChooseOptions {
                banks: false,
                kicks: false,
                combinations: false,
                ..options(Level::Club)
            },
            &|_| {},
        )
        .unwrap();
        for shot in choice.shots.iter().filter(|s| s.stance.arm_factor() <= 1.0) {
            let tried = simulated(&table, &shot.shot, Level::Club);
            // thin runs of scratches between two stations may be missed: 1 in 100 at most here
            assert!(
                (shot.scratch - tried.scratch).abs() < 2.0 * SHARE,
                "{} {}",
                shot.scratch,
                tried.scratch
            );
            let kept = tried.make - tried.make_and_scratch;
            assert!((shot.chance_and_keep - kept).abs() < 2.0 * SHARE);
        }
    }
}

#[test]
fn pace_break_even_and_leave() {
    let gear = nine_foot();
    let layout = read("five-left", &gear);
    let table = Table::new(&gear, &layout);
    let player = Level::Club.aim_error();
    let nine = layout.index_of("9").unwrap();
    let best = best_pace(
        &table,
        nine,
        PocketName::FootRight,
        &Stroke::default(),
        &Plays::at_ease(&player),
    )
    .unwrap()
    .unwrap();
    assert!(best.tried.iter().all(|t| t.chance <= best.best.chance));
    assert!(best.tried.len() > 10 && best.best.pace_m_s < 2.0);
    // a soft stroke dies on the way now and then, a hard one never
    let short: Vec<f64> = best.tried.iter().map(|t| t.short_share).collect();
    assert!(short.windows(2).all(|w| w[1] <= w[0]), "{short:?}");
    assert!(
        short[0] > 1e-4 && short[short.len() - 1] < 1e-9,
        "{short:?}"
    );
    assert!((break_even(0.75, 0.25, 0.5).unwrap() - 0.5).abs() < EDGE);
    assert_eq!(break_even(0.2, 0.2, 0.5), None);
    let set = table
        .drop_set(nine, PocketName::FootRight, 1.0)
        .unwrap()
        .unwrap();
    let shot = direct(&table, Ok(&set), &Stroke::default()).unwrap();
    let next = NextBall {
        ball: layout.index_of("7").unwrap(),
        pocket: PocketName::FootRight,
    };
    let map = leave_map(&table, &shot, next, &options(Level::Club), 24)
        .unwrap()
        .unwrap();
    assert_eq!(
        map.cells.len(),
        usize::try_from(map.columns * map.rows).unwrap()
    );
    let best_cell = map
        .cells
        .iter()
        .filter_map(|c| c.chance)
        .fold(0.0, f64::max);
    assert!(best_cell > 0.8);
    // balls in the way: somewhere the next shot is not on, and on top of a ball nothing lies
    assert!(map.cells.iter().any(|c| c.chance == Some(0.0)));
    assert!(map.resting.iter().any(|r| r.hit == Hit::Stun));
    for area in &map.resting {
        assert!(area.next.is_none_or(|n| (0.0..=1.0).contains(&n)));
        assert!(area.stops.len() > 10);
    }
}

/// A long soft roll: with the ball far from its pocket the best pace is not the softest that drops.
#[test]
fn far_from_the_pocket_the_best_pace_is_not_the_softest() {
    let gear = nine_foot();
    let placed = layout(&gear, (6.9, 3.3), &[("1", 5.6, 2.6)]);
    let table = Table::new(&gear, &placed);
    let found = best_pace(
        &table,
        0,
        PocketName::HeadRight,
        &Stroke::default(),
        &Plays::at_ease(&Level::Strong.aim_error()),
    )
    .unwrap()
    .unwrap();
    let softest = found.tried[0];
    println!("{softest:?} {:?}", found.best);
    assert!(softest.short_share > 0.01, "{softest:?}");
    assert!(found.best.pace_m_s > softest.pace_m_s, "{:?}", found.best);
}

/// A stance that widens the arm widens where the cue ball comes to lie, and lowers the make.
#[test]
fn a_short_reach_spreads_the_resting_area() {
    let gear = nine_foot();
    let placed = read("five-left", &gear);
    let table = Table::new(&gear, &placed);
    let set = table
        .drop_set(placed.index_of("7").unwrap(), PocketName::FootRight, 1.0)
        .unwrap()
        .unwrap();
    let shot = direct(&table, Ok(&set), &Stroke::default()).unwrap();
    let next = NextBall {
        ball: placed.index_of("8").unwrap(),
        pocket: PocketName::FootRight,
    };
    let with = |reach_m| {
        let reach = Reach {
            hand: Hand::Right,
            reach_m,
        };
        let asked = ChooseOptions {
            reach,
            ..options(Level::Club)
        };
        leave_map(&table, &shot, next, &asked, 12).unwrap().unwrap()
    };
    let (tall, short) = (with(3.0), with(0.2));
    assert!(!tall.resting.is_empty());
    for (a, b) in tall.resting.iter().zip(&short.resting) {
        assert_eq!(a.hit, b.hit);
        assert!(b.make < a.make, "{} {}", b.make, a.make);
    }
    let mean = |map: &LeaveMap| {
        let known: Vec<f64> = map.cells.iter().filter_map(|c| c.chance).collect();
        known.iter().sum::<f64>() / f64::from(u32::try_from(known.len()).unwrap())
    };
    assert!(mean(&short) < mean(&tall));
}

/// The next shot's chance is the mean over the makes, not that after the middle one alone.
#[test]
fn what_follows_is_a_mean_over_the_makes() {
    let gear = nine_foot();
    let placed = read("five-left", &gear);
    let table = Table::new(&gear, &placed);
    let choice = all(&table, &options(Level::Club));
    let known: Vec<FollowUp> = choice.shots.iter().filter_map(|s| s.next).collect();
    assert!(known.len() >= 3);
    for next in &known {
        assert!((0.0..=1.0).contains(&next.chance) && next.free > 0.0 && next.free <= 1.0);
    }
    let control = ChooseOptions {
        prefer: Prefer::Control,
        ..options(Level::Club)
    };
    let first = &all(&table, &control).shots[0];
    let worth = |s: &RankedShot| s.chance_and_keep * s.next.map_or(0.0, |n| n.chance * n.free);
    assert!(choice.shots.iter().all(|s| worth(s) <= worth(first) + 0.02));
}
