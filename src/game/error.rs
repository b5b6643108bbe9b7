//! A state of play that cannot be, and what would do.

use thiserror::Error;

use super::names::Game;
use crate::field::Field;

/// What is wrong with a state of play.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum GameError {
    /// No such word.
    #[error("{field}: `{value}` is not one of {choices}")]
    Word {
        /// Which part of the state.
        field: Field,
        /// As given.
        value: String,
        /// What works.
        choices: String,
    },
    /// A state without a game.
    #[error(
        "{field}: this is part of a game, so say which: {} {}",
        Field::Game,
        Game::names()
    )]
    NoGame {
        /// Which part of the state.
        field: Field,
    },
    /// A ball that the game does not have.
    #[error("{} has no ball `{label}`; it has {known}", game.name())]
    NoSuchBall {
        /// The game.
        game: Game,
        /// The ball's name.
        label: String,
        /// Those it has.
        known: &'static str,
    },
    /// More balls of one kind than there are.
    #[error("{} has {most} of the balls called {label}, and here are {count}; take {} out", game.name(), count - most)]
    TooMany {
        /// The game.
        game: Game,
        /// Their name.
        label: String,
        /// How many lie here.
        count: usize,
        /// How many there are.
        most: usize,
    },
    /// A state that this position rules out.
    #[error("{field} {value}: {why}; {remedy}")]
    CannotBe {
        /// Which part of the state.
        field: Field,
        /// As given.
        value: String,
        /// Why not.
        why: String,
        /// What would do.
        remedy: String,
    },
    /// A position in which no ball may be hit first.
    #[error("no ball is on: {why}; {remedy}")]
    NoBallOn {
        /// Why not.
        why: String,
        /// What would do.
        remedy: String,
    },
    /// A header line that is nearly one of a state.
    #[error("`{line}` is no line of a state of play: did you mean `# {meant}: …`?")]
    Header {
        /// The line.
        line: String,
        /// The nearest key.
        meant: &'static str,
    },
    /// English pool without its rule set.
    #[error(
        "English pool is played by three sets of rules that differ after a foul; say which: {} international, world or blackball, or in the layout a line such as # rules: world",
        Field::Rules
    )]
    NoRules,
}
