//! The stroke test: the cue ball alone, over a stated distance, onto a printed scale.
//!
//! No object ball, no picture: what scatters is the arm, and where the middle of the readings
//! lies is alignment. Each reading is a Normal direction; the spread gets its chi-square
//! interval, the mean its t interval, both exact for that model.

use serde::Serialize;
use statrs::distribution::{ChiSquared, ContinuousCDF, StudentsT};

use crate::player::budget::monte_carlo::mean_sd;
use crate::player::fault::{PlayerError, require};
use crate::player::fit::aim_fit::Estimate;
use crate::player::fit::aim_model::ArmEvidence;

/// Fewest readings: with fewer the upper end of the spread is more than three times the
/// spread. Derived from chi-square with 4 degrees of freedom.
pub const MIN_READINGS: usize = 5;

/// A stroke test as noted.
#[derive(Debug, Clone, PartialEq)]
pub struct StrokeTest {
    /// Where the ball met the scale, positive to the left of the mark as the shooter sees it, mm.
    pub readings_mm: Vec<f64>,
    /// From the cue ball's start to the scale.
    pub distance_m: f64,
    /// The cue ball's speed.
    pub cue_speed_m_s: f64,
    /// Growth of the arm's spread per m/s, to bring the spread to no speed; 0 for none.
    pub arm_growth_per_m_s: f64,
}

/// What a stroke test says.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct StrokeReport {
    /// Number of readings.
    pub readings: usize,
    /// Spread of the directions at the test's speed, radians.
    pub spread_rad: Estimate,
    /// The arm at no speed, radians.
    pub arm_rad: Estimate,
    /// Mean direction, counter-clockwise positive, radians.
    pub alignment_rad: Estimate,
    /// Whether the mean is off the mark by more than luck.
    pub off_line: bool,
    /// The spread for a joint fit with a log.
    #[serde(skip)]
    pub evidence: ArmEvidence,
}

/// Reads a stroke test.
///
/// # Errors
/// [`PlayerError::TooFewValues`] under five readings; [`PlayerError::OutOfRange`] for a
/// distance, speed or reading that cannot be, or readings that are all the same.
#[expect(clippy::cast_precision_loss, reason = "a small count")]
pub fn read_stroke_test(test: &StrokeTest) -> Result<StrokeReport, PlayerError> {
    check(test)?;
    let readings = test.readings_mm.len();
    // A reading y at distance d is a direction of atan(y/d).
    let directions: Vec<f64> = test
        .readings_mm
        .iter()
        .map(|mm| (mm / 1000.0).atan2(test.distance_m))
        .collect();
    let (mean, sd) = mean_sd(&directions);
    require(
        sd > 0.0,
        "the spread of the readings",
        sd,
        "more than 0: read the scale to the millimetre",
    )?;
    let df = (readings - 1) as f64;
    let (low, high, t) = factors(df).ok_or_else(|| too_few(readings))?;
    let estimate = |value: f64, standard_error: f64, ends: (f64, f64)| Estimate {
        value,
        standard_error: Some(standard_error),
        low: Some(ends.0),
        high: Some(ends.1),
    };
    // SE(s) ≈ s/√(2 df)
    let spread = |sd: f64| estimate(sd, sd / (2.0 * df).sqrt(), (sd * low, sd * high));
    let error = sd / (readings as f64).sqrt();
    let lift = 1.0 + test.arm_growth_per_m_s * test.cue_speed_m_s;
    Ok(StrokeReport {
        readings,
        spread_rad: spread(sd),
        arm_rad: spread(sd / lift),
        alignment_rad: estimate(mean, error, (mean - t * error, mean + t * error)),
        off_line: mean.abs() > t * error,
        evidence: ArmEvidence {
            df,
            sd_rad: sd,
            cue_speed_m_s: test.cue_speed_m_s,
        },
    })
}

fn check(test: &StrokeTest) -> Result<(), PlayerError> {
    let (distance_m, speed_m_s) = (test.distance_m, test.cue_speed_m_s);
    let growth_per_m_s = test.arm_growth_per_m_s;
    require(
        distance_m > 0.0,
        "the stroke test's distance",
        distance_m,
        "more than 0 m",
    )?;
    require(
        speed_m_s >= 0.0,
        "the stroke test's speed",
        speed_m_s,
        "0 m/s or more",
    )?;
    require(
        growth_per_m_s >= 0.0,
        "the stroke's growth",
        growth_per_m_s,
        "0 or more per m/s",
    )?;
    if test.readings_mm.len() < MIN_READINGS {
        return Err(too_few(test.readings_mm.len()));
    }
    for (i, reading) in test.readings_mm.iter().enumerate() {
        let what = format!("stroke test reading {}", i + 1);
        require(true, &what, *reading, "a number of millimetres")?;
    }
    Ok(())
}

fn too_few(given: usize) -> PlayerError {
    PlayerError::TooFewValues {
        what: "stroke test readings",
        given,
        needed: MIN_READINGS,
    }
}

/// Factors on s for the ends of the spread's interval (`df s²/σ²` is chi-square), and
/// Student's t, both at 95 %.
fn factors(df: f64) -> Option<(f64, f64, f64)> {
    let chi2 = ChiSquared::new(df).ok()?;
    let t = StudentsT::new(0.0, 1.0, df).ok()?.inverse_cdf(0.975);
    Some((
        (df / chi2.inverse_cdf(0.975)).sqrt(),
        (df / chi2.inverse_cdf(0.025)).sqrt(),
        t,
    ))
}
