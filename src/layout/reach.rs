//! How far a player gets, as people ask for it.

use serde::{Deserialize, Serialize};
use thiserror::Error;

use super::stance::Reach;
use crate::field::Field;
use crate::request::{RequestError, quantity};
use crate::units::{Hand, Length};

/// Farther than this is questioned, m (assumption: an arm and a cue over a rail, one foot on the floor).
pub const QUESTIONED_REACH_M: f64 = 1.2;
/// Nobody reaches farther over a rail without a rest, m (assumption; the log holds to the same).
const FARTHEST_M: f64 = 2.5;

/// Hand and reach as options.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[serde(default)]
#[cfg_attr(feature = "cli", command(next_help_heading = "How the player stands"))]
pub struct ReachRequest {
    /// Playing hand: left or right [default: right]
    #[cfg_attr(feature = "cli", arg(long, value_name = "HAND"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hand: Option<String>,
    /// Rail's outer edge to the farthest cue ball without a rest [default: 1m, seated 700mm, assumed]
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "LENGTH", allow_hyphen_values = true)
    )]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub reach: Option<String>,
    /// The player plays seated
    #[cfg_attr(feature = "cli", arg(long))]
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub seated: bool,
}

/// A reach that cannot be read.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum ReachError {
    /// An option's value.
    #[error(transparent)]
    Request(#[from] RequestError),
    /// Nothing, less, or more than a body's length.
    #[error(
        "{}: {reach} is no reach: write more than 0 and at most 2.5m, such as 700mm",
        Field::Reach
    )]
    OutOfRange {
        /// As given.
        reach: Length,
    },
}

impl ReachRequest {
    /// Whether anything was given.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// The first of its options that was given.
    #[must_use]
    pub fn first_given(&self) -> Option<Field> {
        let hand = self.hand.as_ref().map(|_| Field::Hand);
        let reach = self.reach.as_ref().map(|_| Field::Reach);
        hand.or(reach)
            .or_else(|| self.seated.then_some(Field::Seated))
    }

    /// The reach, standing and right-handed unless told otherwise.
    ///
    /// # Errors
    /// [`ReachError`] naming the option.
    pub fn reach(&self) -> Result<Reach, ReachError> {
        let usual = Reach::standing(Hand::Right);
        Ok(self.reach_or(None)?.unwrap_or(usual))
    }

    /// The reach; what is left open is as `known`. `None` when nothing was asked and nothing is
    /// known.
    ///
    /// # Errors
    /// [`ReachError`] naming the option.
    pub fn reach_or(&self, known: Option<Reach>) -> Result<Option<Reach>, ReachError> {
        if self.is_empty() {
            return Ok(known);
        }
        let usual = known.unwrap_or(Reach::standing(Hand::Right));
        let hand = match self.hand.as_deref() {
            None => usual.hand,
            Some(text) => Hand::from_name(text).ok_or_else(|| RequestError::Word {
                option: Field::Hand,
                value: text.to_owned(),
                choices: "left, right",
            })?,
        };
        let usual = if self.seated {
            Reach::seated(hand)
        } else {
            Reach { hand, ..usual }
        };
        match quantity::<Length>(Field::Reach, self.reach.as_deref())? {
            Some(reach) if reach.m() > 0.0 && reach.m() <= FARTHEST_M => Ok(Some(Reach {
                reach_m: reach.m(),
                ..usual
            })),
            Some(reach) => Err(ReachError::OutOfRange { reach }),
            None => Ok(Some(usual)),
        }
    }
}
