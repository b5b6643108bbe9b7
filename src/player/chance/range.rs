//! What a chance rests on: the same shot over the bounce and friction that jaws and rails may have.

use rayon::prelude::*;
use serde::Serialize;

use super::aim_error::AimError;
use super::paced::{Aimed, Paced};
use crate::gear::Gear;
use crate::window::{assumed_gears, over_cases};

/// A range narrower than half a make in ten is not said.
const SAID_FROM: f64 = 0.05;

/// A chance with its range.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Ranged {
    /// As the table is assumed.
    pub chance: f64,
    /// Least over the cases of jaws and rails.
    pub low: f64,
    /// Most.
    pub high: f64,
    /// Mean over the cases, by which shots are ranked.
    pub mean: f64,
}

impl Ranged {
    /// Whether the range is part of what is said.
    #[must_use]
    pub fn is_said(&self) -> bool {
        range_is_said(self.low, self.high)
    }
}

/// Whether a range is wide enough to be said.
#[must_use]
pub fn range_is_said(low: f64, high: f64) -> bool {
    high - low >= SAID_FROM
}

/// The chance over the cases of jaws and cushions ([`assumed_gears`]), the aim and the stroke held, and
/// what is known of the case as assumed.
#[must_use]
pub fn ranged(aimed: &Aimed<'_>, player: &AimError) -> (Ranged, Paced) {
    let as_assumed = aimed.chance(player);
    (ranged_about(&as_assumed, aimed, player), as_assumed)
}

/// The same, the chance with the table as assumed being known.
pub(super) fn ranged_about(paced: &Paced, aimed: &Aimed<'_>, player: &AimError) -> Ranged {
    let gears = assumed_gears(aimed.gear);
    let assumed = gears.len() / 2;
    let on = |(k, gear): (usize, &Gear)| {
        if k == assumed {
            return paced.by_three;
        }
        let aimed = Aimed {
            gear,
            acceptance: None,
            ..*aimed
        };
        aimed.chance_by_three(player)
    };
    let by_three: Vec<f64> = gears.par_iter().enumerate().map(on).collect();
    Ranged::beside(paced.chance, &by_three)
}

impl Ranged {
    /// From what three speeds make of the chance on the tables of [`assumed_gears`], in their order: a case is as
    /// far off the chance as three speeds tell, so that the other cases need no finer look.
    #[must_use]
    pub fn beside(chance: f64, by_three: &[f64]) -> Self {
        let finer = chance - by_three[by_three.len() / 2];
        let chances: Vec<f64> = by_three
            .iter()
            .map(|c| (c + finer).clamp(0.0, 1.0))
            .collect();
        Self::over(chance, &chances)
    }

    /// From the chances on the tables of [`assumed_gears`], in their order, the one in the middle being
    /// that of the table as assumed.
    #[must_use]
    pub fn over(chance: f64, chances: &[f64]) -> Self {
        let over = over_cases(chances);
        #[expect(clippy::cast_precision_loss, reason = "nine or seventeen")]
        let mean = chances.iter().sum::<f64>() / chances.len() as f64;
        Self {
            chance,
            low: over.start.max(0.0).min(chance),
            high: over.end.min(1.0).max(chance),
            mean,
        }
    }
}
