//! What a chance rests on: the same shot over the assumed bounce and friction of jaws and rails.

use rayon::prelude::*;
use serde::Serialize;

use super::aim_error::AimError;
use super::paced::{Aimed, Paced};
use crate::gear::Gear;
use crate::window::assumed_gears;

/// A range narrower than half a make in ten is not said.
const SAID_FROM: f64 = 0.05;
/// Which of the nine cases is the table as assumed.
const AS_ASSUMED: usize = 4;

/// A chance with its range.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Ranged {
    /// As the table is assumed.
    pub chance: f64,
    /// Least over the nine cases.
    pub low: f64,
    /// Most.
    pub high: f64,
    /// Their mean, by which shots are ranked.
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

/// The chance over the nine cases of jaws and cushions (restitution ± 0.1, friction halved and
/// doubled), the aim and the stroke held, and what is known of the case as assumed.
#[must_use]
pub fn ranged(aimed: &Aimed<'_>, player: &AimError) -> (Ranged, Paced) {
    let as_assumed = aimed.chance(player);
    (ranged_about(as_assumed.chance, aimed, player), as_assumed)
}

/// The same, the chance with the table as assumed being known.
pub(super) fn ranged_about(chance: f64, aimed: &Aimed<'_>, player: &AimError) -> Ranged {
    let gears: Vec<Gear> = assumed_gears(aimed.gear).collect();
    let beside = |gear| {
        let aimed = Aimed {
            gear,
            acceptance: None,
            ..*aimed
        };
        aimed.chance_alone(player)
    };
    let others = gears.iter().enumerate().filter(|(k, _)| *k != AS_ASSUMED);
    let others: Vec<&Gear> = others.map(|(_, gear)| gear).collect();
    let chances: Vec<f64> = others.par_iter().map(|gear| beside(*gear)).collect();
    #[expect(clippy::cast_precision_loss, reason = "nine")]
    let mean = (chance + chances.iter().sum::<f64>()) / gears.len() as f64;
    Ranged {
        chance,
        low: chances.iter().copied().fold(chance, f64::min),
        high: chances.iter().copied().fold(chance, f64::max),
        mean,
    }
}
