//! Fits from makes and misses: against published answers, and against simulated truth.

#![expect(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop there"
)]
#![expect(
    clippy::too_many_lines,
    reason = "lists of cases read best in one piece"
)]

use approx::assert_relative_eq;
use rand::{Rng, SeedableRng};
use rand_pcg::Pcg64;
use thincut::player::aim_fit::{AimFit, Bias, FitOutcome, GOOD_ENOUGH, fit_aim};
use thincut::player::aim_model::{AimModel, BiasForm, Spread};
use thincut::player::fault::PlayerError;
use thincut::player::fit::{Likelihood, Theta, maximise, observed_covariance};
use thincut::player::goodness::goodness;
use thincut::player::normal::sample;
use thincut::player::observation::{Misses, Observation};
use thincut::player::profile::interval;
use thincut::player::regression::{Count, Link, Putting, Regression};
use thincut::player::skill::skill_report;
use thincut::player::verdict::{Verdict, compare};
use thincut::player::{AimError, Level};
use thincut::units::Side;

/// The reference values are printed to six or seven digits.
const AS_PRINTED: f64 = 1e-5;

/// Metres in an inch and in a foot: exact by definition.
const INCH_M: f64 = 0.0254;
const FOOT_M: f64 = 0.3048;

fn golf() -> Putting {
    let putts: Vec<(f64, Count)> = include_str!("../data/golf-putting.csv")
        .lines()
        .filter(|line| line.starts_with(|c: char| c.is_ascii_digit()))
        .map(|line| {
            let cells: Vec<u64> = line.split(',').map(|cell| cell.parse().unwrap()).collect();
            let distance_ft = f64::from(u32::try_from(cells[0]).unwrap());
            (
                distance_ft * FOOT_M,
                Count {
                    tries: cells[1],
                    made: cells[2],
                },
            )
        })
        .collect();
    assert_eq!(putts.len(), 19);
    // Hole 4.25 in, ball 1.68 in across.
    Putting::new(0.5 * 4.25 * INCH_M, 0.5 * 1.68 * INCH_M, &putts).unwrap()
}

/// Gelman & Nolan 2002: σ is about 1.5° (published); the digits are derived from their data.
#[test]
fn golf_putting_gives_the_known_spread() {
    let model = golf();
    let top = maximise(&model).unwrap();
    let sigma_deg = top.theta[0].exp().to_degrees();
    assert_relative_eq!(sigma_deg, 1.526_671, max_relative = AS_PRINTED);
    let covariance = observed_covariance(&model, &top).unwrap();
    assert_relative_eq!(
        covariance[0][0].sqrt() * sigma_deg,
        0.022_704,
        max_relative = 2.5e-5
    ); // printed to 5 digits
    let ends = interval(&model, &top, &covariance, 0).unwrap();
    assert_relative_eq!(
        ends.low.unwrap().exp().to_degrees(),
        1.483_028,
        max_relative = AS_PRINTED
    );
    assert_relative_eq!(
        ends.high.unwrap().exp().to_degrees(),
        1.572_055,
        max_relative = AS_PRINTED
    );
    let fit = goodness(&model.fitted(&top), 1);
    assert_relative_eq!(fit.deviance, 60.312, max_relative = AS_PRINTED);
    assert_relative_eq!(fit.pearson, 62.436, max_relative = AS_PRINTED);
    assert_eq!(fit.df, 18);
    assert!(fit.deviance_p < 1e-5 && fit.pearson_p < 1e-5 && !fit.sparse);
}

fn beetles(link: Link) -> Regression {
    // Bliss 1935, Annals of Applied Biology 22, 134, as in Dobson, An Introduction to Generalized
    // Linear Models: log10 dose, beetles, killed.
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
    Regression::new(link, &rows).unwrap()
}

