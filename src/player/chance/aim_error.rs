//! How far a player's aim spreads: arm, picture, bias, and the six assumed levels.
//!
//! The direction error of the cue ball is Normal with mean `bias` and
//!
//! `σ² = (arm · (1 + growth · v))² + (picture / t_c)²`
//!
//! with `v` the cue ball's speed (m/s) and `t_c` its travel to the ghost ball (m). `arm` is
//! thus the spread of an unhurried stroke, in the limit of no speed. All levels are assumptions.

use serde::Serialize;

use crate::player::fault::{PlayerError, require};

/// How much the arm's spread grows per m/s of cue-ball speed. Assumption: nobody publishes it.
pub const ARM_GROWTH_PER_M_S: f64 = 0.05;

/// The spread and the lean of somebody's aim.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct AimError {
    /// Standard deviation of the stroke's direction at no speed.
    pub arm_rad: f64,
    /// Standard deviation of where the ghost ball is seen, across the line of aim.
    pub picture_m: f64,
    /// Mean direction error, counter-clockwise positive.
    pub bias_rad: f64,
    /// Growth of the arm's part per m/s of cue-ball speed; 0 switches it off.
    pub arm_growth_per_m_s: f64,
    /// What scatters besides the aim.
    #[serde(skip)]
    pub scatter: Scatter,
    /// Whether arm and picture are known apart. Where tries do not tell, their ratio is a guess, and no
    /// advice rests on it.
    #[serde(skip)]
    pub told_apart: bool,
}

/// Spreads of a player besides the aim. Every number is an assumption.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Scatter {
    /// Share of squirt and swerve that is misjudged.
    pub allow: f64,
    /// Spread of the stick's elevation, rad.
    pub elevation_rad: f64,
    /// Spread of the stroke's speed, as a share of it.
    pub speed_share: f64,
    /// How far off a line is judged at the first cushion, for each cushion, m; a third of it for a
    /// combination.
    pub line_m: f64,
}

/// A judged line is not seen from nearer than this, m.
pub const LINE_NEAREST_M: f64 = 0.3;
/// Part of a cushion's doubt that a combination has.
pub const COMBINATION_SHARE: f64 = 1.0 / 3.0;

impl Scatter {
    /// Nothing but the aim scatters.
    pub const NONE: Self = Self {
        allow: 0.0,
        elevation_rad: 0.0,
        speed_share: 0.0,
        line_m: 0.0,
    };

    /// Error of a direction that is judged, rad: `line / max(way to the first cushion, 0.3 m)`.
    #[must_use]
    pub fn line_rad(&self, first_way_m: f64) -> f64 {
        self.line_m / first_way_m.max(LINE_NEAREST_M)
    }
}

impl AimError {
    /// Arm and picture, no bias, the assumed growth, and nothing else that scatters.
    ///
    /// # Errors
    /// [`PlayerError::OutOfRange`] when a part is negative or both are zero.
    pub fn new(arm_rad: f64, picture_m: f64) -> Result<Self, PlayerError> {
        require(arm_rad >= 0.0, "arm", arm_rad, "0 or more (radians)")?;
        require(picture_m >= 0.0, "picture", picture_m, "0 or more (metres)")?;
        require(
            arm_rad + picture_m > 0.0,
            "arm and picture together",
            0.0,
            "more than 0: nobody aims without error",
        )?;
        Ok(Self {
            arm_rad,
            picture_m,
            bias_rad: 0.0,
            arm_growth_per_m_s: ARM_GROWTH_PER_M_S,
            scatter: Scatter::default(),
            told_apart: true,
        })
    }

    /// One plain spread: the arm alone, the same at every distance and (without growth) speed.
    ///
    /// # Errors
    /// [`PlayerError::OutOfRange`] when `sigma_rad` is not more than 0.
    pub fn plain(sigma_rad: f64) -> Result<Self, PlayerError> {
        require(sigma_rad > 0.0, "sigma", sigma_rad, "more than 0 (radians)")?;
        Self::new(sigma_rad, 0.0)
    }

    /// The same player with a bias (radians, counter-clockwise positive).
    ///
    /// # Errors
    /// [`PlayerError::OutOfRange`] when it is not finite.
    pub fn with_bias(self, bias_rad: f64) -> Result<Self, PlayerError> {
        require(true, "bias", bias_rad, "a finite angle")?;
        Ok(Self { bias_rad, ..self })
    }

    /// The same player with another growth of the arm's part (per m/s).
    ///
    /// # Errors
    /// [`PlayerError::OutOfRange`] when it is negative.
    pub fn with_growth(self, arm_growth_per_m_s: f64) -> Result<Self, PlayerError> {
        require(
            arm_growth_per_m_s >= 0.0,
            "arm growth",
            arm_growth_per_m_s,
            "0 or more (per m/s)",
        )?;
        Ok(Self {
            arm_growth_per_m_s,
            ..self
        })
    }

    /// The same player with arm and picture both times `factor`; bias and growth stay.
    #[must_use]
    pub fn scaled(self, factor: f64) -> Self {
        Self {
            arm_rad: self.arm_rad * factor,
            picture_m: self.picture_m * factor,
            ..self
        }
    }

    /// The same player with the arm's part times `factor`, as an awkward stance has it.
    #[must_use]
    pub fn with_arm_times(self, factor: f64) -> Self {
        Self {
            arm_rad: self.arm_rad * factor,
            ..self
        }
    }

    /// The arm's part at a speed of the cue ball (m/s), rad.
    #[must_use]
    pub fn arm_at_rad(&self, cue_speed_m_s: f64) -> f64 {
        self.arm_rad * (1.0 + self.arm_growth_per_m_s * cue_speed_m_s)
    }

    /// σ of the cue ball's direction (radians) for a travel to the ghost ball (m) and a speed (m/s).
    ///
    /// Infinite as the travel goes to 0 when there is a picture part: balls that nearly touch
    /// are outside the model.
    #[must_use]
    pub fn sigma_rad(&self, cue_travel_m: f64, cue_speed_m_s: f64) -> f64 {
        // σ² = (arm · (1 + growth · v))² + (picture / t_c)²
        let arm = self.arm_at_rad(cue_speed_m_s);
        let picture = if self.picture_m > 0.0 {
            self.picture_m / cue_travel_m
        } else {
            0.0
        };
        (arm * arm + picture * picture).sqrt()
    }
}
