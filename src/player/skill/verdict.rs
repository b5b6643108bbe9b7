//! More than luck? Two sets of tries compared: earlier and later, or left and right cuts.
//!
//! Both sets get a factor on the same reference player; the question is whether the two factors
//! are one. The answer is a likelihood-ratio test with a profile interval for their ratio.
//! Each set keeps a bias of its own where sides of misses were noted in both.

use serde::Serialize;

use crate::player::chance::aim_error::AimError;
use crate::player::chance::normal::Z_95;
use crate::player::fault::PlayerError;
use crate::player::fit::aim_fit::{Estimate, MIN_TRIES, single_lean, unsettled, whole};
use crate::player::fit::aim_model::{AimModel, BiasForm, Spread};
use crate::player::fit::likelihood::{
    Evaluation, Likelihood, MAX_PARAMETERS, Maximum, SETTLED, Theta, climb, maximise,
    observed_covariance,
};
use crate::player::fit::observation::{Observation, Recorded};
use crate::player::fit::profile::{RatioTest, interval};

/// Two spreads within this factor of each other are the same for practice. Assumption.
pub const SAME_WITHIN: f64 = 1.2;

/// What to say first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// The later spread is narrower, by more than luck.
    Better,
    /// The later spread is wider, by more than luck.
    Worse,
    /// The whole interval of their ratio lies within a fifth either way, be it by luck or not.
    Same,
    /// The tries cannot tell.
    CannotTell {
        /// Tries still needed in the later set to tell a change of a fifth; `None` when the
        /// earlier set alone is too small for that, however many are added.
        more: Option<u64>,
    },
}

/// Two sets of tries compared.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct Comparison {
    /// Tries in the first set.
    pub first_tries: u64,
    /// Tries in the second set.
    pub second_tries: u64,
    /// Second spread over first spread; `None` when one set is all makes or all misses.
    pub ratio: Option<Estimate>,
    /// Two spreads against one; `None` with fewer than 20 tries in a set.
    pub test: Option<RatioTest>,
    /// In a word, with the first set as the earlier one.
    pub verdict: Verdict,
}

/// Two aim models with factors `s` and `s·r`: parameters (ln s, ln r, bias, bias).
struct Pair {
    first: AimModel,
    second: AimModel,
    biased: bool,
}

impl Pair {
    fn parts(&self, theta: &Theta) -> (Theta, Theta) {
        (
            first_of([theta[0], theta[2]]),
            first_of([theta[0] + theta[1], theta[3]]),
        )
    }
}

/// The first parameters; the others are none.
fn first_of<const N: usize>(values: [f64; N]) -> Theta {
    let mut theta = [0.0; MAX_PARAMETERS];
    theta[..N].copy_from_slice(&values);
    theta
}

impl Likelihood for Pair {
    fn parameters(&self) -> usize {
        if self.biased { 4 } else { 2 }
    }

    fn name(&self, parameter: usize) -> String {
        [
            "the spread",
            "the change of the spread",
            "the first bias",
            "the second bias",
        ][parameter]
            .to_owned()
    }

    fn start(&self) -> Theta {
        let (first, second) = (self.first.start(), self.second.start());
        first_of([first[0], second[0] - first[0], first[1], second[1]])
    }

    fn evaluate(&self, theta: &Theta) -> Evaluation {
        let (at_first, at_second) = self.parts(theta);
        let mut sum = Evaluation::empty();
        // Each row of the map says where a model's parameter comes from: (ln s [+ ln r], bias).
        let maps: [[Theta; 2]; 2] = [
            [first_of([1.0]), first_of([0.0, 0.0, 1.0])],
            [first_of([1.0, 1.0]), first_of([0.0, 0.0, 0.0, 1.0])],
        ];
        for (one, map) in [
            self.first.evaluate(&at_first),
            self.second.evaluate(&at_second),
        ]
        .iter()
        .zip(maps)
        {
            sum.ln_likelihood += one.ln_likelihood;
            for i in 0..MAX_PARAMETERS {
                sum.gradient[i] += (0..2).map(|a| map[a][i] * one.gradient[a]).sum::<f64>();
                for j in 0..MAX_PARAMETERS {
                    sum.information[i][j] += (0..2)
                        .flat_map(|a| (0..2).map(move |b| (a, b)))
                        .map(|(a, b)| map[a][i] * one.information[a][b] * map[b][j])
                        .sum::<f64>();
                }
            }
        }
        sum
    }
}

