//! Grids of shots: cut × distance between the balls × distance to the pocket.
//!
//! The acceptance is solved once per distance to the pocket, never once per cue-ball place; rows
//! stream out in order, so memory does not grow with the grid.

mod csv;
mod grid;
mod words;

pub use self::csv::{PlayedAnswer, RowAnswer, SurveyCsv};
pub use grid::{Grid, Row, check, survey};
pub use words::story;
