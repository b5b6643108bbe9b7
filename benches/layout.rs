//! Speed of a whole layout: direct shots with paths and scratch chance, and with everything.
//!
//! Run with `cargo bench --bench layout`.

use divan::Bencher;
use thincut::gear::Gear;
use thincut::layout::{ChooseOptions, Layout, Prefer, Reach, Table, choose};
use thincut::player::Level;
use thincut::units::Hand;
use thincut::window::{Stroke, speed_for_lengths};

fn main() {
    divan::main();
}

fn fifteen(gear: &Gear) -> Layout {
    let text = include_str!("../tests/data/layouts/crowded.csv");
    Layout::parse(text, gear).expect("a good layout")
}

fn bench(bencher: Bencher, roundabout: bool) {
    let gear = Gear::preset("pool-9ft").expect("the default preset is embedded");
    let layout = fifteen(&gear);
    let options = ChooseOptions {
        player: Level::Club.aim_error(),
        on_right_cuts: None,
        stroke: Stroke::default(),
        tip: None,
        reach: Reach::standing(Hand::Right),
        targets: Vec::new(),
        banks: roundabout,
        combinations: roundabout,
        kicks: roundabout,
        prefer: Prefer::Make,
    };
    let table = Table::new(&gear, &layout);
    bencher.bench_local(|| choose(&table, &options, &|_| {}));
}

/// 15 balls × 6 pockets direct, with paths and scratch chance (target 150 ms on two cores).
#[divan::bench]
fn direct_shots(bencher: Bencher) {
    bench(bencher, false);
}

/// The same with banks, combinations and kicks (target 1.5 s).
#[divan::bench]
fn everything(bencher: Bencher) {
    bench(bencher, true);
}

/// A stroke of two lengths as a speed.
#[divan::bench]
fn two_lengths(bencher: Bencher) {
    let gear = Gear::preset("pool-9ft").expect("the default preset is embedded");
    bencher.bench_local(|| speed_for_lengths(&gear, 2.0));
}
