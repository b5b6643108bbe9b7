//! What stands round a shot: other balls and how the player gets at it. Charts of the shot count
//! them as the answer does; the others say that they do not.

use kurbo::Point;

use super::words::around::left_out;
use crate::layout::{Layout, Reach};

/// The shot's object ball among the balls of [`Around::layout`].
const PLAYED: usize = 0;

/// Other balls, and hand and reach.
#[derive(Debug, Clone, PartialEq)]
pub struct Around {
    /// All balls, the one played first.
    pub layout: Layout,
    /// How far the player gets; a stance does not count where nobody says it.
    pub reach: Option<Reach>,
    /// Whether the player stands awkwardly at this shot.
    pub awkward: bool,
}

impl Around {
    /// Which ball is played.
    pub(super) fn played(&self) -> usize {
        PLAYED
    }

    /// Where the other balls lie.
    pub(super) fn others(&self) -> impl Iterator<Item = Point> {
        self.layout.balls.iter().skip(PLAYED + 1).map(|b| b.at)
    }

    /// What a chart leaves out that cannot count it.
    pub(super) fn left_out(&self) -> Option<&'static str> {
        left_out(self.layout.balls.len() > 1, self.awkward)
    }
}
