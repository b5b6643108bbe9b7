//! How somebody stands and reaches, as people ask for it.

use serde::{Deserialize, Serialize};

use super::stance::{Hand, Reach};
use crate::request::{RequestError, quantity};
use crate::units::Length;

/// Hand and reach as options.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize, clap::Args)]
#[serde(default, rename_all = "kebab-case")]
pub struct ReachRequest {
    /// Playing hand: left or right [default: right]
    #[arg(long, value_name = "HAND")]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hand: Option<String>,
    /// Rail's outer edge to the farthest cue ball without a rest [default: 1m, seated 700mm, assumed]
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reach: Option<String>,
    /// The player plays seated
    #[arg(long)]
    pub seated: bool,
}

impl ReachRequest {
    /// Hand and reach; what is left open is as `known`, else a right-hander standing. `None` when
    /// nothing was asked and nothing is known.
    ///
    /// # Errors
    /// [`RequestError`] naming the option.
    pub fn reach(&self, known: Option<Reach>) -> Result<Option<Reach>, RequestError> {
        if *self == Self::default() {
            return Ok(known);
        }
        let usual = known.unwrap_or(Reach::standing(Hand::Right));
        let hand = match self.hand.as_deref() {
            None => usual.hand,
            Some("right") => Hand::Right,
            Some("left") => Hand::Left,
            Some(other) => {
                return Err(RequestError::Word {
                    option: "--hand",
                    value: other.to_owned(),
                    choices: "left, right",
                });
            }
        };
        let usual = if self.seated {
            Reach::seated(hand)
        } else {
            Reach { hand, ..usual }
        };
        match quantity::<Length>("--reach", self.reach.as_deref())? {
            Some(reach) if reach.m() > 0.0 => Ok(Some(Reach {
                reach_m: reach.m(),
                ..usual
            })),
            Some(reach) => Err(RequestError::Word {
                option: "--reach",
                value: reach.to_string(),
                choices: "lengths of more than 0, such as 700mm",
            }),
            None => Ok(Some(usual)),
        }
    }
}
