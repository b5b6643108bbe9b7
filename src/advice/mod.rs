//! Advice for a table with balls: which ball with which stroke, when to play safe and how, and why not the
//! ball that everybody looks at first.
//!
//! [`crate::layout`] says what a shot is and how often it goes; here strokes are searched, makes and misses
//! followed a ball further, and both players weighed. What is on and what it is worth comes from a
//! [`Legal`], of which there is one: free play. The state of a game that a table may have
//! ([`crate::game::Situation`]) is not looked at: hand in a table without one. No command asks for advice
//! yet: `choose` ranks shots by [`crate::layout::choose`], which knows games.
//!
//! Limits: those of [`crate::layout`]; two balls that move never meet, and each is followed through one
//! more ball. Next shots are direct ones at the usual pace. Safeties are centre-ball strokes straight at a
//! ball. What is compared is a run of balls or points over three visits ([`mod@go`]), not a chance to win.

mod advise;
mod ahead;
mod answer;
mod follow;
pub mod go;
mod legal;
mod misses;
mod next;
mod request;
mod safety;
mod strokes;
mod tries;
mod words;

pub use advise::{Advice, Because, WhyNot, advise};
pub use answer::{
    AdviceAnswer, AdvisedShot, GoAnswer, MissLeftAnswer, SafetyAnswer, StrokeAnswer, WhyNotAnswer,
};
pub use go::Compared;
pub use legal::{FreePlay, Legal, Scores};
pub use misses::MissLeft;
pub use request::{AdviceOptions, Ahead, Open};
pub use safety::Safety;
pub use strokes::Weighed;
pub use words::advice_text;
