//! Lessons built from ladders and marks: how the minutes are shared out, and the file a coach edits.
//!
//! | question | file |
//! |---|---|
//! | which parts, with which shots? | [`lesson()`], wanted as [`LessonWishes`] |
//! | what is in the file, and does it still add up? | [`Lesson`] |
//!
//! Limits: those of [`crate::ladder`].

mod file;
mod part;
mod plan;
mod words;

pub use file::{LESSON_FORMAT, Lesson, LessonError, LessonShot, MINUTES_A_TRY, Part, Skill};
pub use part::{PartKind, topic_of};
pub use plan::{LessonWishes, lesson};
pub use words::CAUTION;
#[cfg(feature = "paper")]
pub(crate) use words::{CAUTION_PLAIN, TopicWords, part_name, part_plain, topic_words};
