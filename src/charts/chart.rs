//! What a chart is: one drawn from what is asked for, or one drawn from an answer.

use super::fault::ChartError;
use super::request::{Choice, Request, Subject};
use crate::draw::{Picture, Size};

/// A chart of what is asked for: gear, shot, grid.
pub trait Chart: Sync {
    /// As typed.
    fn name(&self) -> &'static str;
    /// The question it answers.
    fn question(&self) -> &'static str;
    /// What it is about.
    fn subject(&self) -> Subject {
        Subject::Shot
    }
    /// The choices it offers.
    fn choices(&self) -> &'static [Choice] {
        &[]
    }
    /// Draws it.
    ///
    /// # Errors
    /// [`ChartError`].
    fn draw(&self, request: &Request) -> Result<Picture, ChartError>;
}

/// A chart of an answer that somebody else has found.
pub trait AnswerChart<Answer>: Sync {
    /// As typed.
    fn name(&self) -> &'static str;
    /// The question it answers.
    fn question(&self) -> &'static str;
    /// Draws it; nothing where the answer tells too little.
    ///
    /// # Errors
    /// [`ChartError`].
    fn draw(&self, answer: &Answer, size: Size) -> Result<Option<Picture>, ChartError>;
}

/// A chart that goes with the answer of one command.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Found {
    /// Also the name of its file.
    pub name: &'static str,
    /// The question it answers.
    pub question: &'static str,
}
