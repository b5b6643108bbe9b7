//! Speed of the solver's parts: acceptance, aim window, chance, survey.
//!
//! Run with `cargo bench --bench core`. README quotes ratios and per-core rates from here.

use divan::{Bencher, black_box};
use kurbo::Point;
use thincut::bed::Bed;
use thincut::gear::Gear;
use thincut::motion::BallBody;
use thincut::pocket::{Acceptance, PocketKind, PocketName, PocketShape, accept};
use thincut::survey::{Grid, survey};
use thincut::window::{ShotError, Stroke, solve_many, solve_one_by_one, solve_with};

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

/// One acceptance at one object-ball position (target 50 µs, then 40).
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

/// 200 cue balls of one acceptance, round it and from near to far.
fn cues(accepted: &Acceptance) -> Vec<Point> {
    (0..200)
        .map(|k| {
            let (i, j) = (f64::from(k % 20), f64::from(k / 20));
            let aim = (20.0 - (-60.0 + 6.0 * i)).to_radians();
            accepted.object - kurbo::Vec2::from_angle(aim) * (0.4 + 0.16 * j)
        })
        .collect()
}

/// Windows one contact after the other: what side by side is measured against. Roll in tenths.
#[divan::bench(args = [(10, 0), (6, 3)])]
fn windows_one_by_one(bencher: Bencher, stroke: (i32, i32)) {
    let gear = gear();
    let accepted = acceptance(&gear, PocketKind::Corner, 20.0, 1.0);
    let (cues, stroke) = (cues(&accepted), spun(stroke));
    bencher
        .counter(divan::counter::ItemsCount::new(cues.len()))
        .bench_local(|| {
            let solve = |cue: &Point| solve_one_by_one(&gear, &accepted, *cue, &stroke);
            cues.iter().map(solve).filter(Result::is_ok).count()
        });
}

/// The same side by side (target 0.4 µs each).
#[divan::bench(args = [(10, 0), (6, 3)])]
fn windows_side_by_side(bencher: Bencher, stroke: (i32, i32)) {
    let gear = gear();
    let accepted = acceptance(&gear, PocketKind::Corner, 20.0, 1.0);
    let (cues, stroke) = (cues(&accepted), spun(stroke));
    bencher
        .counter(divan::counter::ItemsCount::new(cues.len()))
        .bench_local(|| solve_many(&gear, &accepted, black_box(&cues), &stroke));
}

/// Roll and outside in tenths.
fn spun((roll, side): (i32, i32)) -> Stroke {
    Stroke {
        roll: f64::from(roll) / 10.0,
        side: f64::from(side) / 10.0,
        ..Stroke::default()
    }
}

/// All accepted directions of a solved window pulled back.
#[divan::bench]
fn directions_pulled_back(bencher: Bencher) {
    let gear = gear();
    let accepted = acceptance(&gear, PocketKind::Corner, 20.0, 1.0);
    let window = solve_with(&gear, &accepted, cues(&accepted)[57], &Stroke::default())
        .expect("a cut that goes");
    bencher.bench_local(|| black_box(&window).cue_directions(&accepted.pieces));
}

/// One acceptance on the whole bed.
#[divan::bench(args = [PocketName::FootLeft, PocketName::SideLeft])]
fn acceptance_on_bed(bencher: Bencher, pocket: PocketName) {
    let bed = Bed::new(&gear());
    bencher.bench_local(|| bed.accept(pocket, black_box(Point::new(1.6, 0.7)), 1.0));
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
