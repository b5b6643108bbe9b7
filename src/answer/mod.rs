//! What the program says of a shot: as data (JSON, CSV) and in words.

mod shot;
mod words;

pub use shot::{BandAnswer, PieceAnswer, RangeAnswer, ShotAnswer, WhyAnswer, WindowAnswer};
pub use words::{Easier, easier, shot_text, why_text, band_text};
