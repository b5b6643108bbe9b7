//! One error enum per kind of fault. Each carries the offending value and says what would work.

use crate::field::Field;
use thiserror::Error;

use crate::files::ReadError;

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
        "\"{value}\" is no place on the table: write two numbers of diamonds such as 6,2, two lengths such as 50in,1.2m, a spot such as foot-spot, head-spot, centre-spot, black-spot, or distances from cushions such as 30cm-from-top,20cm-from-left"
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
    /// The bottom of a table, which is one end to some and the other to others.
    #[error(
        "\"{value}\": bottom is the baulk end in the rule books and the other end to many players: write baulk or top (head or foot)"
    )]
    Bottom {
        /// The text as given.
        value: String,
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
    /// Not a set of words.
    #[error("\"{value}\" is no choice of words: write us or uk")]
    UnknownWords {
        /// The text as given.
        value: String,
    },
    /// Not a system of units for texts.
    #[error("\"{value}\" is no choice of units: write metric or inches")]
    NotAUnitSystem {
        /// The text as given.
        value: String,
    },
}

/// Equipment that cannot be read, or that no ball could be played on.
///
/// Each message is whole: inner faults are in it, not behind `source()`, so nothing is said twice.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum GearError {
    /// Neither a preset nor a file.
    #[error(
        "no table is called \"{name}\"{suggestion}; built in are {known}; or give the path of a .toml file"
    )]
    UnknownGear {
        /// The name as given.
        name: String,
        /// ` (did you mean pool-9ft?)`, or nothing.
        suggestion: String,
        /// All presets.
        known: String,
    },
    /// A file that cannot be read.
    #[error(
        "cannot read the table file {path}: {fault}; give the path of a table file or the name of a built-in table"
    )]
    Unreadable {
        /// The file.
        path: String,
        /// Why.
        fault: ReadError,
    },
    /// No way of marking a table.
    #[error("marks is \"{value}\" in {origin}: write diamonds, snooker or english")]
    UnknownMarks {
        /// The text as given.
        value: String,
        /// Where it was given.
        origin: String,
    },
    /// A path where a file may only name what lies beside it.
    #[error(
        "\"{name}\" is a path, and a file may only name a built-in table or a table file in its own folder: put the table beside it and write the name alone, such as hall.toml"
    )]
    NotBeside {
        /// The name as given.
        name: String,
    },
    /// Not TOML.
    #[error("{origin} is not valid TOML: {message}")]
    Syntax {
        /// Where it was read.
        origin: String,
        /// Line and reason.
        message: String,
    },
    /// A key that gear does not have.
    #[error("unknown key {key} in {origin}{suggestion}")]
    UnknownKey {
        /// The key with its sections.
        key: String,
        /// Where it was read.
        origin: String,
        /// `: did you mean pocket.corner.mouth?`.
        suggestion: String,
    },
    /// A table, list, date or yes/no where a value is wanted.
    #[error("{key} in {origin} is {found}: write {wanted}")]
    WrongType {
        /// The key with its sections.
        key: String,
        /// Where it was read.
        origin: String,
        /// What stands there.
        found: &'static str,
        /// What would work.
        wanted: String,
    },
    /// A text that is no such quantity.
    #[error("{key} in {origin}: {problem}")]
    BadValue {
        /// The key with its sections.
        key: String,
        /// Where it was read.
        origin: String,
        /// What is wrong with the text.
        problem: Box<UnitError>,
    },
    /// A value nobody gave.
    #[error(
        "{key} is missing in {origin}: give it, or start from a built-in table with base = \"pool-9ft\""
    )]
    MissingKey {
        /// The key with its sections.
        key: String,
        /// Where it was looked for.
        origin: String,
    },
    /// A name that could not stand in a file name.
    #[error(
        "name = \"{name}\" in {origin} will not do: use 1 to 60 letters, digits, spaces, - _ or ., beginning with a letter or digit"
    )]
    BadName {
        /// The name as given.
        name: String,
        /// Where it was read.
        origin: String,
    },
    /// Files that are each other's base.
    #[error("the table files go round in a circle: {chain}; take one base = … out")]
    BaseCycle {
        /// The files in order.
        chain: String,
    },
    /// An override without a key or a value.
    #[error(
        "{} {text}: write KEY=VALUE, such as ball.contact.friction_scale=0",
        Field::Set
    )]
    BadOverride {
        /// The text as given.
        text: String,
    },
    /// A value beyond what the model is good for.
    #[error("{key} = {value} is out of range: {range} ({reason})")]
    OutOfRange {
        /// The key with its sections.
        key: &'static str,
        /// The value with its unit.
        value: String,
        /// The limits with their unit.
        range: String,
        /// Why they are there.
        reason: &'static str,
    },
    /// Values that are good alone but not together.
    #[error("{key} = {value} does not fit the rest: {problem}; {remedy}")]
    DoesNotFit {
        /// The key to change first.
        key: &'static str,
        /// Its value with its unit.
        value: String,
        /// What would happen on such a table.
        problem: String,
        /// What would work.
        remedy: String,
    },
}
