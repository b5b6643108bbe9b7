//! The player: Normal tails, chances, levels, propagation of uncertainty, stroke test, probes.

use std::str::FromStr;

use approx::assert_relative_eq;
use rand::SeedableRng;
use rand_pcg::Pcg64;
use thincut::player::chance::{EqualStraight, best_aim, chance, equal_straight, in_ten};
use thincut::player::fault::PlayerError;
use thincut::player::monte_carlo::{compare, draw, mean_sd, tolerance};
use thincut::player::normal::{between, cdf, quantile, sample, upper_quantile, upper_tail};
use thincut::player::observation::{Misses, Observation};
use thincut::player::probe::{Candidate, pick_probes};
use thincut::player::propagate::{Input, Inputs, covariance, linear, linear_with};
use thincut::player::proportion::{clopper_pearson, wilson};
use thincut::player::split::{Growth, split_misses};
use thincut::player::stroke_test::{StrokeTest, read_stroke_test};
use thincut::player::{AimError, Level};
use thincut::units::Side;

/// What is asked of tails: ten digits.
const TAIL: f64 = 1e-10;

/// Derived values printed to full double precision.
const EXACT: f64 = 1e-12;

/// Computed with mpmath 1.3 at 40 digits, `erfc(z/√2)/2`.
#[expect(clippy::excessive_precision, reason = "as the source prints them")]
const UPPER_TAILS: [(f64, f64); 15] = [
    (0.1, 0.460_172_162_722_971_02),
    (0.5, 0.308_537_538_725_986_9),
    (1.0, 0.158_655_253_931_457_05),
    (1.5, 0.066_807_201_268_858_066),
    (2.0, 0.022_750_131_948_179_207),
    (3.0, 0.001_349_898_031_630_094_5),
    (4.0, 3.167_124_183_311_992_1e-5),
    (5.0, 2.866_515_718_791_939_1e-7),
    (6.0, 9.865_876_450_376_981_4e-10),
    (8.0, 6.220_960_574_271_784_1e-16),
    (10.0, 7.619_853_024_160_526_1e-24),
    (15.0, 3.670_966_199_312_750_9e-51),
    (20.0, 2.753_624_118_606_233_7e-89),
    (30.0, 4.906_713_927_148_187_1e-198),
    (37.0, 5.725_571_222_524_576_8e-300),
];

/// Computed with mpmath 1.3 at 40 digits, quadrature of the density.
#[expect(clippy::excessive_precision, reason = "as the source prints them")]
const INTERVALS: [(f64, f64, f64); 9] = [
    (5.0, 5.001, 1.483_008_656_017_307_9e-9),
    (9.0, 9.5, 1.118_093_890_878_478e-19),
    (-0.000_01, 0.000_02, 1.196_826_841_144_456_7e-5),
    (-3.0, 1.0, 0.839_994_848_036_912_85),
    (6.0, 7.0, 9.853_078_324_938_123_1e-10),
    (30.0, 30.01, 1.273_121_112_182_001_2e-198),
    (0.2, 0.9, 0.236_680_165_214_137_49),
    (1.1, 1.3, 0.038_865_576_360_772_342),
    (-8.0, -7.9, 7.724_210_892_320_898_4e-16),
];

/// Computed with mpmath 1.3 at 40 digits: roots of ln Φ(z) − ln p.
#[expect(clippy::excessive_precision, reason = "as the source prints them")]
const QUANTILES: [(f64, f64); 11] = [
    (1e-300, -37.047_096_299_361_199),
    (1e-100, -21.273_453_560_965_324),
    (1e-20, -9.262_340_089_798_407_6),
    (1e-10, -6.361_340_902_404_056_2),
    (1e-5, -4.264_890_793_922_824_6),
    (0.001, -3.090_232_306_167_813_5),
    (0.025, -1.959_963_984_540_054_2),
    (0.3, -0.524_400_512_708_040_78),
    (0.4999, -0.000_250_662_830_088_035_1),
    (0.75, 0.674_489_750_196_081_74),
    (0.975, 1.959_963_984_540_054_2),
];

fn shot(half_width_rad: f64, cue_travel_m: f64, cue_speed_m_s: f64) -> Observation {
    Observation {
        intervals_rad: vec![(-half_width_rad, half_width_rad)],
        cue_travel_m,
        cue_speed_m_s,
        cut: Side::Left,
        cut_told: true,
        tries: 0,
        made: 0,
        sides: None,
    }
}

