//! What the aim errors do to the cue ball: with which of them it scratches, and which makes keep it
//! on the table.

use super::candidate::AimSpread;
use super::cueball::Forward;
use super::obstruct::spans_of;
use crate::directions::{Directions, Span};
use crate::player::normal;

/// Stations over the aim errors, and how far they reach in σ: beyond 4 lie 6 in 100 000.
const STATIONS: u32 = 64;
const REACH_SIGMA: f64 = 4.0;
/// Accuracy of an edge between outcomes, σ: 1 in 250 of the chance at most.
const EDGE_SIGMA: f64 = 1e-2;

impl Forward<'_> {
    /// Aim errors with which the cue ball scratches, relative to the aim, within 4 σ of `bias_rad`.
    ///
    /// Where neighbouring errors send the cue ball along different cushions the gap between them is
    /// looked into, to a hundredth of σ.
    #[must_use]
    pub fn scratch_set(&self, sigma_rad: f64, bias_rad: f64) -> Directions<()> {
        let stations: Vec<f64> = (0..=STATIONS)
            .map(|k| {
                bias_rad
                    + sigma_rad * REACH_SIGMA * (2.0 * f64::from(k) / f64::from(STATIONS) - 1.0)
            })
            .collect();
        let looked = spans_of(&stations, EDGE_SIGMA * sigma_rad, &|delta| {
            Some(self.ending(delta))
        });
        let scratches = looked.into_iter().filter(|s| s.tag.scratch);
        Directions::from_spans(
            scratches
                .map(|s| Span {
                    from_rad: s.from_rad,
                    to_rad: s.to_rad,
                    tag: (),
                })
                .collect(),
        )
    }

    /// Aim errors that make the shot and keep the cue ball on the table, for a spread and a bias.
    pub(super) fn kept(&self, spread: AimSpread) -> Vec<(f64, f64)> {
        let scratches = self
            .scratch_set(spread.sigma_rad, spread.bias_rad)
            .intervals_rad();
        let kept = self.candidate().directions.subtract(&scratches);
        kept.intervals_rad()
    }
}

/// `count` aim errors, each as likely as the others, among those of a Normal that lie in a set.
/// Empty where the set has no weight.
#[must_use]
pub fn evenly_likely(set: &[(f64, f64)], spread: AimSpread, count: u32) -> Vec<f64> {
    let AimSpread {
        sigma_rad,
        bias_rad,
    } = spread;
    let z = |rad: f64| (rad - bias_rad) / sigma_rad;
    let weight = |&(lo, hi): &(f64, f64)| normal::between(z(lo), z(hi));
    let whole: f64 = set.iter().map(weight).sum();
    if whole <= 1e-9 {
        return Vec::new();
    }
    (0..count)
        .filter_map(|k| {
            let mut left = whole * (f64::from(k) + 0.5) / f64::from(count);
            for part in set {
                let here = weight(part);
                if left <= here {
                    let at = bias_rad + sigma_rad * normal::quantile(normal::cdf(z(part.0)) + left);
                    return Some(at.clamp(part.0, part.1));
                }
                left -= here;
            }
            None
        })
        .collect()
}
