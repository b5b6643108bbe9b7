//! How uncertain a result is, by drawing: JCGM 101:2008.
//!
//! Draws the inputs, runs the function, and reads mean, standard deviation and 95 % intervals
//! off the sorted results (§7). The comparison with the linear answer follows §8: both ends
//! of the intervals must agree within the numerical tolerance δ, here plus three standard
//! errors of the drawn ends, so that a small number of trials raises no false alarm.

use rand::Rng;
use serde::Serialize;

use super::propagate::{Inputs, Linear, Shape};
use crate::player::chance::normal::{Z_95, sample};
use crate::player::fault::PlayerError;

/// Fewest trials from which a 95 % interval can be read off (25 results beyond each end).
/// Common practice.
pub const MIN_TRIALS: usize = 1000;

/// Standard errors of an interval end that are put down to drawing. Common practice.
const SAMPLING_ERRORS: f64 = 3.0;

/// Result of drawing.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct Drawn {
    /// Number of draws.
    pub trials: usize,
    /// Mean of the results.
    pub mean: f64,
    /// Standard deviation of the results.
    pub standard_deviation: f64,
    /// Probabilistically symmetric 95 % interval.
    pub symmetric_95: (f64, f64),
    /// Shortest 95 % interval.
    pub shortest_95: (f64, f64),
    /// Standard errors of the symmetric interval's ends, from drawing alone.
    pub end_errors: (f64, f64),
}

/// Draws `trials` sets of inputs and evaluates `f` on each.
///
/// # Errors
/// [`PlayerError::TooFewValues`] under [`MIN_TRIALS`] trials; [`PlayerError::BadInputs`] when
/// `f` gives a result that is not finite.
pub fn draw<R: Rng + ?Sized>(
    inputs: &Inputs,
    trials: usize,
    rng: &mut R,
    mut f: impl FnMut(&[f64]) -> f64,
) -> Result<Drawn, PlayerError> {
    if trials < MIN_TRIALS {
        return Err(PlayerError::TooFewValues {
            what: "trials",
            given: trials,
            needed: MIN_TRIALS,
        });
    }
    let mut point = inputs.values();
    let mut results = Vec::with_capacity(trials);
    for _ in 0..trials {
        draw_inputs(inputs, rng, &mut point);
        let result = f(&point);
        if !result.is_finite() {
            return Err(PlayerError::BadInputs(format!(
                "the result is {result} for inputs {point:?}: give it smaller uncertainties"
            )));
        }
        results.push(result);
    }
    Ok(summarise(results))
}

/// One set of inputs into `point`.
pub(crate) fn draw_inputs<R: Rng + ?Sized>(inputs: &Inputs, rng: &mut R, point: &mut [f64]) {
    for (slot, input) in point.iter_mut().zip(inputs.items()) {
        *slot = match input.shape {
            Shape::Normal => sample(rng),
            Shape::Rectangular => 3.0_f64.sqrt() * (2.0 * rng.random::<f64>() - 1.0),
        };
    }
    if let Some(lower) = inputs.cholesky() {
        // In place from the last row up: row i needs the still untouched draws before it.
        for i in (0..point.len()).rev() {
            point[i] = (0..=i).map(|k| lower[i][k] * point[k]).sum();
        }
    }
    for (slot, input) in point.iter_mut().zip(inputs.items()) {
        *slot = input.value + *slot * input.standard_uncertainty;
    }
}

/// Mean and standard deviation (n − 1) in two passes, the second one corrected for rounding.
///
/// Returns NaN where there are too few values (no mean of none, no spread of one).
#[must_use]
#[expect(clippy::cast_precision_loss, reason = "counts stay far below 2^53")]
pub fn mean_sd(values: &[f64]) -> (f64, f64) {
    let n = values.len() as f64;
    // Sums are taken relative to the first value, so that a large common part does not eat digits.
    let base = values.first().copied().unwrap_or(f64::NAN);
    let mean_off = compensated(values.iter().map(|v| v - base)) / n;
    let squares = compensated(values.iter().map(|v| ((v - base) - mean_off).powi(2)));
    let slip = compensated(values.iter().map(|v| (v - base) - mean_off));
    (
        base + mean_off,
        ((squares - slip * slip / n) / (n - 1.0)).sqrt(),
    )
}

