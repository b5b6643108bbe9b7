//! Advice as data.

use serde::Serialize;

use super::advise::{Advice, Because};
use super::legal::{AfterFoul, Scores};
use super::misses::MissLeft;
use super::request::AdviceOptions;
use super::safety::Safety;
use super::strokes::{Instead, Kind, Weighed};
use crate::answer::PocketDifference;
use crate::forwards::Miss;
use crate::layout::{
    Candidate, ChoiceAnswer, Family, GameAnswer, LeastBadAnswer, Place, RefusedAnswer, ShotChoice,
    Table,
};
use crate::pocket::PocketName;
use crate::units::Side;
use crate::window::{Hit, Tip, stick_of};

/// The stroke of one shot, and what it is worth.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct StrokeAnswer {
    /// What arrives: 1 rolling, 0 stun, negative draw; null for banks and kicks.
    pub roll: Option<f64>,
    /// Side that arrives, outside positive.
    pub side: Option<f64>,
    /// Its name, where it has one: stun, draw, follow; null for a centre-ball stroke.
    pub arrives: Option<Hit>,
    /// The tip strikes the middle of the ball.
    pub centre_ball: bool,
    /// What the stroke comes down to; null for banks and kicks.
    pub kind: Option<Kind>,
    /// What other strokes of the same ball into the same pocket would bring.
    pub instead: Vec<InsteadAnswer>,
    /// Where the tip strikes, right positive, mm.
    pub tip_across_mm: Option<f64>,
    /// Above the middle, mm.
    pub tip_height_mm: Option<f64>,
    /// What this shot and those looked at after it score, on average.
    pub value: f64,
    /// What the next shot scores, on average over the makes; those of both next shots where two balls ahead
    /// were looked at.
    pub follows: f64,
    /// Nothing is left to play after it.
    pub last: bool,
    /// Of the makes that keep the cue ball, the share after which it touches another ball.
    pub touched: f64,
    /// A ball that the cue ball moves after the intended make.
    pub moves: Option<String>,
    /// Of a combination: room between the two balls, mm.
    pub between_mm: Option<f64>,
    /// What misses leave the opponent, for the best shots.
    pub misses_leave: Vec<MissLeftAnswer>,
}

/// Another stroke for the same ball and pocket.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct InsteadAnswer {
    /// Which.
    pub kind: Kind,
    /// Chance to make it.
    pub chance: f64,
    /// Chance to scratch.
    pub scratch: f64,
    /// Mean chance of the next shot.
    pub next: f64,
    /// What it is worth.
    pub value: f64,
}

impl From<&Instead> for InsteadAnswer {
    fn from(other: &Instead) -> Self {
        Self {
            kind: other.kind,
            chance: other.chance,
            scratch: other.scratch,
            next: other.next,
            value: other.value,
        }
    }
}

/// What a miss leaves the opponent.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct MissLeftAnswer {
    /// Which side.
    pub side: Miss,
    /// How often.
    pub chance: f64,
    /// It is a foul.
    pub foul: bool,
    /// The cue ball is in hand then, which counts as 9 in 10; from the D as 5 in 10.
    pub in_hand: bool,
    /// How the opponent comes to the table after the foul, by the rules of the game; null where it is none.
    pub gives: Option<AfterFoul>,
    /// Points it gives away.
    pub penalty: u8,
    /// Chance of the opponent's best shot.
    pub opponent: f64,
}

/// A safety.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct SafetyAnswer {
    /// The ball that is hit.
    pub ball: String,
    /// How full, 1 for full in the face.
    pub fullness: f64,
    /// The side of the ball that is hit, as the cue ball comes.
    pub side: Side,
    /// The side of the cue ball that the tip strikes, half a tip off the middle; null for the middle.
    pub english: Option<Side>,
    /// Where the cue ball comes off a cushion first; null where it goes straight at the ball.
    pub off_cushion: Option<Place>,
    /// Direction of the stick, 0 to 360: that of the cue ball but for what side does.
    pub aim_deg: f64,
    /// The stroke in table lengths.
    pub stroke_lengths: f64,
    /// Where the cue ball stops.
    pub cue: Place,
    /// Where the ball that is hit stops.
    pub object: Place,
    /// How far from where it lay, mm.
    pub object_moved_mm: f64,
    /// Cushions that the cue ball comes off after the hit.
    pub cue_cushions: u32,
    /// Cushions that the ball that is hit comes off.
    pub object_cushions: u32,
    /// The ball it runs into.
    pub object_meets: Option<String>,
    /// The pocket it is left over.
    pub object_over: Option<PocketName>,
    /// How little is known of the cue ball's way, from 0 to 1: the ball that is hit has others behind it,
    /// which all push back at once.
    pub pushed_back: f64,
    /// No ball that is on for the opponent can be hit straight.
    pub hidden: bool,
    /// The ball the cue ball stops behind.
    pub behind: Option<String>,
    /// The opponent's best shot as intended: ball.
    pub best_ball: Option<String>,
    /// Its pocket.
    pub best_pocket: Option<PocketName>,
    /// Its chance.
    pub best_chance: f64,
    /// The opponent's chance on average over the player's aim and speed, a foul as a ball in hand.
    pub opponent_chance: f64,
    /// The same as intended but a tenth hard; null where that is a foul.
    pub if_hard: Option<f64>,
    /// And a tenth soft.
    pub if_soft: Option<f64>,
    /// How often it is a foul.
    pub foul: f64,
    /// What it is worth.
    pub value: f64,
}

