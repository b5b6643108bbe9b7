//! The statistics behind players, fits and budgets, against printed examples of other fields.

use thincut::player::fit::{maximise, observed_covariance};
use thincut::player::goodness::goodness;
use thincut::player::monte_carlo::{mean_sd, tolerance};
use thincut::player::profile::interval;
use thincut::player::propagate::{Input, Inputs, Linear, covariance, linear};
use thincut::player::regression::{Count, Link, Putting, Regression};

use super::{FOOT_M, INCH_M, Solver};

pub(crate) const ALL: &[Solver] = &[
    ("putting-spread", || {
        let top = maximise(&golf()).expect("a top");
        top.theta[0].exp().to_degrees()
    }),
    ("beetles-constant", || beetles().0),
    ("beetles-dose", || beetles().1),
    ("beetles-deviance", || beetles().2),
    ("budworm-low", || budworm().0),
    ("budworm-high", || budworm().1),
    ("impedance-resistance", || h2().0[0].value),
    ("impedance-resistance-doubt", || {
        h2().0[0].standard_uncertainty
    }),
    ("impedance-reactance", || h2().0[1].value),
    ("impedance-reactance-doubt", || {
        h2().0[1].standard_uncertainty
    }),
    ("impedance-itself", || h2().0[2].value),
    ("impedance-itself-doubt", || h2().0[2].standard_uncertainty),
    ("impedance-correlation-r-x", || h2().1[0]),
    ("impedance-correlation-r-z", || h2().1[1]),
    ("impedance-correlation-x-z", || h2().1[2]),
    ("tolerance-of-drawing", || tolerance(0.000_35, 2)),
    ("michelson-mean", || michelson().0),
    ("michelson-deviation", || michelson().1),
];

const GOLF: &str = include_str!("../../../tests/data/golf-putting.csv");
const MICHELSON: &str = include_str!("../../../tests/data/nist-michelson.txt");

fn golf() -> Putting {
    let putts: Vec<(f64, Count)> = GOLF
        .lines()
        .filter(|line| line.starts_with(|c: char| c.is_ascii_digit()))
        .map(|line| {
            let mut cells = line.split(',').map(|cell| cell.parse().expect("a number"));
            let mut next = || -> u32 { cells.next().expect("three cells") };
            let far_m = f64::from(next()) * FOOT_M;
            let (tries, made) = (next().into(), next().into());
            (far_m, Count { tries, made })
        })
        .collect();
    Putting::new(0.5 * 4.25 * INCH_M, 0.5 * 1.68 * INCH_M, &putts).expect("putts")
}

/// Bliss 1935 as in Dobson: log10 dose, beetles, killed.
fn beetles() -> (f64, f64, f64) {
    let data = [
        (1.6907, 59, 6),
        (1.7242, 60, 13),
        (1.7552, 62, 18),
        (1.7842, 56, 28),
        (1.8113, 63, 52),
        (1.8369, 59, 53),
        (1.8610, 62, 61),
        (1.8839, 60, 60),
    ];
    let rows: Vec<_> = data
        .map(|(dose, tries, made)| (vec![1.0, dose], Count { tries, made }))
        .to_vec();
    let model = Regression::new(Link::Logit, &rows).expect("rows");
    let top = maximise(&model).expect("a top");
    let fit = goodness(&model.fitted(&top), 2);
    (top.theta[0], top.theta[1], fit.deviance)
}

fn budworm() -> (f64, f64) {
    let dead = [[1, 4, 9, 13, 18, 20], [0, 2, 6, 10, 12, 16]];
    let mut rows = Vec::new();
    for (sex, row) in [0.0, 1.0].into_iter().zip(dead) {
        for (dose, made) in [0.0, 1.0, 2.0, 3.0, 4.0, 5.0].into_iter().zip(row) {
            rows.push((vec![1.0, sex, dose], Count { tries: 20, made }));
        }
    }
    let model = Regression::new(Link::Logit, &rows).expect("rows");
    let top = maximise(&model).expect("a top");
    let spread = observed_covariance(&model, &top).expect("a spread");
    let ends = interval(&model, &top, &spread, 2).expect("an interval");
    (ends.low.expect("low"), ends.high.expect("high"))
}

/// JCGM 100, H.2: resistance, reactance and impedance, and how they hang together.
fn h2() -> ([Linear; 3], [f64; 3]) {
    let readings: [[f64; 5]; 3] = [
        [5.007, 4.994, 5.005, 4.990, 4.999],
        [19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3],
        [1.0456, 1.0438, 1.0468, 1.0428, 1.0433],
    ];
    let stats = readings.each_ref().map(|column| mean_sd(column));
    let together = |i: usize, j: usize| -> f64 {
        if i == j {
            return 1.0;
        }
        let products = readings[i].iter().zip(&readings[j]);
        let sum: f64 = products
            .map(|(a, b)| (a - stats[i].0) * (b - stats[j].0))
            .sum();
        sum / (4.0 * stats[i].1 * stats[j].1)
    };
    let matrix = (0..3)
        .map(|i| (0..3).map(|j| together(i.max(j), i.min(j))).collect())
        .collect();
    let items = ["V", "I", "phi"]
        .iter()
        .zip(stats)
        .map(|(name, (mean, sd))| Input::normal(name, mean, sd / 5.0_f64.sqrt()))
        .collect();
    let inputs = Inputs::correlated(items, matrix).expect("inputs");
    let all = [
        linear(&inputs, |x| x[0] / x[1] * x[2].cos()),
        linear(&inputs, |x| x[0] / x[1] * x[2].sin()),
        linear(&inputs, |x| x[0] / x[1]),
    ];
    let pair = |a: usize, b: usize| {
        covariance(&inputs, &all[a], &all[b])
            / (all[a].standard_uncertainty * all[b].standard_uncertainty)
    };
    let pairs = [pair(0, 1), pair(0, 2), pair(1, 2)];
    (all, pairs)
}

fn michelson() -> (f64, f64) {
    let values: Vec<f64> = MICHELSON
        .lines()
        .filter(|line| !line.starts_with('#'))
        .map(|line| line.parse().expect("a number"))
        .collect();
    mean_sd(&values)
}