#[test]
fn normal_tails_hold_ten_digits_however_far_out() {
    for (z, tail) in UPPER_TAILS {
        assert_relative_eq!(upper_tail(z), tail, max_relative = TAIL);
        assert_relative_eq!(cdf(-z), tail, max_relative = TAIL);
        assert_relative_eq!(cdf(z), 1.0 - tail, max_relative = TAIL);
    }
    for (lo, hi, chance) in INTERVALS {
        assert_relative_eq!(between(lo, hi), chance, max_relative = TAIL);
        assert_relative_eq!(between(-hi, -lo), chance, max_relative = TAIL);
    }
    assert_relative_eq!(between(f64::NEG_INFINITY, f64::INFINITY), 1.0);
    assert_relative_eq!(
        between(2.0, f64::INFINITY),
        upper_tail(2.0),
        max_relative = TAIL
    );
    assert_relative_eq!(between(1.0, 1.0), 0.0);
}

#[test]
fn quantiles_invert_the_tails() {
    for (p, z) in QUANTILES {
        assert_relative_eq!(quantile(p), z, max_relative = TAIL);
        assert_relative_eq!(upper_quantile(p), -z, max_relative = TAIL);
    }
    assert!(quantile(0.0).is_infinite() && quantile(-0.1).is_nan());
}

#[test]
fn narrow_and_wide_intervals_meet_without_a_step() {
    // The formula changes near width·(1+|middle|) = 0.3; both sides must agree with the sum of halves.
    for middle in [0.0, 0.7, 3.0, 12.0_f64] {
        for factor in [0.98, 0.999, 1.001, 1.02] {
            let half = 0.15 * factor / (1.0 + middle);
            let whole = between(middle - half, middle + half);
            let halves = between(middle - half, middle) + between(middle, middle + half);
            assert_relative_eq!(whole, halves, max_relative = 1e-11);
        }
    }
}

#[test]
fn levels_are_found_by_name_and_near_misses_suggested() {
    for level in Level::ALL {
        assert_eq!(Level::from_str(level.name()), Ok(level));
    }
    assert_eq!(Level::from_str("First evening"), Ok(Level::FirstEvening));
    let Err(PlayerError::UnknownLevel { near, known, .. }) = Level::from_str("leage") else {
        panic!("must fail")
    };
    assert_eq!(near.as_deref(), Some("league"));
    assert!(known.starts_with("first-evening, starting"));
    let Err(PlayerError::UnknownLevel { near, .. }) = Level::from_str("wizard") else {
        panic!("must fail")
    };
    assert_eq!(near, None);
    assert_eq!(Level::Club.spoken(), "club player, assumed");
}

#[test]
fn sigma_adds_arm_and_picture_in_squares() {
    let club = Level::Club.aim_error();
    // σ² = (0.20° · (1 + 0.05·2))² + (1.5 mm / 0.5 m)²
    let expected = ((0.20_f64.to_radians() * 1.1).powi(2) + 0.003_f64.powi(2)).sqrt();
    assert_relative_eq!(club.sigma_rad(0.5, 2.0), expected, max_relative = EXACT);
    let still = club.with_growth(0.0).unwrap();
    assert_relative_eq!(
        still.sigma_rad(1e12, 5.0),
        0.20_f64.to_radians(),
        max_relative = EXACT
    );
    let plain = AimError::plain(0.01).unwrap();
    assert_relative_eq!(plain.sigma_rad(0.01, 0.0), 0.01, max_relative = EXACT);
    assert!(AimError::plain(0.0).is_err() && AimError::new(-1.0, 0.0).is_err());
    assert!(AimError::new(0.0, 0.0).is_err() && AimError::plain(f64::NAN).is_err());
    let message = AimError::plain(-0.5).unwrap_err().to_string();
    assert!(
        message.contains("sigma") && message.contains("-0.5") && message.contains("more than 0"),
        "{message}"
    );
}

