//! The library alone, without any feature: typed questions, typed answers.
//!
//! `cargo test --no-default-features --test library`

use thincut::aims::{Allowance, GhostBall, Scene, judge};
use thincut::ladder::{Topic, Wishes, ladder};
use thincut::layout::{Ball, ChooseOptions, Layout, Prefer, Reach, Table, choose};
use thincut::{
    AbstractShot, Angle, BedShot, Gear, Hand, Length, Level, PocketName, Point, Preset, Shot,
    Speed, Stroke, chance_of_solution, solve,
};

fn pool() -> Gear {
    Gear::standard(Preset::Pool9Ft).unwrap()
}

/// A quarter of the table's width and an eighth of its length are a diamond.
fn place(gear: &Gear, x: f64, y: f64) -> Point {
    Point::new(x * gear.bed.length_m / 8.0, y * gear.bed.width_m / 4.0)
}

/// The rows of `tests/data/shots.csv` on this table: an independent event tracer (SciPy) gave them,
/// angles good to 1e-5 degrees, lengths and speeds to the last digit printed.
#[test]
fn a_shot_has_the_room_that_another_solver_finds() {
    let text = include_str!("data/shots.csv");
    let mut lines = text.lines().filter(|line| !line.starts_with('#'));
    let names: Vec<&str> = lines.next().unwrap().split(',').collect();
    let mut compared = 0;
    for line in lines {
        let cells: Vec<&str> = line.split(',').collect();
        let cell = |name: &str| cells[names.iter().position(|n| *n == name).unwrap()];
        let number = |name: &str| cell(name).parse::<f64>().unwrap();
        if cell("gear") != "pool-9ft" {
            continue;
        }
        let mut gear = pool();
        if cell("throw") == "no" {
            gear.contact.friction_scale = 0.0;
        }
        let asked = BedShot {
            cue: place(&gear, number("cue_x"), number("cue_y")),
            object: place(&gear, number("object_x"), number("object_y")),
            pocket: cell("pocket").parse::<PocketName>().unwrap(),
        };
        let stroke = Stroke {
            roll: number("roll"),
            side: number("side"),
            ..Stroke::at_pace(Speed::from_m_s(number("pace_m_s")))
        };
        let shot = Shot::on_bed(&gear, &asked, stroke).unwrap();
        let solution = solve(&gear, &shot).unwrap();
        let solved = solution.solved().unwrap();
        let near = |got: f64, column: &str| {
            let want = number(column);
            assert!((got - want).abs() < 1e-5, "{line}: {column} is {got}");
        };
        near(solved.window.cut_rad.abs().to_degrees(), "cut_deg");
        let drop = solved.window.drop.unwrap();
        near(drop.thick().deg(), "drop_thick_deg");
        near(drop.thin().deg(), "drop_thin_deg");
        compared += 1;
    }
    assert_eq!(compared, 6);
}

/// A level's chances fall with the distance; nobody makes what does not drop.
#[test]
fn a_better_player_makes_more() {
    let gear = pool();
    let asked = AbstractShot::new(
        Angle::from_ball_fraction(0.5),
        Length::from_ft(3.0),
        Length::from_ft(2.0),
    );
    let shot = Shot::from_angles(&gear, &asked, Stroke::default()).unwrap();
    let solution = solve(&gear, &shot).unwrap();
    let chances =
        Level::ALL.map(|level| chance_of_solution(&gear, &shot, &solution, &level.aim_error()));
    assert!(
        chances.windows(2).all(|pair| pair[0] < pair[1]),
        "{chances:?}"
    );
    assert!(chances.iter().all(|p| (0.0..=1.0).contains(p)));
}

/// Mirrored about the long middle line, a layout has the same shots.
#[test]
fn a_mirrored_layout_has_the_same_shots() {
    let gear = pool();
    let layout = |mirror: bool| {
        let at = |x: f64, y: f64| place(&gear, x, if mirror { 4.0 - y } else { y });
        let ball = |label: &str, x: f64, y: f64| Ball {
            label: label.to_owned(),
            at: at(x, y),
        };
        Layout {
            cue: at(3.2, 1.4),
            balls: vec![ball("2", 6.1, 2.9), ball("7", 7.2, 0.8)],
        }
    };
    let chances = |mirror: bool| {
        let layout = layout(mirror);
        let options = ChooseOptions {
            // Either hand reaches it all.
            reach: Reach::standing(if mirror { Hand::Left } else { Hand::Right }),
            banks: false,
            combinations: false,
            kicks: false,
            prefer: Prefer::Make,
            ..ChooseOptions::new(Level::Club.aim_error())
        };
        let found = choose(&Table::new(&gear, &layout), &options, &|_| {}).unwrap();
        let shots = found.shots.iter();
        shots
            .map(|s| (layout.balls[s.shot.ball].label.clone(), s.chance))
            .collect::<Vec<_>>()
    };
    let (here, there) = (chances(false), chances(true));
    assert!(!here.is_empty() && here.len() == there.len());
    for ((ball, chance), (other, mirrored)) in here.iter().zip(&there) {
        assert_eq!(ball, other);
        assert!((chance - mirrored).abs() < 1e-6, "{chance} {mirrored}");
    }
}

#[test]
fn a_ladder_gets_harder() {
    let gear = pool();
    let wishes = Wishes {
        rungs: 2,
        topic: Topic::Mixed,
        pockets: vec![PocketName::FootLeft],
        // On the foot spot.
        object: Some("6,2".parse().unwrap()),
        ..Wishes::new(Level::Club.aim_error())
    };
    let found = ladder(&gear, &wishes).unwrap();
    assert_eq!(found.rungs.len(), 2);
    let chances: Vec<f64> = found.rungs.iter().map(|r| r.shot.chance).collect();
    assert!(
        chances.windows(2).all(|pair| pair[0] > pair[1]),
        "{chances:?}"
    );
}

/// Where nothing throws, the ghost ball is where the cue ball has to be.
#[test]
fn a_ghost_ball_is_right_without_throw() {
    let mut gear = pool();
    gear.contact.friction_scale = 0.0;
    let asked = AbstractShot::new(
        Angle::from_deg(40.0),
        Length::from_m(0.8),
        Length::from_m(0.6),
    );
    let shot = Shot::from_angles(&gear, &asked, Stroke::centre_ball()).unwrap();
    let solution = solve(&gear, &shot).unwrap();
    let solved = solution.solved().unwrap();
    let scene = Scene {
        gear: &gear,
        shot: &shot,
        window: solved.window,
    };
    let way = GhostBall {
        allowance: Allowance::None,
    };
    let verdict = judge(&way, &scene, solved.acceptance, None).unwrap();
    assert!(verdict.too_full_m.abs() < 1e-9, "{}", verdict.too_full_m);
}
