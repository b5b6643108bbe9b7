//! The pictures the page can show and hand out: the charts of the library, each with this shot.

use super::ask::Asked;
use super::fault::ApiFault;
use super::headline::blocked_headline;
use crate::answer::{
    BudgetAnswer, CompareAnswer, ComparedRow, SkillAnswer, Trials, compare_gears, held_words,
    or_club,
};
use crate::charts::budget::Budgeted;
use crate::charts::in_words_of;
use crate::charts::{self, AnswerChart, Around, ChartError, Choice, Entry, Request};
use crate::draw::{Picture, Size};
use crate::gear::{Gear, Marks};
use crate::layout::{Layout, PastOthers, StanceAnswer, stance_words};
use crate::player::Player;
use crate::player::spreads::SpreadsRequest;
use crate::request::{PlacesRequest, ShotRequest};
use crate::speech::Speech;
use crate::survey::Grid;
use crate::window::{Solved, no_window_words};

/// Simulated shots of a budget while somebody waits (assumption: told apart to a hundredth).
pub(super) const TRIALS: Trials = Trials {
    count: 20_000,
    seed: 1,
};

/// Balls of one game differ by less, m (assumption: half a millimetre of wear).
const SAME_BALL_M: f64 = 5e-4;

/// What a picture may be of: a shot past the other balls, and who plays it.
pub(super) struct Subject<'a> {
    asked: &'a Asked,
    /// The shot as asked for, to be asked of other equipment.
    request: &'a ShotRequest,
    past: &'a PastOthers,
    stance: Option<StanceAnswer>,
    speech: Speech,
}

/// A picture, or why there is nothing to draw.
pub(super) enum Drawn {
    /// A picture.
    Picture(Picture),
    /// One sentence without its full stop.
    Nothing(String),
}

impl Drawn {
    /// The picture, or a refusal.
    pub(super) fn picture(self) -> Result<Picture, ApiFault> {
        match self {
            Self::Picture(picture) => Ok(picture),
            Self::Nothing(why) => Err(ApiFault::value(format!("there is nothing to draw: {why}"))),
        }
    }
}

impl<'a> Subject<'a> {
    pub(super) fn new(
        asked: &'a Asked,
        past: &'a PastOthers,
        request: &'a ShotRequest,
        speech: Speech,
    ) -> Self {
        Self {
            asked,
            request,
            past,
            stance: asked.stance(past),
            speech,
        }
    }

    fn gear(&self) -> &Gear {
        &self.asked.gear.gear
    }

    fn arm_factor(&self) -> f64 {
        self.stance.as_ref().map_or(1.0, |s| s.arm_factor)
    }

    /// What is awkward about the stance, if anything.
    pub(super) fn stance_words(&self) -> Option<String> {
        self.stance
            .as_ref()
            .and_then(|s| stance_words(s, self.speech))
    }

    /// The budget of this shot, as the player has to stand.
    pub(super) fn budget(
        &self,
        spreads: &SpreadsRequest,
    ) -> Result<(BudgetAnswer, String), ApiFault> {
        let solved = open_shot(self.past, &self.asked.layout)?;
        let player = or_club(self.asked.player.clone());
        let player = Player {
            error: player.error.with_arm_times(self.arm_factor()),
            ..player
        };
        let answer = BudgetAnswer::new(self.gear(), solved, &player, spreads, TRIALS)?;
        Ok((answer, held_words(self.gear(), solved, self.speech)))
    }

    /// Draws a picture of the shot.
    pub(super) fn draw(&self, name: &str, size: Size) -> Result<Drawn, ApiFault> {
        let listed = charts::ALL.iter().find(|c| c.name() == name);
        if let Some(Entry::Budget(chart)) = listed {
            let (answer, held) = self.budget(&SpreadsRequest::default())?;
            let of = Budgeted {
                answer: &answer,
                held: &held,
            };
            let picture = self
                .in_words(|| chart.draw(&of, size))?
                .ok_or_else(untold)?;
            return Ok(Drawn::Picture(picture));
        }
        let chart = charts::find(name)?;
        let mut request = Request::new(self.gear().clone(), size);
        request.options.mark_shot = true;
        request.around = self.around();
        request.units = self.speech.units;
        if chart.choices().contains(&Choice::Player) {
            request.player = self.asked.player.clone();
        }
        let shot = self.asked.shot;
        match chart.subject() {
            charts::Subject::Gear => {}
            charts::Subject::Gears => request.compared = Some(self.compared()?),
            charts::Subject::Shot | charts::Subject::Pocket => {
                request.shot = Some(shot);
            }
            charts::Subject::Hits => request.grid = self.around_grid(),
            charts::Subject::Grid => {
                request.grid = self.around_grid();
                request.shot = Some(shot);
            }
        }
        match self.in_words(|| chart.draw(&request)) {
            Ok(picture) => Ok(Drawn::Picture(picture)),
            Err(ChartError::NoRoom(why)) => Ok(Drawn::Nothing(self.closed_words().unwrap_or(why))),
            Err(fault) => Err(fault.into()),
        }
    }

    /// Draws in the words asked for.
    fn in_words<T>(&self, draw: impl FnOnce() -> T) -> T {
        in_words_of(self.speech.words, draw)
    }

