//! One error enum per kind of fault. Each carries the offending value and says what would work.

use thiserror::Error;

/// A text that should have been a quantity, a cut or a place on the table.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum UnitError {
    /// A bare number.
    #[error("\"{value}\" has no unit: {quantity} needs one, so write {example}")]
    MissingUnit {
        /// The text as given.
        value: String,
        /// What was wanted, with its article.
        quantity: &'static str,
        /// The same number with units that work.
        example: String,
    },
    /// Neither a number nor a number with a unit.
    #[error("\"{value}\" is not {quantity}: write a number and a unit, such as {example}")]
    NotAQuantity {
        /// The text as given.
        value: String,
        /// What was wanted, with its article.
        quantity: &'static str,
        /// A text that works.
        example: String,
    },
    /// A number with a unit of something else, or of nothing.
    #[error("\"{value}\": \"{unit}\" is no unit for {quantity}: use one of {known}")]
    UnknownUnit {
        /// The text as given.
        value: String,
        /// The unit found in it.
        unit: String,
        /// What was wanted, with its article.
        quantity: &'static str,
        /// The units that work.
        known: String,
    },
    /// Overflow.
    #[error("\"{value}\" is too large for {quantity}: write a finite number, such as {example}")]
    NotFinite {
        /// The text as given.
        value: String,
        /// What was wanted, with its article.
        quantity: &'static str,
        /// A text that works.
        example: String,
    },
    /// Not a plain number where one without a unit is wanted.
    #[error("\"{value}\" is not a number: write one such as 0.85, without a unit")]
    NotANumber {
        /// The text as given.
        value: String,
    },
    /// A comma for the decimal point.
    #[error("\"{value}\" has a comma in a number: write the decimals after a point")]
    DecimalComma {
        /// The text as given.
        value: String,
    },
    /// A fraction of a ball that no ball can be hit with.
    #[error(
        "\"{value}\" is no cut: write an angle such as 30deg, or half-ball, 3/4-ball, quarter-ball (more than 0, at most 1)"
    )]
    NotACut {
        /// The text as given.
        value: String,
    },
    /// Not a place on the table.
    #[error(
        "\"{value}\" is no place on the table: write two numbers of diamonds such as 6,2, two lengths such as 50in,1.2m, or foot-spot, head-spot, centre-spot"
    )]
    NotAPosition {
        /// The text as given.
        value: String,
    },
    /// Not a coordinate along one side of the table.
    #[error(
        "\"{value}\" is no coordinate: write diamonds such as 6 or 2.5, a length such as 50in, or {words}"
    )]
    NotACoordinate {
        /// The text as given.
        value: String,
        /// The words that work on this axis.
        words: &'static str,
    },
    /// A coordinate beyond the noses.
    #[error("\"{value}\" is off the table: the table reaches from 0 to {limit} {axis}")]
    OffTheTable {
        /// The coordinate as given.
        value: String,
        /// The far end, in the unit of the value.
        limit: String,
        /// "along the long rails" or "along the short rails".
        axis: &'static str,
    },
    /// Not a system of units for texts.
    #[error("\"{value}\" is no choice of units: write metric or inches")]
    NotAUnitSystem {
        /// The text as given.
        value: String,
    },
}