fn totals(observations: &[Observation]) -> (u64, u64) {
    observations
        .iter()
        .fold((0, 0), |(tries, made), o| (tries + o.tries, made + o.made))
}

/// The form of bias that explains these tries best; none where the log does not say.
pub(crate) fn lean_of(
    observations: &[Observation],
    reference: AimError,
) -> Result<BiasForm, PlayerError> {
    let base = AimModel::new(observations, reference)?;
    let none = match maximise(&base) {
        Ok(top) => top,
        Err(fault) if unsettled(&fault) => return Ok(BiasForm::Given),
        Err(fault) => return Err(fault),
    };
    let lean = single_lean(&base, Recorded::of(observations), &none)?;
    Ok(lean.map_or(BiasForm::Given, |lean| lean.form))
}

/// The forms of bias to try: this one, where both sets have sides, and none. With all misses on one side a
/// bias cannot be told from spread.
fn forms(sets: [&[Observation]; 2], lean: BiasForm) -> [BiasForm; 2] {
    let sided = |set: &[Observation]| set.iter().any(|o| o.sided_misses() > 0);
    if sets.into_iter().all(sided) {
        [lean, BiasForm::Given]
    } else {
        [BiasForm::Given; 2]
    }
}

/// Compares two sets of tries, the first one being the earlier.
///
/// # Errors
/// [`PlayerError::BadObservation`] for a row that cannot be used, and the faults of
/// [`maximise`].
pub fn compare(
    first: &[Observation],
    second: &[Observation],
    reference: AimError,
) -> Result<Comparison, PlayerError> {
    let ((first_tries, first_made), (second_tries, second_made)) = (totals(first), totals(second));
    let (one, two) = (
        AimModel::new(first, reference)?,
        AimModel::new(second, reference)?,
    );
    let mut result = Comparison {
        first_tries,
        second_tries,
        ratio: None,
        test: None,
        verdict: Verdict::CannotTell {
            more: Some(MIN_TRIES.saturating_sub(second_tries)).filter(|_| first_tries >= MIN_TRIES),
        },
    };
    if first_tries < MIN_TRIES || second_tries < MIN_TRIES {
        return Ok(result);
    }
    let extreme = |made: u64, tries: u64| made == 0 || made == tries;
    if extreme(first_made, first_tries) || extreme(second_made, second_tries) {
        let all: Vec<Observation> = first.iter().chain(second).cloned().collect();
        result.test = at_the_edge(
            &one,
            &two,
            &AimModel::new(&all, reference)?,
            [first, second],
        )?;
        let (first_rate, second_rate) = (
            rate(first_made, first_tries),
            rate(second_made, second_tries),
        );
        result.verdict = match result.test {
            // All makes against some misses, or some makes against none: the order is plain.
            Some(test) if test.more_than_luck() && second_rate > first_rate => Verdict::Better,
            Some(test) if test.more_than_luck() => Verdict::Worse,
            _ => Verdict::CannotTell { more: None },
        };
        return Ok(result);
    }
    let all: Vec<Observation> = first.iter().chain(second).cloned().collect();
    for form in forms([first, second], lean_of(&all, reference)?) {
        let pair = Pair {
            first: one.with(Spread::Scale, form),
            second: two.with(Spread::Scale, form),
            biased: form != BiasForm::Given,
        };
        match fill(&pair, &mut result) {
            Ok(()) => return Ok(result),
            Err(fault) if unsettled(&fault) => {}
            Err(fault) => return Err(fault),
        }
    }
    result.verdict = Verdict::CannotTell { more: None };
    Ok(result)
}

/// How a second set's spread stands to the first's, and the test of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct SpreadChange {
    /// ln of second over first; without a number where a set is all makes or all misses, but with its sign.
    pub(crate) ln_ratio: f64,
    /// Two spreads against one.
    pub(crate) test: RatioTest,
}

/// Whom two sets are compared on.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Compared {
    /// Whose ratio of arm to picture.
    pub(crate) reference: AimError,
    /// The form of bias that each set may have.
    pub(crate) lean: BiasForm,
}

