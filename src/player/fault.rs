//! What can go wrong when asking about a player.

use thiserror::Error;

/// A fault in the input or in the numbers; the message says what would work.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum PlayerError {
    /// A level that does not exist.
    #[error("no level called '{given}'{}; the levels are {known}", near.as_ref().map_or_else(String::new, |n| format!(" (did you mean '{n}'?)")))]
    UnknownLevel {
        /// What was asked for.
        given: String,
        /// The closest level, when one is close.
        near: Option<String>,
        /// All levels.
        known: String,
    },
    /// A quantity outside the range that works.
    #[error("{what} is {value}: it must be {range}")]
    OutOfRange {
        /// The quantity.
        what: String,
        /// Its value.
        value: f64,
        /// The range that works.
        range: &'static str,
    },
    /// A row of tries that cannot be used.
    #[error("shot {row}: {problem}")]
    BadObservation {
        /// Number of the row, from 1.
        row: usize,
        /// What is wrong and what would work.
        problem: String,
    },
    /// A set of inputs to propagate that cannot be used.
    #[error("{0}")]
    BadInputs(String),
    /// There is nothing to work with.
    #[error("{what}: {given} given, at least {needed} needed")]
    TooFewValues {
        /// Of what.
        what: &'static str,
        /// How many there are.
        given: usize,
        /// How many it takes.
        needed: usize,
    },
    /// The likelihood does not depend on a parameter, so the data cannot say anything about it.
    #[error(
        "these tries say nothing about {parameter}: the chance of none of the shots changes with it"
    )]
    Flat {
        /// The parameter.
        parameter: String,
    },
    /// The search for the largest likelihood did not settle.
    #[error(
        "the fit did not settle after {iterations} steps (last likelihood {ln_likelihood}); check the log for a shot entered wrongly"
    )]
    NoMaximum {
        /// Steps taken.
        iterations: usize,
        /// ln L where it stopped.
        ln_likelihood: f64,
    },
}

/// `Ok` when the value is finite and passes, else [`PlayerError::OutOfRange`].
pub(crate) fn require(
    ok: bool,
    what: &str,
    value: f64,
    range: &'static str,
) -> Result<(), PlayerError> {
    if ok && value.is_finite() {
        Ok(())
    } else {
        Err(PlayerError::OutOfRange {
            what: what.to_owned(),
            value,
            range,
        })
    }
}
