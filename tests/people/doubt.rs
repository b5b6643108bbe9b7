//! What a fit admits: the ratio of stroke to sighting that tries do not tell, and misses that no
//! steady player makes. Students are simulated; their truths are drawn here, from no source.

use rand::{Rng, SeedableRng};
use rand_pcg::Pcg64;
use rayon::prelude::*;
use thincut::gear::LoadedGear;
use thincut::player::aim_error::Larger;
use thincut::player::aim_fit::{AimFit, Estimate, FitOutcome, fit_aim};
use thincut::player::aim_model::{AimModel, BiasForm, Spread};
use thincut::player::budget::{Disturbed, Source, budget};
use thincut::player::fit::Likelihood;
use thincut::player::normal::{cdf, sample};
use thincut::player::spreads::Spreads;
use thincut::player::{AimError, Level, Misses, Observation};
use thincut::units::{Angle, Length, Side, Speed};
use thincut::window::{AbstractShot, Shot, Stroke, solve};

/// A shot whose window is so many of a club player's spreads wide, each way.
fn shot(cue_travel_m: f64, width: f64, cut: Side) -> Observation {
    let cue_speed_m_s = 1.5;
    let half = width
        * Level::Club
            .aim_error()
            .sigma_rad(cue_travel_m, cue_speed_m_s);
    Observation {
        intervals_rad: vec![(-half, half)],
        cue_travel_m,
        cue_speed_m_s,
        cut,
        cut_told: true,
        tries: 0,
        made: 0,
        sides: None,
    }
}

/// Tries at a shot by a player of whose strokes a share goes wild.
fn play(
    player: &AimError,
    wild: f64,
    shot: &Observation,
    tries: u64,
    rng: &mut Pcg64,
) -> Observation {
    let sigma_rad = player.sigma_rad(shot.cue_travel_m, shot.cue_speed_m_s);
    let (mut made, mut misses) = (0, Misses::default());
    for _ in 0..tries {
        let off_rad = if rng.random::<f64>() < wild {
            // Far beyond any window, to either side.
            1.0_f64.copysign(rng.random::<f64>() - 0.5)
        } else {
            sigma_rad * sample(rng)
        };
        let (lo, hi) = shot.intervals_rad[0];
        if (lo..=hi).contains(&off_rad) {
            made += 1;
        } else if (off_rad > 0.0) == (shot.cut == Side::Left) {
            misses.full += 1;
        } else {
            misses.thin += 1;
        }
    }
    Observation {
        tries,
        made,
        sides: Some(misses),
        ..shot.clone()
    }
}

fn fitted(log: &[Observation]) -> Option<AimFit> {
    match fit_aim(log, Level::Club.aim_error()).expect("a fit") {
        FitOutcome::Fitted(fit) => Some(*fit),
        _ => None,
    }
}

/// Between two numbers, each ratio as likely.
fn between(from: f64, to: f64, rng: &mut Pcg64) -> f64 {
    (from.ln() + (to / from).ln() * rng.random::<f64>()).exp()
}

/// A student: an arm of 0.1 to 0.6°, a picture of 2.5 to 40 mm a degree of it, and 70 tries at seven
/// shots, as of a few evenings.
fn student(seed: u64) -> (AimError, Vec<Observation>) {
    let mut rng = Pcg64::seed_from_u64(seed);
    let arm_deg = between(0.1, 0.6, &mut rng);
    let picture_mm = arm_deg * between(2.5, 40.0, &mut rng);
    let player = AimError::new(arm_deg.to_radians(), 1e-3 * picture_mm).expect("a player");
    let times = arm_deg / 0.2;
    let log = (0..7)
        .map(|k| {
            let travel_m = between(0.2, 2.0, &mut rng);
            let width = times * between(0.5, 2.5, &mut rng);
            let cut = if k % 2 == 0 { Side::Left } else { Side::Right };
            play(&player, 0.0, &shot(travel_m, width, cut), 10, &mut rng)
        })
        .collect();
    (player, log)
}

const STUDENTS: u64 = 250;

/// Way of the cue ball on the shots asked about, m.
const ASKED_M: [f64; 3] = [0.3, 1.0, 2.0];