#[test]
fn chance_agrees_with_a_million_drawn_tries() {
    let windows: [&[(f64, f64)]; 3] = [
        &[(-0.01, 0.012)],
        &[(-0.02, -0.012), (-0.004, 0.003), (0.003, 0.006)],
        &[(0.01, 0.011), (0.02, 0.05)],
    ];
    let mut rng = Pcg64::seed_from_u64(20_240_501);
    for (window, bias_rad) in windows.into_iter().zip([0.0, 0.003, -0.004]) {
        let sigma_rad = 0.011;
        let p = chance(window, sigma_rad, bias_rad);
        let trials = 1_000_000_u32;
        let hits = (0..trials)
            .filter(|_| {
                let aim = bias_rad + sigma_rad * sample(&mut rng);
                window.iter().any(|&(lo, hi)| lo <= aim && aim < hi)
            })
            .count();
        let rate = f64::from(u32::try_from(hits).unwrap()) / f64::from(trials);
        let error = (p * (1.0 - p) / f64::from(trials)).sqrt();
        assert!(
            (rate - p).abs() < 4.0 * error,
            "{rate} against {p} ± {error}"
        );
    }
}

#[test]
fn chance_does_not_care_how_a_window_is_cut_up() {
    let whole = chance(&[(-0.01, 0.02)], 0.008, 0.001);
    let parts = chance(&[(-0.01, 0.0), (0.0, 0.015), (0.015, 0.02)], 0.008, 0.001);
    assert_relative_eq!(whole, parts, max_relative = EXACT);
    assert_relative_eq!(chance(&[], 0.01, 0.0), 0.0);
    // Mirror image: the same.
    assert_relative_eq!(
        whole,
        chance(&[(-0.02, 0.01)], 0.008, -0.001),
        max_relative = EXACT
    );
}

#[test]
fn best_aim_turns_towards_the_room_and_against_the_bias() {
    // One interval: its middle is best, whatever the spread; a bias is turned against.
    let best = best_aim(-0.01..0.02, &[(-0.01, 0.02)], 0.02, 0.0);
    assert_relative_eq!(best.shift_rad, 0.005, epsilon = 1e-9);
    assert!(best.gain > 0.0);
    let leaning = best_aim(-0.01..0.02, &[(-0.01, 0.02)], 0.02, 0.003);
    assert_relative_eq!(leaning.shift_rad, 0.002, epsilon = 1e-9);
    assert_relative_eq!(leaning.chance, best.chance, max_relative = EXACT);
    // A jaw part on one side draws the aim to it, but not out of the clean part.
    let window = [(-0.01, 0.01), (0.01, 0.05)];
    let drawn = best_aim(window[0].0..window[0].1, &window, 0.02, 0.0);
    assert_relative_eq!(drawn.shift_rad, 0.01, epsilon = 1e-9);
    // Against a plain scan.
    let window = [(-0.012, 0.009), (0.011, 0.013)];
    let best = best_aim(window[0].0..window[0].1, &window, 0.006, 0.0);
    let scanned = (-1200..=900)
        .map(|i| chance(&window, 0.006, f64::from(i) * 1e-5))
        .fold(0.0_f64, f64::max);
    assert!(best.chance >= scanned - 1e-12 && best.chance < scanned + 1e-7);
    assert_relative_eq!(
        best.gain,
        best.chance - chance(&window, 0.006, 0.0),
        max_relative = EXACT
    );
}

#[test]
fn chances_are_spoken_honestly_at_the_edges() {
    let said = [
        (0.7, "7 in 10"),
        (0.05, "1 in 10"),
        (0.049, "fewer than 1 in 20"),
        (0.0, "fewer than 1 in 100"),
        (0.949, "9 in 10"),
        (0.951, "more than 19 in 20"),
        (0.9999, "more than 99 in 100"),
        (f64::NAN, "not known"),
    ];
    for (p, words) in said {
        assert_eq!(in_ten(p), words, "{p}");
    }
}

#[test]
fn equal_straight_shot_is_found_or_lies_beyond_the_table() {
    // A gate of half-width 1.125 in at X, pulled back over X: P falls as X².
    let straight = |x: f64| {
        chance(
            &[(-0.028_6 * 0.057 / (x * x), 0.028_6 * 0.057 / (x * x))],
            0.01,
            0.0,
        )
    };
    let EqualStraight::At { distance_m } = equal_straight(straight(0.83), 0.06, 2.0, straight)
    else {
        panic!("within the table")
    };
    assert_relative_eq!(distance_m, 0.83, max_relative = 1e-6);
    assert_eq!(
        equal_straight(straight(2.5), 0.06, 2.0, straight),
        EqualStraight::BeyondTable
    );
    assert_eq!(
        equal_straight(1.0, 0.3, 2.0, straight),
        EqualStraight::EasierThanAny
    );
}

