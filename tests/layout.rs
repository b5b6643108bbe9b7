//! Layouts: files, obstruction, every family of shots against brute force, ranking, what follows.

#![expect(clippy::unwrap_used, reason = "a test may stop at a broken promise")]

use kurbo::Point;
use rand::SeedableRng;
use rand_pcg::Pcg64Mcg;
use thincut::gear::Gear;
use thincut::layout::*;
use thincut::player::Level;
use thincut::pocket::PocketName;
use thincut::window::{BedShot, Hit, Shot, Stroke, solve};

/// Simulated tries of a check; the share's standard error is then at most 0.0025.
const TRIES: u32 = 40_000;
/// Four standard errors of a share at that many tries.
const SHARE: f64 = 0.01;
/// Edges are found to 1e-9 rad.
const EDGE: f64 = 5e-9;

fn nine_foot() -> Gear {
    Gear::preset("pool-9ft").unwrap()
}

fn read(name: &str, gear: &Gear) -> Layout {
    let text = std::fs::read_to_string(format!("tests/data/layouts/{name}.csv")).unwrap();
    Layout::parse(&text, gear).unwrap()
}

fn options(level: Level) -> ChooseOptions {
    ChooseOptions {
        player: level.aim_error(),
        on_right_cuts: None,
        stroke: Stroke::default(),
        tip: None,
        reach: Reach::standing(Hand::Right),
        targets: Vec::new(),
        banks: true,
        combinations: true,
        kicks: true,
        prefer: Prefer::Make,
    }
}

fn all(table: &Table<'_>, options: &ChooseOptions) -> Choice {
    choose(table, options, &|_| {}).unwrap()
}

fn layout(gear: &Gear, cue: (f64, f64), balls: &[(&str, f64, f64)]) -> Layout {
    let d = gear.bed.length_m / 8.0;
    let at = |x: f64, y: f64| Point::new(x * d, y * d);
    let balls = balls
        .iter()
        .map(|(l, x, y)| Ball {
            label: (*l).into(),
            at: at(*x, *y),
        })
        .collect();
    Layout::new(gear, at(cue.0, cue.1), balls).unwrap()
}

/// Share of makes by brute force: Normal aim errors, every ball followed forward.
fn simulated(table: &Table<'_>, shot: &Candidate, level: Level) -> Risk {
    let mut rng = Pcg64Mcg::seed_from_u64(11);
    risk(table, shot, (&level.aim_error(), 1.0), TRIES, &mut rng)
}

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
fn best_of(choice: &Choice, fits: impl Fn(Family) -> bool) -> &Candidate {
    // neither hopeless nor sure, so that the edges matter
    let found = choice
        .shots
        .iter()
        .filter(|s| fits(s.shot.family) && s.chance > 0.15 && s.chance < 0.9);
    &found
        .max_by(|a, b| a.chance.total_cmp(&b.chance))
        .unwrap()
        .shot
}

#[test]
fn one_bank_one_combination_one_kick_by_monte_carlo() {
    let gear = nine_foot();
    let layout = read("crowded", &gear);
    let table = Table::new(&gear, &layout);
    let choice = all(&table, &options(Level::Expert));
    let shots = [
        best_of(&choice, |f| matches!(f, Family::Bank { .. })),
        best_of(&choice, |f| matches!(f, Family::Combination { .. })),
        best_of(&choice, |f| matches!(f, Family::Kick { .. })),
    ];
    for shot in shots {
        let exact = shot.chance(&Level::Expert.aim_error(), 1.0);
        let tried = simulated(&table, shot, Level::Expert).make;
        println!("{:?} {exact} {tried}", shot.family);
        assert!(exact > 0.1 && exact < 0.999, "{exact}");
        assert!(
            (exact - tried).abs() < 2.0 * SHARE,
            "{:?} {exact} {tried}",
            shot.family
        );
    }
}

