//! Why a picture cannot be drawn, or not be written as asked.

use thiserror::Error;

use super::limits::{MAX_SIDE, MIN_HEIGHT, MIN_WIDTH};
use crate::field::Field;

/// A picture that cannot be drawn.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum DrawError {
    /// More lines than can be told apart.
    #[error("{count} lines in one chart cannot be told apart; choose at most 5")]
    TooManyLines {
        /// As asked.
        count: usize,
    },
    /// Nothing to draw.
    #[error("{what} has nothing to draw: {why}")]
    Empty {
        /// The chart or the series.
        what: String,
        /// What is missing.
        why: &'static str,
    },
    /// An axis that cannot be drawn.
    #[error(
        "axis \"{title}\" cannot run from {from} to {to}; the end must be larger than the start{}",
        if *.log { " and both larger than 0 on a logarithmic axis" } else { "" }
    )]
    Axis {
        /// Axis title.
        title: String,
        /// Start.
        from: f64,
        /// End.
        to: f64,
        /// Logarithmic.
        log: bool,
    },
    /// A value that cannot be placed.
    #[error("\"{series}\": {value} cannot be drawn; {why}")]
    Value {
        /// Series.
        series: String,
        /// The value.
        value: f64,
        /// What would work.
        why: &'static str,
    },
    /// Not enough room.
    #[error(
        "{width_px}x{height_px} leaves no room for the picture below its title; try {} 1200x800",
        Field::Size
    )]
    TooSmall {
        /// Width in pixels.
        width_px: u32,
        /// Height in pixels.
        height_px: u32,
    },
    /// The drawing library refused.
    #[error("the chart could not be drawn: {0}")]
    Drawing(String),
}

/// A picture that cannot be written as asked.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum RenderError {
    /// The ending says no known format.
    #[error("`{0}` does not end in .svg, .png or .pdf; the ending chooses the format")]
    Format(String),
    /// Not a size.
    #[error(
        "{} `{given}`: {why}; write width x height in pixels, {MIN_WIDTH}x{MIN_HEIGHT} to {MAX_SIDE}x{MAX_SIDE}, such as 1200x800",
        Field::Size
    )]
    Size {
        /// As given.
        given: String,
        /// What is wrong.
        why: &'static str,
    },
    /// Not a paper.
    #[error("{field} `{0}` is not known; use a4, letter or a3", field = Field::Paper)]
    Paper(String),
    /// Not a time.
    #[error(
        "SOURCE_DATE_EPOCH `{0}` is not a time; set whole seconds since 1970, 0 to 253402300799, or unset it"
    )]
    Epoch(String),
    /// The SVG cannot be read.
    #[error("the picture could not be read back: {0}")]
    Svg(String),
    /// The picture cannot be encoded.
    #[error("the picture could not be encoded: {0}")]
    Encode(String),
}

impl RenderError {
    /// Whether somebody asked for what cannot be, rather than that something failed.
    #[must_use]
    pub fn is_bad_input(&self) -> bool {
        !matches!(self, Self::Svg(_) | Self::Encode(_))
    }
}
