//! From a log to a player: what can be said, and honestly what cannot.
//!
//! With few data one factor on a reference player's arm and picture is fitted. Arm and picture
//! are given apart only when a likelihood-ratio test (1 in 20) says the data tell them apart,
//! which takes shots with short and with long cue-ball travel. Bias is fitted when sides of
//! misses were noted, apart for left and right cuts when the same kind of test asks for it.
//!
//! A few strokes may go wild (a miscue, somebody calls) and miss what hardly can be missed. Where a
//! likelihood-ratio test (1 in 20) says that the misses have a heavier tail than a Normal, a share of
//! such strokes is fitted beside all else, so that they do not widen the spread; unless arm and picture
//! apart, which they then may hide, explain the tries as well.
//!
//! Where arm and picture are not told apart, the fitted player carries the posterior of their ratio.
//!
//! All makes, all misses and too few tries are outcomes of their own.

use serde::Serialize;

use super::aim_model::{AimModel, BiasForm, Spread};
use super::goodness::{Goodness, goodness};
use super::likelihood::{
    Likelihood, Matrix, Maximum, SETTLED, climb, maximise, observed_covariance,
};
use super::observation::{Observation, Recorded};
use super::profile::{ProfileInterval, RatioTest, interval};
use super::ratio::Posterior;
use crate::directions::Sample;
use crate::player::chance::aim_error::{AimError, Balance, Larger};
use crate::player::chance::caught::find_root;
use crate::player::chance::normal::Z_95;
use crate::player::chance::ratios::Ratios;
use crate::player::fault::PlayerError;
use crate::units::Side;

/// Fewest tries from which a spread is fitted. Common practice.
pub const MIN_TRIES: u64 = 20;

/// Half-width of a spread's interval, as a share of it, that is good enough to act on.
/// Assumption.
pub const GOOD_ENOUGH: f64 = 0.2;

/// Most tries ever asked for: past it the answer is "these shots will not tell". Assumption.
const TRIES_CAP: f64 = 1e9;

/// Nothing is known of which part of the error is the larger.
const UNKNOWN: Balance = Balance::Between {
    low_m: 0.0,
    high_m: f64::INFINITY,
};

/// An estimate with its 95 % interval; an end is `None` where the data set no limit.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct Estimate {
    /// Most likely value.
    pub value: f64,
    /// Standard error from the observed information; `None` on the edge of what is possible.
    pub standard_error: Option<f64>,
    /// Lower end.
    pub low: Option<f64>,
    /// Upper end.
    pub high: Option<f64>,
}

impl Estimate {
    fn plain(value: f64, variance: f64, ends: ProfileInterval) -> Self {
        let standard_error = (variance > 0.0).then(|| variance.sqrt());
        Self {
            value,
            standard_error,
            low: ends.low,
            high: ends.high,
        }
    }

    /// From an estimate of ln x; the interval carries over as it is.
    fn exponential(ln: f64, variance: f64, ends: ProfileInterval) -> Self {
        let ends = ProfileInterval {
            low: ends.low.map(f64::exp),
            high: ends.high.map(f64::exp),
        };
        Self::plain(ln.exp(), variance * (2.0 * ln).exp(), ends)
    }
}

/// Arm and picture apart.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct Parts {
    /// The arm, radians.
    pub arm_rad: Estimate,
    /// The picture, metres at the ghost ball.
    pub picture_m: Estimate,
}

/// A lean of the aim, counter-clockwise positive.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Bias {
    /// No sides were noted: nothing can be said.
    Unknown,
    /// Sides were noted, but bias and spread cannot be told apart: all misses on one side, as
    /// a rule. The spread then takes the bias in, and is too wide.
    NotTold,
    /// Towards the fuller hit, whichever way a shot cuts: too full positive.
    Fullness(Estimate),
    /// The same on all shots: left positive.
    Common(Estimate),
    /// Different on left and right cuts.
    ByCut {
        /// On left cuts.
        left: Estimate,
        /// On right cuts.
        right: Estimate,
    },
}