impl Compared {
    /// The player of all these tries.
    pub(crate) fn on(all: &[Observation], reference: AimError) -> Result<Self, PlayerError> {
        Ok(Self {
            reference,
            lean: lean_of(all, reference)?,
        })
    }
}

/// The same comparison without intervals; `None` where a set is too small or nothing settles.
pub(crate) fn spread_change(
    first: &[Observation],
    second: &[Observation],
    player: Compared,
) -> Result<Option<SpreadChange>, PlayerError> {
    let ((first_tries, first_made), (second_tries, second_made)) = (totals(first), totals(second));
    if first_tries < MIN_TRIES || second_tries < MIN_TRIES {
        return Ok(None);
    }
    let reference = player.reference;
    let (one, two) = (
        AimModel::new(first, reference)?,
        AimModel::new(second, reference)?,
    );
    let extreme = |made: u64, tries: u64| made == 0 || made == tries;
    if extreme(first_made, first_tries) || extreme(second_made, second_tries) {
        let all: Vec<Observation> = first.iter().chain(second).cloned().collect();
        let both = AimModel::new(&all, reference)?;
        let better = rate(second_made, second_tries) > rate(first_made, first_tries);
        let test = match at_the_edge(&one, &two, &both, [first, second]) {
            Ok(test) => test,
            Err(fault) if unsettled(&fault) => None,
            Err(fault) => return Err(fault),
        };
        return Ok(test.map(|test| SpreadChange {
            ln_ratio: if better {
                f64::NEG_INFINITY
            } else {
                f64::INFINITY
            },
            test,
        }));
    }
    for form in forms([first, second], player.lean) {
        let pair = Pair {
            first: one.with(Spread::Scale, form),
            second: two.with(Spread::Scale, form),
            biased: form != BiasForm::Given,
        };
        let found = maximise(&pair).and_then(|top| Ok((top, against_one(&pair, &top)?)));
        match found {
            Ok((top, test)) => {
                return Ok(Some(SpreadChange {
                    ln_ratio: top.theta[1],
                    test,
                }));
            }
            Err(fault) if unsettled(&fault) => {}
            Err(fault) => return Err(fault),
        }
    }
    Ok(None)
}

/// How a second set's steady error stands to the first's, each with the spread of all: the change as what it
/// does to the error squared that a miss comes of, ln of second over first. `None` where no lean is told, a set
/// is too small or nothing settles.
pub(crate) fn lean_change(
    first: &[Observation],
    second: &[Observation],
    player: Compared,
) -> Result<Option<SpreadChange>, PlayerError> {
    let small = |set: &[Observation]| totals(set).0 < MIN_TRIES;
    if player.lean != BiasForm::Fullness || small(first) || small(second) {
        return Ok(None);
    }
    let all: Vec<Observation> = first.iter().chain(second).cloned().collect();
    let lean = |set: &[Observation]| -> Result<AimModel, PlayerError> {
        Ok(AimModel::new(set, player.reference)?.with(Spread::Scale, BiasForm::Fullness))
    };
    let leans = Leans {
        first: lean(first)?,
        second: lean(second)?,
    };
    let found = maximise(&lean(&all)?).and_then(|one| Ok((maximise(&leans)?, one)));
    match found {
        Ok((apart, one)) => {
            let [before, after] = [apart.theta[1], apart.theta[2]].map(f64::abs);
            let sigma = player
                .reference
                .scaled(apart.theta[0].exp())
                .sigma_rad(1.0, 1.0);
            Ok(Some(SpreadChange {
                ln_ratio: sigma.hypot(after).ln() - sigma.hypot(before).ln(),
                test: RatioTest::new(apart.ln_likelihood, one.ln_likelihood, 1),
            }))
        }
        Err(fault) if unsettled(&fault) => Ok(None),
        Err(fault) => Err(fault),
    }
}

/// Two sets of one spread, each with a lean of its own: parameters (ln s, lean, lean).
struct Leans {
    first: AimModel,
    second: AimModel,
}

impl Likelihood for Leans {
    fn parameters(&self) -> usize {
        3
    }

    fn name(&self, parameter: usize) -> String {
        ["the spread", "the first bias", "the second bias"][parameter].to_owned()
    }

    fn start(&self) -> Theta {
        self.first.start()
    }