/// GUM (JCGM 100:2008) example H.2: resistance, reactance and impedance measured together.
#[test]
#[expect(clippy::too_many_lines, reason = "one published example in one piece")]
fn gum_h2_resistance_reactance_impedance() {
    // Table H.2: five simultaneous readings of volts, amperes, radians (recalled from memory; their
    // means and uncertainties agree with those printed: 4.9990, 19.6610 mA, 1.044 46).
    let readings = [
        vec![5.007, 4.994, 5.005, 4.990, 4.999],
        vec![19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3],
        vec![1.0456, 1.0438, 1.0468, 1.0428, 1.0433],
    ];
    let stats = readings.each_ref().map(|column| mean_sd(column));
    let r_of = |i: usize, j: usize| -> f64 {
        if i == j {
            return 1.0;
        }
        let products = readings[i]
            .iter()
            .zip(&readings[j])
            .map(|(a, b)| (a - stats[i].0) * (b - stats[j].0));
        products.sum::<f64>() / (4.0 * stats[i].1 * stats[j].1)
    };
    let matrix: Vec<Vec<f64>> = (0..3)
        .map(|i| (0..3).map(|j| r_of(i.max(j), i.min(j))).collect())
        .collect();
    for (i, j, printed) in [(0, 1, -0.36), (0, 2, 0.86), (1, 2, -0.65)] {
        assert!(
            (matrix[i][j] - printed).abs() < 0.006,
            "{i} {j} {}",
            matrix[i][j]
        );
    }
    let items = ["V", "I", "phi"]
        .iter()
        .zip(stats)
        .map(|(name, (mean, sd))| Input::normal(name, mean, sd / 5.0_f64.sqrt()))
        .collect();
    let inputs = Inputs::correlated(items, matrix).unwrap();
    let r = linear(&inputs, |x| x[0] / x[1] * x[2].cos());
    let x = linear(&inputs, |x| x[0] / x[1] * x[2].sin());
    let z = linear(&inputs, |x| x[0] / x[1]);
    // Table H.4, as printed.
    for (result, value, uncertainty) in [
        (&r, 127.732, 0.071),
        (&x, 219.847, 0.295),
        (&z, 254.260, 0.236),
    ] {
        assert!(
            (result.value - value).abs() <= 0.000_5,
            "{} {value}",
            result.value
        );
        // Half a unit of the last digit, and a little: X comes to 0.295 58, printed cut to 0.295.
        assert!(
            (result.standard_uncertainty - uncertainty).abs() <= 0.000_6,
            "{} {uncertainty}",
            result.standard_uncertainty
        );
        assert_relative_eq!(
            result.contributions.iter().map(|c| c.share).sum::<f64>(),
            1.0,
            max_relative = EXACT
        );
    }
    let correlation = |a: &_, b: &_, ua: f64, ub: f64| covariance(&inputs, a, b) / (ua * ub);
    let (ur, ux, uz) = (
        r.standard_uncertainty,
        x.standard_uncertainty,
        z.standard_uncertainty,
    );
    // Printed to three digits.
    assert!((correlation(&r, &x, ur, ux) + 0.588).abs() < 0.000_6);
    assert!((correlation(&r, &z, ur, uz) + 0.485).abs() < 0.000_6);
    assert!((correlation(&x, &z, ux, uz) - 0.993).abs() < 0.000_6);
    // The same by drawing, which must agree, as the model is nearly straight here.
    let drawn = draw(&inputs, 200_000, &mut Pcg64::seed_from_u64(2), |x| {
        x[0] / x[1] * x[2].cos()
    })
    .unwrap();
    let agreement = compare(&r, &drawn, 2);
    assert!(
        agreement.agrees && agreement.warning.is_none(),
        "{agreement:?}"
    );
    assert_relative_eq!(drawn.standard_deviation, ur, max_relative = 0.01);
}

