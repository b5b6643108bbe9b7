//! Layouts: files, obstruction, every family of shots against brute force, ranking, what follows,
//! strokes, the balls' ways, pictures.

#![expect(clippy::unwrap_used, reason = "a test may stop at a broken promise")]

mod candidates;
mod combination;
mod files;
mod follows;
mod paths;
mod pictures;
mod places;
mod play;
mod rails;
mod scratch;
mod strokes;
mod windows;

use kurbo::Point;
use rand::SeedableRng;
use rand_pcg::Pcg64Mcg;
use thincut::gear::Gear;
use thincut::layout::*;
use thincut::player::{AimError, Level};
use thincut::pocket::PocketName;
use thincut::window::Stroke;

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
        stroke: Stroke::default(),
        prefer: Prefer::Make,
        ..ChooseOptions::new(level.aim_error())
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

/// A player of a level whose speed does not scatter.
fn steady(level: Level) -> AimError {
    let mut player = level.aim_error();
    player.scatter.speed_share = 0.0;
    player
}

/// Share of makes by brute force: Normal aim errors at the intended speed, every ball followed forward.
fn simulated(table: &Table<'_>, shot: &Candidate, level: Level) -> Risk {
    let mut rng = Pcg64Mcg::seed_from_u64(11);
    risk(
        table,
        shot,
        &Plays::at_ease(&steady(level)),
        TRIES,
        &mut rng,
    )
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
