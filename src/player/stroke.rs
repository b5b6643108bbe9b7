//! The stroke test: the cue ball alone, over a stated distance, onto a printed scale.
//!
//! No object ball, no picture: what scatters is the arm, and where the middle of the readings
//! lies is alignment. Each reading is a Normal direction; the spread gets its chi-square
//! interval, the mean its t interval, both exact for that model.

use serde::Serialize;
use statrs::distribution::{ChiSquared, ContinuousCDF, StudentsT};

use super::aim_fit::Estimate;
use super::aim_model::ArmEvidence;
use super::fault::{PlayerError, require};
use super::monte_carlo::mean_sd;

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
    require(test.distance_m > 0.0, "the stroke test's distance", test.distance_m, "more than 0 m")?;
    require(test.cue_speed_m_s >= 0.0, "the stroke test's speed", test.cue_speed_m_s, "0 m/s or more")?;
    require(test.arm_growth_per_m_s >= 0.0, "the arm's growth", test.arm_growth_per_m_s, "0 or more per m/s")?;
    let readings = test.readings_mm.len();
    if readings < MIN_READINGS {
        return Err(PlayerError::TooFewValues { what: "stroke test readings", given: readings, needed: MIN_READINGS });
    }
    for (i, reading) in test.readings_mm.iter().enumerate() {
        require(true, &format!("stroke test reading {}", i + 1), *reading, "a number of millimetres")?;
    }
    // A reading y at distance d is a direction of atan(y/d).
    let directions: Vec<f64> = test.readings_mm.iter().map(|mm| (mm / 1000.0).atan2(test.distance_m)).collect();
    let (mean, sd) = mean_sd(&directions);
    require(sd > 0.0, "the spread of the readings", sd, "more than 0: read the scale to the millimetre")?;
    let df = (readings - 1) as f64;
    let fault = |_| PlayerError::TooFewValues { what: "stroke test readings", given: readings, needed: MIN_READINGS };
    let chi2 = ChiSquared::new(df).map_err(|_| fault(()))?;
    let t = StudentsT::new(0.0, 1.0, df).map_err(|_| fault(()))?.inverse_cdf(0.975);
    // df s²/σ² is chi-square with df degrees of freedom; SE(s) ≈ s/√(2 df).
    let spread_rad = Estimate {
        value: sd,
        standard_error: Some(sd / (2.0 * df).sqrt()),
        low: Some(sd * (df / chi2.inverse_cdf(0.975)).sqrt()),
        high: Some(sd * (df / chi2.inverse_cdf(0.025)).sqrt()),
    };
    let error = sd / (readings as f64).sqrt();
    let alignment_rad = Estimate {
        value: mean,
        standard_error: Some(error),
        low: Some(mean - t * error),
        high: Some(mean + t * error),
    };
    let lift = 1.0 + test.arm_growth_per_m_s * test.cue_speed_m_s;
    Ok(StrokeReport {
        readings,
        spread_rad,
        arm_rad: Estimate {
            value: sd / lift,
            standard_error: spread_rad.standard_error.map(|e| e / lift),
            low: spread_rad.low.map(|e| e / lift),
            high: spread_rad.high.map(|e| e / lift),
        },
        alignment_rad,
        off_line: mean.abs() > t * error,
        evidence: ArmEvidence { df, sd_rad: sd, cue_speed_m_s: test.cue_speed_m_s },
    })
}