/// JCGM 101:2008, 9.4: a sum of squares at the origin, where the first order sees nothing.
#[test]
fn jcgm_101_section_9_4_linear_fails_and_says_so() {
    let u = 0.005;
    let f = |x: &[f64]| x[0] * x[0] + x[1] * x[1];
    let inputs = Inputs::new(vec![
        Input::normal("x1", 0.0, u),
        Input::normal("x2", 0.0, u),
    ])
    .unwrap();
    let first_order = linear(&inputs, f);
    assert_relative_eq!(first_order.standard_uncertainty, 0.0);
    let drawn = draw(&inputs, 1_000_000, &mut Pcg64::seed_from_u64(101), f).unwrap();
    // Exponential with mean 2u² = 50e-6 and the same sd; shortest 95 % interval 0 to −2u² ln 0.05.
    // A million trials leave 0.1 % of sd on the mean; 4 of those.
    assert!((drawn.mean - 50e-6).abs() < 4.0 * 50e-9, "{}", drawn.mean);
    assert_relative_eq!(drawn.standard_deviation, 50e-6, max_relative = 0.01);
    assert!(drawn.shortest_95.0 < 1e-7);
    assert_relative_eq!(
        drawn.shortest_95.1,
        -50e-6 * 0.05_f64.ln(),
        max_relative = 0.01
    );
    assert_relative_eq!(
        drawn.symmetric_95.0,
        -50e-6 * 0.975_f64.ln(),
        max_relative = 0.03
    );
    assert_relative_eq!(
        drawn.symmetric_95.1,
        -50e-6 * 0.025_f64.ln(),
        max_relative = 0.01
    );
    let agreement = compare(&first_order, &drawn, 2);
    assert!(!agreement.agrees && agreement.warning.is_some());
    // Far from the origin, x1 = 0.050: linear u = 2·0.05·0.005 = 500e-6, and it still misses the
    // mean by 50e-6; the drawn sd is u²√(4 + 4·100) = 502e-6 [derived].
    let inputs = Inputs::new(vec![
        Input::normal("x1", 0.05, u),
        Input::normal("x2", 0.0, u),
    ])
    .unwrap();
    let far = linear(&inputs, f);
    assert_relative_eq!(far.standard_uncertainty, 500e-6, max_relative = EXACT);
    let drawn = draw(&inputs, 1_000_000, &mut Pcg64::seed_from_u64(102), f).unwrap();
    assert_relative_eq!(drawn.mean, 2550e-6, max_relative = 0.001);
    assert_relative_eq!(
        drawn.standard_deviation,
        25e-6 * 404.0_f64.sqrt(),
        max_relative = 0.005
    );
    assert!(!compare(&far, &drawn, 2).agrees);
}

#[test]
fn a_straight_model_raises_no_false_alarm() {
    let inputs = Inputs::new(vec![
        Input::normal("a", 1.0, 0.1),
        Input::normal("b", 2.0, 0.2),
        Input::normal("c", 0.0, 0.05),
    ])
    .unwrap();
    let f = |x: &[f64]| 3.0 * x[0] - x[1] + 0.5 * x[2];
    let answer = linear(&inputs, f);
    assert_relative_eq!(
        answer.standard_uncertainty,
        (0.09_f64 + 0.04 + 0.000_625).sqrt(),
        max_relative = 1e-9
    );
    assert_eq!(answer.largest().map(|c| c.name.as_str()), Some("a"));
    assert_relative_eq!(
        answer.without("a"),
        0.040_625_f64.sqrt(),
        max_relative = 1e-9
    );
    let given = linear_with(&inputs, f(&inputs.values()), &[3.0, -1.0, 0.5]);
    assert_relative_eq!(
        given.standard_uncertainty,
        answer.standard_uncertainty,
        max_relative = 1e-9
    );
    for seed in 0..20 {
        let drawn = draw(&inputs, 10_000, &mut Pcg64::seed_from_u64(seed), f).unwrap();
        assert!(compare(&answer, &drawn, 2).agrees, "seed {seed}");
    }
}

#[test]
fn a_rectangular_input_keeps_its_range() {
    let inputs = Inputs::new(vec![Input::rectangular("x", 5.0, 2.0)]).unwrap();
    let drawn = draw(&inputs, 100_000, &mut Pcg64::seed_from_u64(5), |x| x[0]).unwrap();
    assert_relative_eq!(
        drawn.standard_deviation,
        2.0 / 3.0_f64.sqrt(),
        max_relative = 0.01
    );
    assert!(drawn.symmetric_95.0 > 3.0 && drawn.symmetric_95.1 < 7.0);
    assert_relative_eq!(
        drawn.symmetric_95.1 - drawn.symmetric_95.0,
        3.8,
        max_relative = 0.01
    );
}