/// A fitted player.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct AimFit {
    /// Tries behind it.
    pub tries: u64,
    /// Makes among them.
    pub made: u64,
    /// Factor on the reference player's arm and picture.
    pub scale: Estimate,
    /// Arm and picture apart, when the data tell.
    pub parts: Option<Parts>,
    /// The test of that: arm and picture apart against one factor. `None` when the shots
    /// cannot tell at all (all with the same cue-ball travel).
    pub parts_test: Option<RatioTest>,
    /// Share of strokes that go wild, where the misses have a heavier tail than a Normal.
    pub wild_share: Option<Estimate>,
    /// The test of that: some wild strokes against none.
    pub tail_test: Option<RatioTest>,
    /// The lean of the aim.
    pub bias: Bias,
    /// One bias against none.
    pub bias_test: Option<RatioTest>,
    /// Bias by cut against one bias.
    pub cut_test: Option<RatioTest>,
    /// The fitted player on left cuts.
    pub on_left_cuts: AimError,
    /// The fitted player on right cuts.
    pub on_right_cuts: AimError,
    /// ln L of the chosen model, without binomial coefficients.
    pub ln_likelihood: f64,
    /// How well it describes makes and misses.
    pub goodness: Goodness,
    /// Variance of ln scale, for comparisons.
    pub ln_scale_variance: f64,
}

impl AimFit {
    /// The fitted player for a cut.
    #[must_use]
    pub fn player(&self, cut: Side) -> AimError {
        match cut {
            Side::Left => self.on_left_cuts,
            Side::Right => self.on_right_cuts,
        }
    }

    /// The larger part of the aim's error a metre away; `None` where the tries do not tell.
    #[must_use]
    pub fn larger_a_metre_away(&self) -> Option<Larger> {
        // Of a slow stroke: at a metre a picture of 1 mm is 1 mrad of aim.
        self.on_left_cuts.larger(1.0, 0.0)
    }

    /// How many more tries like these bring the spread's 95 % half-width down to `share` of
    /// it; `None` when these shots hardly tell at all.
    ///
    /// Information grows with tries: `n_needed = n · (1.96 · SE(ln scale) / share)²`.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "counts stay far below 2^53")]
    pub fn more_tries_for(&self, share: f64) -> Option<u64> {
        let tries = self.tries as f64;
        whole((tries * self.ln_scale_variance * (Z_95 / share).powi(2) - tries).max(0.0))
    }
}

/// Rounds a number of tries up; `None` past a billion.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "between 0 and 1e9 here"
)]
pub(crate) fn whole(tries: f64) -> Option<u64> {
    (tries < TRIES_CAP).then(|| tries.ceil() as u64)
}

/// What a log says.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum FitOutcome {
    /// A spread, with its interval.
    Fitted(Box<AimFit>),
    /// Every try went in: the spread has only an upper bound.
    AllMade {
        /// Tries.
        tries: u64,
        /// 95 % one-sided upper bound of the factor on the reference player: a wider spread
        /// makes them all less than 1 time in 20. `None` when even a huge one would not.
        scale_at_most: Option<f64>,
    },
    /// Every try missed: the spread has only a lower bound.
    AllMissed {
        /// Tries.
        tries: u64,
        /// 95 % one-sided lower bound of the factor on the reference player. `None` when no
        /// spread would miss them all so seldom.
        scale_at_least: Option<f64>,
    },
    /// Too few tries to fit anything.
    TooFew {
        /// Tries there are.
        tries: u64,
        /// Tries that are needed in all.
        needed: u64,
    },
}

/// Fits a player to tries, starting from a reference (a level, as a rule).
///
/// # Errors
/// [`PlayerError::BadObservation`] for a row that cannot be used, and the faults of
/// [`maximise`].
pub fn fit_aim(
    observations: &[Observation],
    reference: AimError,
) -> Result<FitOutcome, PlayerError> {
    fit(observations, reference, Depth::Whole)
}

