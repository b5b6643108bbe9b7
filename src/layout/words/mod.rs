//! What is said of a table with balls: the choice of shots, what was asked about one, where balls stop.

mod choice;
mod decision;
mod place;

pub use choice::{SpokenShot, blocked_words, cue_words, refusal_words, shot_title, stance_words};
pub(crate) use choice::{called, ranged, refusal_line, with_article};
pub use decision::{decision_text, leave_words};
pub use place::stop_words;