#[test]
fn a_cause_that_is_named_is_right_or_none_is_named() {
    let named: Vec<(bool, usize, usize)> = (0..STUDENTS)
        .into_par_iter()
        .filter_map(|seed| {
            let (truth, log) = student(seed);
            let player = fitted(&log)?.on_left_cuts;
            let (mut right, mut wrong) = (0, 0);
            for travel_m in ASKED_M {
                let larger = truth.larger(travel_m, 1.5).expect("given");
                match player.larger(travel_m, 1.5) {
                    Some(found) if found == larger => right += 1,
                    Some(_) => wrong += 1,
                    None => {}
                }
            }
            Some((player.told_apart, right, wrong))
        })
        .collect();
    let untold = named.iter().filter(|(told, ..)| !told).count();
    let (right, wrong) = named.iter().fold((0, 0), |sum, (_, right, wrong)| {
        (sum.0 + right, sum.1 + wrong)
    });
    println!(
        "{} students, {untold} not told apart; {right} right, {wrong} wrong",
        named.len()
    );
    // Most are not told apart, and still something can be said of many.
    assert!(untold > named.len() / 2, "{untold} of {}", named.len());
    assert!(right > named.len() / 2, "{right}");
    // One in twenty is what is promised of each that is named.
    assert!(20 * wrong <= right + wrong, "{wrong} of {}", right + wrong);
}

/// The budget names stroke or sighting only where the tries tell, and then the right one.
#[test]
fn a_budget_names_no_cause_that_the_log_cannot_tell() {
    let gear = LoadedGear::load("pool-9ft", &[])
        .expect("a built-in table")
        .gear;
    let asked = AbstractShot::new(
        Angle::from_ball_fraction(0.5),
        Length::from_ft(4.0),
        Length::from_ft(3.0),
    );
    let shot = Shot::from_angles(&gear, &asked, Stroke::at_pace(Speed::from_m_s(1.0))).expect("it");
    let solution = solve(&gear, &shot).expect("it can be solved");
    let solved = solution.solved().expect("a window");
    let disturbed = Disturbed::new(&gear, solved, 0.0);
    let (travel_m, speed_m_s) = (solved.window.aim.travel_m, solved.window.cue_speed_m_s);
    let (mut none, mut right, mut wrong) = (0, 0, 0);
    for seed in 0..60 {
        let (truth, log) = student(1000 + seed);
        let Some(fit) = fitted(&log) else { continue };
        let player = AimError {
            bias_rad: 0.0,
            ..fit.on_left_cuts
        };
        let spreads = Spreads {
            tip_m: 0.0,
            speed_share: 0.0,
            balls_share: 0.0,
        };
        let mut rng = Pcg64::seed_from_u64(seed);
        let found = budget(&disturbed, &player, &spreads, 4000, &mut rng).expect("a budget");
        let larger = truth.larger(travel_m, speed_m_s).expect("given");
        match found.practise.map(|p| p.source) {
            Some(Source::Arm) if larger == Larger::Arm => right += 1,
            Some(Source::Picture) if larger == Larger::Picture => right += 1,
            Some(Source::Arm | Source::Picture) => wrong += 1,
            _ => none += 1,
        }
        assert_eq!(
            found.told_apart,
            player.larger(travel_m, speed_m_s).is_some()
        );
        // Drawn over the ratios, the makes are the mean chance over them.
        let by_window = found.makes_by_aim_alone;
        assert!(
            (found.makes - by_window).abs() < 4.0 * found.makes_error + 0.002,
            "{} {by_window}",
            found.makes
        );
    }
    println!("{right} right, {wrong} wrong, {none} none");
    assert!(right > 10 && none > 10, "{right} {none}");
    assert!(20 * wrong <= right + wrong, "{wrong} of {}", right + wrong);
}