/// The same where a diagnosis says whether there is a steady error: one that it does not name is luck, and the
/// player has none. What is said of the lean stays as it was found.
///
/// # Errors
/// As [`fit_aim`].
pub fn fit_as_diagnosed(
    observations: &[Observation],
    reference: AimError,
    steady_error: bool,
) -> Result<FitOutcome, PlayerError> {
    let outcome = fit_aim(observations, reference)?;
    let FitOutcome::Fitted(leaning) = &outcome else {
        return Ok(outcome);
    };
    if steady_error || matches!(leaning.bias, Bias::Unknown | Bias::NotTold) {
        return Ok(outcome);
    }
    Ok(match fit(observations, reference, Depth::WholeUpright)? {
        FitOutcome::Fitted(upright) => FitOutcome::Fitted(Box::new(AimFit {
            bias: leaning.bias,
            bias_test: leaning.bias_test,
            cut_test: leaning.cut_test,
            ..*upright
        })),
        other => other,
    })
}

/// The same for its spread alone: without the posterior of the ratio and without a look at wild strokes,
/// in a part of the time.
///
/// # Errors
/// As [`fit_aim`].
pub fn fit_spread(
    observations: &[Observation],
    reference: AimError,
) -> Result<FitOutcome, PlayerError> {
    fit(observations, reference, Depth::Spread)
}

/// What of a fit is wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Depth {
    Whole,
    /// The same without a lean.
    WholeUpright,
    Spread,
}

fn fit(
    observations: &[Observation],
    reference: AimError,
    depth: Depth,
) -> Result<FitOutcome, PlayerError> {
    let base = AimModel::new(observations, reference)?;
    let tries: u64 = observations.iter().map(|o| o.tries).sum();
    let made: u64 = observations.iter().map(|o| o.made).sum();
    if tries < MIN_TRIES {
        return Ok(FitOutcome::TooFew {
            tries,
            needed: MIN_TRIES,
        });
    }
    if made == tries {
        return Ok(FitOutcome::AllMade {
            tries,
            scale_at_most: one_sided(&base, -1.0),
        });
    }
    if made == 0 {
        return Ok(FitOutcome::AllMissed {
            tries,
            scale_at_least: one_sided(&base, 1.0),
        });
    }
    let noted = Noted {
        recorded: match depth {
            Depth::WholeUpright => Recorded::Nothing,
            Depth::Whole | Depth::Spread => Recorded::of(observations),
        },
        tries,
        made,
        depth,
    };
    let (mut fit, form) = fit_to(&base, &noted)?;
    if depth != Depth::Spread {
        fit.tail_test = tail_test(&base, form)?;
    }
    if fit.tail_test.is_some_and(|test| test.more_than_luck()) {
        match fit_to(&base.with_wild_strokes(), &noted) {
            // As many parameters each: what explains more stands.
            Ok((steadier, _))
                if fit.parts.is_some()
                    && steadier.parts.is_none()
                    && fit.ln_likelihood >= steadier.ln_likelihood => {}
            Ok((steadier, _)) => {
                fit = AimFit {
                    tail_test: fit.tail_test,
                    ..steadier
                }
            }
            Err(fault) if unsettled(&fault) => {}
            Err(fault) => return Err(fault),
        }
    }
    Ok(FitOutcome::Fitted(Box::new(fit)))
}

/// What a log has to fit.
#[derive(Debug, Clone, Copy)]
struct Noted {
    /// Sides of misses.
    recorded: Recorded,
    tries: u64,
    made: u64,
    depth: Depth,
}

/// The most that the log can carry: bias by cut, one bias, none; arm and picture or one scale. With the
/// form of bias it carries.
fn fit_to(base: &AimModel, noted: &Noted) -> Result<(AimFit, BiasForm), PlayerError> {
    let choices = bias_choices(base, noted.recorded)?;
    let mut fault = None;
    for (choice, apart) in choices.iter().flat_map(|c| [(c, true), (c, false)]) {
        match fit_with_bias(base, choice, noted, apart) {
            Ok(mut fit) => {
                if noted.recorded != Recorded::Nothing && fit.bias == Bias::Unknown {
                    fit.bias = Bias::NotTold;
                }
                return Ok((fit, choice.form));
            }
            Err(e) if unsettled(&e) => fault = Some(e),
            Err(e) => return Err(e),
        }
    }
    Err(fault.unwrap_or(PlayerError::NoMaximum {
        iterations: 0,
        ln_likelihood: f64::NAN,
    }))
}

