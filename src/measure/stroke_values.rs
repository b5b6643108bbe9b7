//! Coefficients read off strokes, each with its standard uncertainty.

use super::mean::first_order;
use super::quantity::{Instrument, Quantity};
use super::reading::{Instruments, MeasureError, Reading};
use super::strokes::{friction_scale, rolling_friction, rolling_time_s};
use crate::gear::Gear;

/// Spread of a cut as set up, rad, and share of a stunned cue ball's speed as judged
/// (assumptions): only a throw needs them.
const CUT_RAD: f64 = 1.0 * std::f64::consts::PI / 180.0;
const SPEED_SHARE: f64 = 0.15;
/// Plain mean: a first estimate, at which all readings of a stroke get their uncertainty. Taken at
/// each reading itself it would go with its error, and the weights would prefer one side.
#[expect(clippy::cast_precision_loss, reason = "a handful of readings")]
fn plain_mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

/// Rolling frictions from lags.
pub(super) fn lags(
    own: &[&Reading],
    instruments: &Instruments,
) -> Result<Vec<(f64, f64)>, MeasureError> {
    let uncertain = [Instrument::Tape, Instrument::Watch].map(|i| instruments.good_to(i));
    let mut found = Vec::with_capacity(own.len());
    for reading in own {
        let (way_m, time_s) = (reading.parts[0], reading.parts[1]);
        let friction = rolling_friction(way_m, time_s);
        // The limits of gear files: a ball must come to rest, and cloths are no carpets.
        let (low, high) = (0.001, 0.1);
        if !(low..=high).contains(&friction) {
            return Err(MeasureError::Impossible {
                what: Quantity::Lag.field().into(),
                value: reading.text.clone(),
                problem: format!(
                    "that is a rolling friction of {friction:.4}; cloths have 0.005 to 0.015"
                ),
                remedy: format!(
                    "{way_m} m take {:.1} to {:.1} s even on the slowest and the fastest cloth; time the ball from a mark it rolls over until it rests",
                    rolling_time_s(way_m, high),
                    rolling_time_s(way_m, low)
                ),
            });
        }
        found.push(friction);
    }
    let typical = plain_mean(&found);
    let spread = |reading: &Reading| {
        let way_m = reading.parts[0];
        let at = [way_m, rolling_time_s(way_m, typical)];
        first_order(at, uncertain, |p| rolling_friction(p[0], p[1])).1
    };
    Ok(found
        .iter()
        .zip(own)
        .map(|(friction, reading)| (*friction, spread(reading)))
        .collect())
}

/// Scales of the balls' friction from throws.
pub(super) fn throws(
    own: &[&Reading],
    gear: &Gear,
    instruments: &Instruments,
) -> Result<Vec<(f64, f64)>, MeasureError> {
    let scale = |p: &[f64; 4]| friction_scale(&gear.contact, p[0], p[3], (p[2] / p[1]).atan());
    let mut found = Vec::with_capacity(own.len());
    for reading in own {
        let refused = |problem: &str, remedy: &str| MeasureError::Impossible {
            what: Quantity::Throw.field().into(),
            value: reading.text.clone(),
            problem: problem.to_owned(),
            remedy: remedy.to_owned(),
        };
        let at = throw_parts(reading);
        let Some(friction) = scale(&at) else {
            return Err(refused(
                "the balls would grip before they throw that far, which says nothing about their friction",
                "hit harder or cut thinner, stunned, and measure how far off the line it arrives",
            ));
        };
        if friction > 3.0 {
            return Err(refused(
                "no ball rubs that much",
                "was the line through both balls marked, and the cue ball stunned? Measure again",
            ));
        }
        found.push(friction);
    }
    let typical = plain_mean(&found);
    let tape = instruments.good_to(Instrument::Tape);
    let spread = |(reading, own): (&&Reading, &f64)| {
        let mut at = throw_parts(reading);
        // Off in proportion to the friction: where a ball of the typical one arrives.
        at[2] *= typical / own;
        // Two marks on a rail make the distance off the line: both readings of the tape.
        let uncertain = [CUT_RAD, tape, tape * 2f64.sqrt(), SPEED_SHARE * at[3]];
        first_order(at, uncertain, |p| scale(p).unwrap_or(typical)).1
    };
    // All weigh alike: a reading's own cut and speed go into its friction and its spread, and
    // weights by those would prefer the low ones.
    let squares: Vec<f64> = own.iter().zip(&found).map(|t| spread(t).powi(2)).collect();
    let alike = plain_mean(&squares).sqrt();
    Ok(found
        .into_iter()
        .map(|friction| (friction, alike))
        .collect())
}

/// Cut, way, off, speed.
fn throw_parts(reading: &Reading) -> [f64; 4] {
    let p = &reading.parts;
    [p[0], p[1], p[2], p[3]]
}
