//! How sure one can be of a share of makes: Wilson and Clopper–Pearson intervals.

use serde::Serialize;
use statrs::distribution::{Beta, ContinuousCDF};

use crate::player::chance::normal::Z_95;

/// A 95 % interval of a chance, 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct Range {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

impl Range {
    /// Whether a value lies inside.
    #[must_use]
    pub fn holds(&self, value: f64) -> bool {
        (self.low..=self.high).contains(&value)
    }
}

/// Wilson's score interval at 95 % (Wilson 1927, J. Am. Stat. Assoc. 22, 209): right on
/// average. The whole range 0 to 1 when there are no tries.
#[must_use]
#[expect(clippy::cast_precision_loss, reason = "counts stay far below 2^53")]
pub fn wilson(made: u64, tries: u64) -> Range {
    if tries == 0 {
        return Range {
            low: 0.0,
            high: 1.0,
        };
    }
    let n = tries as f64;
    let p = made as f64 / n;
    let z2 = Z_95 * Z_95;
    // (p + z²/2n ± z √(p(1−p)/n + z²/4n²)) / (1 + z²/n)
    let centre = p + z2 / (2.0 * n);
    let reach = Z_95 * (p * (1.0 - p) / n + z2 / (4.0 * n * n)).sqrt();
    let scale = 1.0 / (1.0 + z2 / n);
    // The exact ends at no and at all makes, which rounding would miss by a hair.
    let low = if made == 0 {
        0.0
    } else {
        (scale * (centre - reach)).max(0.0)
    };
    let high = if made >= tries {
        1.0
    } else {
        (scale * (centre + reach)).min(1.0)
    };
    Range { low, high }
}

/// Clopper and Pearson's exact interval (Biometrika 1934, 26, 404): never misses more than 5 %.
///
/// `None` when `made` is more than `tries`.
#[must_use]
#[expect(clippy::cast_precision_loss, reason = "counts stay far below 2^53")]
pub fn clopper_pearson(made: u64, tries: u64) -> Option<Range> {
    let missed = tries.checked_sub(made)?;
    if tries == 0 {
        return Some(Range {
            low: 0.0,
            high: 1.0,
        });
    }
    let (hit, miss) = (made as f64, missed as f64);
    let quantile = |a: f64, b: f64, p: f64| Beta::new(a, b).ok().map(|beta| beta.inverse_cdf(p));
    let low = if made == 0 {
        0.0
    } else {
        quantile(hit, miss + 1.0, 0.025)?
    };
    let high = if missed == 0 {
        1.0
    } else {
        quantile(hit + 1.0, miss, 0.975)?
    };
    Some(Range { low, high })
}
