//! The pictures the page can show and hand out: the charts of the library, each with this shot.

use super::fault::ApiFault;
use crate::answer::{
    BudgetAnswer, CompareAnswer, SkillAnswer, Trials, compare_gears, held_words, or_club,
};
use crate::charts::budget::budget_chart;
use crate::charts::render::Size;
use crate::charts::skill::{calibration_chart, trend_chart};
use crate::charts::{self, Choice, Picture, Request};
use crate::gear::Gear;
use crate::player::Player;
use crate::player::spreads::SpreadsRequest;
use crate::request::ShotRequest;
use crate::survey::Grid;
use crate::units::UnitSystem;
use crate::window::{NoWindow, Shot, Solution};

/// Simulated shots of a budget while somebody waits (assumption: told apart to a hundredth).
pub(super) const TRIALS: Trials = Trials {
    count: 20_000,
    seed: 1,
};

/// Balls of one game differ by less, m (assumption: half a millimetre of wear).
const SAME_BALL_M: f64 = 5e-4;

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

/// What a picture may be of: a shot past the other balls, and who plays it.
pub(super) struct Subject<'a> {
    pub(super) gear: &'a Gear,
    pub(super) shot: &'a Shot,
    /// The same as asked for, to be asked of other equipment.
    pub(super) request: &'a ShotRequest,
    pub(super) solution: &'a Solution,
    pub(super) player: Option<&'a Player>,
    pub(super) units: UnitSystem,
}

impl Subject<'_> {
    /// The budget of this shot.
    pub(super) fn budget(
        &self,
        spreads: &SpreadsRequest,
    ) -> Result<(BudgetAnswer, String), ApiFault> {
        let solved = open_shot(self.solution)?;
        let player = or_club(self.player.cloned());
        let answer = BudgetAnswer::new(self.gear, solved, &player, spreads, TRIALS)?;
        Ok((answer, held_words(self.gear, solved, self.units)))
    }

    /// Draws a picture of the shot.
    pub(super) fn draw(&self, name: &str, size: Size) -> Result<Picture, ApiFault> {
        if name == "budget" {
            let (answer, held) = self.budget(&SpreadsRequest::default())?;
            let assumed = answer.assumed_words();
            let words = (answer.player.as_str(), held.as_str(), assumed.as_str());
            return Ok(budget_chart(&answer.budget, words, size)?);
        }
        let chart = charts::find(name)?;
        let mut request = Request::new(self.gear.clone(), size);
        request.options.mark_shot = true;
        if chart.choices().contains(&Choice::Player) {
            request.player = self.player.cloned();
        }
        match chart.subject() {
            charts::Subject::Gear => {}
            charts::Subject::Gears => request.compared = Some(self.compared()?),
            charts::Subject::Shot | charts::Subject::Pocket => {
                request.shot = Some(*self.shot);
            }
            charts::Subject::Grid => {
                request.grid = self.around();
                request.shot = Some(*self.shot);
            }
        }
        Ok(chart.draw(&request)?)
    }

    /// Cuts and distances around this shot: its pocket, stroke and way to the pocket held.
    fn around(&self) -> Grid {
        let way = -self.shot.object.to_vec2();
        Grid {
            kind: self.shot.frame.kind,
            approach_rad: way.atan2(),
            to_pockets_m: vec![way.hypot()],
            stroke: self.shot.stroke,
            ..Grid::default()
        }
    }

    /// This shot on the present equipment and on the tables of the same game.
    fn compared(&self) -> Result<CompareAnswer, ApiFault> {
        let mut gears = vec![(self.gear.name.clone(), self.gear.clone())];
        for name in Gear::preset_names() {
            let other = Gear::preset(name)?;
            let same_balls = (other.balls.object_diameter_m - self.gear.balls.object_diameter_m)
                .abs()
                < SAME_BALL_M;
            if same_balls && gears.iter().all(|(n, _)| n != name) {
                gears.push(((*name).to_owned(), other));
            }
        }
        let who = self.player.map(|p| (p.who.as_str(), &p.error));
        Ok(compare_gears(
            &gears,
            std::slice::from_ref(self.request),
            who,
        )?)
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
