//! A choice of shots as data, for JSON, the page and charts.

use kurbo::Point;
use serde::{Serialize, Serializer};

use super::candidate::{Candidate, Family, Refusal};
use super::cueball::CueEnd;
use super::miss::MissLeave;
use super::rank::{Choice, RankedShot};
use super::request::ChooseOptions;
use super::stance::Stance;
use super::table::Table;
use crate::answer::{PocketDifference, pocket_differences};
use crate::forwards::Miss;
use crate::game::{Ruling, Situation, Told};
use crate::pocket::{How, PocketName};
use crate::units::Side;

/// A place, mm from the head and the right rail.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct Place {
    /// From the head rail.
    pub x_mm: f64,
    /// From the right rail.
    pub y_mm: f64,
}

impl From<Point> for Place {
    fn from(p: Point) -> Self {
        Self {
            x_mm: p.x * 1e3,
            y_mm: p.y * 1e3,
        }
    }
}

/// Cue-ball directions that make the shot.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct DirectionsAnswer {
    /// Relative to the aim, counter-clockwise, degrees.
    pub from_deg: f64,
    /// Relative to the aim, counter-clockwise, degrees.
    pub to_deg: f64,
    /// How the ball drops.
    pub how: How,
}

/// How a ball's path ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum End {
    /// It comes to rest.
    Rest,
    /// It drops into a pocket.
    Scratch,
    /// It runs into another ball.
    Ball,
}

/// How a ball's path ends, and where.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct EndAnswer {
    /// How.
    pub end: End,
    /// The pocket or the ball.
    pub at: Option<String>,
    /// Where.
    pub place: Place,
}

/// What misses on one side leave.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct MissAnswer {
    /// Which side.
    pub side: Miss,
    /// How often.
    pub chance: f64,
    /// Where the object ball stops after the middle of such misses.
    pub object: Place,
    /// The pocket it drops into by luck.
    pub dropped: Option<PocketName>,
    /// The cue ball.
    pub cue: EndAnswer,
}

/// The next shot after a make.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct NextAnswer {
    /// Ball.
    pub ball: String,
    /// Pocket.
    pub pocket: PocketName,
    /// Chance, on average over the makes after which the cue ball touches no other ball.
    pub chance: f64,
    /// Share of the makes after which it touches no other ball; nothing is said of the rest.
    pub free_share: f64,
    /// In a game: what it scores.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub points: Option<u8>,
    /// Where points are counted: what could follow after it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub then: Option<ThenAnswer>,
}

/// The shot after the next, with the next aimed right.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct ThenAnswer {
    /// Ball.
    pub ball: String,
    /// Pocket.
    pub pocket: PocketName,
    /// Chance from where the cue ball would stop.
    pub chance: f64,
}

/// What the rules say of a shot.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct RulingAnswer {
    /// Legal, and the turn goes on.
    pub legal: bool,
    /// What it scores.
    pub points: u8,
    /// `wrong-ball-first` and the like, where it is a foul.
    pub foul: Option<&'static str>,
    /// What a foul costs in snooker.
    pub penalty: Option<u8>,
    /// By the rules of which game.
    #[serde(skip)]
    pub said: Told,
}

impl RulingAnswer {
    /// A ruling as data.
    #[must_use]
    pub fn new(told: Told) -> Self {
        let ruling = told.ruling;
        let foul = match ruling {
            Ruling::Foul(foul) => Some(foul),
            _ => None,
        };
        Self {
            legal: ruling.is_legal(),
            points: ruling.points(),
            foul: foul.map(|f| f.kind.name()),
            penalty: foul.and_then(|f| f.penalty),
            said: told,
        }
    }
}

/// The state of a game.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct GameAnswer {
    /// Which.
    pub game: &'static str,
    /// The balls that may be hit first.
    pub on: Vec<String>,
    /// Points or balls of this turn so far.
    #[serde(rename = "break")]
    pub run: u16,
    /// All of it.
    #[serde(skip)]
    #[cfg_attr(feature = "page", schemars(skip))]
    pub situation: Situation,
}