/// Dobson's logistic coefficients: the book prints two decimals, −60.72, 34.27 and 11.23 (from memory); the
/// further digits, and all of the probit's, were derived apart from this crate.
#[test]
fn beetle_mortality_gives_dobsons_coefficients() {
    for (link, constant, slope, deviance) in [
        (Link::Logit, -60.717_455, 34.270_326, 11.232_231),
        (Link::Probit, -34.935_259, 19.727_934, 10.119_758),
    ] {
        let model = beetles(link);
        let top = maximise(&model).unwrap();
        assert_relative_eq!(top.theta[0], constant, max_relative = 1e-7);
        assert_relative_eq!(top.theta[1], slope, max_relative = 1e-7);
        let fit = goodness(&model.fitted(&top), 2);
        assert_relative_eq!(fit.deviance, deviance, max_relative = 1e-7);
        assert_eq!(fit.df, 6);
    }
}

/// Venables & Ripley, Modern Applied Statistics with S, 2002, pp. 190–192.
#[test]
fn budworm_profile_interval_is_the_published_one() {
    let dead = [[1, 4, 9, 13, 18, 20], [0, 2, 6, 10, 12, 16]];
    let rows: Vec<_> = (0_u8..2)
        .flat_map(|sex| (0_u8..6).map(move |ldose| (sex, ldose)))
        .map(|(sex, ldose)| {
            let made = dead[usize::from(sex)][usize::from(ldose)];
            (
                vec![1.0, f64::from(sex), f64::from(ldose)],
                Count { tries: 20, made },
            )
        })
        .collect();
    let model = Regression::new(Link::Logit, &rows).unwrap();
    let top = maximise(&model).unwrap();
    let ends = interval(&model, &top, &observed_covariance(&model, &top).unwrap(), 2).unwrap();
    // Published from an interpolated profile: 5e-5.
    assert!((ends.low.unwrap() - 0.822_870_8).abs() < 5e-5, "{ends:?}");
    assert!((ends.high.unwrap() - 1.339_058_1).abs() < 5e-5, "{ends:?}");
}

/// Shots with short and long cue-ball travel and windows of every width, with two gaps.
fn shots() -> Vec<Observation> {
    let mut list = Vec::new();
    for (i, travel) in [0.15, 0.3, 0.6, 1.0, 1.6, 2.2].into_iter().enumerate() {
        for (j, width) in [0.3, 0.8, 1.4].into_iter().enumerate() {
            let speed = 1.5 + 0.5 * f64::from(u8::try_from(j).unwrap());
            let sigma_rad = Level::Club.aim_error().sigma_rad(travel, speed);
            let cut = if (i + j) % 2 == 0 {
                Side::Left
            } else {
                Side::Right
            };
            let mut intervals_rad = vec![(-1.1 * width * sigma_rad, 0.9 * width * sigma_rad)];
            if j == 0 {
                intervals_rad.push((1.2 * width * sigma_rad, 1.5 * width * sigma_rad));
            }
            list.push(Observation {
                intervals_rad,
                cue_travel_m: travel,
                cue_speed_m_s: speed,
                cut,
                cut_told: true,
                tries: 0,
                made: 0,
                sides: None,
            });
        }
    }
    list
}