/// Going for it or playing safe, in balls or points made less given away over three visits.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct GoAnswer {
    /// Go for the first shot.
    pub go: bool,
    /// In what it is counted.
    pub scores: Scores,
    /// What going is worth.
    pub go_value: f64,
    /// What the best safety is worth; null where none was looked for, since none could be worth more.
    pub safe_value: Option<f64>,
    /// Chance to make it and keep the cue ball from which going is worth as much.
    pub from_chance: Option<f64>,
}

/// The easiest ball, where it is not the first choice.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct WhyNotAnswer {
    /// Its place among the shots, from 0.
    pub index: usize,
    /// Ball.
    pub ball: String,
    /// Pocket.
    pub pocket: PocketName,
    /// `scratch`, `waits`, `leaves-less` or `scores-less`.
    pub because: Because,
    /// Chance to make it.
    pub chance: f64,
    /// Chance to scratch.
    pub scratch: f64,
    /// Mean chance of the next shot.
    pub next: f64,
    /// That of the first choice.
    pub next_of_first: f64,
}

/// A shot of the ranking with its stroke.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct AdvisedShot {
    /// The shot.
    #[serde(flatten)]
    pub shot: ShotChoice,
    /// The stroke; null for what would be a foul.
    #[serde(flatten)]
    pub stroke: Option<StrokeAnswer>,
}

/// The whole answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct AdviceAnswer {
    /// Equipment.
    pub gear: String,
    /// Who aims.
    pub player: String,
    /// Speed at the pocket, where it was asked for; else each shot has its own.
    pub pace_m_s: Option<f64>,
    /// The stroke of all shots in table lengths, where it was asked for.
    pub stroke_lengths: Option<f64>,
    /// The game, where one is played.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub game: Option<GameAnswer>,
    /// Best first; in a game what is a foul comes last.
    pub shots: Vec<AdvisedShot>,
    /// Direct shots that are not on.
    pub refused: Vec<RefusedAnswer>,
    /// Nothing is worth trying.
    pub no_shot: bool,
    /// The easiest legal hit then.
    pub least_bad: Option<LeastBadAnswer>,
    /// The easiest ball, where it is not the first choice.
    pub why_not: Option<WhyNotAnswer>,
    /// Who plays next; null for one as good as the player.
    pub opponent: Option<String>,
    /// Safeties, best first.
    pub safeties: Vec<SafetyAnswer>,
    /// Going for it or not; null where there is nothing to go for.
    pub go: Option<GoAnswer>,
    /// It was stopped before all was looked at.
    pub stopped: bool,
    /// Pockets that take less or more than their kind.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub pockets: Vec<PocketDifference>,
}

impl AdviceAnswer {
    /// Advice as data, with the players' names; without one the opponent is as good as the player.
    #[must_use]
    pub fn new(
        table: &Table<'_>,
        advice: &Advice,
        options: &AdviceOptions,
        player: &str,
        opponent: Option<&str>,
    ) -> Self {
        let label = |i: usize| table.layout.balls[i].label.clone();
        let left = |k: usize| advice.misses.get(k).map_or(&[][..], Vec::as_slice);
        let choose = &options.choose;
        let choice = ChoiceAnswer::new(table, &advice.choice(), player, choose);
        let legal = advice.shots.iter().map(Some);
        let weighed = legal.chain(advice.fouls.iter().map(|_| None));
        let shots = choice.shots.into_iter().zip(weighed).enumerate();
        Self {
            gear: choice.gear,
            player: choice.player,
            pace_m_s: choice.pace_m_s.filter(|_| !options.open.pace),
            stroke_lengths: choice.stroke_lengths,
            game: choice.game,
            shots: shots
                .map(|(k, (shot, w))| AdvisedShot {
                    shot,
                    stroke: w.map(|w| stroke(table, w, left(k))),
                })
                .collect(),
            refused: choice.refused,
            no_shot: choice.no_shot,
            least_bad: choice.least_bad,
            why_not: advice.why_not.and_then(|why| {
                let (it, first) = (advice.shots.get(why.index)?, advice.shots.first()?);
                Some(WhyNotAnswer {
                    index: why.index,
                    ball: label(it.ranked.shot.ball),
                    pocket: it.ranked.shot.pocket,
                    because: why.because,
                    chance: it.ranked.chance,
                    scratch: it.ranked.scratch,
                    next: it.next_chance(),
                    next_of_first: first.next_chance(),
                })
            }),
            opponent: opponent.map(str::to_owned),
            safeties: advice.safeties.iter().map(|s| safety(table, s)).collect(),
            go: advice.compared.map(|c| GoAnswer {
                go: c.goes(),
                scores: options.legal.scores(),
                go_value: c.go,
                safe_value: c.safe,
                from_chance: c.from_chance,
            }),
            stopped: advice.stopped,
            pockets: choice.pockets,
        }
    }
}

