//! How often a shot goes in, the best place to aim, and the straight shot that is as hard.
//!
//! Directions are in radians relative to the aim, counter-clockwise positive, and intervals
//! come sorted and disjoint (touching is allowed). Pace and collisions are inside the window
//! already; what is left here is the Normal error of the aim.

use std::ops::Range;

use serde::Serialize;

use super::normal::{between, density, quantile};
use crate::directions::Sample;

/// Points at which the slope of the chance is looked at before its zeros are bracketed. A
/// window has a handful of intervals, so its chance has no finer structure than this.
/// Assumption.
const SCAN: usize = 64;

/// Accuracy of the best aim as a share of the range it may lie in. Finer than a hair at any
/// distance on a table. Assumption.
const SHIFT_SHARE: f64 = 1e-9;

/// Accuracy of the equal straight shot in ln X: a thousandth of a millimetre in a metre. Assumption.
pub(super) const LN_X: f64 = 1e-6;

/// Chance (0 to 1) that a Normal direction error falls inside one of the intervals:
/// `P = Σ Φ((hi − bias)/σ) − Φ((lo − bias)/σ)`.
///
/// Precondition: `sigma_rad` is more than 0. Relative accuracy 1e-12 even for hopeless shots.
#[must_use]
pub fn chance(intervals_rad: &[(f64, f64)], sigma_rad: f64, bias_rad: f64) -> f64 {
    let scale = 1.0 / sigma_rad;
    let mut total = 0.0;
    for (lo, hi) in joined(intervals_rad) {
        total += between((lo - bias_rad) * scale, (hi - bias_rad) * scale);
    }
    total.min(1.0)
}

/// Touching intervals as one: the parts of a window (clean, jaw, rail) share their edges, and
/// an edge inside a window costs time without changing the chance.
pub(crate) fn joined(intervals_rad: &[(f64, f64)]) -> impl Iterator<Item = (f64, f64)> + '_ {
    let mut rest = intervals_rad.iter().copied().peekable();
    std::iter::from_fn(move || {
        let (lo, mut hi) = rest.next()?;
        while let Some((_, next_hi)) = rest.next_if(|next| next.0 <= hi) {
            hi = hi.max(next_hi);
        }
        Some((lo, hi))
    })
}

/// Where to aim, and what that is worth.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct BestAim {
    /// Turn the aim by this much, counter-clockwise positive.
    pub shift_rad: f64,
    /// Chance with that aim.
    pub chance: f64,
    /// Chance gained over aiming at 0.
    pub gain: f64,
}

/// The aim that gives the largest chance while the cue ball, on average, still goes into the
/// `clean_rad` interval.
///
/// With a bias the aim is turned against it: the mean direction `shift + bias` is what stays
/// inside the clean interval. Every zero of the slope is bracketed and the best one taken;
/// accurate to 1e-9 of the clean interval's width.
#[must_use]
pub fn best_aim(
    clean_rad: Range<f64>,
    intervals_rad: &[(f64, f64)],
    sigma_rad: f64,
    bias_rad: f64,
) -> BestAim {
    // dP/dm = −Σ [φ((hi − m)/σ) − φ((lo − m)/σ)]/σ with m the mean direction.
    let slope = |mean: f64| -> f64 {
        joined(intervals_rad)
            .map(|(lo, hi)| density((lo - mean) / sigma_rad) - density((hi - mean) / sigma_rad))
            .sum()
    };
    let worth = |mean: f64| chance(intervals_rad, sigma_rad, mean);
    let width = clean_rad.end - clean_rad.start;
    #[expect(clippy::cast_precision_loss, reason = "a small count")]
    let node = |i: usize| clean_rad.start + width * i as f64 / SCAN as f64;
    let mut best = [clean_rad.start, clean_rad.end]
        .map(|mean| (mean, worth(mean)))
        .into_iter()
        .fold((clean_rad.start, f64::NEG_INFINITY), |a, b| {
            if b.1 > a.1 { b } else { a }
        });
    for i in 0..SCAN {
        let (left, right) = (node(i), node(i + 1));
        let (slope_left, slope_right) = (slope(left), slope(right));
        // A maximum lies where the slope goes from rising to falling.
        if slope_left >= 0.0 && slope_right <= 0.0 && right > left {
            let falling = |mean: f64| -slope(mean);
            let top = if slope_left > 0.0 && slope_right < 0.0 {
                find_root(
                    falling,
                    Sample {
                        at: left,
                        found: -slope_left,
                    },
                    Sample {
                        at: right,
                        found: -slope_right,
                    },
                    SHIFT_SHARE * width,
                )
            } else if slope_left > 0.0 {
                right
            } else {
                left
            };
            if worth(top) > best.1 {
                best = (top, worth(top));
            }
        }
    }
    let now = chance(intervals_rad, sigma_rad, bias_rad);
    BestAim {
        shift_rad: best.0 - bias_rad,
        chance: best.1,
        gain: best.1 - now,
    }
}

/// Root of a function that rises through zero between two points with known values.
pub(crate) fn find_root(
    f: impl FnMut(f64) -> f64,
    low: Sample<f64>,
    high: Sample<f64>,
    accuracy: f64,
) -> f64 {
    let (a, b) = (low.at, high.at);
    let k1 = 0.2 / (b - a);
    kurbo::common::solve_itp(f, a, b, accuracy, 1, k1, low.found, high.found)
}

