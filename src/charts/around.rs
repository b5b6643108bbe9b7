//! What stands round a shot: other balls and how the player gets at it. Charts of the shot count
//! them as the answer does; the others say that they do not.

use kurbo::Point;

use super::{ChartError, Request};
use crate::layout::{Layout, Reach, Table, solve_past};
use crate::window::{Shot, Solution, solve};

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

    /// What a chart leaves out that cannot count it.
    fn left_out(&self) -> Option<&'static str> {
        let others = self.layout.balls.len() > 1;
        match (others, self.awkward) {
            (true, true) => {
                Some("Not counted here: the other balls on the table, and the awkward stance.")
            }
            (true, false) => Some("Not counted here: the other balls on the table."),
            (false, true) => Some("Not counted here: the awkward stance."),
            (false, false) => None,
        }
    }
}

impl Request {
    /// The shot past whatever stands round it.
    ///
    /// # Errors
    /// [`ChartError::NoRoom`] for a shot that cannot be solved.
    pub(super) fn solved(&self, shot: &Shot) -> Result<Solution, ChartError> {
        let solved = match &self.around {
            None => solve(&self.gear, shot),
            Some(around) => {
                let table = Table::new(&self.gear, &around.layout);
                solve_past(&table, shot, around.played()).map(|past| past.solution)
            }
        };
        solved.map_err(|e| ChartError::NoRoom(e.to_string()))
    }

    /// Where the balls lie that stand round it.
    pub(super) fn others(&self) -> Vec<Point> {
        let around = self.around.iter();
        around
            .flat_map(|a| a.layout.balls.iter().skip(PLAYED + 1))
            .map(|b| b.at)
            .collect()
    }

    /// What makes strips of a map dark, where a stance counts.
    pub(super) fn dark_words(&self) -> &'static str {
        let counted =
            self.player.is_some() && self.around.as_ref().is_some_and(|a| a.reach.is_some());
        if counted {
            " Darker strips: the cue is raised over a rail, or it takes the rest."
        } else {
            ""
        }
    }

    /// The line below a chart that counts neither other balls nor a stance.
    pub(super) fn footer_without(&self, footer: String) -> String {
        match self.around.as_ref().and_then(Around::left_out) {
            Some(left_out) => format!("{left_out} {footer}"),
            None => footer,
        }
    }
}
