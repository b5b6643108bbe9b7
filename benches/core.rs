//! Speed of the solver's parts: acceptance, aim window, chance, survey.
//!
//! Run with `cargo bench --bench core`. README quotes ratios and per-core rates from here.

use divan::{Bencher, black_box};
use kurbo::Point;
use thincut::gear::Gear;
use thincut::motion::BallBody;
use thincut::pocket::{Acceptance, PocketKind, PocketShape, accept};
use thincut::survey::{Grid, survey};
use thincut::window::{ShotError, Stroke, solve_with};

fn main() {
    divan::main();
}

fn gear() -> Gear {
    Gear::preset("pool-9ft").expect("the default preset is embedded")
}

fn acceptance(gear: &Gear, kind: PocketKind, approach_deg: f64, pace_m_s: f64) -> Acceptance {
    let body = BallBody::object(gear);
    let shape = PocketShape::new(gear, kind, &body);
    let a = approach_deg.to_radians();
    let object = Point::new(-0.8 * a.cos(), -0.8 * a.sin());
    accept(&shape, &gear.cloth, &body, object, pace_m_s)
        .expect("a good place")
        .expect("it drops")
}

/// One acceptance at one object-ball position (target 200 µs, aim 80 µs).
#[divan::bench(args = [(0, 6), (0, 20), (20, 6), (30, 20), (45, 10)])]
fn acceptance_corner(bencher: Bencher, (approach_deg, pace_dm_s): (i32, i32)) {
    let gear = gear();
    let pace = f64::from(pace_dm_s) / 10.0;
    bencher.bench_local(|| acceptance(&gear, PocketKind::Corner, f64::from(approach_deg), pace));
}

#[divan::bench(args = [(0, 6), (15, 20), (45, 20)])]
fn acceptance_side(bencher: Bencher, (approach_deg, pace_dm_s): (i32, i32)) {
    let gear = gear();
    let pace = f64::from(pace_dm_s) / 10.0;
    bencher.bench_local(|| acceptance(&gear, PocketKind::Side, f64::from(approach_deg), pace));
}

/// One full aim window with throw, the acceptance given (target 1.5 µs, aim 1 µs).
#[divan::bench(args = [0, 15, 30, 60])]
fn aim_window(bencher: Bencher, cut_deg: i32) {
    let gear = gear();
    let accepted = acceptance(&gear, PocketKind::Corner, 20.0, 1.0);
    let stroke = Stroke::default();
    let aim = (20.0 - f64::from(cut_deg)).to_radians();
    let cue = accepted.object - kurbo::Vec2::from_angle(aim) * 1.2;
    bencher.bench_local(|| solve_with(&gear, &accepted, black_box(cue), &stroke));
}

/// The default survey, without writing (target 50 ms).
#[divan::bench]
fn default_survey(bencher: Bencher) {
    let (gear, grid) = (gear(), Grid::default());
    bencher.bench_local(|| {
        let mut rows = 0_u32;
        survey(&gear, &grid, |_| -> Result<(), ShotError> {
            rows += 1;
            Ok(())
        })
        .expect("a good grid");
        rows
    });
}