/// Where the player stands.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct StanceAnswer {
    /// At the rail's outer edge.
    pub place: Place,
    /// From there to the cue ball.
    pub needed_mm: f64,
    /// Farther than the player reaches.
    pub needs_rest: bool,
    /// With the cue in the other hand the player would reach.
    pub other_hand_reaches: bool,
    /// The cue has to be raised over the rail.
    pub over_rail: bool,
    /// The cue has to be raised over this ball.
    pub over_ball: Option<String>,
    /// Factor on the arm's part of the aim error (assumed).
    pub arm_factor: f64,
}

/// One shot.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct ShotChoice {
    /// `direct`, `bank`, `combination` or `kick`.
    #[serde(serialize_with = "by_name")]
    #[cfg_attr(feature = "page", schemars(with = "String"))]
    pub family: Family,
    /// Cushions of a bank or kick, else 0.
    pub cushions: u8,
    /// The ball to be pocketed.
    pub ball: String,
    /// The ball that the cue ball meets first.
    pub first: String,
    /// The pocket.
    pub pocket: PocketName,
    /// Chance to make it, over the speeds of the stroke.
    pub chance: f64,
    /// The least it is over how jaws and rails may bounce; null for shots far from the best.
    pub chance_low: Option<f64>,
    /// The most.
    pub chance_high: Option<f64>,
    /// Chance to make it and keep the cue ball on the table.
    pub chance_and_keep: f64,
    /// Chance to scratch, made or not.
    pub scratch_chance: f64,
    /// Direction to send the cue ball, 0 to 360.
    pub aim_deg: f64,
    /// Spread of the player's direction.
    pub sigma_deg: f64,
    /// Cut of the first ball.
    pub cut_deg: f64,
    /// The side it is cut to.
    pub cut_side: Side,
    /// Travel of the cue ball.
    pub cue_travel_mm: f64,
    /// Its speed at contact.
    pub cue_speed_m_s: f64,
    /// Speed of the dropping ball at the pocket; null for banks and kicks, whose stroke is given.
    pub pace_m_s: Option<f64>,
    /// The stroke in table lengths: how far it would send the cue ball with nothing in the way.
    pub stroke_lengths: Option<f64>,
    /// Directions that make it.
    pub directions: Vec<DirectionsAnswer>,
    /// Share of them that other balls take away, 0 to 1.
    pub blocked_share: f64,
    /// Balls that do.
    pub blockers: Vec<String>,
    /// Where the player stands.
    pub stance: StanceAnswer,
    /// The cue ball when aimed right.
    pub cue: EndAnswer,
    /// Its path.
    pub cue_path: Vec<Place>,
    /// What misses leave.
    pub misses: Vec<MissAnswer>,
    /// The best next shot.
    pub next: Option<NextAnswer>,
    /// In a game: what the rules say of it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ruling: Option<RulingAnswer>,
}

/// Why a direct shot is not on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum NotOn {
    /// It does not drop with this stroke.
    NoDrop,
    /// From there the pocket takes nothing at any pace.
    TooSteep,
    /// The object ball's path is closed.
    ObjectBallBlocked,
    /// The cue ball's path is closed.
    CueBallBlocked,
    /// No cue-ball direction sends it there.
    OutOfReach,
    /// The balls are too close to say.
    TooClose,
}

/// A direct shot that is not on.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct RefusedAnswer {
    /// Ball.
    pub ball: String,
    /// Pocket.
    pub pocket: PocketName,
    /// Why.
    pub reason: NotOn,
    /// Balls in the way.
    pub blockers: Vec<String>,
}