/// Width of the direct shot of the first ball into the foot-left pocket.
fn width(gear: &Gear, layout: &Layout) -> f64 {
    let table = Table::new(gear, layout);
    let set = table.drop_set(0, PocketName::FootLeft, 1.0).unwrap();
    match direct(&table, set.as_ref().map_err(|no| *no), &Stroke::default()) {
        Ok(shot) => shot.directions.measure_rad(),
        Err(_) => 0.0,
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

#[test]
fn a_mirror_and_the_other_hand_give_the_mirror_answer() {
    let gear = nine_foot();
    for name in ["five-left", "last-three"] {
        let one = read(name, &gear);
        let other = one.mirrored(&gear);
        let mut choose_one = options(Level::Club);
        // straight shots count as left cuts by default, which a mirror turns round
        let a = all(&Table::new(&gear, &one), &choose_one);
        choose_one.reach.hand = Hand::Left;
        choose_one.stroke.straight_is_left = false;
        let b = all(&Table::new(&gear, &other), &choose_one);
        assert_eq!(a.shots.len(), b.shots.len());
        assert_eq!(a.refused.len(), b.refused.len());
        for (s, t) in a.shots.iter().zip(&b.shots).take(10) {
            assert_eq!((s.shot.ball, s.shot.first), (t.shot.ball, t.shot.first));
            assert!(
                (s.chance - t.chance).abs() < 1e-5,
                "{name} {} {}",
                s.chance,
                t.chance
            );
            assert_eq!(s.stance.needs_rest, t.stance.needs_rest);
            let turned = (s.shot.aim_rad + t.shot.aim_rad).sin();
            assert!(turned.abs() < 1e-6, "{turned}");
        }
    }
}

#[test]
fn frozen_balls_and_a_frozen_cue_ball_are_solved() {
    let gear = nine_foot();
    let text =
        "ball,x,y\ncue,frozen-head,2\n1,4,frozen-left\n2,4.3,frozen-left\n3,7.9,frozen-right\n";
    let layout = Layout::parse(text, &gear).unwrap();
    let table = Table::new(&gear, &layout);
    let choice = all(&table, &options(Level::Club));
    assert!(!choice.shots.is_empty());
    let down_the_rail = choice
        .shots
        .iter()
        .find(|s| s.shot.ball == 2 && s.shot.pocket == PocketName::FootRight);
    assert!(down_the_rail.is_some());
    // two balls touching, in line with the pocket: the combination is on
    let d = gear.balls.object_diameter_m;
    let step = d / 2.0_f64.sqrt() / 0.3175;
    let frozen = layout_of_two(&gear, step);
    let choice = all(&Table::new(&gear, &frozen), &options(Level::Club));
    let combination = choice
        .shots
        .iter()
        .find(|s| matches!(s.shot.family, Family::Combination { .. }));
    assert!(combination.is_none_or(|s| s.chance <= 1.0));
}

fn layout_of_two(gear: &Gear, step: f64) -> Layout {
    layout(
        gear,
        (4.0, 0.6),
        &[("1", 6.5, 2.7), ("2", 6.5 + step, 2.7 + step)],
    )
}

#[test]
fn a_ball_in_the_jaws_goes_in_almost_anyhow() {
    let gear = nine_foot();
    let middle = PocketName::FootLeft.frame(&gear);
    let inside = middle.to_plan(Point::new(0.01, 0.0));
    let at = Ball {
        label: "9".into(),
        at: inside,
    };
    let hanging = Layout::new(&gear, Point::new(1.2, 0.6), vec![at]).unwrap();
    let table = Table::new(&gear, &hanging);
    let choice = choose(
        &table,
        &ChooseOptions {
            banks: false,
            kicks: false,
            ..options(Level::Club)
        },
        &|_| {},
    )
    .unwrap();
    assert_eq!(choice.shots[0].shot.pocket, PocketName::FootLeft);
    assert!(choice.shots[0].chance > 0.9, "{}", choice.shots[0].chance);
}

#[test]
fn a_ball_over_the_mouth_closes_the_pocket_for_others() {
    let gear = nine_foot();
    let open = layout(&gear, (3.0, 1.0), &[("1", 6.0, 2.6)]);
    let middle = PocketName::FootLeft
        .frame(&gear)
        .to_plan(Point::new(-0.02, 0.0));
    let mut balls = open.balls.clone();
    balls.push(Ball {
        label: "2".into(),
        at: middle,
    });
    let closed = Layout::new(&gear, open.cue, balls).unwrap();
    let (free, left) = (width(&gear, &open), width(&gear, &closed));
    assert!(free > 0.0 && left < EDGE, "{free} {left}");
}

#[test]
fn no_shot_says_so_and_names_the_easiest_hit() {
    let gear = nine_foot();
    // the ball to be played hides behind another close to the cue ball
    let text = "ball,x,y\ncue,0.6,2\n1,4,2\n2,0.85,2\n";
    let layout = Layout::parse(text, &gear).unwrap();
    let table = Table::new(&gear, &layout);
    let limited = ChooseOptions {
        targets: vec![0],
        banks: false,
        combinations: false,
        kicks: false,
        ..options(Level::Club)
    };
    let choice = choose(&table, &limited, &|_| {}).unwrap();
    assert!(choice.no_shot && choice.shots.is_empty());
    assert_eq!(choice.refused.len(), 6);
    assert_eq!(choice.least_bad, None);
    // with all balls allowed there is always a legal hit
    let table = Table::new(&gear, &layout);
    let free = ChooseOptions {
        targets: Vec::new(),
        ..limited
    };
    let choice = choose(&table, &free, &|_| {}).unwrap();
    if choice.no_shot {
        assert!(choice.least_bad.is_some_and(|l| l.chance > 0.5));
    }
}

#[test]
fn stances() {
    let gear = nine_foot();
    let layout = layout(&gear, (4.0, 2.0), &[("1", 6.0, 2.0), ("2", 3.6, 2.0)]);
    let table = Table::new(&gear, &layout);
    // along the table from its middle: a ball right behind the cue ball
    let along = stance(&table, 0.0, Reach::standing(Hand::Right));
    assert_eq!(along.over_ball, Some(1));
    assert!(along.arm_factor() > 1.5);
    // the right-hander stands at the left rail, the left-hander at the right one
    let left = stance(&table, 0.0, Reach::standing(Hand::Left));
    assert!(along.at.y > gear.bed.width_m && left.at.y < 0.0);
    assert!((along.needed_m - left.needed_m).abs() < EDGE);
    assert!(
        stance(
            &table,
            0.0,
            Reach {
                hand: Hand::Right,
                reach_m: 0.7
            }
        )
        .needs_rest
    );
    let at_rail = Layout {
        cue: Point::new(1.0, 0.03),
        balls: layout.balls.clone(),
    };
    let table = Table::new(&gear, &at_rail);
    let up = stance(
        &table,
        std::f64::consts::FRAC_PI_2,
        Reach::seated(Hand::Right),
    );
    assert!(up.over_rail && !up.needs_rest);
}

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
        (&player, 1.0),
    )
    .unwrap()
    .unwrap();
    assert!(best.tried.iter().all(|t| t.chance <= best.best.chance));
    assert!(best.tried.len() > 10 && best.best.pace_m_s < 2.0);
    assert!((break_even(0.75, 0.25, 0.5).unwrap() - 0.5).abs() < EDGE);
    assert_eq!(break_even(0.2, 0.2, 0.5), None);
    let set = table
        .drop_set(nine, PocketName::FootRight, 1.0)
        .unwrap()
        .unwrap();
    let shot = direct(&table, Ok(&set), &Stroke::default()).unwrap();
    let next = (layout.index_of("7").unwrap(), PocketName::FootRight);
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

#[test]
fn files_report_every_fault_with_its_line() {
    let gear = nine_foot();
    let text = "# a bad evening\nball,x,y\n1,2,2\n1,3,3\n2,2.05,2\n3,9,1\n4,frozen-left,2\n,1,1\n5,1\n6,5,0.02\n7,4.4,1.1,5\n";
    let error = Layout::parse(text, &gear).unwrap_err();
    let lines: Vec<u64> = error.problems.iter().map(|p| p.line).collect();
    assert_eq!(lines, [4, 5, 6, 7, 8, 9, 10, 11]);
    assert!(
        error
            .to_string()
            .contains("line 4: the ball 1 is already on line 3")
    );
    let no_cue = Layout::parse("ball,x,y\n1,2,2\n", &gear).unwrap_err();
    assert_eq!(no_cue.problems[0].fault, LayoutFault::NoCue);
    assert!(matches!(
        Layout::parse("", &gear).unwrap_err().problems[0].fault,
        LayoutFault::Header { .. }
    ));
    let swapped = Layout::parse("x,y,ball\n", &gear).unwrap_err();
    assert!(swapped.to_string().contains("ball,x,y"));
    let fine = Layout::parse(
        "\u{feff}ball,x,y\r\ncue,head-spot\r\n8,foot-spot\r\n9,50in,25in\r\n",
        &gear,
    )
    .unwrap();
    assert_eq!(fine.balls.len(), 2);
    assert!((fine.balls[0].at.x - 0.75 * gear.bed.length_m).abs() < 1e-12);
}

#[test]
fn fifteen_balls_give_the_same_answer_twice() {
    let gear = nine_foot();
    let layout = read("crowded", &gear);
    assert_eq!(layout.balls.len(), 15);
    let table = Table::new(&gear, &layout);
    let (a, b) = (
        all(&table, &options(Level::Club)),
        all(&table, &options(Level::Club)),
    );
    assert_eq!(a, b);
    assert!(
        a.shots
            .windows(2)
            .all(|w| w[0].chance_and_keep + 0.021 >= w[1].chance_and_keep)
    );
}
