//! The skill report: what a log says about a player, as plain data.
//!
//! A fit of the player, how well its predictions hold from hard to easy shots, left against
//! right cuts, and this period against an earlier one. Words are for the caller.

use serde::Serialize;

use super::verdict::{Comparison, compare};
use crate::player::chance::aim_error::AimError;
use crate::player::fault::PlayerError;
use crate::player::fit::aim_fit::{FitOutcome, fit_aim};
use crate::player::fit::observation::Observation;
use crate::player::fit::proportion::{Range, wilson};
use crate::units::Side;

/// Edges of the difficulty bands, in predicted chance: hardest first. Assumption.
pub const BAND_EDGES: [f64; 6] = [0.0, 0.2, 0.4, 0.6, 0.8, 1.0];

/// Predicted against observed in one band of difficulty.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct Band {
    /// Predicted chances in this band run from here …
    pub from: f64,
    /// … to here.
    pub to: f64,
    /// Tries.
    pub tries: u64,
    /// Makes.
    pub made: u64,
    /// Mean predicted chance of these tries.
    pub predicted: f64,
    /// Share made.
    pub observed: f64,
    /// 95 % interval of the share made (Wilson).
    pub interval: Range,
}

impl Band {
    /// Whether the prediction lies inside what luck explains.
    #[must_use]
    pub fn holds(&self) -> bool {
        self.interval.holds(self.predicted)
    }
}

/// The report.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct SkillReport {
    /// The player, or why there is none yet.
    pub outcome: FitOutcome,
    /// Predicted against observed, hardest first; bands without tries are left out, and there
    /// are none without a fitted player.
    pub bands: Vec<Band>,
    /// Left cuts (first) against right cuts (second), when there are both.
    pub left_right: Option<Comparison>,
    /// An earlier period (first) against this one (second), when one was given.
    pub trend: Option<Comparison>,
}

/// What the tries of a period say, against an earlier period if there is one.
///
/// # Errors
/// [`PlayerError::BadObservation`] for a row that cannot be used, and the faults of the fit.
pub fn skill_report(
    tries: &[Observation],
    earlier: Option<&[Observation]>,
    reference: AimError,
) -> Result<SkillReport, PlayerError> {
    report_of(fit_aim(tries, reference)?, tries, earlier, reference)
}

/// The same of a fit that is at hand.
pub(crate) fn report_of(
    outcome: FitOutcome,
    tries: &[Observation],
    earlier: Option<&[Observation]>,
    reference: AimError,
) -> Result<SkillReport, PlayerError> {
    let bands = match &outcome {
        FitOutcome::Fitted(fit) => calibration(tries, |observation| {
            observation.chance(&fit.player(observation.cut))
        }),
        FitOutcome::AllMade { .. } | FitOutcome::AllMissed { .. } | FitOutcome::TooFew { .. } => {
            Vec::new()
        }
    };
    let reference = comparing(&outcome, reference);
    let side = |cut: Side| -> Vec<Observation> {
        tries.iter().filter(|o| o.cut == cut).cloned().collect()
    };
    let (left, right) = (side(Side::Left), side(Side::Right));
    let left_right = if left.is_empty() || right.is_empty() {
        None
    } else {
        Some(compare(&left, &right, reference)?)
    };
    let trend = earlier
        .map(|before| compare(before, tries, reference))
        .transpose()?;
    Ok(SkillReport {
        outcome,
        bands,
        left_right,
        trend,
    })
}

/// The player that two sets of tries are compared on: arm : picture and the share of wild strokes as
/// fitted where the tries tell, else the reference's. With a wrong ratio a set of longer shots would look like
/// a wider spread, and without the wild strokes a set of easy ones, of which one was missed.
#[must_use]
pub fn comparing(outcome: &FitOutcome, reference: AimError) -> AimError {
    let FitOutcome::Fitted(fit) = outcome else {
        return reference;
    };
    let wild_share = fit.wild_share.map_or(reference.wild_share, |w| w.value);
    let parts = fit.parts.map(|p| AimError {
        arm_rad: p.arm_rad.value,
        picture_m: p.picture_m.value,
        ..reference
    });
    AimError {
        wild_share,
        ..parts.unwrap_or(reference)
    }
}

/// Predicted against observed by difficulty band.
#[must_use]
#[expect(clippy::cast_precision_loss, reason = "counts stay far below 2^53")]
pub fn calibration(tries: &[Observation], predict: impl Fn(&Observation) -> f64) -> Vec<Band> {
    let mut sums = [(0_u64, 0_u64, 0.0_f64); BAND_EDGES.len() - 1];
    for observation in tries {
        let chance = predict(observation);
        let band = BAND_EDGES[1..BAND_EDGES.len() - 1]
            .iter()
            .take_while(|edge| chance >= **edge)
            .count();
        sums[band].0 += observation.tries;
        sums[band].1 += observation.made;
        sums[band].2 += chance * observation.tries as f64;
    }
    sums.iter()
        .zip(BAND_EDGES.windows(2))
        .filter(|(sum, _)| sum.0 > 0)
        .map(|(&(tries, made, predicted), edges)| Band {
            from: edges[0],
            to: edges[1],
            tries,
            made,
            predicted: predicted / tries as f64,
            observed: made as f64 / tries as f64,
            interval: wilson(made, tries),
        })
        .collect()
}