/// The chance in words: "7 in 10", with honest words at the edges.
///
/// Below 1 in 20 and above 19 in 20 a count out of ten would say "never" or "always", which no
/// player earns; between them it is rounded to the nearest tenth that is neither.
#[must_use]
pub fn in_ten(chance: f64) -> String {
    match chance {
        p if p.is_nan() => "not known".to_owned(),
        p if p < 0.01 => "fewer than 1 in 100".to_owned(),
        p if p < 0.05 => "fewer than 1 in 20".to_owned(),
        p if p > 0.99 => "more than 99 in 100".to_owned(),
        p if p > 0.95 => "more than 19 in 20".to_owned(),
        p => format!("{:.0} in 10", (10.0 * p).round().clamp(1.0, 9.0)),
    }
}

/// The straight shot that is as hard.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum EqualStraight {
    /// This far between the balls and from the object ball to the pocket.
    At {
        /// The distance, in metres.
        distance_m: f64,
    },
    /// Easier than even the shortest straight shot looked at.
    EasierThanAny,
    /// Harder than any straight shot on this table.
    BeyondTable,
}

impl EqualStraight {
    /// The distance, where there is one.
    #[must_use]
    pub fn distance_m(self) -> Option<f64> {
        match self {
            Self::At { distance_m } => Some(distance_m),
            Self::EasierThanAny | Self::BeyondTable => None,
        }
    }
}

/// The same between two distances whose chances are known, by bracket, to `accuracy` in ln X.
pub(crate) fn equal_between(
    chance: f64,
    near: Sample<f64>,
    far: Sample<f64>,
    accuracy: f64,
    mut straight_chance: impl FnMut(f64) -> f64,
) -> EqualStraight {
    let short = |straight: Sample<f64>| Sample {
        at: straight.at.ln(),
        found: chance - straight.found,
    };
    root_between(short(near), short(far), accuracy, |ln_x: f64| {
        chance - straight_chance(ln_x.exp())
    })
}

/// Nothing is likelier or less likely than this when straight shots are compared.
const SURE: f64 = 1.0 - 1e-15;
const HOPELESS: f64 = 1e-12;
/// How `ln z` of the chance `2Φ(z) − 1` falls with ln X, to begin with: windows shrink with the distance
/// to the pocket, and in part with that between the balls.
const FALLS: f64 = -1.5;
/// Steps after which halving takes over, and after which it stops.
const SECANTS: u32 = 12;
const STEPS: u32 = 80;

/// Finds X with `straight_chance(X) = chance`, where `straight_chance` gives the chance of a
/// straight shot with X between the balls and X to the pocket, falling as X grows.
///
/// X is sought between `shortest_m` and `longest_m` in ln X, until a step is below 5e-7, from the middle:
/// in `ln z` over ln X, where `chance = 2Φ(z) − 1`, straight shots lie nearly on a line, so that a
/// few secants do. An end is asked only where they lead past it.
pub fn equal_straight(
    chance: f64,
    shortest_m: f64,
    longest_m: f64,
    mut straight_chance: impl FnMut(f64) -> f64,
) -> EqualStraight {
    let ease = |chance: f64| {
        let z = -quantile(0.5 * (1.0 - chance.clamp(HOPELESS, SURE)));
        z.ln()
    };
    let wanted = ease(chance);
    let (near, far) = (shortest_m.ln(), longest_m.ln());
    let (mut lo, mut hi) = (near, far);
    let (mut asked_near, mut asked_far) = (false, false);
    let (mut x, mut slope) = (0.5 * (near + far), FALLS);
    let mut before: Option<Sample<f64>> = None;
    for count in 0..STEPS {
        let found = ease(straight_chance(x.exp())) - wanted;
        if found > 0.0 {
            if x >= far {
                return EqualStraight::BeyondTable;
            }
            (lo, asked_near) = (x, true);
        } else if found < 0.0 {
            if x <= near {
                return EqualStraight::EasierThanAny;
            }
            (hi, asked_far) = (x, true);
        } else {
            break;
        }
        if let Some(before) = before {
            slope = (found - before.found) / (x - before.at);
        }
        before = Some(Sample { at: x, found });
        let step = -found / slope;
        let next = x + step;
        let inside = next > lo && next < hi && count < SECANTS;
        if inside && step.abs() < 0.5 * LN_X {
            x = next;
            break;
        }
        x = if inside {
            next
        } else if found > 0.0 && !asked_far {
            far
        } else if found < 0.0 && !asked_near {
            near
        } else {
            0.5 * (lo + hi)
        };
        if asked_near && asked_far && hi - lo < LN_X {
            break;
        }
    }
    EqualStraight::At {
        distance_m: x.exp(),
    }
}

fn root_between(
    low: Sample<f64>,
    high: Sample<f64>,
    accuracy: f64,
    short_of: impl FnMut(f64) -> f64,
) -> EqualStraight {
    if low.found > 0.0 {
        return EqualStraight::EasierThanAny;
    }
    if high.found < 0.0 {
        return EqualStraight::BeyondTable;
    }
    let ln_x = if low.found >= 0.0 {
        low.at
    } else if high.found <= 0.0 {
        high.at
    } else {
        find_root(short_of, low, high, accuracy)
    };
    EqualStraight::At {
        distance_m: ln_x.exp(),
    }
}