    /// The other balls and the reach, for a shot on the table.
    fn around(&self) -> Option<Around> {
        let asked = self.asked;
        asked.shot.frame.name.map(|_| Around {
            layout: asked.layout.clone(),
            reach: asked.reach,
            awkward: self.stance_words().is_some(),
        })
    }

    /// Which balls close the way, where some do.
    fn closed_words(&self) -> Option<String> {
        closed_words(self.past, &self.asked.layout)
    }

    /// Cuts and distances around this shot: its pocket, stroke and way to the pocket held.
    fn around_grid(&self) -> Grid {
        let shot = &self.asked.shot;
        let way = -shot.object.to_vec2();
        Grid {
            kind: shot.frame.kind,
            approach_rad: way.atan2(),
            to_pockets_m: vec![way.hypot()],
            stroke: shot.stroke,
            ..Grid::default()
        }
    }

    /// This shot and some that everybody knows, on the present table and on those of the same game,
    /// the balls at the same diamonds.
    fn compared(&self) -> Result<CompareAnswer, ApiFault> {
        let own = self.gear();
        let mut names = vec![own.name.as_str()];
        let mut gears = vec![(own.spoken(), own.clone())];
        for name in Gear::preset_names() {
            let other = Gear::preset(name)?;
            let same_balls =
                (other.balls.object_diameter_m - own.balls.object_diameter_m).abs() < SAME_BALL_M;
            if same_balls && !names.contains(name) {
                names.push(name);
                gears.push((other.spoken(), other));
            }
        }
        let who = self.asked.player.as_ref();
        let one = |request: &ShotRequest, words: &str| -> Result<CompareAnswer, ApiFault> {
            let mut answer = compare_gears(&gears, std::slice::from_ref(request), who)?;
            for row in &mut answer.rows {
                words.clone_into(&mut row.shot);
            }
            Ok(answer)
        };
        let mut all = one(self.request, "this shot")?;
        let known_shots = match own.bed.marks {
            Marks::Diamonds | Marks::English => KNOWN_SHOTS,
            Marks::Snooker => KNOWN_SNOOKER_SHOTS,
        };
        for (words, [cue, object, pocket]) in known_shots {
            let known = ShotRequest {
                places: PlacesRequest {
                    cue: Some(cue.to_owned()),
                    object: Some(object.to_owned()),
                    pocket: Some(pocket.to_owned()),
                    ..PlacesRequest::default()
                },
                stroke: self.request.stroke.clone(),
            };
            all.rows.extend(one(&known, words)?.rows);
        }
        let least = |row: &ComparedRow| row.least_share();
        all.rows.sort_by(|a, b| least(a).total_cmp(&least(b)));
        Ok(all)
    }
}

/// Shots set beside this one on other tables: how they are said; cue ball, object ball, pocket.
const KNOWN_SHOTS: [(&str, [&str; 3]); 5] = [
    (
        "off the foot spot, straight",
        ["4.5,0.5", "foot-spot", "foot-left"],
    ),
    (
        "off the foot spot, half ball",
        ["3.1,1.2", "foot-spot", "foot-left"],
    ),
    (
        "off the foot spot, thin",
        ["3.1,2.8", "foot-spot", "foot-left"],
    ),
    (
        "the long diagonal, straight",
        ["1.5,0.75", "centre-spot", "foot-left"],
    ),
    ("side pocket, straight", ["6,1", "5,2.5", "side-left"]),
];

/// The same on a snooker table.
const KNOWN_SNOOKER_SHOTS: [(&str, [&str; 3]); 5] = [
    (
        "the black off its spot, half ball",
        ["2.69m,39cm", "black-spot", "foot-left"],
    ),
    (
        "the pink off its spot, straight",
        ["2.2m,41cm", "pink-spot", "foot-left"],
    ),
    (
        "the blue off its spot into a middle",
        ["1.5m,40cm", "blue-spot", "side-left"],
    ),
    (
        "the blue off its spot from baulk, straight",
        ["737mm,365mm", "blue-spot", "foot-left"],
    ),
    (
        "the yellow off its spot into a baulk corner",
        ["1.2m,85cm", "yellow-spot", "head-right"],
    ),
];

/// Draws a picture of a student.
pub(super) fn draw_skill(
    chart: &dyn AnswerChart<SkillAnswer>,
    answer: &SkillAnswer,
    size: Size,
) -> Result<Picture, ApiFault> {
    chart.draw(answer, size)?.ok_or_else(untold)
}

fn untold() -> ApiFault {
    ApiFault::value("the tries in the log do not tell enough to draw this")
}

/// Which balls close which way, where every direction is taken.
fn closed_words(past: &PastOthers, layout: &Layout) -> Option<String> {
    let label = |i: &usize| layout.balls[*i].label.clone();
    let blockers: Vec<String> = past.blockers.iter().map(label).collect();
    past.closed
        .map(|closed| blocked_headline(closed, &blockers).words)
}

/// What the pocket takes and the window, or why there is no shot.
pub(super) fn open_shot<'a>(past: &'a PastOthers, layout: &Layout) -> Result<Solved<'a>, ApiFault> {
    past.solution.solved().map_err(|no| {
        let why = closed_words(past, layout).unwrap_or_else(|| no_window_words(no).to_owned());
        ApiFault::value(format!("there is no shot here: {why}; move a ball"))
    })
}