#[test]
fn inputs_that_cannot_be_are_refused_by_name() {
    let message = |inputs: Result<Inputs, PlayerError>| inputs.unwrap_err().to_string();
    assert!(message(Inputs::new(vec![])).contains("at least one"));
    assert!(message(Inputs::new(vec![Input::normal("arm", 0.0, -1.0)])).contains("'arm' is -1"));
    assert!(message(Inputs::new(vec![Input::normal("arm", f64::NAN, 1.0)])).contains("'arm'"));
    let two = || vec![Input::normal("a", 0.0, 1.0), Input::normal("b", 0.0, 1.0)];
    assert!(message(Inputs::correlated(two(), vec![vec![1.0]])).contains("2 by 2"));
    assert!(
        message(Inputs::correlated(
            two(),
            vec![vec![1.0, 1.5], vec![1.5, 1.0]]
        ))
        .contains("positive definite")
    );
    assert!(
        message(Inputs::correlated(
            two(),
            vec![vec![1.0, 0.5], vec![0.4, 1.0]]
        ))
        .contains("symmetric")
    );
    let one = Inputs::new(two()).unwrap();
    assert!(draw(&one, 10, &mut Pcg64::seed_from_u64(0), |x| x[0]).is_err());
    assert!(draw(&one, 1000, &mut Pcg64::seed_from_u64(0), |x| x[0].sqrt()).is_err());
}

#[test]
fn numerical_tolerance_follows_jcgm_101() {
    // JCGM 101 §7.9.2, examples: u = 0.000 35 to two digits gives 0.000 005; 2 to one digit 0.5.
    assert_relative_eq!(tolerance(0.000_35, 2), 0.000_005, max_relative = 1e-9);
    assert_relative_eq!(tolerance(2.0, 1), 0.5, max_relative = 1e-9);
    assert_relative_eq!(tolerance(0.0996, 2), 0.005, max_relative = 1e-9);
}

/// NIST Statistical Reference Datasets, univariate. Values and certified results recalled from
/// memory (Michelso's agree with each other in exact arithmetic; `NumAcc` are built by rule).
#[test]
fn nist_univariate_means_and_deviations() {
    let michelson: Vec<f64> = include_str!("../data/nist-michelson.txt")
        .lines()
        .filter(|line| !line.starts_with('#'))
        .map(|line| line.parse().unwrap())
        .collect();
    let (mean, sd) = mean_sd(&michelson);
    assert_relative_eq!(mean, 299.8524, max_relative = 1e-14);
    assert_relative_eq!(sd, 0.079_010_547_819_051_8, max_relative = 1e-12);

    let (mean, sd) = mean_sd(&[10_000_001.0, 10_000_003.0, 10_000_002.0]);
    assert_relative_eq!(mean, 10_000_002.0, max_relative = 1e-15);
    assert_relative_eq!(sd, 1.0, max_relative = 1e-15);

    // NumAcc2 to 4: one middle value, then 500 pairs 0.1 below and above. The inputs 0.1 apart
    // are not exact in binary, which costs digits as the common part grows.
    for (base, accuracy) in [(1.2, 1e-13), (1_000_000.2, 1e-8), (10_000_000.2, 1e-7)] {
        let mut values = vec![base];
        for _ in 0..500 {
            values.extend([base - 0.1, base + 0.1]);
        }
        let (mean, sd) = mean_sd(&values);
        assert_relative_eq!(mean, base, max_relative = 1e-14);
        assert_relative_eq!(sd, 0.1, max_relative = accuracy);
    }
    assert!(mean_sd(&[]).0.is_nan() && mean_sd(&[1.0]).1.is_nan());
}

#[test]
fn intervals_of_a_share() {
    // 7 of 10; computed with mpmath 1.3 at 25 digits from the definitions.
    let exact = clopper_pearson(7, 10).unwrap();
    assert_relative_eq!(exact.low, 0.347_547_149_940_002_7, max_relative = 1e-9);
    assert_relative_eq!(exact.high, 0.933_260_488_822_265_5, max_relative = 1e-9);
    let score = wilson(7, 10);
    assert_relative_eq!(score.low, 0.396_778_147_461_145_3, max_relative = EXACT);
    assert_relative_eq!(score.high, 0.892_208_732_593_699, max_relative = EXACT);
    assert!(wilson(0, 5).low <= 0.0 && wilson(5, 5).high >= 1.0);
    assert!(clopper_pearson(6, 5).is_none());
    // None of n: the exact upper end solves (1 − p)^n = 0.025.
    assert_relative_eq!(
        clopper_pearson(0, 20).unwrap().high,
        1.0 - 0.025_f64.powf(0.05),
        max_relative = 1e-9
    );
}