/// Whether the misses have a heavier tail than a Normal: some wild strokes against none, arm and
/// picture apart where that settles, so that a ratio that is not the reference's is no tail.
///
/// The share of none lies on its bound, so luck alone gives as much half as often as chi-square says.
fn tail_test(base: &AimModel, form: BiasForm) -> Result<Option<RatioTest>, PlayerError> {
    let spreads: &[Spread] = if base.has_both_parts() {
        &[Spread::ArmPicture, Spread::Scale]
    } else {
        &[Spread::Scale]
    };
    for spread in spreads {
        let plain = base.with(*spread, form);
        let wild = plain.with_wild_strokes();
        let tops = maximise(&plain).and_then(|top| {
            let start = wild.start_from(&plain, &top.theta);
            Ok((top, climb(&wild, start, None, SETTLED)?))
        });
        match tops {
            // Too many to be a few misses of a steady player: that is no tail, and needs another model.
            Ok((_, top))
                if wild
                    .wild_at()
                    .is_some_and(|at| top.on_bound[at] && top.theta[at] > 0.0) =>
            {
                return Ok(None);
            }
            Ok((plain, wild)) => {
                let mut test = RatioTest::new(wild.ln_likelihood, plain.ln_likelihood, 1);
                test.p_value = if test.statistic > 0.0 {
                    0.5 * test.p_value
                } else {
                    1.0
                };
                return Ok(Some(test));
            }
            Err(fault) if unsettled(&fault) => {}
            Err(fault) => return Err(fault),
        }
    }
    Ok(None)
}

/// A fit that has no answer, rather than an input that is wrong.
pub(crate) fn unsettled(fault: &PlayerError) -> bool {
    matches!(
        fault,
        PlayerError::Flat { .. } | PlayerError::NoMaximum { .. }
    )
}

/// The scale at which all made (rising = −1) or all missed (rising = 1) has a chance of 1 in 20.
fn one_sided(base: &AimModel, rising: f64) -> Option<f64> {
    let excess = |ln_scale: f64| {
        let ln_likelihood = base.evaluate(&base.at_scale(ln_scale)).ln_likelihood;
        rising * (ln_likelihood - 0.05_f64.ln())
    };
    let (lo, hi) = base.bounds(0);
    let [low, high] = [lo, hi].map(|at| Sample {
        at,
        found: excess(at),
    });
    (low.found < 0.0 && high.found > 0.0).then(|| find_root(excess, low, high, 1e-9).exp())
}

#[derive(Clone, Copy)]
struct BiasChoice {
    form: BiasForm,
    scale_top: Maximum,
    bias_test: Option<RatioTest>,
    cut_test: Option<RatioTest>,
}

/// The forms of bias the log asks for, widest first; the last one is no bias.
fn bias_choices(base: &AimModel, recorded: Recorded) -> Result<Vec<BiasChoice>, PlayerError> {
    let none = maximise(base)?;
    let plain = |form, scale_top| BiasChoice {
        form,
        scale_top,
        bias_test: None,
        cut_test: None,
    };
    let mut choices = vec![plain(BiasForm::Given, none)];
    let Some(lean) = single_lean(base, recorded, &none)? else {
        return Ok(choices);
    };
    let mut one = plain(lean.form, lean.top);
    one.bias_test = Some(lean.test);
    if recorded == Recorded::LeftRight
        && let Some(by_cut) = wider(
            base,
            BiasForm::ByCut,
            Lean {
                form: lean.form,
                top: lean.top,
            },
        )?
    {
        let test = RatioTest::new(by_cut.ln_likelihood, lean.top.ln_likelihood, 1);
        one.cut_test = Some(test);
        if test.more_than_luck() {
            let by_cut = BiasChoice {
                form: BiasForm::ByCut,
                scale_top: by_cut,
                ..one
            };
            choices.insert(0, by_cut);
        }
    }
    choices.insert(choices.len() - 1, one);
    Ok(choices)
}

