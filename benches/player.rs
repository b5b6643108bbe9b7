//! Speed of the player's part: a chance, a whole shot with its speeds and its range, a fit of ten thousand
//! tries, a comparison, a simulation.

use std::hint::black_box;

use divan::Bencher;
use rand::SeedableRng;
use rand_pcg::Pcg64;
use thincut::player::Level;
use thincut::player::aim_fit::fit_aim;
use thincut::player::chance::{best_aim, chance};
use thincut::player::monte_carlo::draw;
use thincut::player::normal::sample;
use thincut::player::observation::{Misses, Observation};
use thincut::player::propagate::{Input, Inputs};
use thincut::player::verdict::compare;
use thincut::player::{Aimed, ranged};
use thincut::units::Side;
use thincut::{BedShot, Gear, PocketName, Point, Preset, Shot, Stroke, solve};

fn main() {
    divan::main();
}

/// A clean part with a jaw part on each side, touching; and the same with gaps.
const TOUCHING: [(f64, f64); 3] = [(-0.012, -0.008), (-0.008, 0.007), (0.007, 0.009)];
const APART: [(f64, f64); 3] = [(-0.022, -0.015), (-0.008, 0.007), (0.011, 0.019)];

#[divan::bench]
fn chance_of_one_interval() -> f64 {
    chance(
        black_box(&TOUCHING[1..2]),
        black_box(0.006),
        black_box(0.001),
    )
}

#[divan::bench]
fn chance_of_three_touching_intervals() -> f64 {
    chance(black_box(&TOUCHING), black_box(0.006), black_box(0.001))
}

#[divan::bench]
fn chance_of_three_intervals_apart() -> f64 {
    chance(black_box(&APART), black_box(0.006), black_box(0.001))
}

#[divan::bench]
fn best_aim_of_three_intervals() -> f64 {
    best_aim(
        black_box(APART[1].0..APART[1].1),
        black_box(&APART),
        0.006,
        0.001,
    )
    .shift_rad
}

/// A shot on a table for a club player: solved, and its chance over the speeds of the stroke and the nine
/// cases of jaws and cushions. `object` is in diamonds; the second lies 4 mm off the long rail, the third a ball off it.
#[divan::bench(args = [(5.0, 2.4), (5.0, 3.9), (5.0, 3.7)])]
fn shot_with_its_range(bencher: Bencher, object: (f64, f64)) {
    let gear = Gear::standard(Preset::Pool9Ft).expect("a preset");
    let place =
        |(x, y): (f64, f64)| Point::new(x * gear.bed.length_m / 8.0, y * gear.bed.width_m / 4.0);
    let bed = BedShot {
        cue: place((3.0, 1.0)),
        object: place(object),
        pocket: PocketName::FootLeft,
    };
    let player = Level::Club.aim_error();
    bencher.bench(|| {
        let shot = Shot::on_bed(&gear, &bed, Stroke::default()).expect("a shot");
        let solution = solve(&gear, &shot).expect("an answer");
        let aimed = Aimed::of(&gear, &shot, &solution).expect("a window");
        ranged(&aimed, &player).0.mean
    });
}

/// Ten thousand tries spread over `shots` different shots.
fn log(shots: u32, sided: bool) -> Vec<Observation> {
    let player = Level::Starting.aim_error();
    let mut rng = Pcg64::seed_from_u64(1);
    let tries = u64::from(10_000 / shots);
    (0..shots)
        .map(|i| {
            let cue_travel_m = 0.15 + 2.0 * f64::from(i) / f64::from(shots);
            let cue_speed_m_s = 1.5 + f64::from(i % 5) * 0.4;
            let sigma_rad = player.sigma_rad(cue_travel_m, cue_speed_m_s);
            let half = sigma_rad * (0.3 + 0.2 * f64::from(i % 7));
            let (mut made, mut above, mut below) = (0, 0, 0);
            for _ in 0..tries {
                let aim = sigma_rad * sample(&mut rng);
                made += u64::from(aim.abs() <= half);
                above += u64::from(aim > half);
                below += u64::from(aim < -half);
            }
            Observation {
                intervals_rad: vec![(-half, half)],
                cue_travel_m,
                cue_speed_m_s,
                cut: Side::Left,
                cut_told: true,
                tries,
                made,
                sides: sided.then_some(Misses {
                    full: above,
                    thin: below,
                    other: 0,
                }),
            }
        })
        .collect()
}

/// 10,000 tries over this many different shots; the last one: every try a shot of its own.
#[divan::bench(args = [40, 500, 10_000])]
fn fit_of_ten_thousand_tries(bencher: Bencher, shots: u32) {
    let log = log(shots, false);
    bencher.bench_local(|| fit_aim(black_box(&log), Level::Club.aim_error()));
}

#[divan::bench(args = [40, 500, 10_000])]
fn fit_with_bias_of_ten_thousand_tries(bencher: Bencher, shots: u32) {
    let log = log(shots, true);
    bencher.bench_local(|| fit_aim(black_box(&log), Level::Club.aim_error()));
}

#[divan::bench]
fn compare_two_periods_of_five_thousand(bencher: Bencher) {
    let log = log(500, false);
    bencher.bench_local(|| {
        compare(
            black_box(&log[..250]),
            black_box(&log[250..]),
            Level::Club.aim_error(),
        )
    });
}

#[divan::bench]
fn draw_a_hundred_thousand(bencher: Bencher) {
    let Ok(inputs) = Inputs::new(vec![
        Input::normal("a", 0.0, 1.0),
        Input::normal("b", 1.0, 0.5),
    ]) else {
        return;
    };
    bencher.bench_local(|| {
        draw(&inputs, 100_000, &mut Pcg64::seed_from_u64(1), |x| {
            x[0] + x[1]
        })
    });
}
