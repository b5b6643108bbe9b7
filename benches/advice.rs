//! Speed of advice: fifteen balls with their strokes, with and without safeties.
//!
//! Run with `cargo bench --bench advice`.

use divan::Bencher;
use thincut::advice::{AdviceOptions, Ahead, advise};
use thincut::gear::Gear;
use thincut::layout::{ChooseOptions, Layout, Table};
use thincut::player::Level;

fn main() {
    divan::main();
}

fn bench(bencher: Bencher, change: impl FnOnce(&mut AdviceOptions)) {
    let pool = rayon::ThreadPoolBuilder::new().num_threads(2).build();
    let pool = pool.expect("threads");
    let gear = Gear::preset("pool-9ft").expect("the default preset is embedded");
    let text = include_str!("../tests/data/layouts/crowded.csv");
    let layout = Layout::parse(text, &gear).expect("a good layout");
    // A weak player: a better one goes for it, and no safety is looked for.
    let choose = ChooseOptions::new(Level::FirstEvening.aim_error());
    let table = Table::new(&gear, &layout);
    let mut options = AdviceOptions::new(&table, choose);
    change(&mut options);
    bencher.bench_local(|| pool.install(|| advise(&table, &options, &|_| {})));
}

/// 15 balls with all strokes, banks, combinations and kicks (target 1 s on two cores).
#[divan::bench]
fn strokes(bencher: Bencher) {
    bench(bencher, |options| options.safeties = false);
}

/// The same with safeties (target 3 s).
#[divan::bench]
fn strokes_and_safeties(bencher: Bencher) {
    bench(bencher, |_| {});
}

/// One ball further.
#[divan::bench]
fn two_balls_ahead(bencher: Bencher) {
    bench(bencher, |options| options.ahead = Ahead::Two);
}
