//! Speed of a ladder and of a marks sheet.
//!
//! Run with `cargo bench --bench ladder`.

use divan::Bencher;
use thincut::gear::Gear;
use thincut::ladder::{MarksWishes, Wishes, ladder, marks, students};
use thincut::player::Level;
use thincut::window::Stroke;

fn main() {
    divan::main();
}

/// Ten rungs for a level (target 1 s).
#[divan::bench(args = ["first-evening", "club", "expert"], sample_count = 10)]
fn ten_rungs(bencher: Bencher, level: &str) {
    let gear = Gear::preset("pool-9ft").expect("the default preset is embedded");
    let player = level.parse::<Level>().expect("a level").aim_error();
    bencher.bench_local(|| ladder(&gear, &Wishes::new(player)).expect("a ladder"));
}

/// Marks for eight students, place of the object ball free (target 1 s).
#[divan::bench(sample_count = 10)]
fn eight_marks(bencher: Bencher) {
    let gear = Gear::preset("pool-9ft").expect("the default preset is embedded");
    let group = "A=first-evening,B=first-evening,C=0.8deg/5mm,D=starting,E=starting,F=0.4deg/3mm,G=0.35deg/3mm,H=club";
    let group = students(&[group.to_owned()], &|_| Err(String::new())).expect("a group");
    let wishes = MarksWishes {
        chance: 0.7,
        object: None,
        pocket: None,
        stroke: Stroke::default(),
    };
    bencher.bench_local(|| marks(&gear, &group, &wishes).expect("a sheet"));
}
