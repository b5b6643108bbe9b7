//! Games: what may be hit first, what a make is worth, what comes next, and what is a foul.
//!
//! A layout without a game is free play: any ball into any pocket. With one, a [`Situation`] says of each
//! shot whether it is legal, by whose rules, and what follows. It labels and never hides: a foul is a
//! ruling as any other, with its name and what it costs.
//!
//! Limits: one stroke at a time, one ball made in it; misses ("foul and a miss"), play-again and touching
//! balls are decisions of a referee and left out; racks, breaks and re-racks are not played.
//! Sources: WPA, The Rules of Play; WPBSA, Official Rules of the Games of Snooker and English Billiards;
//! WEPF, World Eightball Pool Rules; International Eightball Pool rules. What is recalled from memory
//! says so where it stands.

mod balls;
mod error;
mod names;
mod request;
mod rulings;
mod situation;
mod spots;
mod words;

pub use balls::{Ball, Colour, numbered};
pub use error::GameError;
pub use names::{Game, Group, InHand, RuleSet};
pub use request::{CueLies, GameRequest};
pub use rulings::{Foul, FoulKind, Ruling, Told};
pub use situation::{On, Situation};
pub use spots::{in_the_d, respotted};
pub use words::{on_words, ruling_words, state_words};
