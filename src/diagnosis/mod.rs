//! What costs a student most? One verdict from the attempts, for whoever asks.
//!
//! | question | file |
//! |---|---|
//! | what kind of shot was it? | [`kind`] |
//! | since when is the student better or worse? | [`mod@period`] |
//! | what costs most, and would more attempts tell? | [`verdict`] |
//! | what do several students have in common? | [`mod@shared`] |
//! | how is it said? | [`words`] |
//!
//! The order is a coach's: too full or too thin first, whichever way a shot cuts; left or right only where
//! sides were noted on left and on right cuts; then the kind of shot (cut, distance, pocket, along the
//! rail); then the day. Each of these is one question of the same log, asked by a likelihood-ratio test on
//! the player's own ratio of stroke to sighting; as several are asked at once, each has to be the clearer
//! for it (Bonferroni: C. E. Bonferroni, 1936; from memory). The clearest is the main thing, and it has one drill.
//!
//! Limits: those of [`crate::player`]. One change of the spread is looked for, at the start of a day. Two
//! kinds that were always played together cannot be told apart; the first in [`Kind::ALL`] is named.

pub mod kind;
pub mod period;
pub mod shared;
pub mod verdict;
pub mod words;

pub use kind::{Kind, ShotFacts, Try};
pub use period::{Chosen, Period, period};
pub use shared::{Shared, shared};
pub use verdict::{Cause, Course, Diagnosis, Drill, Finding, Main, diagnose};
pub use words::{diagnosis_lines, kind_words, main_line, shared_line, since_words};
