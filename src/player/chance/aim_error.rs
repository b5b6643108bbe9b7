//! How far a player's aim spreads: arm, picture, bias, and the six assumed levels.
//!
//! The direction error of the cue ball is Normal with mean `bias` and
//!
//! `σ² = (arm · (1 + growth · v))² + (picture / t_c)²`
//!
//! with `v` the cue ball's speed (m/s) and `t_c` its travel to the ghost ball (m). `arm` is
//! thus the spread of an unhurried stroke, in the limit of no speed. All levels are assumptions.

use std::fmt;
use std::str::FromStr;

use serde::Serialize;

use crate::player::fault::{PlayerError, require};
use crate::shown::{nearest, quoted};

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
}

impl AimError {
    /// Arm and picture, no bias, the assumed growth.
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

/// The six levels; every number behind them is an assumption and is to be shown as one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Level {
    /// Holds a cue for the first time.
    FirstEvening,
    /// A few weeks in.
    Starting,
    /// Plays at a club.
    Club,
    /// Plays in a league.
    League,
    /// Wins there.
    Strong,
    /// Among the best.
    Expert,
}

impl Level {
    /// All levels, widest spread first.
    pub const ALL: [Self; 6] = [
        Self::FirstEvening,
        Self::Starting,
        Self::Club,
        Self::League,
        Self::Strong,
        Self::Expert,
    ];

    /// The name as typed.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::FirstEvening => "first-evening",
            Self::Starting => "starting",
            Self::Club => "club",
            Self::League => "league",
            Self::Strong => "strong",
            Self::Expert => "expert",
        }
    }

    /// How to name such a player to people, with the mark that it is assumed.
    #[must_use]
    pub fn spoken(self) -> String {
        format!("{} player, assumed", self.name().replace('-', " "))
    }

    /// The spread assumed for the level: no bias, the assumed growth of the arm.
    #[must_use]
    pub fn aim_error(self) -> AimError {
        // (arm in degrees, picture in mm at the ghost ball), all assumptions.
        let (arm_deg, picture_mm): (f64, f64) = match self {
            Self::FirstEvening => (1.0, 6.0),
            Self::Starting => (0.5, 4.0),
            Self::Club => (0.25, 2.0),
            Self::League => (0.13, 1.0),
            Self::Strong => (0.09, 0.6),
            Self::Expert => (0.06, 0.4),
        };
        AimError {
            arm_rad: arm_deg.to_radians(),
            picture_m: picture_mm / 1000.0,
            bias_rad: 0.0,
            arm_growth_per_m_s: ARM_GROWTH_PER_M_S,
        }
    }
}

impl fmt::Display for Level {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(self.name())
    }
}

impl FromStr for Level {
    type Err = PlayerError;

    fn from_str(given: &str) -> Result<Self, Self::Err> {
        let plain = given.trim().to_lowercase().replace([' ', '_'], "-");
        Self::ALL
            .into_iter()
            .find(|level| level.name() == plain)
            .ok_or_else(|| {
                let near = nearest(&plain, Self::ALL.map(Self::name)).map(str::to_owned);
                PlayerError::UnknownLevel {
                    given: quoted(given),
                    near,
                    known: Self::ALL.map(Self::name).join(", "),
                }
            })
    }
}
