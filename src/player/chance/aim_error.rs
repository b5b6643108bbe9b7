//! How far a player's aim spreads: arm, picture, bias, and the six assumed levels.
//!
//! The direction error of the cue ball is Normal with mean `bias` and
//!
//! `σ² = (arm · (1 + growth · v))² + (picture / t_c)²`
//!
//! with `v` the cue ball's speed (m/s) and `t_c` its travel to the ghost ball (m). `arm` is
//! thus the spread of an unhurried stroke, in the limit of no speed. All levels are assumptions.

use serde::Serialize;

use super::caught::chance;
use super::ratios::{Parts, Ratios};
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
    /// Whether arm and picture are known apart. Where tries do not tell, their ratio is a guess: chances
    /// are means over [`Self::ratios`].
    #[serde(skip)]
    pub told_apart: bool,
    /// Ratios of picture to arm that the tries allow, as factors on both.
    #[serde(skip)]
    pub ratios: Ratios,
    /// Which of arm and picture is the larger part of the aim's error, as far as it is known.
    #[serde(skip)]
    pub balance: Balance,
    /// Share of strokes that go wild (a miscue, somebody calls): they miss whatever the window.
    #[serde(skip)]
    pub wild_share: f64,
}

/// What is known of the larger part of an aim's error.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum Balance {
    /// Arm and picture are given, or assumed.
    #[default]
    Given,
    /// The ratio of picture to arm lies between these, m, 95 in 100; beyond both either may be the larger.
    Between {
        /// Smallest, m.
        low_m: f64,
        /// Largest, m.
        high_m: f64,
    },
}

/// The larger part of an aim's error on one shot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Larger {
    /// The stroke.
    Arm,
    /// The sighting.
    Picture,
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
            "stroke and sighting together",
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
            ratios: Ratios::KNOWN,
            balance: Balance::Given,
            wild_share: 0.0,
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

    /// The same player with an independent spread added to the arm's part at a speed of the cue ball, as
    /// side has it.
    #[must_use]
    pub fn with_added(self, spread_rad: f64, cue_speed_m_s: f64) -> Self {
        let arm_rad = self.arm_at_rad(cue_speed_m_s);
        if spread_rad <= 0.0 || arm_rad <= 0.0 {
            return self;
        }
        self.with_arm_times(arm_rad.hypot(spread_rad) / arm_rad)
    }

    /// A mean over the ratios of picture to arm that are not told apart, less the strokes that go wild.
    /// One ratio where they are.
    pub fn over_ratios(&self, mut chance_at: impl FnMut(&Parts) -> f64) -> f64 {
        let aimed = if self.told_apart {
            chance_at(&Parts::AS_THEY_ARE)
        } else {
            self.ratios.iter().map(|p| p.weight * chance_at(p)).sum()
        };
        (1.0 - self.wild_share) * aimed
    }

    /// The same player at one ratio.
    #[must_use]
    pub fn at_ratio(&self, parts: &Parts) -> Self {
        Self {
            arm_rad: self.arm_rad * parts.arm,
            picture_m: self.picture_m * parts.picture,
            ..*self
        }
    }

    /// Chance that a window catches the cue ball: directions relative to the aim, sorted and disjoint,
    /// rad; a travel to the ghost ball (m) and a speed (m/s).
    #[must_use]
    pub fn caught(
        &self,
        intervals_rad: &[(f64, f64)],
        cue_travel_m: f64,
        cue_speed_m_s: f64,
    ) -> f64 {
        self.over_ratios(|parts| {
            let sigma_rad = self.at_ratio(parts).sigma_rad(cue_travel_m, cue_speed_m_s);
            chance(intervals_rad, sigma_rad, self.bias_rad)
        })
    }

    /// Which part of the error is the larger at a travel and a speed; `None` where the tries leave it
    /// open, by less than 95 in 100.
    #[must_use]
    pub fn larger(&self, cue_travel_m: f64, cue_speed_m_s: f64) -> Option<Larger> {
        // The picture is the larger where picture / t_c > arm · (1 + growth · v).
        let even_m = cue_travel_m * (1.0 + self.arm_growth_per_m_s * cue_speed_m_s);
        let (low_m, high_m) = match self.balance {
            Balance::Given => {
                let ratio_m = self.picture_m / self.arm_rad;
                (ratio_m, ratio_m)
            }
            Balance::Between { low_m, high_m } => (low_m, high_m),
        };
        if low_m > even_m {
            Some(Larger::Picture)
        } else if high_m <= even_m {
            Some(Larger::Arm)
        } else {
            None
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