#[test]
fn stroke_test_separates_scatter_from_alignment() {
    let test = StrokeTest {
        readings_mm: vec![3.0, -4.0, 8.0, 1.0, -2.0, 5.0, 0.0, 6.0, -1.0, 4.0],
        distance_m: 2.0,
        cue_speed_m_s: 2.0,
        arm_growth_per_m_s: 0.05,
    };
    let report = read_stroke_test(&test).unwrap();
    // mean 2 mm, sum of squares about it 132: s = √(132/9) mm, over 2 m (atan is straight to 1e-5 here).
    let sd_rad = (132.0_f64 / 9.0).sqrt() / 2000.0;
    assert_relative_eq!(report.spread_rad.value, sd_rad, max_relative = 1e-4);
    assert_relative_eq!(report.arm_rad.value, sd_rad / 1.1, max_relative = 1e-4);
    // Chi-square with 9 df: 2.700389, 19.022768; t 2.262157 (mpmath 1.3; printed tables agree).
    assert_relative_eq!(
        report.spread_rad.low.unwrap(),
        sd_rad * (9.0_f64 / 19.022_768).sqrt(),
        max_relative = 1e-4
    );
    assert_relative_eq!(
        report.spread_rad.high.unwrap(),
        sd_rad * (9.0_f64 / 2.700_389_5).sqrt(),
        max_relative = 1e-4
    );
    assert_relative_eq!(report.alignment_rad.value, 0.001, max_relative = 1e-4);
    let reach = report.alignment_rad.high.unwrap() - report.alignment_rad.value;
    assert_relative_eq!(
        reach,
        2.262_157_16 * sd_rad / 10.0_f64.sqrt(),
        max_relative = 1e-4
    );
    assert!(!report.off_line);
    let few = StrokeTest {
        readings_mm: vec![1.0, 2.0],
        ..test.clone()
    };
    assert!(
        read_stroke_test(&few)
            .unwrap_err()
            .to_string()
            .contains("2 given, at least 5 needed")
    );
    let same = StrokeTest {
        readings_mm: vec![1.0; 9],
        ..test
    };
    assert!(read_stroke_test(&same).is_err());
}

/// A log of `tries` at each of some shots, drawn from a player.
fn simulate(
    player: &AimError,
    shots: &[Observation],
    tries: u64,
    rng: &mut Pcg64,
) -> Vec<Observation> {
    shots
        .iter()
        .map(|shot| {
            let sigma_rad = player.sigma_rad(shot.cue_travel_m, shot.cue_speed_m_s);
            let (lo, hi) = shot.intervals_rad[0];
            let (mut made, mut above, mut below) = (0, 0, 0);
            for _ in 0..tries {
                let aim = player.bias_rad + sigma_rad * sample(rng);
                made += u64::from(aim >= lo && aim <= hi);
                above += u64::from(aim > hi);
                below += u64::from(aim < lo);
            }
            let (full, thin) = if shot.cut == Side::Left {
                (above, below)
            } else {
                (below, above)
            };
            Observation {
                tries,
                made,
                sides: Some(Misses {
                    full,
                    thin,
                    other: 0,
                }),
                ..shot.clone()
            }
        })
        .collect()
}

#[test]
fn arm_eyes_and_speed_are_told_apart_with_a_stroke_test() {
    let mut rng = Pcg64::seed_from_u64(77);
    let truth = AimError::new(0.3_f64.to_radians(), 0.003).unwrap();
    let shots: Vec<Observation> = [(0.3, 1.5), (0.6, 2.0), (1.2, 3.0), (2.0, 4.0)]
        .into_iter()
        .map(|(travel, speed)| shot(0.7 * truth.sigma_rad(travel, speed), travel, speed))
        .collect();
    let log = simulate(&truth, &shots, 300, &mut rng);
    let arm_at_2 = truth.arm_rad * 1.1;
    let readings_mm = (0..40)
        .map(|_| 1000.0 * 2.0 * (arm_at_2 * sample(&mut rng)).tan())
        .collect();
    let test = StrokeTest {
        readings_mm,
        distance_m: 2.0,
        cue_speed_m_s: 2.0,
        arm_growth_per_m_s: 0.05,
    };
    let stroke = read_stroke_test(&test).unwrap();
    let split = split_misses(&log, &stroke, Level::Club.aim_error(), &mut rng).unwrap();
    // The truth: each shot's parts, weighted by its expected misses (the same chance for all here).
    let mut parts = [0.0; 3];
    for o in &shots {
        let lift = 1.0 + 0.05 * o.cue_speed_m_s;
        let variance = truth.sigma_rad(o.cue_travel_m, o.cue_speed_m_s).powi(2);
        parts[0] += truth.arm_rad.powi(2) / variance / 4.0;
        parts[1] += truth.arm_rad.powi(2) * (lift * lift - 1.0) / variance / 4.0;
        parts[2] += (truth.picture_m / o.cue_travel_m).powi(2) / variance / 4.0;
    }
    for (name, share, true_share) in [
        ("arm", split.arm, parts[0]),
        ("speed", split.speed, parts[1]),
        ("eyes", split.eyes, parts[2]),
    ] {
        assert!(
            share.interval.low < share.value && share.value < share.interval.high,
            "{name} {share:?}"
        );
        // Measured growth widens everything; with the assumed one the speed part is narrow.
        assert!(
            share.interval.low - 0.02 < true_share && true_share < share.interval.high + 0.02,
            "{name} {share:?} {true_share}"
        );
    }
    assert_relative_eq!(
        split.arm.value + split.speed.value + split.eyes.value,
        1.0,
        max_relative = EXACT
    );
    assert!(matches!(split.growth, Growth::Assumed(_)));
    let arm = split.arm_rad;
    assert!(
        arm.low.unwrap() < truth.arm_rad && truth.arm_rad < arm.high.unwrap(),
        "{arm:?}"
    );
    assert!(split_misses(&[], &stroke, Level::Club.aim_error(), &mut rng).is_err());
}