/// The easiest legal hit.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct LeastBadAnswer {
    /// Ball.
    pub ball: String,
    /// Direction, 0 to 360.
    pub aim_deg: f64,
    /// Chance to hit it first.
    pub chance: f64,
}

/// The whole answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct ChoiceAnswer {
    /// Equipment.
    pub gear: String,
    /// Who aims.
    pub player: String,
    /// Speed at the pocket of direct shots and combinations; null when a stroke was given.
    pub pace_m_s: Option<f64>,
    /// The stroke of all shots, in table lengths; null when a pace was given.
    pub stroke_lengths: Option<f64>,
    /// The game, where one is played.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub game: Option<GameAnswer>,
    /// Best first; in a game what is a foul comes last.
    pub shots: Vec<ShotChoice>,
    /// Direct shots that are not on.
    pub refused: Vec<RefusedAnswer>,
    /// Nothing is worth trying.
    pub no_shot: bool,
    /// The easiest legal hit then.
    pub least_bad: Option<LeastBadAnswer>,
    /// Pockets that take less or more than their kind.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub pockets: Vec<PocketDifference>,
}

impl ChoiceAnswer {
    /// The answer as data; `who` names the player.
    #[must_use]
    pub fn new(table: &Table<'_>, choice: &Choice, who: &str, options: &ChooseOptions) -> Self {
        let lengths = options.tip.map(|tip| tip.lengths);
        let label = |i: usize| table.layout.balls[i].label.clone();
        Self {
            gear: table.gear.name.clone(),
            player: who.to_owned(),
            pace_m_s: lengths.is_none().then_some(options.stroke.pace_m_s),
            stroke_lengths: lengths,
            game: table.situation.as_ref().map(|s| GameAnswer {
                game: s.game.name(),
                on: s.legal_first().into_iter().map(label).collect(),
                run: s.run,
                situation: s.clone(),
            }),
            shots: choice.shots.iter().map(|s| shot_choice(table, s)).collect(),
            refused: choice
                .refused
                .iter()
                .map(|(b, p, why)| refused(table, *b, *p, why))
                .collect(),
            no_shot: choice.no_shot,
            pockets: pocket_differences(table.gear),
            least_bad: choice.least_bad.map(|l| LeastBadAnswer {
                ball: label(l.ball),
                aim_deg: degrees_0_360(l.aim_rad),
                chance: l.chance,
            }),
        }
    }
}

/// How many cushions stands beside it.
fn by_name<S: Serializer>(family: &Family, to: S) -> Result<S::Ok, S::Error> {
    to.serialize_str(family.name())
}

fn degrees_0_360(rad: f64) -> f64 {
    let deg = rad.to_degrees().rem_euclid(360.0);
    // rem_euclid of a tiny negative number rounds to 360 itself
    if deg >= 360.0 { 0.0 } else { deg }
}

fn refused(table: &Table<'_>, ball: usize, pocket: PocketName, why: &Refusal) -> RefusedAnswer {
    let (reason, blockers): (_, &[usize]) = match why {
        Refusal::NoDrop => (NotOn::NoDrop, &[]),
        Refusal::TooSteep => (NotOn::TooSteep, &[]),
        Refusal::ObjectBlocked(by) => (NotOn::ObjectBallBlocked, by),
        Refusal::CueBlocked(by) => (NotOn::CueBallBlocked, by),
        Refusal::OutOfReach => (NotOn::OutOfReach, &[]),
        Refusal::TooClose => (NotOn::TooClose, &[]),
    };
    let label = |i: usize| table.layout.balls[i].label.clone();
    RefusedAnswer {
        ball: label(ball),
        pocket,
        reason,
        blockers: blockers.iter().map(|&i| label(i)).collect(),
    }
}