/// The mean chance against the whole posterior, integrated over spread and ratio on a grid of its own.
#[test]
fn a_chance_is_the_mean_over_the_ratios_that_the_tries_allow() {
    const STEPS: i32 = 60;
    let far = shot(2.2, 1.0, Side::Left);
    let near = shot(0.2, 1.0, Side::Left);
    let mut seen = 0;
    for seed in 0..30 {
        let (_, log) = student(2000 + seed);
        // Sides would bring the lean in, which is another matter.
        let log: Vec<Observation> = log
            .into_iter()
            .map(|o| Observation { sides: None, ..o })
            .collect();
        let Some(fit) = fitted(&log).filter(|fit| !fit.on_left_cuts.told_apart) else {
            continue;
        };
        if fit.wild_share.is_some() {
            continue;
        }
        seen += 1;
        let club = Level::Club.aim_error();
        let (mut weights, mut made) = (0.0, [0.0; 2]);
        for i in -STEPS..=STEPS {
            let ln_ratio = 4.0 * f64::from(i) / f64::from(STEPS) * 3.0_f64.ln();
            for j in -STEPS..=STEPS {
                let scale = fit.scale.value * (2.5 * f64::from(j) / f64::from(STEPS)).exp();
                let player = AimError {
                    arm_rad: club.arm_rad * scale * (-0.5 * ln_ratio).exp(),
                    picture_m: club.picture_m * scale * (0.5 * ln_ratio).exp(),
                    ..club
                };
                let p = |o: &Observation| {
                    let sigma = player.sigma_rad(o.cue_travel_m, o.cue_speed_m_s);
                    let (lo, hi) = o.intervals_rad[0];
                    (cdf(hi / sigma) - cdf(lo / sigma)).clamp(1e-12, 1.0 - 1e-12)
                };
                let ln_likelihood: f64 = log
                    .iter()
                    .map(|o| {
                        let (made, missed) = (o.made as f64, (o.tries - o.made) as f64);
                        made * p(o).ln() + missed * (1.0 - p(o)).ln()
                    })
                    .sum();
                let prior = -0.5 * (ln_ratio / 3.0_f64.ln()).powi(2);
                let weight = (ln_likelihood - fit.ln_likelihood + prior).exp();
                weights += weight;
                made[0] += weight * p(&near);
                made[1] += weight * p(&far);
            }
        }
        for (o, made) in [&near, &far].into_iter().zip(made) {
            let found = o.chance(&fit.on_left_cuts);
            let whole = made / weights;
            // The spread of the factor itself, which the fit leaves out, is worth a few hundredths.
            assert!(
                (found - whole).abs() < 0.035,
                "{seed}: {found}, not {whole}"
            );
        }
    }
    assert!(seen >= 10, "{seen}");
}

#[test]
fn a_chance_on_another_shot_is_nearer_than_that_of_the_assumed_ratio() {
    let off: Vec<[f64; 2]> = (0..STUDENTS)
        .into_par_iter()
        .filter_map(|seed| {
            let (truth, log) = student(seed);
            let player = fitted(&log)?.on_left_cuts;
            if player.told_apart {
                return None;
            }
            let assumed = AimError {
                told_apart: true,
                ..player
            };
            let mut off = [0.0; 2];
            for travel_m in ASKED_M {
                let times = truth.arm_rad / Level::Club.aim_error().arm_rad;
                let asked = shot(travel_m, times, Side::Left);
                let is = asked.chance(&truth);
                // What each chance costs whoever bets by it: the expected surprise.
                let cost = |p: f64| -(is * p.ln() + (1.0 - is) * (1.0 - p).ln());
                for (sum, player) in off.iter_mut().zip([player, assumed]) {
                    *sum += cost(asked.chance(&player).clamp(1e-9, 1.0 - 1e-9));
                }
            }
            Some(off)
        })
        .collect();
    let sum = |k: usize| off.iter().map(|o| o[k]).sum::<f64>();
    println!("{} {} {}", off.len(), sum(0), sum(1));
    assert!(sum(0) < sum(1), "{} {}", sum(0), sum(1));
}

fn holds(estimate: &Estimate, value: f64) -> bool {
    estimate.low.is_none_or(|low| low <= value) && estimate.high.is_none_or(|high| value <= high)
}

/// A student of club ratio who plays easy shots too, a share of the strokes wild: 240 tries.
fn steady(seed: u64, wild: f64) -> (f64, Option<AimFit>) {
    let mut rng = Pcg64::seed_from_u64(seed);
    let times = between(0.6, 3.0, &mut rng);
    let player = Level::Club.aim_error().scaled(times);
    let mut log = Vec::new();
    for travel_m in [0.3, 0.6, 1.2, 1.8] {
        for width in [0.6, 1.2, 3.5] {
            let cut = if rng.random::<bool>() {
                Side::Left
            } else {
                Side::Right
            };
            let shot = shot(travel_m, width * times, cut);
            log.push(play(&player, wild, &shot, 20, &mut rng));
        }
    }
    (times, fitted(&log))
}

