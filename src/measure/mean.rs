//! Several readings of one thing: their mean, and how far it may be off.

use statrs::distribution::{ChiSquared, ContinuousCDF, StudentsT};

use crate::player::normal::Z_95;

/// A mean with its standard uncertainty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mean {
    /// Weighted mean.
    pub value: f64,
    /// Standard uncertainty of the mean.
    pub standard_uncertainty: f64,
    /// Degrees of freedom when the readings' own scatter had to be used, else none (Normal).
    pub degrees_of_freedom: Option<f64>,
}

/// Scatter that chance alone would exceed once in a hundred is believed rather than the stated
/// uncertainty of a reading (assumption).
const BELIEVED: f64 = 0.99;

/// Weighted mean of readings `(value, standard uncertainty)`, weights `1/u²`.
///
/// The stated uncertainties count; only when the readings scatter by more than those explain
/// (χ² beyond its 99 % point) are they stretched to the scatter found, and the mean then
/// follows Student's t with n − 1 degrees of freedom. Precondition: at least one reading.
#[must_use]
pub fn mean(readings: &[(f64, f64)]) -> Mean {
    let weight = |u: f64| 1.0 / (u * u);
    let total: f64 = readings.iter().map(|(_, u)| weight(*u)).sum();
    let value = readings.iter().map(|(x, u)| x * weight(*u)).sum::<f64>() / total;
    let chi2: f64 = readings
        .iter()
        .map(|(x, u)| ((x - value) / u).powi(2))
        .sum();
    #[expect(clippy::cast_precision_loss, reason = "a handful of readings")]
    let free = readings.len() as f64 - 1.0;
    let most = ChiSquared::new(free.max(1.0)).map_or(f64::INFINITY, |d| d.inverse_cdf(BELIEVED));
    let scattered = free > 0.5 && chi2 > most;
    let stretch = if scattered { (chi2 / free).sqrt() } else { 1.0 };
    Mean {
        value,
        standard_uncertainty: stretch / total.sqrt(),
        degrees_of_freedom: scattered.then_some(free),
    }
}

/// Half width of a 95 % interval in standard uncertainties.
#[must_use]
pub fn reach_95(degrees_of_freedom: Option<f64>) -> f64 {
    degrees_of_freedom
        .and_then(|free| StudentsT::new(0.0, 1.0, free).ok())
        .map_or(Z_95, |t| t.inverse_cdf(0.975))
}

/// Value and standard uncertainty of `f` at `at`, where each part has its own: central
/// differences over one standard uncertainty to each side (JCGM 100:2008, 5.1.3).
pub fn first_order<const N: usize>(
    at: [f64; N],
    uncertain: [f64; N],
    f: impl Fn(&[f64; N]) -> f64,
) -> (f64, f64) {
    let variance: f64 = (0..N)
        .map(|i| {
            let moved = |by: f64| {
                let mut point = at;
                point[i] += by;
                f(&point)
            };
            (0.5 * (moved(uncertain[i]) - moved(-uncertain[i]))).powi(2)
        })
        .sum();
    (f(&at), variance.sqrt())
}