impl EndAnswer {
    /// An end as data.
    #[must_use]
    pub fn new(table: &Table<'_>, end: CueEnd, at: Point) -> Self {
        let (end, name) = match end {
            CueEnd::Rest => (End::Rest, None),
            CueEnd::Scratch(pocket) => (End::Scratch, Some(pocket.name().to_owned())),
            CueEnd::Ball(i) => (End::Ball, Some(table.layout.balls[i].label.clone())),
        };
        Self {
            end,
            at: name,
            place: at.into(),
        }
    }
}

impl StanceAnswer {
    /// A stance as data.
    #[must_use]
    pub fn new(table: &Table<'_>, stance: &Stance) -> Self {
        Self {
            over_ball: stance
                .over_ball
                .map(|i| table.layout.balls[i].label.clone()),
            ..Self::alone(stance)
        }
    }

    /// The stance of a shot with no ball in its way.
    #[must_use]
    pub fn alone(stance: &Stance) -> Self {
        Self {
            place: stance.at.into(),
            needed_mm: stance.needed_m * 1e3,
            needs_rest: stance.needs_rest,
            other_hand_reaches: stance.other_hand_reaches,
            over_rail: stance.over_rail,
            over_ball: None,
            arm_factor: stance.arm_factor(),
        }
    }
}

fn miss(table: &Table<'_>, miss: &MissLeave) -> MissAnswer {
    MissAnswer {
        side: miss.side,
        chance: miss.chance,
        object: miss.object_at.into(),
        dropped: miss.dropped,
        cue: EndAnswer::new(table, miss.cue_end, miss.cue_at),
    }
}

fn shot_choice(table: &Table<'_>, ranked: &RankedShot) -> ShotChoice {
    let shot: &Candidate = &ranked.shot;
    let label = |i: usize| table.layout.balls[i].label.clone();
    let cushions = match shot.family {
        Family::Bank { cushions } | Family::Kick { cushions } => cushions,
        Family::Direct | Family::Combination { .. } => 0,
    };
    let directions = shot.directions.spans().iter().map(|s| DirectionsAnswer {
        from_deg: s.from_rad.to_degrees(),
        to_deg: s.to_rad.to_degrees(),
        how: s.tag,
    });
    ShotChoice {
        family: shot.family,
        cushions,
        ball: label(shot.ball),
        first: label(shot.first),
        pocket: shot.pocket,
        chance: ranked.chance,
        chance_low: ranked.range.map(|r| r.low),
        chance_high: ranked.range.map(|r| r.high),
        chance_and_keep: ranked.chance_and_keep,
        scratch_chance: ranked.scratch,
        aim_deg: degrees_0_360(shot.aim_rad),
        sigma_deg: ranked.sigma_rad.to_degrees(),
        cut_deg: shot.cut_rad.abs().to_degrees(),
        cut_side: shot.cut_side(),
        cue_travel_mm: shot.cue_travel_m * 1e3,
        cue_speed_m_s: shot.cue_speed_m_s,
        pace_m_s: shot.pace_m_s,
        stroke_lengths: shot.stroke_lengths(table.gear),
        directions: directions.collect(),
        blocked_share: shot.blocked_share,
        blockers: shot.blockers.iter().map(|&i| label(i)).collect(),
        stance: StanceAnswer::new(table, &ranked.stance),
        cue: EndAnswer::new(table, ranked.cue.end, ranked.cue.at),
        cue_path: ranked.cue.path.iter().map(|&p| p.into()).collect(),
        misses: ranked.misses.iter().map(|m| miss(table, m)).collect(),
        next: ranked.next.map(|next| NextAnswer {
            ball: label(next.ball),
            pocket: next.pocket,
            chance: next.chance,
            free_share: next.free,
            points: table.situation.as_ref().map(|_| next.points),
            then: next.then.map(|then| ThenAnswer {
                ball: label(then.ball),
                pocket: then.pocket,
                chance: then.chance,
            }),
        }),
        ruling: ranked
            .ruling
            .zip(table.situation.as_ref())
            .map(|(ruling, s)| RulingAnswer::new(s.told(ruling))),
    }
}
