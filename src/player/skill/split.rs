//! Arm, eyes or speed: what a log's misses come from, with a stroke test's help.
//!
//! Method. One likelihood for both: the log's makes and misses (arm, picture, and the arm's
//! growth with speed) times the stroke test's spread (arm alone). Growth is fitted only when a
//! likelihood-ratio test says the log asks for another value than the assumed one; otherwise
//! the assumed value stands and the speed part is an assumption too, and is marked so.
//! At each shot the aim's variance is `arm² + arm²((1 + g v)² − 1) + (picture/t_c)²`: arm,
//! speed, eyes. The shares are averaged over shots, each weighted by its misses.
//!
//! Intervals are the 2.5 and 97.5 percentiles of the shares over draws of the parameters from
//! their large-sample Normal distribution (observed information): good with a hundred or more
//! tries, rough with fewer. Where the best picture is none, its upper end is the share at the
//! profile limit of the picture. A miss by too little pace or a wrong spin is not told apart
//! from one by direction: leave such misses out.

use rand::Rng;
use serde::Serialize;

use super::stroke_test::StrokeReport;
use crate::player::chance::aim_error::AimError;
use crate::player::chance::normal::sample;
use crate::player::fault::{PlayerError, require};
use crate::player::fit::aim_fit::{Estimate, single_lean, unsettled};
use crate::player::fit::aim_model::{AimModel, BiasForm, Spread};
use crate::player::fit::likelihood::{
    Likelihood, MAX_PARAMETERS, Matrix, Maximum, Theta, maximise, observed_covariance,
};
use crate::player::fit::observation::{Observation, Recorded};
use crate::player::fit::profile::{RatioTest, interval};
use crate::player::fit::proportion::Range;

/// Draws behind the intervals: the ends are then good to about 0.01. Assumption.
const DRAWS: usize = 4000;

/// Parameters that are drawn: arm, picture, the arm's growth and one lean.
const DRAWN: usize = 4;

/// A share of the misses' variance, 0 to 1, with its 95 % interval.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct Share {
    /// Most likely share.
    pub value: f64,
    /// 95 % interval.
    pub interval: Range,
}

/// The arm's growth with speed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Growth {
    /// The assumed value, per m/s.
    Assumed(f64),
    /// From the log, per m/s.
    Measured(f64),
}

/// What the misses come from.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct Split {
    /// The arm, at an unhurried stroke.
    pub arm: Share,
    /// What speed adds to the arm.
    pub speed: Share,
    /// Seeing the ghost ball.
    pub eyes: Share,
    /// The arm, radians.
    pub arm_rad: Estimate,
    /// The picture, metres at the ghost ball.
    pub picture_m: Estimate,
    /// The arm's growth with speed.
    pub growth: Growth,
    /// A fitted growth against the assumed one; `None` when the log cannot tell.
    pub growth_test: Option<RatioTest>,
}

/// Splits a log's misses with the help of a stroke test.
///
/// # Errors
/// [`PlayerError::TooFewValues`] without misses or makes; [`PlayerError::OutOfRange`] when the
/// reference has no arm or no picture; the faults of the fit.
pub fn split_misses<R: Rng + ?Sized>(
    observations: &[Observation],
    stroke: &StrokeReport,
    reference: AimError,
    rng: &mut R,
) -> Result<Split, PlayerError> {
    check(observations, &reference)?;
    let base = AimModel::new(observations, reference)?.with_arm_evidence(stroke.evidence);
    // With all misses on one side a bias cannot be told from spread: then without.
    let lean = single_lean(&base, Recorded::of(observations), &maximise(&base)?)?;
    let forms: Vec<BiasForm> = lean
        .map(|lean| lean.form)
        .into_iter()
        .chain([BiasForm::Given])
        .collect();
    let mut fault = None;
    for form in forms {
        match split_with(&base, form, reference.arm_growth_per_m_s, rng) {
            Ok(split) => return Ok(split),
            Err(e) if unsettled(&e) => fault = Some(e),
            Err(e) => return Err(e),
        }
    }
    Err(fault.unwrap_or(PlayerError::NoMaximum {
        iterations: 0,
        ln_likelihood: f64::NAN,
    }))
}

fn split_with<R: Rng + ?Sized>(
    base: &AimModel,
    form: BiasForm,
    assumed_growth_per_m_s: f64,
    rng: &mut R,
) -> Result<Split, PlayerError> {
    let narrow = base.with(Spread::ArmPicture, form);
    let narrow_top = maximise(&narrow)?;
    let wide = base.with(Spread::ArmPictureGrowth, form);
    let wide_top = match maximise(&wide) {
        Ok(top) => Some(top),
        Err(fault) if unsettled(&fault) => None,
        Err(fault) => return Err(fault),
    };
    let growth_test =
        wide_top.map(|top| RatioTest::new(top.ln_likelihood, narrow_top.ln_likelihood, 1));
    if let (Some(top), Some(test)) = (wide_top, growth_test)
        && test.more_than_luck()
    {
        match assemble(
            &wide,
            &top,
            Growth::Measured(top.theta[2]),
            growth_test,
            rng,
        ) {
            Ok(split) => return Ok(split),
            // An arm of nothing leaves no growth to measure.
            Err(fault) if unsettled(&fault) => {}
            Err(fault) => return Err(fault),
        }
    }
    let growth = Growth::Assumed(assumed_growth_per_m_s);
    assemble(&narrow, &narrow_top, growth, growth_test, rng)
}

