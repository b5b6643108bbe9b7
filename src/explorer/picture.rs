//! The pictures the page can show and hand out: the charts of the library, each with this shot.

use super::fault::ApiFault;
use crate::answer::{BudgetAnswer, SkillAnswer, Trials, held_words, or_club};
use crate::charts::budget::budget_chart;
use crate::charts::render::Size;
use crate::charts::skill::{calibration_chart, trend_chart};
use crate::charts::{self, Picture, Request};
use crate::gear::Gear;
use crate::player::Player;
use crate::player::spreads::SpreadsRequest;
use crate::units::UnitSystem;
use crate::window::{NoWindow, Shot, Solution, solve};

/// Simulated shots of a budget while somebody waits (assumption: told apart to a hundredth).
pub(super) const TRIALS: Trials = Trials {
    count: 20_000,
    seed: 1,
};

/// Pictures besides those of [`charts::ALL`]: name, question, whether they are of a student.
pub(super) const MORE: [(&str, &str, bool); 3] = [
    ("budget", "Which error costs most on this shot?", false),
    ("skill-evenings", "Is this student getting better?", true),
    (
        "skill-predictions",
        "Do the predictions for this student hold?",
        true,
    ),
];

/// What a picture may be of.
pub(super) struct Subject<'a> {
    pub(super) gear: &'a Gear,
    pub(super) shot: &'a Shot,
    pub(super) player: Option<Player>,
    pub(super) units: UnitSystem,
}

impl Subject<'_> {
    /// The budget of this shot.
    pub(super) fn budget(
        &self,
        spreads: &SpreadsRequest,
    ) -> Result<(BudgetAnswer, String), ApiFault> {
        let solution = solve(self.gear, self.shot)?;
        let solved = open_shot(&solution)?;
        let player = or_club(self.player.clone());
        let answer = BudgetAnswer::new(self.gear, solved, &player, spreads, TRIALS)?;
        Ok((answer, held_words(self.gear, solved, self.units)))
    }

    /// Draws a picture of the shot; `Ok(None)` when it is none of them.
    pub(super) fn draw(&self, name: &str, size: Size) -> Result<Picture, ApiFault> {
        if name == "budget" {
            let (answer, held) = self.budget(&SpreadsRequest::default())?;
            let assumed = answer.assumed_words();
            let words = (answer.player.as_str(), held.as_str(), assumed.as_str());
            return Ok(budget_chart(&answer.budget, words, size)?);
        }
        let chart = charts::find(name)?;
        Ok(chart.draw(&Request {
            gear: self.gear.clone(),
            size,
            shot: Some(self.shot.clone()),
            player: self.player.clone().filter(|_| chart.takes_player()),
        })?)
    }
}

/// Draws a picture of a student; `None` when the name is none of them.
pub(super) fn draw_skill(
    name: &str,
    answer: &SkillAnswer,
    size: Size,
) -> Option<Result<Picture, ApiFault>> {
    let drawn = match name {
        "skill-evenings" => trend_chart(answer, size),
        "skill-predictions" => calibration_chart(answer, size),
        _ => return None,
    };
    let untold = || ApiFault::value("the tries in the log do not tell enough to draw this");
    Some(
        drawn
            .map_err(ApiFault::from)
            .and_then(|p| p.ok_or_else(untold)),
    )
}

/// What the pocket takes and the window, or why there is no shot.
pub(super) fn open_shot(
    solution: &Solution,
) -> Result<(&crate::pocket::Acceptance, &crate::window::AimWindow), ApiFault> {
    match (&solution.acceptance, &solution.window) {
        (Some(acceptance), Ok(window)) => Ok((acceptance, window)),
        (_, window) => {
            let why = window
                .as_ref()
                .err()
                .copied()
                .map_or("no-drop", NoWindow::name);
            Err(ApiFault::value(format!(
                "this shot has no window ({}); move a ball",
                why.replace('-', " ")
            )))
        }
    }
}