/// Tries at each shot by a player whose bias may depend on the cut.
fn play(
    player: impl Fn(Side) -> AimError,
    shots: &[Observation],
    tries: u64,
    rng: &mut impl Rng,
) -> Vec<Observation> {
    shots
        .iter()
        .map(|shot| {
            let player = player(shot.cut);
            let sigma_rad = player.sigma_rad(shot.cue_travel_m, shot.cue_speed_m_s);
            let (mut made, mut above, mut below) = (0, 0, 0);
            for _ in 0..tries {
                let aim = player.bias_rad + sigma_rad * sample(rng);
                if shot
                    .intervals_rad
                    .iter()
                    .any(|&(lo, hi)| lo <= aim && aim <= hi)
                {
                    made += 1;
                } else if aim > 0.0 {
                    above += 1;
                } else {
                    below += 1;
                }
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

fn blind(log: &[Observation]) -> Vec<Observation> {
    log.iter()
        .map(|o| Observation {
            sides: None,
            ..o.clone()
        })
        .collect()
}

fn fitted(log: &[Observation]) -> AimFit {
    match fit_aim(log, Level::Club.aim_error()).unwrap() {
        FitOutcome::Fitted(fit) => *fit,
        other => panic!("no fit: {other:?}"),
    }
}

/// The hand-written slopes against differences of ln L, for every form of the model.
#[test]
fn gradients_are_those_of_the_likelihood() {
    let mut rng = Pcg64::seed_from_u64(3);
    let player = Level::Starting.aim_error().with_bias(0.002).unwrap();
    let sided = play(|_| player, &shots(), 7, &mut rng);
    let mixed: Vec<Observation> = sided
        .iter()
        .cloned()
        .chain(blind(&play(|_| player, &shots(), 3, &mut rng)))
        .collect();
    let base = AimModel::new(&mixed, Level::Club.aim_error()).unwrap();
    for spread in [Spread::Scale, Spread::ArmPicture, Spread::ArmPictureGrowth] {
        for bias in [
            BiasForm::Given,
            BiasForm::Fullness,
            BiasForm::Common,
            BiasForm::ByCut,
        ] {
            let model = base.with(spread, bias);
            if model.parameters() > 4 {
                continue;
            }
            let mut theta: Theta = model.start();
            for slot in theta
                .iter_mut()
                .take(model.parameters())
                .skip(spread.parameters())
            {
                *slot = 0.001;
            }
            let here = model.evaluate(&theta);
            for i in 0..model.parameters() {
                let step = if i < spread.parameters() { 1e-5 } else { 1e-8 };
                let at = |by: f64| {
                    let mut moved = theta;
                    moved[i] += by;
                    model.evaluate(&moved).ln_likelihood
                };
                let slope = (at(step) - at(-step)) / (2.0 * step);
                // ln L is about 200 with 1e-14 of rounding: 1e-7 on the slope of ln parameters.
                let room = 1e-6 * here.information[i][i].sqrt().max(1.0);
                assert!(
                    (here.gradient[i] - slope).abs() < room,
                    "{spread:?} {bias:?} {i}: {} {slope}",
                    here.gradient[i]
                );
            }
        }
    }
}

#[test]
fn tries_at_the_same_shot_may_be_entered_singly_or_together() {
    let mut rng = Pcg64::seed_from_u64(4);
    let together = blind(&play(|_| Level::Club.aim_error(), &shots(), 5, &mut rng));
    let singly: Vec<Observation> = together
        .iter()
        .flat_map(|o| {
            (0..o.tries).map(|i| Observation {
                tries: 1,
                made: u64::from(i < o.made),
                ..o.clone()
            })
        })
        .collect();
    let (a, b) = (fitted(&together), fitted(&singly));
    assert_relative_eq!(a.scale.value, b.scale.value, max_relative = 1e-12);
    assert_relative_eq!(
        a.goodness.deviance,
        b.goodness.deviance,
        max_relative = 1e-9
    );
    assert_eq!(a.goodness.df, b.goodness.df);
}

#[test]
fn a_known_spread_is_recovered() {
    let mut rng = Pcg64::seed_from_u64(5);
    let truth = Level::Club.aim_error().scaled(1.6);
    let fit = fitted(&play(|_| truth, &shots(), 400, &mut rng));
    assert!(
        fit.scale.low.unwrap() < 1.6 && 1.6 < fit.scale.high.unwrap(),
        "{:?}",
        fit.scale
    );
    assert!((fit.scale.value - 1.6).abs() < 0.1);
    assert!(fit.goodness.deviance_p > 1e-3, "{:?}", fit.goodness);
    // About 7,000 tries are enough; a hundredth is not reached.
    assert_eq!(fit.more_tries_for(GOOD_ENOUGH), Some(0));
    assert!(fit.more_tries_for(0.001).unwrap() > 100_000);
}

#[test]
fn arm_and_picture_come_apart_only_when_the_tries_can_tell() {
    let mut rng = Pcg64::seed_from_u64(6);
    // All picture, hardly any arm: far from the club's ratio.
    let eyes = AimError::new(0.02_f64.to_radians(), 0.004).unwrap();
    let many = fitted(&play(|_| eyes, &shots(), 300, &mut rng));
    let parts = many.parts.expect("5,400 tries tell");
    assert!(many.parts_test.unwrap().more_than_luck());
    assert!(
        parts.picture_m.low.unwrap() < 0.004 && 0.004 < parts.picture_m.high.unwrap(),
        "{parts:?}"
    );
    assert!(parts.arm_rad.high.unwrap() > eyes.arm_rad);
    assert!(parts.arm_rad.low.is_none_or(|low| low < eyes.arm_rad));
    // The club's own ratio: no reason to take it apart.
    let plain = fitted(&play(|_| Level::Club.aim_error(), &shots(), 20, &mut rng));
    assert!(plain.parts.is_none() && plain.parts_test.is_some());
    // One travel only: they cannot be told apart at all.
    let one: Vec<Observation> = shots()
        .into_iter()
        .filter(|o| (o.cue_travel_m - 0.6).abs() < 1e-9)
        .collect();
    let one: Vec<Observation> = one
        .into_iter()
        .map(|o| Observation {
            cue_speed_m_s: 2.0,
            ..o
        })
        .collect();
    let same = fitted(&play(|_| Level::Club.aim_error(), &one, 100, &mut rng));
    assert!(same.parts.is_none(), "{:?}", same.parts);
}

#[test]
fn the_sign_of_a_bias_is_recovered_from_the_sides_of_misses() {
    let mut rng = Pcg64::seed_from_u64(7);
    for bias_rad in [0.002, -0.002] {
        let truth = Level::Club.aim_error().with_bias(bias_rad).unwrap();
        let log = play(|_| truth, &shots(), 60, &mut rng);
        let fit = fitted(&log);
        let Bias::Common(bias) = fit.bias else {
            panic!("{:?}", fit.bias)
        };
        assert!(bias.value * bias_rad > 0.0);
        assert!(
            bias.low.unwrap() < bias_rad && bias_rad < bias.high.unwrap(),
            "{bias:?}"
        );
        assert!(fit.bias_test.unwrap().more_than_luck());
        assert_eq!(fitted(&blind(&log)).bias, Bias::Unknown);
    }
    // Always too full: left of the aim on left cuts, right of it on right cuts.
    let full = |cut: Side| {
        let lean = if cut == Side::Left { 0.003 } else { -0.003 };
        Level::Club.aim_error().with_bias(lean).unwrap()
    };
    let fit = fitted(&play(full, &shots(), 80, &mut rng));
    let Bias::Fullness(full) = fit.bias else {
        panic!("{:?}", fit.bias)
    };
    assert!(full.low.unwrap() > 0.0, "{full:?}");
    assert!(full.low.unwrap() < 0.003 && 0.003 < full.high.unwrap());
    assert!(fit.on_left_cuts.bias_rad > 0.0 && fit.on_right_cuts.bias_rad < 0.0);
    // Too full on left cuts alone.
    let full = |cut: Side| {
        let lean = if cut == Side::Left { 0.003 } else { 0.0 };
        Level::Club.aim_error().with_bias(lean).unwrap()
    };
    let fit = fitted(&play(full, &shots(), 80, &mut rng));
    let Bias::ByCut { left, right } = fit.bias else {
        panic!("{:?}", fit.bias)
    };
    assert!(left.low.unwrap() < 0.003 && 0.003 < left.high.unwrap());
    assert!(right.low.unwrap() < 0.0 && right.high.unwrap() > 0.0);
    assert!(fit.cut_test.unwrap().more_than_luck());
}

#[test]
fn logs_that_cannot_tell_say_so() {
    let few: Vec<Observation> = shots()
        .into_iter()
        .take(3)
        .map(|o| Observation {
            tries: 5,
            made: 2,
            ..o
        })
        .collect();
    let reference = Level::Club.aim_error();
    assert_eq!(
        fit_aim(&few, reference),
        Ok(FitOutcome::TooFew {
            tries: 15,
            needed: 20
        })
    );
    assert_eq!(
        fit_aim(&[], reference),
        Ok(FitOutcome::TooFew {
            tries: 0,
            needed: 20
        })
    );
    let all: Vec<Observation> = shots()
        .into_iter()
        .map(|o| Observation {
            tries: 3,
            made: 3,
            ..o
        })
        .collect();
    let Ok(FitOutcome::AllMade {
        tries: 54,
        scale_at_most: Some(most),
    }) = fit_aim(&all, reference)
    else {
        panic!("all made")
    };
    // At the bound, making them all has a chance of 1 in 20.
    let ln_all: f64 = all
        .iter()
        .map(|o| 3.0 * o.chance(&reference.scaled(most)).ln())
        .sum();
    assert_relative_eq!(ln_all, 0.05_f64.ln(), max_relative = 1e-6);
    let none: Vec<Observation> = shots()
        .into_iter()
        .map(|o| Observation {
            tries: 3,
            made: 0,
            ..o
        })
        .collect();
    let Ok(FitOutcome::AllMissed {
        scale_at_least: Some(least),
        ..
    }) = fit_aim(&none, reference)
    else {
        panic!("all missed")
    };
    let ln_none: f64 = none
        .iter()
        .map(|o| 3.0 * (1.0 - o.chance(&reference.scaled(least))).ln())
        .sum();
    assert_relative_eq!(ln_none, 0.05_f64.ln(), max_relative = 1e-6);
}

#[test]
fn rows_that_cannot_be_are_refused_by_number() {
    let good = Observation {
        tries: 30,
        made: 10,
        ..shots()[0].clone()
    };
    let broken = [
        (
            Observation {
                made: 31,
                ..good.clone()
            },
            "31 made of 30",
        ),
        (
            Observation {
                intervals_rad: vec![],
                ..good.clone()
            },
            "no direction",
        ),
        (
            Observation {
                intervals_rad: vec![(0.1, 0.0)],
                ..good.clone()
            },
            "sorted",
        ),
        (
            Observation {
                intervals_rad: vec![(0.0, 0.2), (0.1, 0.3)],
                ..good.clone()
            },
            "sorted",
        ),
        (
            Observation {
                cue_travel_m: 0.0,
                ..good.clone()
            },
            "travel of 0",
        ),
        (
            Observation {
                cue_speed_m_s: -1.0,
                ..good.clone()
            },
            "speed of -1",
        ),
        (
            Observation {
                sides: Some(Misses {
                    full: 1,
                    thin: 2,
                    other: 3,
                }),
                ..good.clone()
            },
            "is 20",
        ),
    ];
    for (row, says) in broken {
        let fault = fit_aim(&[good.clone(), row], Level::Club.aim_error()).unwrap_err();
        assert!(matches!(fault, PlayerError::BadObservation { row: 2, .. }));
        assert!(fault.to_string().contains(says), "{fault}");
    }
}

#[test]
fn progress_is_told_from_luck() {
    let mut rng = Pcg64::seed_from_u64(8);
    let reference = Level::Club.aim_error();
    let log = |scale: f64, tries: u64, rng: &mut Pcg64| {
        play(|_| reference.scaled(scale), &shots(), tries, rng)
    };
    let before = log(1.5, 40, &mut rng);
    let better = compare(&before, &log(1.0, 40, &mut rng), reference).unwrap();
    assert_eq!(better.verdict, Verdict::Better);
    let ratio = better.ratio.unwrap();
    assert!(
        ratio.low.unwrap() < 1.0 / 1.5 && 1.0 / 1.5 < ratio.high.unwrap(),
        "{ratio:?}"
    );
    let worse = compare(&log(1.0, 40, &mut rng), &before, reference).unwrap();
    assert_eq!(worse.verdict, Verdict::Worse);
    let same = compare(
        &log(1.0, 400, &mut rng),
        &log(1.0, 400, &mut rng),
        reference,
    )
    .unwrap();
    assert_eq!(same.verdict, Verdict::Same);
    let unsure = compare(&log(1.0, 40, &mut rng), &log(1.0, 2, &mut rng), reference).unwrap();
    let Verdict::CannotTell { more: Some(more) } = unsure.verdict else {
        panic!("{unsure:?}")
    };
    assert!(more > 30 && more < 2000, "{more}");
    let few = compare(&before, &before[..0], reference).unwrap();
    assert_eq!(few.verdict, Verdict::CannotTell { more: Some(20) });
    // All makes later, half before.
    let all: Vec<Observation> = shots()
        .into_iter()
        .map(|o| Observation {
            tries: 9,
            made: 9,
            ..o
        })
        .collect();
    assert_eq!(
        compare(&before, &all, reference).unwrap().verdict,
        Verdict::Better
    );
    assert_eq!(
        compare(&all, &before, reference).unwrap().verdict,
        Verdict::Worse
    );
    assert_eq!(
        compare(&all, &all, reference).unwrap().verdict,
        Verdict::CannotTell { more: None }
    );
}

#[test]
fn luck_alone_is_called_progress_about_one_time_in_twenty() {
    let reference = Level::Club.aim_error();
    let mut rng = Pcg64::seed_from_u64(9);
    let runs = 1000;
    let alarms = (0..runs)
        .filter(|_| {
            let first = blind(&play(|_| reference, &shots(), 6, &mut rng));
            let second = blind(&play(|_| reference, &shots(), 6, &mut rng));
            compare(&first, &second, reference)
                .unwrap()
                .test
                .unwrap()
                .more_than_luck()
        })
        .count();
    // 50 expected, binomial sd 6.9: within 3 of those.
    assert!((29..=71).contains(&alarms), "{alarms}");
}

#[test]
fn a_skill_report_holds_together() {
    let mut rng = Pcg64::seed_from_u64(10);
    let reference = Level::Club.aim_error();
    let before = play(|_| reference.scaled(1.8), &shots(), 30, &mut rng);
    let now = play(|_| reference, &shots(), 30, &mut rng);
    let report = skill_report(&now, Some(&before), reference).unwrap();
    assert!(matches!(report.outcome, FitOutcome::Fitted(_)));
    assert!(report.bands.len() >= 3);
    assert_eq!(report.bands.iter().map(|b| b.tries).sum::<u64>(), 18 * 30);
    assert!(
        report
            .bands
            .windows(2)
            .all(|pair| pair[0].predicted < pair[1].predicted)
    );
    for band in &report.bands {
        assert!(band.from <= band.predicted && band.predicted <= band.to);
    }
    assert_eq!(report.trend.unwrap().verdict, Verdict::Better);
    let sides = report.left_right.unwrap();
    assert_eq!(sides.first_tries + sides.second_tries, 18 * 30);
    let few = skill_report(&now[..0], None, reference).unwrap();
    assert!(few.bands.is_empty() && few.left_right.is_none() && few.trend.is_none());
}

/// Over many logs of a player the model describes, its checks must not cry wolf.
#[test]
fn predictions_and_fit_statistics_hold_as_often_as_they_should() {
    let mut rng = Pcg64::seed_from_u64(11);
    let reference = Level::Club.aim_error();
    let (mut bands, mut held, mut alarms) = (0_u32, 0_u32, 0_u32);
    let logs = 500;
    for _ in 0..logs {
        let log = play(|_| reference.scaled(1.2), &shots(), 30, &mut rng);
        let report = skill_report(&log, None, reference).unwrap();
        let FitOutcome::Fitted(fit) = report.outcome else {
            panic!("540 tries")
        };
        alarms += u32::from(fit.goodness.deviance_p < 0.05);
        bands += u32::try_from(report.bands.len()).unwrap();
        held += u32::try_from(report.bands.iter().filter(|band| band.holds()).count()).unwrap();
    }
    // 95 in 100 and a little more, as the fit has seen the same tries.
    let share = f64::from(held) / f64::from(bands);
    assert!((0.94..=0.99).contains(&share), "{share}");
    // 25 expected, sd 4.9; the chi-square law is only near.
    assert!((10..=45).contains(&alarms), "{alarms}");
}

/// What a 95 % interval is for: over 2,000 simulated logs it covers the truth in 93 to 97 of 100.
#[test]
fn intervals_cover_the_truth_as_often_as_they_say() {
    let mut rng = Pcg64::seed_from_u64(2024);
    let reference = Level::Club.aim_error();
    let truth = reference.scaled(1.3).with_bias(0.001).unwrap();
    let logs = 2000_u32;
    let (mut scale_held, mut bias_held, mut sign_right) = (0_u32, 0_u32, 0_u32);
    for _ in 0..logs {
        let log = play(|_| truth, &shots(), 12, &mut rng);
        let model = AimModel::new(&log, reference)
            .unwrap()
            .with(Spread::Scale, BiasForm::Common);
        let top = maximise(&model).unwrap();
        let covariance = observed_covariance(&model, &top).unwrap();
        let holds = |i: usize, value: f64| {
            let ends = interval(&model, &top, &covariance, i).unwrap();
            u32::from(
                ends.low.is_none_or(|low| low <= value)
                    && ends.high.is_none_or(|high| value <= high),
            )
        };
        scale_held += holds(0, 1.3_f64.ln());
        bias_held += holds(1, 0.001);
        sign_right += u32::from(top.theta[1] > 0.0);
    }
    for held in [scale_held, bias_held] {
        let share = f64::from(held) / f64::from(logs);
        assert!((0.93..=0.97).contains(&share), "{share}");
    }
    assert!(
        f64::from(sign_right) / f64::from(logs) > 0.95,
        "{sign_right}"
    );
}

/// The same with two parameters, where the shape of the likelihood is less kind.
#[test]
fn intervals_of_arm_and_picture_cover_the_truth_too() {
    let mut rng = Pcg64::seed_from_u64(2025);
    let reference = Level::Club.aim_error();
    let truth = AimError::new(0.3_f64.to_radians(), 0.0025).unwrap();
    let logs = 2000_u32;
    let mut held = [0_u32; 2];
    for _ in 0..logs {
        let log = blind(&play(|_| truth, &shots(), 25, &mut rng));
        let model = AimModel::new(&log, reference)
            .unwrap()
            .with(Spread::ArmPicture, BiasForm::Given);
        let top = maximise(&model).unwrap();
        let covariance = observed_covariance(&model, &top).unwrap();
        for (i, value) in [truth.arm_rad.ln(), truth.picture_m.ln()]
            .into_iter()
            .enumerate()
        {
            let ends = interval(&model, &top, &covariance, i).unwrap();
            held[i] += u32::from(
                ends.low.is_none_or(|low| low <= value)
                    && ends.high.is_none_or(|high| value <= high),
            );
        }
    }
    for count in held {
        let share = f64::from(count) / f64::from(logs);
        assert!((0.93..=0.97).contains(&share), "{share}");
    }
}

#[test]
fn misses_on_one_side_only_leave_bias_untold() {
    let log: Vec<Observation> = shots()
        .into_iter()
        .filter(|o| o.cut == Side::Left)
        .take(3)
        .map(|o| Observation {
            tries: 20,
            made: 12,
            sides: Some(Misses {
                full: 8,
                thin: 0,
                other: 0,
            }),
            ..o
        })
        .take(1)
        .collect();
    let fit = fitted(&log);
    assert_eq!(fit.bias, Bias::NotTold);
    assert!(fit.bias_test.is_none() && fit.scale.value > 0.0);
}

/// Small, lopsided and wild logs: an answer or an honest outcome, never a stuck search.
#[test]
fn small_and_wild_logs_always_get_an_answer() {
    let mut rng = Pcg64::seed_from_u64(12);
    let reference = Level::Club.aim_error();
    for run in 0..1500 {
        let count = rng.random_range(1..=4);
        let player = reference
            .scaled(10.0_f64.powf(rng.random_range(-1.0..1.0)))
            .with_bias(0.02 * sample(&mut rng))
            .unwrap();
        let tries = rng.random_range(1..=40);
        let some: Vec<Observation> = (0..count)
            .map(|_| shots()[rng.random_range(0..18)].clone())
            .collect();
        let log = play(|_| player, &some, tries, &mut rng);
        let later = play(|_| player, &some, 20, &mut rng);
        for (a, b) in [(&log, &later), (&later, &log)] {
            let result = compare(a, b, reference);
            assert!(result.is_ok(), "run {run}: {result:?} in {a:?} {b:?}");
        }
        for log in [blind(&log), log] {
            let outcome = fit_aim(&log, reference);
            match outcome {
                Ok(FitOutcome::Fitted(fit)) => {
                    assert!(fit.scale.value.is_finite() && fit.scale.value > 0.0);
                    assert!(fit.scale.low.is_none_or(|low| low <= fit.scale.value));
                    assert!(fit.scale.high.is_none_or(|high| high >= fit.scale.value));
                }
                Ok(_) => {}
                Err(fault) => panic!("run {run}: {fault} in {log:?}"),
            }
        }
    }
}
