//! What can be wrong with a wish.

use thiserror::Error;

use crate::field::Field;
use crate::player::{PlayerError, PlayerRequestError};
use crate::request::RequestError;
use crate::stop::Stopped;
use crate::window::ShotError;

/// A ladder, marks sheet or game that cannot be had.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum LadderError {
    /// Asked to stop; there is no answer.
    #[error(transparent)]
    Stopped(#[from] Stopped),
    /// A value that cannot be read.
    #[error(transparent)]
    Request(#[from] RequestError),
    /// A player that cannot be read.
    #[error(transparent)]
    PlayerRequest(#[from] PlayerRequestError),
    /// A player that cannot be.
    #[error(transparent)]
    Player(#[from] PlayerError),
    /// A shot that cannot stand.
    #[error(transparent)]
    Shot(#[from] ShotError),
    /// A word or number that is none of the choices.
    #[error("{option}: `{value}` will not do; it takes {choices}")]
    Word {
        /// The option.
        option: Field,
        /// As given.
        value: String,
        /// What would work.
        choices: &'static str,
    },
    /// The ladder does not get harder.
    #[error(
        "{0} {from} {1} {to}: a ladder gets harder, so {0} must be larger than {1}",
        Field::From,
        Field::To
    )]
    NotDown {
        /// Makes in ten of the first rung.
        from: f64,
        /// Makes in ten of the last rung.
        to: f64,
    },
    /// The pockets asked for cannot serve the topic.
    #[error(
        "{} {topic} cannot be played into {} {pockets}; side-pocket takes side pockets, long-straight and along-the-rail take corners",
        Field::Practise,
        Field::Pockets
    )]
    NoPocketForTopic {
        /// The topic.
        topic: &'static str,
        /// The pockets.
        pockets: String,
    },
    /// Nothing on the table fits the wishes at all.
    #[error(
        "no shot on this table fits: {wishes}; widen {}, {} or {}, or free {}",
        Field::Cuts,
        Field::Pockets,
        Field::Practise,
        Field::Object
    )]
    NoShot {
        /// The wishes in words.
        wishes: String,
    },
    /// Even all makes would not show it.
    #[error(
        "{} {tries}: even {tries} of {tries} would not show it at {confidence_percent} in 100; give at least {need} tries, or a lower {}",
        Field::Tries,
        Field::Confidence
    )]
    TooFewTries {
        /// Tries allowed.
        tries: u32,
        /// Confidence asked for.
        confidence_percent: f64,
        /// Tries needed.
        need: u32,
    },
    /// A shot that is no game.
    #[error(
        "the weaker player makes the shot {makes:.3} in 10; a game takes one made at least once in 100"
    )]
    NoGame {
        /// Makes in ten of the weaker player.
        makes: f64,
    },
    /// A group without students.
    #[error(
        "no students: name some, such as {} K=starting,L=club",
        Field::Students
    )]
    EmptyGroup,
    /// A student named twice.
    #[error("student {label} is named twice")]
    Twice {
        /// The label.
        label: String,
    },
    /// A student nobody knows anything about.
    #[error(
        "student {label}: {problem}; say how good {label} is, such as {label}=club or {label}=0.3deg/2mm"
    )]
    UnknownStudent {
        /// The label.
        label: String,
        /// Why not.
        problem: String,
    },
    /// No line of cue-ball places does for everybody.
    #[error(
        "no line of cue-ball places gives every student {makes:.1} in 10 ({problem}); choose another {}, {} or {}, or fewer students",
        Field::Chance,
        Field::Object,
        Field::Pocket
    )]
    NoLine {
        /// Chance asked for, makes in ten.
        makes: f64,
        /// Who cannot be placed.
        problem: String,
    },
    /// Too little time.
    #[error("{minutes} minutes are too few: {need}")]
    TooShort {
        /// Minutes given.
        minutes: u32,
        /// What is needed.
        need: String,
    },
}
