//! What tries say of the ratio of picture to arm: its posterior.
//!
//! Prior [assumption]: ln(picture / arm) is Normal about the reference player's, with a standard
//! deviation of ln 3: two players in three within a factor of three of what the levels assume
//! (6 to 8 mm a degree), so within 2.5 to 22 mm a degree, and one in twenty beyond 0.9 to 65. Nobody has
//! published what it is. A proper prior is needed because the likelihood does not fall to nought
//! at either end: an arm alone, or a picture alone, explains tries at one distance as well as both.
//!
//! At each ratio the factor on both parts, and the lean, are the most likely ones (a profile; their
//! own spread is that of a well-determined factor, and hardly changes with the ratio).
//!
//! Quadrature: the trapezium rule at [`RATIOS`] equal steps of half a standard deviation over ± 3. For
//! a prior times a likelihood at least as wide as a step it is good to 1e-6; one that is narrower
//! sits on one or two nodes, and then the chance hardly changes between them.

use super::aim_model::{AimModel, BiasForm, Spread};
use super::likelihood::{Maximum, climb};
use crate::player::chance::aim_error::{AimError, Balance};
use crate::player::chance::ratios::{Parts, RATIOS, Ratios};
use crate::units::Side;

/// Standard deviation of ln(picture / arm) before any try, ln 3. Assumption.
const PRIOR_LN_SD: f64 = 1.098_612_288_668_109_8;

/// Step of the ratios in ln: they run over three standard deviations to each side.
const STEP: f64 = 6.0 * PRIOR_LN_SD / (RATIOS - 1) as f64;

/// How well the other parameters are fitted at a ratio, in ln L.
const FITTED: f64 = 1e-8;

/// What is left beyond each end of what is known of the ratio.
const BEYOND: f64 = 0.05;

/// The players that tries allow, each at a ratio of its own.
#[derive(Debug, Clone)]
pub(super) struct Posterior {
    /// Smallest ratio first, with its weight.
    players: Vec<(f64, AimError)>,
    /// Likelihood at each of them, over the largest.
    likelihoods: Vec<f64>,
    /// ln of the first ratio, m.
    first_ln_m: f64,
}

impl Posterior {
    /// Of the tries in `base`, starting from the most likely factor; `None` without an arm and a
    /// picture to begin with.
    pub(super) fn new(base: &AimModel, form: BiasForm, top: &Maximum) -> Option<Self> {
        if !base.has_both_parts() {
            return None;
        }
        let middle = RATIOS / 2;
        let mut found: Vec<Option<(f64, AimError)>> = vec![None; RATIOS];
        let mut likelihoods = [f64::NEG_INFINITY; RATIOS];
        // From the middle outwards, each from its neighbour's answer.
        for side in [-1.0, 1.0] {
            let mut theta = top.theta;
            for k in 0..=middle {
                #[expect(clippy::cast_precision_loss, reason = "a handful")]
                let ln_times = side * STEP * k as f64;
                let at = if side < 0.0 { middle - k } else { middle + k };
                let model = base.at_ratio(ln_times).with(Spread::Scale, form);
                let Ok(best) = climb(&model, theta, None, FITTED) else {
                    continue;
                };
                theta = best.theta;
                likelihoods[at] = best.ln_likelihood;
                let prior = -0.5 * (ln_times / PRIOR_LN_SD).powi(2);
                let player = model.player(&best.theta, Side::Left);
                found[at] = Some((best.ln_likelihood + prior, player));
            }
        }
        let likeliest = likelihoods
            .iter()
            .copied()
            .fold(f64::NEG_INFINITY, f64::max);
        let most = found
            .iter()
            .flatten()
            .map(|(ln, _)| *ln)
            .fold(f64::NEG_INFINITY, f64::max);
        let players: Vec<(f64, AimError)> = found
            .into_iter()
            .map(|node| {
                node.map_or(
                    (0.0, base.player(&top.theta, Side::Left)),
                    |(ln, player)| ((ln - most).exp(), player),
                )
            })
            .collect();
        let sum: f64 = players.iter().map(|(w, _)| w).sum();
        let reference = base.at_ratio(0.0).ratio_m();
        #[expect(clippy::cast_precision_loss, reason = "a handful")]
        let first_ln_m = reference.ln() - STEP * middle as f64;
        Some(Self {
            players: players.into_iter().map(|(w, p)| (w / sum, p)).collect(),
            likelihoods: likelihoods
                .iter()
                .map(|ln| (ln - likeliest).exp())
                .collect(),
            first_ln_m,
        })
    }

    /// As factors on a player's arm and picture.
    pub(super) fn ratios(&self, of: &AimError) -> Ratios {
        Ratios::new(std::array::from_fn(|k| {
            let (weight, player) = &self.players[k];
            Parts {
                weight: *weight,
                arm: player.arm_rad / of.arm_rad,
                picture: player.picture_m / of.picture_m,
            }
        }))
    }

    /// Between what the ratio lies, as the tries alone tell and as they tell with the prior: what rests
    /// on the prior only is not known.
    pub(super) fn balance(&self) -> Balance {
        let own: Vec<f64> = self.players.iter().map(|(weight, _)| *weight).collect();
        let low = |share| {
            self.quantile_m(&own, share)
                .min(self.quantile_m(&self.likelihoods, share))
        };
        let high = |share| {
            self.quantile_m(&own, share)
                .max(self.quantile_m(&self.likelihoods, share))
        };
        Balance::Between {
            low_m: low(BEYOND),
            high_m: high(1.0 - BEYOND),
        }
    }

    /// The ratio below which so much of the weight lies; each node's is spread evenly over a step.
    fn quantile_m(&self, weights: &[f64], share: f64) -> f64 {
        let all: f64 = weights.iter().sum();
        let mut below = 0.0;
        for (k, weight) in weights.iter().map(|weight| weight / all).enumerate() {
            if below + weight >= share && weight > 0.0 {
                let inside = (share - below) / weight - 0.5;
                #[expect(clippy::cast_precision_loss, reason = "a handful")]
                return (self.first_ln_m + STEP * (k as f64 + inside)).exp();
            }
            below += weight;
        }
        f64::INFINITY
    }
}