fn stroke(table: &Table<'_>, weighed: &Weighed, left: &[MissLeft]) -> StrokeAnswer {
    let shot = &weighed.ranked.shot;
    let window = shot.window();
    let label = |i: usize| table.layout.balls[i].label.clone();
    let stick = window.and_then(|w| {
        w.stick
            .or_else(|| stick_of(table.gear, w, Tip::centre_on(table.gear).hold()).ok())
    });
    let centre = weighed
        .stroke
        .tip
        .is_some_and(|t| t.across_m == 0.0 && t.height_m == 0.0);
    StrokeAnswer {
        roll: window.map(|w| w.law.roll),
        // Right english is outside on a cut to the left.
        side: window.map(|w| {
            let outside = if shot.cut_side() == Side::Left {
                1.0
            } else {
                -1.0
            };
            // No minus before a nought.
            outside * w.law.side_right + 0.0
        }),
        arrives: weighed
            .stroke
            .tip
            .is_none()
            .then(|| arrives(weighed))
            .flatten(),
        centre_ball: centre,
        kind: weighed.kind,
        instead: weighed.instead.iter().map(InsteadAnswer::from).collect(),
        tip_across_mm: stick.map(|s| s.across_m * 1e3),
        tip_height_mm: stick.map(|s| s.height_m * 1e3),
        value: weighed.value(),
        follows: weighed.follows(),
        last: weighed.last,
        touched: weighed.touched,
        moves: weighed.moves().map(label),
        between_mm: between_m(table, shot).map(|m| m * 1e3),
        misses_leave: left
            .iter()
            .map(|m| MissLeftAnswer {
                side: m.side,
                chance: m.chance,
                foul: m.foul.is_some(),
                in_hand: m.foul.is_some_and(|f| f != AfterFoul::AsItLies),
                gives: m.foul,
                penalty: m.penalty,
                opponent: m.opponent,
            })
            .collect(),
    }
}

/// Between the two balls of a combination.
fn between_m(table: &Table<'_>, shot: &Candidate) -> Option<f64> {
    let Family::Combination { through } = shot.family else {
        return None;
    };
    let way = table.at(shot.ball) - table.at(through);
    // No minus before a nought.
    Some((way.hypot() - table.object_object_m).max(0.0))
}

/// The word for what arrives: a rolling ball that the search chose was followed.
fn arrives(weighed: &Weighed) -> Option<Hit> {
    match Hit::of_roll(weighed.stroke.roll) {
        Some(Hit::Roll) => Some(Hit::Follow),
        other => other,
    }
}

fn safety(table: &Table<'_>, s: &Safety) -> SafetyAnswer {
    let label = |i: usize| table.layout.balls[i].label.clone();
    SafetyAnswer {
        ball: label(s.ball),
        fullness: s.fullness,
        side: s.side,
        english: s.english,
        off_cushion: s.off.map(Place::from),
        aim_deg: s.aim_rad.to_degrees().rem_euclid(360.0),
        stroke_lengths: s.lengths,
        cue: s.cue_at.into(),
        object: s.object_at.into(),
        object_moved_mm: (s.object_at - table.at(s.ball)).hypot() * 1e3,
        cue_cushions: s.ways.cue_cushions,
        object_cushions: s.ways.object_cushions,
        object_meets: s.ways.object_meets.map(label),
        object_over: s.over,
        pushed_back: s.pushed_back,
        hidden: s.hidden,
        behind: s.behind.map(label),
        best_ball: s.best.map(|b| label(b.0)),
        best_pocket: s.best.map(|b| b.1),
        best_chance: s.best.map_or(0.0, |b| b.2),
        opponent_chance: s.opponent,
        if_hard: s.hard,
        if_soft: s.soft,
        foul: s.foul,
        value: s.value,
    }
}
