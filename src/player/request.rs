//! A player as people name one: a level, or the two parts of the aim error.

use serde::{Deserialize, Serialize};

use super::chance::{aim_error::AimError, level::Level};
use super::fault::PlayerError;
use crate::field::{Field, Fields};
use crate::request::{RequestError, number, quantity};
use crate::units::{Angle, Length};

/// Who aims. Nothing given means nobody: no chance is shown.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[serde(default, rename_all = "kebab-case")]
#[cfg_attr(feature = "cli", command(next_help_heading = "The player"))]
pub struct PlayerRequest {
    /// Level (assumed): first-evening, starting, club, league, strong or expert
    #[cfg_attr(feature = "cli", arg(long, value_name = "NAME"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub level: Option<String>,
    /// Spread of the stroke's direction, unhurried: two shots in three are within it; see stroke-growth
    #[cfg_attr(
        feature = "cli",
        arg(
            long = "stroke-spread",
            value_name = "ANGLE",
            allow_hyphen_values = true
        )
    )]
    #[serde(
        rename = "stroke-spread",
        alias = "stroke_spread",
        alias = "arm",
        skip_serializing_if = "Option::is_none"
    )]
    pub arm: Option<String>,
    /// Sighting: spread of where the ghost ball is seen
    #[cfg_attr(
        feature = "cli",
        arg(
            long = "sighting-spread",
            value_name = "LENGTH",
            allow_hyphen_values = true
        )
    )]
    #[serde(
        rename = "sighting-spread",
        alias = "sighting_spread",
        alias = "picture",
        skip_serializing_if = "Option::is_none"
    )]
    pub picture: Option<String>,
    /// Spread of the cue ball's direction as one number, instead of stroke and sighting
    #[cfg_attr(
        feature = "cli",
        arg(long = "aim-spread", value_name = "ANGLE", allow_hyphen_values = true)
    )]
    #[serde(
        rename = "aim-spread",
        alias = "aim_spread",
        alias = "sigma",
        skip_serializing_if = "Option::is_none"
    )]
    pub sigma: Option<String>,
    /// Steady error of the cue ball's direction, left positive [default: 0deg]
    #[cfg_attr(
        feature = "cli",
        arg(
            long = "steady-error",
            value_name = "ANGLE",
            allow_hyphen_values = true
        )
    )]
    #[serde(
        rename = "steady-error",
        alias = "steady_error",
        alias = "bias",
        skip_serializing_if = "Option::is_none"
    )]
    pub bias: Option<String>,
    /// How much the stroke's spread grows per m/s of stroke, 0 for not at all [default: 0.05, assumed]
    #[cfg_attr(
        feature = "cli",
        arg(
            long = "stroke-growth",
            value_name = "SHARE",
            allow_hyphen_values = true
        )
    )]
    #[serde(
        rename = "stroke-growth",
        alias = "stroke_growth",
        alias = "arm-growth",
        alias = "arm_growth",
        skip_serializing_if = "Option::is_none"
    )]
    pub arm_growth: Option<String>,
    /// Spread of the stroke's speed, as a share of it [default: as the level's; 0 with aim-spread or stroke-spread alone]
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "SHARE", allow_hyphen_values = true)
    )]
    #[serde(alias = "speed_spread", skip_serializing_if = "Option::is_none")]
    pub speed_spread: Option<String>,
}

/// A player with the words for who that is.
#[derive(Debug, Clone, PartialEq)]
pub struct Player {
    /// The aim error.
    pub error: AimError,
    /// `club player, assumed`, `two shots in three within ±0.25°`, `student K`.
    pub who: String,
    /// Whether it is an assumption (a level) rather than given or fitted.
    pub assumed: bool,
}

/// A player that cannot be read.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum PlayerRequestError {
    /// An option's value.
    #[error(transparent)]
    Request(#[from] RequestError),
    /// A value out of range.
    #[error(transparent)]
    Player(#[from] PlayerError),
}

/// Largest spread of speed that makes sense: beyond it a Normal speed would often be negative.
/// Assumption.
const MOST_SPEED_SPREAD: f64 = 0.5;

/// The two parts of the aim error.
const PARTS: &[Field] = &[Field::Arm, Field::Picture];

impl PlayerRequest {
    /// Whether anything about a player was given.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// The player, `None` when nothing was given.
    ///
    /// # Errors
    /// [`PlayerRequestError`] naming the option.
    pub fn player(&self) -> Result<Option<Player>, PlayerRequestError> {
        if self.is_empty() {
            return Ok(None);
        }
        let twice = |one, other| {
            let other = Fields(other);
            Err(RequestError::Twice { one, other }.into())
        };
        let arm = quantity::<Angle>(Field::Arm, self.arm.as_deref())?;
        let picture = quantity::<Length>(Field::Picture, self.picture.as_deref())?;
        let parts = arm.is_some() || picture.is_some();
        let (error, who, assumed) = match (&self.level, &self.sigma) {
            (Some(_), Some(_)) => return twice(Field::Level, &[Field::Sigma]),
            (None, Some(_)) if parts => return twice(Field::Sigma, PARTS),
            (Some(_), None) if parts => return twice(Field::Level, PARTS),
            (Some(name), None) => {
                let level: Level = name.parse()?;
                (level.aim_error(), level.spoken(), true)
            }
            (None, Some(text)) => {
                let sigma = quantity::<Angle>(Field::Sigma, Some(text))?.unwrap_or(Angle::ZERO);
                (AimError::plain(sigma.rad())?, within(sigma), false)
            }
            (None, None) if parts => {
                let (arm, picture) = (arm.unwrap_or(Angle::ZERO), picture.unwrap_or(Length::ZERO));
                let error = AimError::new(arm.rad(), picture.m())?;
                (
                    error,
                    format!(
                        "stroke ±{:.2}°, sighting ±{:.1} mm",
                        arm.deg(),
                        picture.mm()
                    ),
                    false,
                )
            }
            (None, None) => {
                let level = Level::Club;
                (level.aim_error(), level.spoken(), true)
            }
        };
        Ok(Some(Player {
            error: self.adjusted(error)?,
            who,
            assumed,
        }))
    }

    /// With bias, growth of the arm's part and spread of the speed, which go with every way of naming a player.
    ///
    /// # Errors
    /// [`PlayerRequestError`] naming the option.
    pub fn adjusted(&self, error: AimError) -> Result<AimError, PlayerRequestError> {
        let mut error = error;
        if let Some(bias) = quantity::<Angle>(Field::Bias, self.bias.as_deref())? {
            error = error.with_bias(bias.rad())?;
        }
        if let Some(text) = self.arm_growth.as_deref() {
            error = error.with_growth(number(Field::ArmGrowth, text)?)?;
        }
        if let Some(text) = self.speed_spread.as_deref() {
            let share = number(Field::SpeedSpread, text)?;
            if !(0.0..=MOST_SPEED_SPREAD).contains(&share) {
                return Err(RequestError::OutOfRange {
                    option: Field::SpeedSpread,
                    value: share.to_string(),
                    need: "from 0 to 0.5, a share",
                }
                .into());
            }
            error.scatter.speed_share = share;
        }
        Ok(error)
    }
}

/// "two shots in three within ±0.25°".
fn within(sigma: Angle) -> String {
    format!("two shots in three within ±{:.2}°", sigma.deg())
}
