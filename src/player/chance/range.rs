//! What a chance rests on: the same shot over the assumed bounce and friction of jaws and rails.

use rayon::prelude::*;
use serde::Serialize;

use super::aim_error::AimError;
use super::level::Scatter;
use super::paced::Aimed;
use crate::gear::Gear;
use crate::window::assumed_gears;

/// Below half a make in ten no range is said.
const SAID_FROM: f64 = 0.05;

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
        self.chance >= SAID_FROM || self.high >= SAID_FROM
    }
}

/// The chance over the nine cases of jaws and cushions (restitution ± 0.1, friction halved and
/// doubled), the aim and the stroke held.
#[must_use]
pub fn ranged(aimed: &Aimed<'_>, player: &AimError, scatter: &Scatter) -> Ranged {
    let gears: Vec<Gear> = assumed_gears(aimed.gear).collect();
    let all: Vec<f64> = gears
        .par_iter()
        .map(|gear| Aimed { gear, ..*aimed }.chance(player, scatter).chance)
        .collect();
    let low = all.iter().copied().fold(f64::INFINITY, f64::min);
    let high = all.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    #[expect(clippy::cast_precision_loss, reason = "nine")]
    let mean = all.iter().sum::<f64>() / all.len() as f64;
    let chance = aimed.chance(player, scatter).chance;
    Ranged {
        chance,
        low,
        high,
        mean,
    }
}