/// The intervals of the split are drawn from a large-sample law: see that they hold.
#[test]
fn shares_of_arm_and_eyes_hold_as_often_as_they_say() {
    let mut rng = Pcg64::seed_from_u64(78);
    let truth = AimError::new(0.3_f64.to_radians(), 0.003).unwrap();
    let shots: Vec<Observation> = [(0.3, 1.5), (0.6, 2.0), (1.2, 3.0), (2.0, 4.0)]
        .into_iter()
        .map(|(travel, speed)| shot(0.7 * truth.sigma_rad(travel, speed), travel, speed))
        .collect();
    let eyes_share = shots
        .iter()
        .map(|o| {
            let sigma_rad = truth.sigma_rad(o.cue_travel_m, o.cue_speed_m_s);
            (truth.picture_m / o.cue_travel_m / sigma_rad).powi(2) / 4.0
        })
        .sum::<f64>();
    let runs = 200;
    let held = (0..runs)
        .filter(|_| {
            let log = simulate(&truth, &shots, 60, &mut rng);
            let readings_mm = (0..25)
                .map(|_| 2000.0 * (truth.arm_rad * 1.1 * sample(&mut rng)).tan())
                .collect();
            let stroke = read_stroke_test(&StrokeTest {
                readings_mm,
                distance_m: 2.0,
                cue_speed_m_s: 2.0,
                arm_growth_per_m_s: 0.05,
            })
            .unwrap();
            let split = split_misses(&log, &stroke, Level::Club.aim_error(), &mut rng).unwrap();
            split.eyes.interval.holds(eyes_share)
        })
        .count();
    // 190 expected, sd 3.1; the large-sample law and the growth test may cost a few.
    assert!((178..=200).contains(&held), "{held}");
}

#[test]
fn probes_avoid_sure_and_hopeless_shots_and_spread_out() {
    let club = Level::Club.aim_error();
    let mut candidates = Vec::new();
    for (half_width, hard) in [(20.0, "sure"), (0.9, "fair"), (0.01, "hopeless")] {
        for travel in [0.3, 1.0, 2.0] {
            for (side, cut) in [("left", Side::Left), ("right", Side::Right)] {
                let base = shot(half_width * club.sigma_rad(travel, 2.0), travel, 2.0);
                candidates.push(Candidate {
                    shot: Observation { cut, ..base },
                    cut_tag: hard.to_owned(),
                    side_tag: side.to_owned(),
                    pocket_tag: format!("{side} {travel}"),
                });
            }
        }
    }
    let picked = pick_probes(&[], &candidates, club, 4).unwrap();
    assert_eq!(picked.len(), 4);
    for probe in &picked {
        assert!(probe.chance > 0.05 && probe.chance < 0.95, "{probe:?}");
        assert!(probe.gain > 0.0);
    }
    let left = picked
        .iter()
        .filter(|p| candidates[p.candidate].side_tag == "left")
        .count();
    assert_eq!(left, 2, "both sides alike: {picked:?}");
    let all = pick_probes(&[], &candidates, club, 99).unwrap();
    assert_eq!(all.len(), candidates.len());
}