fn check(observations: &[Observation], reference: &AimError) -> Result<(), PlayerError> {
    require(
        reference.arm_rad > 0.0,
        "the reference player's arm",
        reference.arm_rad,
        "more than 0",
    )?;
    require(
        reference.picture_m > 0.0,
        "the reference player's picture",
        reference.picture_m,
        "more than 0",
    )?;
    for (what, count) in [
        (
            "misses",
            observations
                .iter()
                .map(|o| o.tries - o.made.min(o.tries))
                .sum::<u64>(),
        ),
        ("makes", observations.iter().map(|o| o.made).sum()),
    ] {
        if count == 0 {
            return Err(PlayerError::TooFewValues {
                what,
                given: 0,
                needed: 1,
            });
        }
    }
    Ok(())
}

fn assemble<R: Rng + ?Sized>(
    model: &AimModel,
    top: &Maximum,
    growth: Growth,
    growth_test: Option<RatioTest>,
    rng: &mut R,
) -> Result<Split, PlayerError> {
    let covariance = observed_covariance(model, top)?;
    let part = |i: usize| -> Result<Estimate, PlayerError> {
        let ends = interval(model, top, &covariance, i)?;
        let value = top.theta[i].exp();
        let variance = covariance[i][i];
        Ok(Estimate {
            value,
            standard_error: (variance > 0.0).then(|| variance.sqrt() * value),
            low: ends.low.map(f64::exp),
            high: ends.high.map(f64::exp),
        })
    };
    let (arm_rad, picture_m) = (part(0)?, part(1)?);
    let mut ranges = drawn_ranges(model, top, &covariance, rng);
    if let (true, Some(most)) = (top.on_bound[1], picture_m.high) {
        let mut at_most = top.theta;
        at_most[1] = most.ln();
        let edge = model.shares_of_misses(&at_most);
        ranges[2] = Range {
            low: 0.0,
            high: edge[2],
        };
        ranges[0].low = ranges[0].low.min(edge[0]);
        ranges[1].low = ranges[1].low.min(edge[1]);
    }
    let values = model.shares_of_misses(&top.theta);
    let share = |i: usize| Share {
        value: values[i],
        interval: ranges[i],
    };
    Ok(Split {
        arm: share(0),
        speed: share(1),
        eyes: share(2),
        arm_rad,
        picture_m,
        growth,
        growth_test,
    })
}

fn drawn_ranges<R: Rng + ?Sized>(
    model: &AimModel,
    top: &Maximum,
    covariance: &Matrix,
    rng: &mut R,
) -> [Range; 3] {
    let lower = semi_cholesky(covariance);
    let mut draws: [Vec<f64>; 3] = std::array::from_fn(|_| Vec::with_capacity(DRAWS));
    for _ in 0..DRAWS {
        let normal: Theta = std::array::from_fn(|i| if i < DRAWN { sample(rng) } else { 0.0 });
        let theta: Theta = std::array::from_fn(|i| {
            let moved = top.theta[i] + (0..=i).map(|k| lower[i][k] * normal[k]).sum::<f64>();
            if i < model.parameters() {
                let (lo, hi) = model.bounds(i);
                moved.clamp(lo, hi)
            } else {
                moved
            }
        });
        for (column, share) in draws.iter_mut().zip(model.shares_of_misses(&theta)) {
            column.push(share);
        }
    }
    draws.map(|mut column| {
        column.sort_by(f64::total_cmp);
        Range {
            low: column[DRAWS / 40],
            high: column[DRAWS - 1 - DRAWS / 40],
        }
    })
}

/// Lower factor of a covariance that may have zero rows (parameters on a bound).
fn semi_cholesky(matrix: &Matrix) -> Matrix {
    let mut lower = [[0.0; MAX_PARAMETERS]; MAX_PARAMETERS];
    for i in 0..MAX_PARAMETERS {
        for j in 0..=i {
            let dot: f64 = (0..j).map(|k| lower[i][k] * lower[j][k]).sum();
            let rest = matrix[i][j] - dot;
            lower[i][j] = match i == j {
                true => rest.max(0.0).sqrt(),
                false if lower[j][j] > 0.0 => rest / lower[j][j],
                false => 0.0,
            };
        }
    }
    lower
}
