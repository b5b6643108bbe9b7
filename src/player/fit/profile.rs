//! 95 % intervals from the profile likelihood, and likelihood-ratio tests.
//!
//! The interval of a parameter holds every value at which the likelihood, with the other
//! parameters refitted, is within a factor `exp(−1.92)` of its maximum (½ χ²₁, 95 %). It does
//! not depend on the scale a parameter is written in. Each end is bracketed first, then found
//! on the signed root of the drop, which is nearly straight.

use statrs::distribution::{ChiSquared, ContinuousCDF};

use super::likelihood::{Likelihood, Matrix, Maximum, Theta, climb};
use crate::directions::Sample;
use crate::player::chance::normal::Z_95;
use crate::player::fault::PlayerError;

/// Accuracy of an interval's end in standard errors. Assumption.
const END_ACCURACY: f64 = 1e-5;

/// How well the other parameters are refitted: an error of ln L of this size moves an end by
/// half as many standard errors. Assumption.
const REFITTED: f64 = 1e-8;

/// Most steps to an end; ordinary data take four. Assumption.
const MAX_ROOT_STEPS: usize = 60;

/// How far a bracket is pushed out before an end counts as open: 3·2⁹ standard errors.
const MAX_WIDENINGS: usize = 10;

/// A 95 % interval; an end is `None` where the data set no limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ProfileInterval {
    /// Lower end.
    pub low: Option<f64>,
    /// Upper end.
    pub high: Option<f64>,
}

/// Profile interval of one parameter.
///
/// # Errors
/// Those of the refits at the bracket; see [`super::likelihood::maximise`].
pub fn interval(
    model: &impl Likelihood,
    top: &Maximum,
    covariance: &Matrix,
    parameter: usize,
) -> Result<ProfileInterval, PlayerError> {
    Ok(ProfileInterval {
        low: end(model, top, covariance, parameter, -1.0)?,
        high: end(model, top, covariance, parameter, 1.0)?,
    })
}

fn end(
    model: &impl Likelihood,
    top: &Maximum,
    covariance: &Matrix,
    parameter: usize,
    side: f64,
) -> Result<Option<f64>, PlayerError> {
    let (lo, hi) = model.bounds(parameter);
    let limit = if side < 0.0 { lo } else { hi };
    let peak = top.theta[parameter];
    if (limit - peak) * side <= 0.0 {
        return Ok(None);
    }
    let variance = covariance[parameter][parameter];
    // A parameter that sits on its other bound has no standard error: any unit step starts.
    let unit = if variance > 0.0 { variance.sqrt() } else { 1.0 };
    let mut fault = None;
    // Signed root of the drop less its 95 % limit, as a function of the distance from the peak.
    let mut warm = top.theta;
    let mut beyond = |distance: f64| -> f64 {
        let mut start = shifted(&top.theta, &warm, parameter, peak + side * distance);
        start[parameter] = peak + side * distance;
        match climb(model, start, Some(parameter), REFITTED) {
            Ok(refit) => {
                warm = refit.theta;
                (2.0 * (top.ln_likelihood - refit.ln_likelihood).max(0.0)).sqrt() - Z_95
            }
            Err(e) => {
                fault = Some(e);
                f64::INFINITY
            }
        }
    };
    let furthest = (limit - peak).abs();
    let mut inner = Sample {
        at: 0.0,
        found: -Z_95,
    };
    let mut reach = (1.15 * Z_95 * unit).min(furthest);
    let mut outer = None;
    for _ in 0..MAX_WIDENINGS {
        let looked = Sample {
            at: reach,
            found: beyond(reach),
        };
        if looked.found >= 0.0 {
            outer = Some(looked);
            break;
        }
        inner = looked;
        if reach >= furthest {
            break;
        }
        reach = (2.0 * reach).min(furthest);
    }
    let found = match outer {
        None => None,
        Some(outer) if !outer.found.is_finite() || outer.found <= 0.0 => Some(outer.at),
        Some(outer) => Some(straight_root(
            &mut beyond,
            inner,
            outer,
            END_ACCURACY * unit,
        )),
    };
    match fault {
        Some(e) => Err(e),
        None => Ok(found.map(|distance| peak + side * distance)),
    }
}

/// Root of a nearly straight function by false position, halving the value of an end that is
/// kept twice (Illinois). Each call is a refit of the whole log, and on such a function this
/// takes about half the calls of a method made for any function.
fn straight_root(
    mut f: impl FnMut(f64) -> f64,
    mut low: Sample<f64>,
    mut high: Sample<f64>,
    accuracy: f64,
) -> f64 {
    // The slope turns a value that is left over into a distance from the root.
    let good_enough = accuracy * (high.found - low.found) / (high.at - low.at);
    let mut last = 0.0_f64;
    for _ in 0..MAX_ROOT_STEPS {
        let at = (low.at * high.found - high.at * low.found) / (high.found - low.found);
        let value = f(at);
        if value.abs() <= good_enough || high.at - low.at <= accuracy {
            return at;
        }
        if value < 0.0 {
            low = Sample { at, found: value };
            high.found *= if last < 0.0 { 0.5 } else { 1.0 };
        } else {
            high = Sample { at, found: value };
            low.found *= if last > 0.0 { 0.5 } else { 1.0 };
        }
        last = value;
    }
    0.5 * (low.at + high.at)
}

/// Where to start the refit at `target`: on the straight line from the peak through the last
/// refit, which follows the ridge.
fn shifted(peak: &Theta, last: &Theta, parameter: usize, target: f64) -> Theta {
    let run = last[parameter] - peak[parameter];
    if run.abs() <= f64::EPSILON * peak[parameter].abs().max(1e-300) {
        return *peak;
    }
    let ratio = (target - peak[parameter]) / run;
    std::array::from_fn(|i| peak[i] + ratio * (last[i] - peak[i]))
}

/// Upper tail of chi-square: how often luck alone gives a statistic this large. `NaN` for no
/// degrees of freedom.
#[must_use]
#[expect(clippy::cast_precision_loss, reason = "a small count")]
pub fn chi2_tail(statistic: f64, df: usize) -> f64 {
    ChiSquared::new(df as f64).map_or(f64::NAN, |chi2| chi2.sf(statistic.max(0.0)))
}

/// A likelihood-ratio test of a wide model against a narrow one inside it.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct RatioTest {
    /// Twice the difference of ln L.
    pub statistic: f64,
    /// Parameters the wide model has more.
    pub df: usize,
    /// How often luck alone gives as much.
    pub p_value: f64,
}

impl RatioTest {
    /// From the two largest log-likelihoods.
    #[must_use]
    pub fn new(wide: f64, narrow: f64, df: usize) -> Self {
        let statistic = (2.0 * (wide - narrow)).max(0.0);
        Self {
            statistic,
            df,
            p_value: chi2_tail(statistic, df),
        }
    }

    /// Whether the difference is more than luck at the usual 1 in 20.
    #[must_use]
    pub fn more_than_luck(&self) -> bool {
        self.p_value < 0.05
    }
}
