//! Awkward places: mirrors, frozen balls, jaws, mouths, no shot, fifteen balls, reach.

use super::*;
use thincut::units::{Hand, Side};

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
        choose_one.stroke.straight_side = Side::Right;
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
    // shut in by a ring of balls, every hit is a legal one and an easy one
    let shut_in = layout_of_a_ring(&gear);
    let table = Table::new(&gear, &shut_in);
    let free = ChooseOptions {
        targets: Vec::new(),
        player: Level::Starting.aim_error(),
        ..limited
    };
    let choice = choose(&table, &free, &|_| {}).unwrap();
    assert!(
        choice.no_shot,
        "{:?}",
        choice.shots.first().map(|s| s.chance)
    );
    let hit = choice.least_bad.unwrap();
    assert!(hit.chance > 0.9, "{}", hit.chance);
}

/// The cue ball in the middle of six balls, each a quarter diamond from it.
fn layout_of_a_ring(gear: &Gear) -> Layout {
    let places = [
        ("1", 2.25, 2.0),
        ("2", 2.125, 2.2165),
        ("3", 1.875, 2.2165),
        ("4", 1.75, 2.0),
        ("5", 1.875, 1.7835),
        ("6", 2.125, 1.7835),
    ];
    layout(gear, (2.0, 2.0), &places)
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
    // By the mean over how jaws and rails may bounce, of those that keep the cue ball.
    let worth = |s: &RankedShot| s.expected() * s.chance_and_keep / s.chance.max(1e-12);
    assert!(
        a.shots
            .windows(2)
            .all(|w| worth(&w[0]) + 0.021 >= worth(&w[1]))
    );
}

#[test]
fn frozen_balls_and_a_frozen_cue_ball_are_solved() {
    let gear = nine_foot();
    let text =
        "ball,x,y\ncue,frozen-head,2\n1,4,frozen-left\n2,4.3,frozen-left\n3,7.9,frozen-right\n";
    let layout = Layout::parse(text, &gear).unwrap();
    let table = Table::new(&gear, &layout);
    let choice = all(&table, &options(Level::Club));
    let down_the_rail = choice
        .shots
        .iter()
        .find(|s| s.shot.ball == 2 && s.shot.pocket == PocketName::FootRight);
    assert!(down_the_rail.is_some());
}

/// Two balls that touch, in line with the pocket: the second goes along the line of centres whatever
/// the hit on the first, so the combination is wide; off line, throw alone cannot send it in.
#[test]
fn a_frozen_combination_is_on_in_line_with_the_pocket_and_not_beside_it() {
    let gear = nine_foot();
    let d = gear.balls.object_diameter_m;
    let mouth = PocketName::FootLeft.frame(&gear).mouth_middle;
    let second = Point::new(0.8125 * gear.bed.length_m, 0.675 * gear.bed.width_m);
    let chance_at = |turn_deg: f64| {
        let line = (mouth - second).atan2() + f64::to_radians(turn_deg);
        let first = second - kurbo::Vec2::from_angle(line) * d;
        let ball = |label: &str, at| Ball {
            label: label.into(),
            at,
        };
        let cue = Point::new(0.4 * gear.bed.length_m, 0.2 * gear.bed.width_m);
        let placed = Layout::new(&gear, cue, vec![ball("1", first), ball("2", second)]).unwrap();
        let table = Table::new(&gear, &placed);
        let choice = all(&table, &options(Level::Club));
        let found = choice.shots.iter().find(|s| {
            s.shot.family == Family::Combination { through: 0 }
                && s.shot.pocket == PocketName::FootLeft
        });
        found.map(|s| {
            let tried = simulated(&table, &s.shot, Level::Club);
            assert!(
                (s.shot.chance(&Level::Club.aim_error(), 1.0) - tried.make).abs() < 2.0 * SHARE
            );
            s.chance
        })
    };
    assert!(
        chance_at(0.0).is_some_and(|c| c > 0.8),
        "{:?}",
        chance_at(0.0)
    );
    assert_eq!(chance_at(15.0), None);
}
