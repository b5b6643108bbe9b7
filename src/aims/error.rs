//! What can be wrong with a way's own inputs, and with using it on a shot.

use thiserror::Error;

use crate::field::{Field, Fields};
use crate::request::RequestError;

/// A way that cannot be set up as asked.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum AimsError {
    /// No such way.
    #[error("\"{given}\" is no aiming method{}; the methods are {known}", near.as_ref().map(|n| format!(" (did you mean {n}?)")).unwrap_or_default())]
    UnknownWay {
        /// As given.
        given: String,
        /// The nearest name.
        near: Option<String>,
        /// All names.
        known: String,
    },
    /// A number out of its range.
    #[error("{what} is {value}; it must be {need}")]
    OutOfRange {
        /// The input.
        what: Field,
        /// As given, with its unit.
        value: String,
        /// What would work.
        need: String,
    },
    /// A fraction that covers more or less than a ball.
    #[error(
        "the fraction {value} is no part of a ball: give more than 0 and at most 1, such as 1/2 or 0.375 (1 is a full ball)"
    )]
    Fraction {
        /// As given.
        value: String,
    },
    /// An empty list.
    #[error("{what} is empty: give at least one, such as {example}")]
    Empty {
        /// The input.
        what: Field,
        /// What would work.
        example: &'static str,
    },
    /// A lamp that casts no closed shadow and shows no spot.
    #[error(
        "{} is {height_mm:.1} mm above the cloth, and the balls are {ball_mm:.2} mm high; a lamp must hang higher than the top of a ball, such as 800mm",
        Field::LampHeight
    )]
    LampTooLow {
        /// Height above the cloth.
        height_mm: f64,
        /// Larger ball's diameter.
        ball_mm: f64,
    },
    /// The own list was asked for without a file.
    #[error("the way \"own\" needs its list: give {} FILE.toml", Field::Own)]
    NoOwnList,
    /// The own list is no TOML of the right shape.
    #[error(
        "the list of offsets cannot be read: {problem}; it needs entries such as [[offset]] with cut = \"30deg\" and aim = \"28mm\""
    )]
    OwnList {
        /// What the reader said, with line and column.
        problem: String,
    },
    /// The same cut twice.
    #[error("the list of offsets has cut = {cut_deg}deg twice: keep one of the two")]
    OwnRepeats {
        /// The cut.
        cut_deg: f64,
    },
    /// An entry of the own list out of its range.
    #[error("{key} in the list of offsets is {value}; it must be {need}")]
    OwnEntry {
        /// Its key.
        key: &'static str,
        /// As given, with its unit.
        value: String,
        /// What would work.
        need: &'static str,
    },
    /// A lamp over the table needs a shot on the table.
    #[error(
        "{} needs a shot on the table ({:#}); for one by angles give {} and {}",
        Field::LampAt,
        Fields::ON_TABLE,
        Field::LampAhead,
        Field::LampLeft
    )]
    LampNeedsTable,
    /// An option that cannot be read.
    #[error(transparent)]
    Request(#[from] RequestError),
}

/// A shot on which a way gives no line.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum CannotAim {
    /// The player's body is in the way of the light.
    #[error(
        "the lamp hangs {behind_mm:.0} mm behind the player's eye, where the player stands in its light; move the lamp with {}, or the eye with {}",
        Field::LampAhead,
        Field::EyeBehind
    )]
    LampBehindPlayer {
        /// How far behind the eye.
        behind_mm: f64,
    },
    /// The spot lies where the eye cannot see it.
    #[error(
        "the lamp's bright spot lies behind the object ball's edge for this eye; move the lamp with {} and {}",
        Field::LampAhead,
        Field::LampLeft
    )]
    SpotHidden,
    /// The mark lies beside or behind the cue ball.
    #[error("the mark lies beside or behind the cue ball; the balls are too close for it")]
    MarkTooClose,
    /// The own list does not cover this cut.
    #[error(
        "the list of offsets covers cuts from {from_deg:.1} to {to_deg:.1}°, not {cut_deg:.1}°"
    )]
    OutsideList {
        /// Asked for.
        cut_deg: f64,
        /// First in the list.
        from_deg: f64,
        /// Last in the list.
        to_deg: f64,
    },
}

impl CannotAim {
    /// As in `status`.
    #[must_use]
    pub fn name(&self) -> &'static str {
        match self {
            Self::LampBehindPlayer { .. } => "lamp-behind-player",
            Self::SpotHidden => "spot-hidden",
            Self::MarkTooClose => "mark-too-close",
            Self::OutsideList { .. } => "outside-list",
        }
    }
}

/// `Ok` inside the range, else the error that names it.
pub(super) fn require(
    ok: bool,
    what: Field,
    value: impl FnOnce() -> String,
    need: &str,
) -> Result<(), AimsError> {
    if ok {
        Ok(())
    } else {
        Err(AimsError::OutOfRange {
            what,
            value: value(),
            need: need.to_owned(),
        })
    }
}
