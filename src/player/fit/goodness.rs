//! Does the model fit? Deviance and Pearson's statistic of makes and misses.

use serde::Serialize;

use super::profile::chi2_tail;

/// Share of expected counts under [`SMALL_COUNT`] above which the chi-square approximation is
/// not to be trusted. Common practice (Cochran 1954, recalled from memory).
const SPARSE_SHARE: f64 = 0.2;

/// An expected count below this is small. Common practice, as above.
const SMALL_COUNT: f64 = 5.0;

/// One row of a binomial fit.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct FittedRow {
    /// Tries.
    pub tries: u64,
    /// Makes.
    pub made: u64,
    /// Fitted chance of a make.
    pub chance: f64,
    /// Fitted chance of a miss, kept apart so that it does not round to 0.
    pub miss_chance: f64,
}

/// How well a fit describes the makes and misses.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct Goodness {
    /// Deviance, `2 Σ [y ln(y/np) + (n−y) ln((n−y)/(nq))]`.
    pub deviance: f64,
    /// Pearson's statistic, `Σ (y − np)²/(npq)`.
    pub pearson: f64,
    /// Rows with tries, less parameters; none of the p-values mean anything at 0.
    pub df: usize,
    /// How often luck alone gives as large a deviance.
    pub deviance_p: f64,
    /// How often luck alone gives as large a Pearson statistic.
    pub pearson_p: f64,
    /// More than a fifth of the expected makes and misses are under 5: read the p-values as
    /// rough.
    pub sparse: bool,
}

/// Deviance and Pearson of fitted rows.
#[must_use]
#[expect(clippy::cast_precision_loss, reason = "counts stay far below 2^53")]
pub fn goodness(rows: &[FittedRow], parameters: usize) -> Goodness {
    let (mut deviance, mut pearson) = (0.0, 0.0);
    let (mut used, mut small) = (0_usize, 0_usize);
    for row in rows.iter().filter(|row| row.tries > 0) {
        used += 1;
        let n = row.tries as f64;
        for (seen, chance) in [
            (row.made as f64, row.chance),
            ((row.tries - row.made) as f64, row.miss_chance),
        ] {
            let expected = n * chance;
            if seen > 0.0 {
                deviance += 2.0 * seen * (seen / expected).ln();
            }
            // (y−np)²/(npq) is the sum of (O−E)²/E over makes and misses.
            if expected > 0.0 {
                pearson += (seen - expected).powi(2) / expected;
            }
            small += usize::from(expected < SMALL_COUNT);
        }
    }
    let df = used.saturating_sub(parameters);
    Goodness {
        deviance,
        pearson,
        df,
        deviance_p: chi2_tail(deviance, df),
        pearson_p: chi2_tail(pearson, df),
        sparse: small as f64 > SPARSE_SHARE * 2.0 * used as f64,
    }
}
