//! The aim window: which directions of the cue ball make the shot, and by how much each side may err.
//!
//! Limits: those of [`crate::pocket`] and [`crate::contact`]; the stroke does not change with the
//! error. References: Alciatore, TP 3.4 to 3.8; Jewett, "How Tough is Tough?", Billiards Digest,
//! April 1994.

mod aim;
mod band;
mod beside;
mod lengths;
mod many;
mod shot;
mod solution;
mod solve;
mod strike;
mod struck;
mod why;
mod words;

pub use aim::{AimWindow, Flags, NoWindow, Part, TOO_FAST_M_S, Window};
pub use band::{Band, Range, assumed_gears, band, over_cases};
pub use beside::BesideRail;
pub(crate) use beside::{Placed, near_cushion};
pub use lengths::{
    PaceWord, Run, StrokeError, contact_speed_m_s, lengths_for_speed, pace_for_stroke,
    pace_for_tip_speed, run_of_length, speed_for_lengths, start_speed_m_s, stroke_lengths,
};
pub use shot::{AbstractShot, BedShot, Hit, Shot, ShotError, Stroke, Tip};
pub use solution::{Solution, Solved, solve, solve_accepted, too_steep};
pub(crate) use solution::{beside_cushion, solve_beside};
pub use solve::{Mouth, accept_shot, solve_one_by_one};
pub use strike::{at, stick_of};
pub use struck::{Cued, solve_all, solve_many, solve_with};
pub use why::{Why, why};
pub use words::{
    hit_word, no_window_words, part_words, roll_word, roll_words, stroke_said, stroke_word,
};