#[test]
fn a_few_wild_misses_do_not_ruin_the_fit() {
    const WILD: f64 = 0.05;
    let all: Vec<(f64, AimFit)> = (0..200)
        .into_par_iter()
        .filter_map(|seed| {
            let (times, fit) = steady(seed, WILD);
            Some((times, fit?))
        })
        .collect();
    let count = |of: &dyn Fn(&(f64, AimFit)) -> bool| {
        let found = all.iter().filter(|student| of(student)).count();
        found as f64 / all.len() as f64
    };
    let said = count(&|(_, fit)| fit.wild_share.is_some());
    let spread = count(&|(times, fit)| holds(&fit.scale, *times));
    let share = all.iter().filter_map(|(_, fit)| fit.wild_share.as_ref());
    let (held, asked) = share.fold((0, 0), |sum, share| {
        (sum.0 + u32::from(holds(share, WILD)), sum.1 + 1)
    });
    let mean = all
        .iter()
        .map(|(times, fit)| (fit.scale.value / times).ln())
        .sum::<f64>()
        / all.len() as f64;
    println!("said {said}, spread {spread}, mean ln {mean}, share {held} of {asked}");
    assert!(said > 0.8, "{said}");
    // 95 in 100 less four standard errors of 200, and less for those of whom it was not said.
    assert!(spread > 0.88, "{spread}");
    assert!(mean.abs() < 0.05, "{mean}");
    assert!(10 * held >= 9 * asked, "{held} of {asked}");
}

#[test]
fn steady_players_are_seldom_called_wild() {
    let (mut said, mut asked, mut held) = (0, 0, 0);
    let all: Vec<(f64, AimFit)> = (0..400)
        .into_par_iter()
        .filter_map(|seed| {
            let (times, fit) = steady(5000 + seed, 0.0);
            Some((times, fit?))
        })
        .collect();
    for (times, fit) in &all {
        asked += 1;
        said += u32::from(fit.wild_share.is_some());
        held += u32::from(holds(&fit.scale, *times));
    }
    println!("{said} of {asked}; spread {held}");
    // 1 in 20, and three standard errors of 400 draws.
    assert!(
        f64::from(said) < (0.05 + 3.0 * 0.011) * f64::from(asked),
        "{said} of {asked}"
    );
    assert!(
        f64::from(held) > 0.91 * f64::from(asked),
        "{held} of {asked}"
    );
}

/// The hand-written slope along the share of wild strokes against differences of ln L.
#[test]
fn the_slope_along_wild_strokes_is_that_of_the_likelihood() {
    let mut rng = Pcg64::seed_from_u64(3);
    let player = Level::Starting.aim_error();
    let log: Vec<Observation> = [0.3, 0.6, 1.2, 1.8]
        .into_iter()
        .flat_map(|travel_m| [0.6, 1.2, 3.5].map(|width| shot(travel_m, width, Side::Left)))
        .map(|shot| play(&player, 0.1, &shot, 12, &mut rng))
        .collect();
    let blind = log
        .iter()
        .cloned()
        .map(|o| Observation { sides: None, ..o });
    let both: Vec<Observation> = log.iter().cloned().chain(blind).collect();
    for (spread, form) in [
        (Spread::Scale, BiasForm::Given),
        (Spread::ArmPicture, BiasForm::Common),
        (Spread::ArmPicture, BiasForm::ByCut),
    ] {
        let model = AimModel::new(&both, Level::Club.aim_error())
            .expect("rows")
            .with(spread, form)
            .with_wild_strokes();
        let mut theta = model.start();
        let last = model.parameters() - 1;
        theta[last] = 0.07;
        for slot in &mut theta[spread.parameters()..last] {
            *slot = 0.001;
        }
        let here = model.evaluate(&theta);
        for i in 0..=last {
            let at = |by: f64| {
                let mut moved = theta;
                moved[i] += by;
                model.evaluate(&moved).ln_likelihood
            };
            let step = if i < spread.parameters() { 1e-5 } else { 1e-8 };
            let slope = (at(step) - at(-step)) / (2.0 * step);
            let room = 1e-6 * here.information[i][i].sqrt().max(1.0);
            assert!(
                (here.gradient[i] - slope).abs() < room,
                "{spread:?} {form:?} {i}: {} {slope}",
                here.gradient[i]
            );
        }
    }
}
