//! What is said of ladders and marks.

mod harder;
mod ladder;
mod marks;

pub(super) use harder::raised;
pub use ladder::ladder_text;
pub use marks::marks_text;
pub(super) use marks::turn_line;