    fn evaluate(&self, theta: &Theta) -> Evaluation {
        let mut sum = Evaluation::empty();
        for (own, model) in [(1, &self.first), (2, &self.second)] {
            let one = model.evaluate(&first_of([theta[0], theta[own]]));
            sum.ln_likelihood += one.ln_likelihood;
            let to = [0, own];
            for (a, i) in to.into_iter().enumerate() {
                sum.gradient[i] += one.gradient[a];
                for (b, j) in to.into_iter().enumerate() {
                    sum.information[i][j] += one.information[a][b];
                }
            }
        }
        sum
    }
}

/// Two spreads against one.
fn against_one(pair: &Pair, top: &Maximum) -> Result<RatioTest, PlayerError> {
    let held = climb(
        pair,
        first_of([top.theta[0], 0.0, top.theta[2], top.theta[3]]),
        Some(1),
        SETTLED,
    )?;
    Ok(RatioTest::new(top.ln_likelihood, held.ln_likelihood, 1))
}

#[expect(clippy::cast_precision_loss, reason = "counts stay far below 2^53")]
fn rate(made: u64, tries: u64) -> f64 {
    made as f64 / tries as f64
}

/// A set of all makes (or all misses) has ln L = 0 in the limit of no (or endless) spread.
fn at_the_edge(
    one: &AimModel,
    two: &AimModel,
    both: &AimModel,
    sets: [&[Observation]; 2],
) -> Result<Option<RatioTest>, PlayerError> {
    let best = |model: &AimModel, set: &[Observation]| -> Result<f64, PlayerError> {
        let (tries, made) = totals(set);
        if made == 0 || made == tries {
            Ok(0.0)
        } else {
            Ok(maximise(model)?.ln_likelihood)
        }
    };
    let all: (u64, u64) = (
        totals(sets[0]).0 + totals(sets[1]).0,
        totals(sets[0]).1 + totals(sets[1]).1,
    );
    if all.1 == 0 || all.1 == all.0 {
        return Ok(None);
    }
    let apart = best(one, sets[0])? + best(two, sets[1])?;
    Ok(Some(RatioTest::new(
        apart,
        maximise(both)?.ln_likelihood,
        1,
    )))
}

fn fill(pair: &Pair, result: &mut Comparison) -> Result<(), PlayerError> {
    let top = maximise(pair)?;
    let covariance = observed_covariance(pair, &top)?;
    let ends = interval(pair, &top, &covariance, 1)?;
    let ln_ratio = top.theta[1];
    let ratio = Estimate {
        value: ln_ratio.exp(),
        standard_error: Some(covariance[1][1].max(0.0).sqrt() * ln_ratio.exp()),
        low: ends.low.map(f64::exp),
        high: ends.high.map(f64::exp),
    };
    let test = against_one(pair, &top)?;
    result.verdict = match (ratio.low, ratio.high) {
        // First, so that a large log does not make news of a change too small to matter.
        (Some(low), Some(high)) if low > SAME_WITHIN.recip() && high < SAME_WITHIN => Verdict::Same,
        _ if test.more_than_luck() && ln_ratio < 0.0 => Verdict::Better,
        _ if test.more_than_luck() => Verdict::Worse,
        _ => Verdict::CannotTell {
            more: more_tries(pair, &top, result.second_tries),
        },
    };
    result.ratio = Some(ratio);
    result.test = Some(test);
    Ok(())
}

/// Tries still needed in the second set so that `√(1/I₁ + 1/I₂) ≤ ln 1.2 / 1.96`, with the
/// information I₂ growing in proportion to tries.
#[expect(clippy::cast_precision_loss, reason = "counts stay far below 2^53")]
fn more_tries(pair: &Pair, top: &Maximum, second_tries: u64) -> Option<u64> {
    let (at_first, at_second) = pair.parts(&top.theta);
    let first = pair.first.evaluate(&at_first).information[0][0];
    let second = pair.second.evaluate(&at_second).information[0][0];
    let room = (SAME_WITHIN.ln() / Z_95).powi(2) - first.recip();
    if room <= 0.0 {
        return None;
    }
    let tries = second_tries as f64;
    // When these tries would do on average and this log is an unlucky one, ask for a tenth more.
    let needed = (tries / (room * second)).max(1.1 * tries);
    whole(needed - tries)
}