/// A form of bias with the top of its likelihood.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Lean {
    pub(crate) form: BiasForm,
    pub(crate) top: Maximum,
}

/// The same against none.
#[derive(Debug, Clone, Copy)]
pub(crate) struct TestedLean {
    pub(crate) form: BiasForm,
    pub(crate) top: Maximum,
    pub(crate) test: RatioTest,
}

/// A wider form of bias, started from a narrower one's answer. One that ends without a spread (all
/// misses on one side, say) cannot tell bias from spread.
pub(crate) fn wider(
    base: &AimModel,
    form: BiasForm,
    from: Lean,
) -> Result<Option<Maximum>, PlayerError> {
    let model = base.with(Spread::Scale, form);
    let start = model.start_from(&base.with(Spread::Scale, from.form), &from.top.theta);
    match climb(&model, start, None, SETTLED) {
        Ok(top) => Ok(Some(top).filter(|top| !top.on_bound[0])),
        Err(fault) if unsettled(&fault) => Ok(None),
        Err(fault) => Err(fault),
    }
}

/// The forms of a steady error that can be told: too full or too thin, and left or right where sides were
/// noted on cuts to both.
pub(crate) const fn lean_forms(recorded: Recorded) -> &'static [BiasForm] {
    match recorded {
        Recorded::Nothing => &[],
        Recorded::FullThin => &[BiasForm::Fullness],
        Recorded::LeftRight => &[BiasForm::Fullness, BiasForm::Common],
    }
}

/// Of too full or too thin, and left or right where that was recorded, the one that explains more of the
/// misses; where both were looked at, its test counts for both. `None` where none settles.
pub(crate) fn single_lean(
    base: &AimModel,
    recorded: Recorded,
    none: &Maximum,
) -> Result<Option<TestedLean>, PlayerError> {
    let forms = lean_forms(recorded);
    let mut best: Option<Lean> = None;
    for &form in forms {
        let from = Lean {
            form: BiasForm::Given,
            top: *none,
        };
        if let Some(top) = wider(base, form, from)?
            && best.is_none_or(|b| top.ln_likelihood > b.top.ln_likelihood)
        {
            best = Some(Lean { form, top });
        }
    }
    Ok(best.map(|Lean { form, top }| {
        let mut test = RatioTest::new(top.ln_likelihood, none.ln_likelihood, 1);
        #[expect(clippy::cast_precision_loss, reason = "one or two")]
        let looked_at = forms.len() as f64;
        test.p_value = (looked_at * test.p_value).min(1.0);
        TestedLean { form, top, test }
    }))
}

/// A steady error of one form, and its test against none.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct SteadyError {
    /// Its size: too full or left positive.
    pub(crate) rad: f64,
    /// One against none.
    pub(crate) test: RatioTest,
}

/// The steady error of a form that tries show; `None` where it does not settle.
pub(crate) fn steady_error(
    observations: &[Observation],
    reference: AimError,
    form: BiasForm,
) -> Result<Option<SteadyError>, PlayerError> {
    let base = AimModel::new(observations, reference)?;
    let none = match maximise(&base) {
        Ok(top) => top,
        Err(fault) if unsettled(&fault) => return Ok(None),
        Err(fault) => return Err(fault),
    };
    let from = Lean {
        form: BiasForm::Given,
        top: none,
    };
    Ok(wider(&base, form, from)?.map(|top| SteadyError {
        rad: top.theta[Spread::Scale.parameters()],
        test: RatioTest::new(top.ln_likelihood, none.ln_likelihood, 1),
    }))
}

