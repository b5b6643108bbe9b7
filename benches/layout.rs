//! Speed of a whole layout: direct shots with paths and scratch chance, and with everything; and of a map
//! of places. All on two cores.
//!
//! Run with `cargo bench --bench layout`.

use std::fmt::Write as _;

use divan::{Bencher, black_box};
use kurbo::Point;
use rayon::prelude::*;
use thincut::PocketName;
use thincut::gear::Gear;
use thincut::layout::{ChooseOptions, FromPlaces, Layout, Prefer, Table, choose};
use thincut::player::Level;
use thincut::window::{Stroke, speed_for_lengths};

fn main() {
    divan::main();
}

fn fifteen(gear: &Gear) -> Layout {
    let text = include_str!("../tests/data/layouts/crowded.csv");
    Layout::parse(text, gear).expect("a good layout")
}

/// A frame of snooker before the first red is down: the colours on their spots, 15 reds over the upper half.
fn twenty_two(gear: &Gear) -> Layout {
    let mut text = String::from("ball,x,y\ncue,0.9m,0.7m\n");
    for red in 0..15_u32 {
        let (x_mm, y_mm) = (
            1950 + 300 * (red % 5),
            300 + 520 * (red / 5) + 37 * (red % 4),
        );
        let _ = writeln!(text, "red,{x_mm}mm,{y_mm}mm");
    }
    for colour in ["yellow", "green", "brown", "blue", "pink", "black"] {
        let _ = writeln!(text, "{colour},{colour}-spot");
    }
    Layout::parse(&text, gear).expect("a good layout")
}

fn two_cores() -> rayon::ThreadPool {
    let pool = rayon::ThreadPoolBuilder::new().num_threads(2).build();
    pool.expect("threads")
}

fn bench(bencher: Bencher, preset: &str, layout: fn(&Gear) -> Layout, roundabout: bool) {
    let gear = Gear::preset(preset).expect("the presets are embedded");
    let layout = layout(&gear);
    let options = ChooseOptions {
        stroke: Stroke::default(),
        banks: roundabout,
        combinations: roundabout,
        kicks: roundabout,
        prefer: Prefer::Make,
        ..ChooseOptions::new(Level::Club.aim_error())
    };
    let (pool, table) = (two_cores(), Table::new(&gear, &layout));
    bencher.bench_local(|| pool.install(|| choose(&table, &options, &|_| {})));
}

/// 15 balls × 6 pockets direct, with paths and scratch chance (target 150 ms).
#[divan::bench(sample_count = 20)]
fn fifteen_balls_direct(bencher: Bencher) {
    bench(bencher, "pool-9ft", fifteen, false);
}

/// The same with banks, combinations and kicks (target 0.7 s).
#[divan::bench(sample_count = 20)]
fn fifteen_balls_everything(bencher: Bencher) {
    bench(bencher, "pool-9ft", fifteen, true);
}

/// 22 balls on a snooker table with everything (target 1 s).
#[divan::bench(sample_count = 10)]
fn twenty_two_balls_everything(bencher: Bencher) {
    bench(bencher, "snooker-12ft", twenty_two, true);
}

/// 96 × 48 places of the cue ball, alone with its object ball and past all fifteen; the second with a
/// club player's chances (target 10 ms, alone without a player).
#[divan::bench(args = [(1, false), (1, true), (15, true)])]
fn map_of_places(bencher: Bencher, (balls, player): (usize, bool)) {
    let gear = Gear::preset("pool-9ft").expect("the default preset is embedded");
    let mut layout = fifteen(&gear);
    layout.balls.truncate(balls);
    let (pool, table) = (two_cores(), Table::new(&gear, &layout));
    let (club, stroke) = (Level::Club.aim_error(), Stroke::default());
    let place = |k: u32, count: u32, size_m: f64| {
        let edge_m = gear.cue_contact_radius_m();
        edge_m + (size_m - 2.0 * edge_m) * f64::from(k) / f64::from(count - 1)
    };
    let map = || {
        let set = table.drop_set(0, PocketName::FootLeft, black_box(1.0));
        let set = set.expect("a good pace").expect("it drops");
        let from = FromPlaces {
            table: &table,
            set: &set,
            stroke: &stroke,
            player: player.then_some(&club),
            reach: None,
        };
        let row = |r: u32| {
            let y_m = place(r, 48, gear.bed.width_m);
            from.along((0..96).map(|c| Point::new(place(c, 96, gear.bed.length_m), y_m)))
        };
        (0..48).into_par_iter().map(row).collect::<Vec<_>>()
    };
    bencher.bench_local(|| pool.install(map));
}

/// A stroke of two lengths as a speed.
#[divan::bench]
fn two_lengths(bencher: Bencher) {
    let gear = Gear::preset("pool-9ft").expect("the default preset is embedded");
    bencher.bench_local(|| speed_for_lengths(&gear, 2.0));
}
