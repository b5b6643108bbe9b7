//! Advice for a table with balls: which ball with which stroke, when to play safe and how, and why not the
//! ball that everybody looks at first.
//!
//! [`crate::layout`] says what a shot is and how often it goes; here strokes are searched, makes and misses
//! followed a ball further, and both players weighed. What is on, what it is worth and what a foul costs
//! comes from a [`Legal`]: the game of the table, or free play ([`legal_on`]).
//!
//! Limits: those of [`crate::layout`]; two balls that move never meet; each is followed with those it
//! sets going. Next shots are direct ones at the usual pace. Safeties are played with the tip in the middle
//! or half a tip beside it, straight at a ball where one can be seen. What is compared is a run of balls or
//! points over three visits ([`mod@go`]), not a chance to win. A free ball after a foul, a miss called, and
//! flukes are left out.

mod advise;
mod ahead;
mod answer;
mod follow;
pub mod go;
mod hits;
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
    AdviceAnswer, AdvisedShot, GoAnswer, InsteadAnswer, MissLeftAnswer, SafetyAnswer, StrokeAnswer,
    WhyNotAnswer,
};
pub use follow::Ways;
pub use go::Compared;
pub use legal::{AfterFoul, FreePlay, Legal, Scores, legal_on};
pub use misses::MissLeft;
pub use request::{AdviceOptions, Ahead, Open};
pub use safety::Safety;
pub use strokes::{Instead, Kind, Weighed};
pub use words::{SpokenAdvice, advice_text};