fn fit_with_bias(
    base: &AimModel,
    bias: &BiasChoice,
    noted: &Noted,
    apart: bool,
) -> Result<AimFit, PlayerError> {
    let narrow = base.with(Spread::Scale, bias.form);
    let covariance = observed_covariance(&narrow, &bias.scale_top)?;
    let ends = interval(&narrow, &bias.scale_top, &covariance, 0)?;
    let scale = Estimate::exponential(bias.scale_top.theta[0], covariance[0][0], ends);
    let apart = apart.then(|| arm_and_picture(base, bias)).transpose()?;
    let apart = apart.flatten();
    let parts_test = apart.as_ref().map(|(_, _, test)| *test);
    let posterior = match noted.depth {
        Depth::Whole | Depth::WholeUpright => Posterior::new(base, bias.form, &bias.scale_top),
        Depth::Spread => None,
    };
    let (model, top, split) = match apart {
        Some((wide, top, test)) if test.more_than_luck() => (wide, top, true),
        _ => (narrow, bias.scale_top, false),
    };
    let chosen = observed_covariance(&model, &top)?;
    let wild_share = match model.wild_at() {
        Some(at) => Some(Estimate::plain(
            top.theta[at],
            chosen[at][at],
            interval(&model, &top, &chosen, at)?,
        )),
        None => None,
    };
    let parts = split.then(|| parts(&model, &top, &chosen)).transpose()?;
    let player = |cut| {
        let player = model.player(&top.theta, cut).with_nearest_scatter();
        AimError {
            told_apart: split,
            ratios: posterior
                .as_ref()
                .map_or(Ratios::KNOWN, |p| p.ratios(&player)),
            balance: posterior.as_ref().map_or(UNKNOWN, Posterior::balance),
            ..player
        }
    };
    Ok(AimFit {
        tries: noted.tries,
        made: noted.made,
        scale,
        parts,
        parts_test,
        wild_share,
        tail_test: None,
        bias: bias_estimate(&model, &top, &chosen, bias.form)?,
        bias_test: bias.bias_test,
        cut_test: bias.cut_test,
        on_left_cuts: player(Side::Left),
        on_right_cuts: player(Side::Right),
        ln_likelihood: top.ln_likelihood,
        // Bias comes from the sides of misses, not from makes and misses, so it costs no degree of
        // freedom here.
        goodness: goodness(
            &model.fitted(&top),
            model.parameters() - bias.form.parameters(),
        ),
        ln_scale_variance: covariance[0][0],
    })
}

/// Arm and picture of a model that has both apart.
fn parts(model: &AimModel, top: &Maximum, covariance: &Matrix) -> Result<Parts, PlayerError> {
    let part = |i: usize| -> Result<Estimate, PlayerError> {
        Ok(Estimate::exponential(
            top.theta[i],
            covariance[i][i],
            interval(model, top, covariance, i)?,
        ))
    };
    Ok(Parts {
        arm_rad: part(0)?,
        picture_m: part(1)?,
    })
}

type Apart = Option<(AimModel, Maximum, RatioTest)>;

/// The fit with arm and picture apart, unless the shots cannot tell them apart at all.
fn arm_and_picture(base: &AimModel, bias: &BiasChoice) -> Result<Apart, PlayerError> {
    let wide = base.with(Spread::ArmPicture, bias.form);
    if !wide.has_both_parts() {
        return Ok(None);
    }
    let narrow = base.with(Spread::Scale, bias.form);
    let start = wide.start_from(&narrow, &bias.scale_top.theta);
    match climb(&wide, start, None, SETTLED) {
        Ok(top) => {
            let test = RatioTest::new(top.ln_likelihood, bias.scale_top.ln_likelihood, 1);
            Ok(Some((wide, top, test)))
        }
        Err(fault) if unsettled(&fault) => Ok(None),
        Err(fault) => Err(fault),
    }
}

fn bias_estimate(
    model: &AimModel,
    top: &Maximum,
    covariance: &Matrix,
    form: BiasForm,
) -> Result<Bias, PlayerError> {
    let first = model.lean_at();
    let at = |i: usize| -> Result<Estimate, PlayerError> {
        Ok(Estimate::plain(
            top.theta[i],
            covariance[i][i],
            interval(model, top, covariance, i)?,
        ))
    };
    Ok(match form {
        BiasForm::Given => Bias::Unknown,
        BiasForm::Fullness => Bias::Fullness(at(first)?),
        BiasForm::Common => Bias::Common(at(first)?),
        BiasForm::ByCut => Bias::ByCut {
            left: at(first)?,
            right: at(first + 1)?,
        },
    })
}