/// Sum with the running error carried along (Neumaier 1974).
fn compensated(values: impl Iterator<Item = f64>) -> f64 {
    let (mut sum, mut lost) = (0.0_f64, 0.0_f64);
    for value in values {
        let next = sum + value;
        lost += if sum.abs() >= value.abs() {
            (sum - next) + value
        } else {
            (value - next) + sum
        };
        sum = next;
    }
    sum + lost
}

/// Mean, spread and 95 % intervals of drawn results. Precondition: 20 results or more, all
/// numbers; with fewer than [`MIN_TRIALS`] the ends are rough.
#[must_use]
pub fn summarise(mut results: Vec<f64>) -> Drawn {
    let (mean, standard_deviation) = mean_sd(&results);
    results.sort_by(f64::total_cmp);
    let trials = results.len();
    // JCGM 101 §7.7: q = 0.95 M, r = (M − q)/2, both rounded.
    let inside = (95 * trials).div_ceil(100).min(trials - 1);
    let below = (trials - inside).div_ceil(2).min(trials - inside - 1);
    let symmetric_95 = (results[below], results[below + inside]);
    let start = (0..trials - inside)
        .min_by(|&a, &b| {
            (results[a + inside] - results[a]).total_cmp(&(results[b + inside] - results[b]))
        })
        .unwrap_or(0);
    // The rank of a 2.5 % quantile scatters by √(M · 0.025 · 0.975): read the values that far off.
    #[expect(
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a rank"
    )]
    let ranks = (trials as f64 * 0.025 * 0.975).sqrt().ceil() as usize;
    let scatter = |rank: usize| {
        0.5 * (results[(rank + ranks).min(trials - 1)] - results[rank.saturating_sub(ranks)])
    };
    Drawn {
        trials,
        mean,
        standard_deviation,
        symmetric_95,
        shortest_95: (results[start], results[start + inside]),
        end_errors: (scatter(below), scatter(below + inside)),
    }
}

/// Do the linear and the drawn answer agree? (JCGM 101 §8.1)
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct Agreement {
    /// Numerical tolerance δ: half a unit of the last digit of the standard uncertainty.
    pub tolerance: f64,
    /// Distance of the lower ends, |y − U − y_low|.
    pub low_gap: f64,
    /// Distance of the upper ends, |y + U − y_high|.
    pub high_gap: f64,
    /// Whether both are within δ and what drawing explains.
    pub agrees: bool,
    /// What to tell people when they do not.
    pub warning: Option<String>,
}

/// Compares the two, with `digits` significant digits of the standard uncertainty meant
/// (1 or 2 as a rule).
#[must_use]
pub fn compare(linear: &Linear, drawn: &Drawn, digits: u32) -> Agreement {
    let reference = if linear.standard_uncertainty > 0.0 {
        linear.standard_uncertainty
    } else {
        drawn.standard_deviation
    };
    let tolerance = tolerance(reference, digits);
    let reach = Z_95 * linear.standard_uncertainty;
    let low_gap = (linear.value - reach - drawn.symmetric_95.0).abs();
    let high_gap = (linear.value + reach - drawn.symmetric_95.1).abs();
    let agrees = low_gap <= tolerance + SAMPLING_ERRORS * drawn.end_errors.0
        && high_gap <= tolerance + SAMPLING_ERRORS * drawn.end_errors.1;
    let warning = (!agrees).then(|| {
        format!(
            "the linear estimate (±{:.3e}) and the simulation ({:.3e} to {:.3e}, 95 in 100) disagree: trust the simulation",
            reach, drawn.symmetric_95.0, drawn.symmetric_95.1
        )
    });
    Agreement {
        tolerance,
        low_gap,
        high_gap,
        agrees,
        warning,
    }
}

/// δ = ½·10^l where the uncertainty, rounded to `digits` digits, is c·10^l (JCGM 101 §7.9.2).
#[must_use]
pub fn tolerance(standard_uncertainty: f64, digits: u32) -> f64 {
    if standard_uncertainty <= 0.0 || !standard_uncertainty.is_finite() {
        return 0.0;
    }
    let exponent = |u: f64| u.log10().floor();
    let unit = |u: f64| 10.0_f64.powf(exponent(u) - f64::from(digits.max(1)) + 1.0);
    // Rounding may lift it into the next decade: 0.0996 to two digits is 0.10.
    let rounded =
        (standard_uncertainty / unit(standard_uncertainty)).round() * unit(standard_uncertainty);
    0.5 * unit(rounded * (1.0 + 1e-12))
}
