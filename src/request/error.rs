//! Why a request is no shot.

use thiserror::Error;

use crate::error::UnitError;
use crate::field::{Field, Fields};
use crate::window::{ShotError, StrokeError};

/// A request that cannot be turned into a shot.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum RequestError {
    /// An option's value cannot be read.
    #[error("{option}: {source}")]
    Unit {
        /// The option.
        option: Field,
        /// What is wrong with the value.
        source: UnitError,
    },
    /// A word that is none of the choices.
    #[error("{option}: `{value}` is not one of {choices}")]
    Word {
        /// The option.
        option: Field,
        /// As given.
        value: String,
        /// What would work.
        choices: &'static str,
    },
    /// Not a stroke in table lengths.
    #[error(
        "{option}: `{value}` is no stroke: write table lengths, such as 2lengths or 1.5lengths"
    )]
    NotLengths {
        /// The option.
        option: Field,
        /// As given.
        value: String,
    },
    /// Neither kind of shot is complete.
    #[error(
        "{missing} is missing: give {} for a shot on the table, or {} for one without",
        Fields::ON_TABLE,
        Fields::BY_ANGLES
    )]
    Missing {
        /// The first option missing.
        missing: Field,
    },
    /// Nothing that begins either kind of shot.
    #[error(
        "the shot is missing: give {} for a shot on the table, or {} for one without",
        Fields::ON_TABLE,
        Fields::BY_ANGLES
    )]
    NoShot,
    /// Options of both kinds of shot.
    #[error(
        "{one} and {other} do not go together: a shot is either on the table ({:#}) or by angles ({:#})",
        Fields::ON_TABLE,
        Fields::BY_ANGLES
    )]
    Mixed {
        /// An option of one kind.
        one: Field,
        /// An option of the other.
        other: Field,
    },
    /// Two options that say the same thing.
    #[error("{one} and {other} say the same thing twice; give one of them")]
    Twice {
        /// One.
        one: Field,
        /// The other, or others that say it together.
        other: Fields,
    },
    /// A number out of its range.
    #[error("{option} is {value}; it must be {need}")]
    OutOfRange {
        /// The option.
        option: Field,
        /// As given.
        value: String,
        /// What would work.
        need: &'static str,
    },
    /// The stroke cannot be had, or does not make the shot.
    #[error(transparent)]
    Stroke(#[from] StrokeError),
    /// A stroke in lengths where there is no single shot it belongs to.
    #[error(
        "{}: a stroke in table lengths gives every shot its own pace, so it goes with one shot only; give {} here",
        Field::Stroke,
        Field::Pace
    )]
    StrokeWithoutShot,
    /// The shot cannot stand.
    #[error(transparent)]
    Shot(#[from] ShotError),
}
