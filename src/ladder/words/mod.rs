//! What is said of ladders and marks.

mod harder;
mod ladder;
mod marks;
mod topic;

pub(crate) use harder::raised;
pub use ladder::ladder_text;
pub use marks::marks_text;
pub(crate) use marks::turn_line;
pub use topic::topic_words;
