//! Graded drills: ladders that step up evenly in chance, marks that make one shot fair for a group,
//! and when a rung counts as climbed.
//!
//! | question | module |
//! |---|---|
//! | which ten shots lead from 9 to 3 in ten? | [`ladder()`], wanted as [`Wishes`] |
//! | from where is one shot equally hard for a whole group? | [`marks()`], [`rotation()`] |
//! | which start makes a race fair? | [`spot()`] |
//! | how many makes show that a student has it, and what next? | [`PassRule`] |
//!
//! Limits: those of [`crate::player`]; the cue ball's way after contact is not looked at. Balls
//! stand on quarter-diamond places, which a person sets by eye to about a quarter of an inch.

mod answer;
mod error;
mod find;
mod lie;
mod marks;
mod marks_answer;
mod paces;
mod pass;
mod pick;
mod place;
mod request;
mod rotation;
mod spot;
mod students;
mod why;
mod wishes;
mod words;

pub use answer::{LadderAnswer, PassAnswer, RungAnswer, ScoreSheet, write_csv};
pub use error::LadderError;
pub use lie::Scored;
pub use marks::{Mark, Marks, MarksWishes, TAPE_M, marks, marks_until};
pub use marks_answer::{MarkAnswer, MarksAnswer};
pub use pass::{
    Next, Pass, PassRule, QUESTIONED_TRIES, RungResult, Standing, at_least, makes_in_ten,
};
pub use pick::{Ladder, Rung, SET_OFF_M, ladder, ladder_until, left_open};
pub use place::{grid, in_diamonds, mirrored, quarter, string_end};
pub use request::{LadderRequest, MOST_RUNGS, chance_of_makes};
pub use rotation::{Turn, rotation};
pub use spot::{Racer, Spot, spot, wins};
pub use students::{Student, students};
pub use why::{Harder, harder};
pub use wishes::{Balance, Topic, Wishes};
pub(crate) use words::turn_line;
pub use words::{ladder_text, marks_text, topic_words};
