//! How far the inputs of a shot scatter besides the aim: tip, speed, condition of the balls.

use serde::{Deserialize, Serialize};

use crate::field::Field;
use crate::player::chance::aim_error::AimError;
use crate::player::request::PlayerRequestError;
use crate::request::{RequestError, number, quantity};
use crate::units::Length;

/// Standard uncertainty of where the tip meets the cue ball, m per rad of the arm's: 2 mm for a
/// degree, since a straighter stroke also meets the ball better. Assumption: nobody publishes it.
pub const TIP_M_PER_RAD: f64 = 2e-3 * 180.0 / std::f64::consts::PI;
/// Standard uncertainty of the stroke's speed as a share of it. Assumption.
pub const SPEED_SHARE: f64 = 0.10;
/// Standard uncertainty of the friction between the balls as a share of it: clean against
/// chalky balls. Assumption.
pub const BALLS_SHARE: f64 = 0.25;
/// Largest share that makes sense: beyond it a Normal value would often be negative. Assumption.
pub(crate) const MOST_SHARE: f64 = 0.5;
/// Largest spread of the tip, m: beyond it the tip slips off. Assumption.
const MOST_TIP_M: f64 = 5e-3;

/// Standard uncertainties besides the aim.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Spreads {
    /// Tip offset across the stroke, m.
    pub tip_m: f64,
    /// Speed, as a share of it.
    pub speed_share: f64,
    /// Friction between the balls, as a share of it.
    pub balls_share: f64,
}

impl Spreads {
    /// What is assumed of a player: the tip by the arm, the speed as the level has it.
    #[must_use]
    pub fn assumed(player: &AimError) -> Self {
        let speed = player.scatter.speed_share;
        Self {
            tip_m: (TIP_M_PER_RAD * player.arm_rad).min(MOST_TIP_M),
            speed_share: if speed > 0.0 { speed } else { SPEED_SHARE },
            balls_share: BALLS_SHARE,
        }
    }
}

fn out_of_range(option: Field, value: String, need: &'static str) -> PlayerRequestError {
    RequestError::OutOfRange {
        option,
        value,
        need,
    }
    .into()
}

/// The same as people ask for it.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[serde(default, rename_all = "kebab-case")]
#[cfg_attr(
    feature = "cli",
    command(next_help_heading = "What else scatters (two shots in three are within it)")
)]
pub struct SpreadsRequest {
    /// Where the tip meets the cue ball, left and right [default: 2 mm for each degree of arm, assumed]
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "LENGTH", allow_hyphen_values = true)
    )]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tip_spread: Option<String>,
    /// Speed of the stroke, as a share of it: as the player's where it is not given here, 0.1 where
    /// nothing is known of them
    #[cfg_attr(feature = "cli", arg(skip))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub speed_spread: Option<String>,
    /// Friction between the balls, clean or chalky, as a share of it [default: 0.25, assumed]
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "SHARE", allow_hyphen_values = true)
    )]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ball_spread: Option<String>,
}

impl SpreadsRequest {
    /// Reads and checks them; what is not given is assumed for a player.
    ///
    /// # Errors
    /// [`PlayerRequestError`] naming the option and the range that works.
    pub fn spreads(&self, player: &AimError) -> Result<Spreads, PlayerRequestError> {
        let standard = Spreads::assumed(player);
        let share = |option, text: &Option<String>, default| -> Result<f64, PlayerRequestError> {
            let Some(text) = text else { return Ok(default) };
            let value = number(option, text)?;
            if (0.0..=MOST_SHARE).contains(&value) {
                return Ok(value);
            }
            Err(out_of_range(
                option,
                value.to_string(),
                "from 0 to 0.5, a share",
            ))
        };
        let tip_m = quantity::<Length>(Field::TipSpread, self.tip_spread.as_deref())?
            .map_or(standard.tip_m, Length::m);
        if !(0.0..=MOST_TIP_M).contains(&tip_m) {
            let value = format!("{}mm", 1e3 * tip_m);
            return Err(out_of_range(Field::TipSpread, value, "from 0mm to 5mm"));
        }
        Ok(Spreads {
            tip_m,
            speed_share: share(Field::SpeedSpread, &self.speed_spread, standard.speed_share)?,
            balls_share: share(Field::BallSpread, &self.ball_spread, standard.balls_share)?,
        })
    }

    /// Which of them are assumed rather than given: tip, speed, balls.
    #[must_use]
    pub fn assumed(&self) -> [bool; 3] {
        [&self.tip_spread, &self.speed_spread, &self.ball_spread].map(Option::is_none)
    }
}
