//! What a lesson says, to the coach and to those who learn.

mod plan;
#[cfg(feature = "paper")]
mod topics;

pub use plan::CAUTION;
pub(super) use plan::{
    game_words, how_to_edit, left_out_words, part_words, title, tries_each, turn_words,
};
#[cfg(feature = "paper")]
pub(crate) use topics::{CAUTION_PLAIN, TopicWords, part_name, part_plain, topic_words};
