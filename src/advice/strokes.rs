//! Which ball with which stroke: paces, what arrives, side, each with what it costs, and what it leaves.
//!
//! Chances are first those of the intended speed over the whole search; the promising strokes are looked at
//! from three speeds each, and the best of them with all that is said of a shot: speeds, scratches, nine
//! makes over aim and speed followed to rest. Side is tried only on the best, since it costs most.
//!
//! A shot is worth `P·(w + mean of p·w′)`: P the chance to make it and keep the cue ball, w what it scores,
//! p the chance of the best legal shot from where a make leaves the cue ball, w′ what that scores. A make
//! after which nobody can say where the balls lie counts as one without a next shot.

use rayon::prelude::*;

use super::follow::{Still, gone, is_up, settled};
use super::go::Stake;
use super::next::{Finder, Known, NextShot};
use super::request::AdviceOptions;
use super::tries::{Tries, Try, tried};
use crate::gear::Gear;
use crate::layout::{
    Candidate, ChooseOptions, DropSet, Family, FollowUp, Forward, Listener, Plays, Progress,
    RankedShot, Refusal, Stance, Table, direct, stance,
};
use crate::layout::{as_intended, drop_sets, made, misses, no_drop};
use crate::pocket::{AcceptanceError, PocketName};
use crate::request::tip_width_m;
use crate::window::{Flags, Hit, PaceWord, Stroke, Tip, stick_of};

/// Balls and pockets whose strokes are looked at, and strokes weighed whole.
const PAIRS: usize = 12;
const WEIGHED: usize = 28;
/// Strokes of one ball and pocket that are weighed whole, at most.
const OF_ONE: usize = 5;
/// Balls and pockets of which one stroke of each kind is weighed.
const COMPARED: usize = 3;
/// Strokes tried with side.
const SIDED: usize = 6;
/// Side has to be worth this much more, in balls: it costs what the model does not know (assumption).
pub(super) const SIDE_PAYS: f64 = 0.08;
/// A stroke that makes less than this share of its ball's best is not looked at.
const WORTH_LOOKING: f64 = 0.5;
/// Chances below this are never.
const NOTHING: f64 = 0.005;
/// Speeds followed in a first look, in spreads of the player's speed: the middles of thirds.
const GLANCE: [f64; 3] = [0.0, -0.97, 0.97];
/// Makes followed of what is weighed.
const MAKES: usize = 9;

/// What a stroke comes down to for a player.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// The tip strikes the middle.
    Centre,
    /// No roll arrives.
    Stun,
    /// Backspin arrives.
    Draw,
    /// A rolling ball arrives.
    Follow,
    /// Any other roll that was asked for.
    Other,
}

impl Kind {
    /// Of a shot with its stroke; `None` for banks and kicks.
    pub(super) fn of(shot: &Candidate, stroke: &Stroke) -> Option<Self> {
        let roll = shot
            .window()
            .filter(|_| shot.family == Family::Direct)?
            .law
            .roll;
        let centre = |t: &Tip| t.across_m == 0.0 && t.height_m == 0.0;
        Some(match roll {
            _ if stroke.tip.as_ref().is_some_and(centre) => Self::Centre,
            r if r.abs() < 0.1 => Self::Stun,
            r if r < 0.0 => Self::Draw,
            r if r > 0.9 => Self::Follow,
            _ => Self::Other,
        })
    }
}

/// A stroke for one ball and pocket, with the chance at the speed as intended.
#[derive(Debug, Clone)]
pub(super) struct Stroked {
    pub(super) shot: Candidate,
    pub(super) stroke: Stroke,
    pub(super) stance: Stance,
    /// Chance at the speed as intended.
    pub(super) quick: f64,
}

/// What makes leave.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Leaves {
    /// The best next shot after the middle one of the makes, or the nearest to it.
    pub(super) named: Option<NextShot>,
    /// What the next shot scores, on average over the makes.
    pub(super) worth: f64,
    /// Mean chance of the next shot.
    pub(super) chance: f64,
    /// Share of the makes that could be followed to rest.
    pub(super) followed: f64,
    /// A ball that the middle make moves.
    pub(super) moves: Option<usize>,
    /// The tables after those that could be followed.
    pub(super) stills: Vec<Still>,
}

impl Leaves {
    /// The next shot as it is said.
    fn next(&self) -> Option<FollowUp> {
        let named = self.named?;
        Some(FollowUp {
            ball: named.ball,
            pocket: named.pocket,
            chance: self.chance / self.followed.max(1e-9),
            free: self.followed,
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "points of one ball"
            )]
            points: named.worth as u8,
            then: None,
        })
    }
}

/// A shot with its stroke, and what it is worth.
#[derive(Debug, Clone)]
pub struct Weighed {
    /// The shot.
    pub ranked: RankedShot,
    /// The stroke.
    pub stroke: Stroke,
    pub(super) leaves: Leaves,
    /// Of the makes that keep the cue ball, the share after which it touches another ball.
    pub touched: f64,
    /// Nothing is left to play after it.
    pub last: bool,
    /// What a make scores.
    pub worth_of_make: f64,
    /// What the next two shots score where two balls ahead were looked at, on average.
    pub(super) two_ahead: Option<f64>,
    /// It wins the game at once.
    pub wins: bool,
    /// What the stroke comes down to.
    pub kind: Option<Kind>,
    /// What other strokes of the same ball into the same pocket would bring, one of a kind.
    pub instead: Vec<Instead>,
}

/// Another stroke for the same ball and pocket.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Instead {
    /// Which kind.
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

impl Weighed {
    /// What this shot and those after it score.
    #[must_use]
    pub fn value(&self) -> f64 {
        let keep = self.ranked.expected() * self.ranked.kept_share();
        keep * (self.worth_of_make + self.follows())
    }

    /// What follows a make, in what a make scores. A make that wins the game is worth a sure next one
    /// besides (assumption).
    #[must_use]
    pub fn follows(&self) -> f64 {
        if self.wins {
            return self.worth_of_make;
        }
        self.two_ahead.unwrap_or(self.leaves.worth)
    }

    /// Mean chance of the next shot, over the makes.
    #[must_use]
    pub fn next_chance(&self) -> f64 {
        self.leaves.chance
    }

    /// The ball that the middle make moves.
    #[must_use]
    pub fn moves(&self) -> Option<usize> {
        self.leaves.moves
    }
}

/// What was found of the direct shots.
pub(super) struct Direct {
    /// Strokes of every ball and pocket that is on, best first within each.
    pub(super) pairs: Vec<Vec<Stroked>>,
    pub(super) refused: Vec<(usize, PocketName, Refusal)>,
    /// Drop sets of all balls at the usual pace.
    pub(super) sets: Vec<DropSet>,
}

/// The strokes to try, without side.
fn arrivals(options: &AdviceOptions) -> Vec<Stroke> {
    let asked = options.choose.stroke;
    if !options.open.arrival || options.choose.tip.is_some() {
        return vec![asked];
    }
    let mut all = vec![asked];
    for hit in [Hit::Stun, Hit::Draw, Hit::Follow] {
        all.push(asked.arriving(hit.roll(), asked.side));
    }
    all
}

fn paces(options: &AdviceOptions) -> Vec<f64> {
    let asked = options.choose.stroke.pace_m_s;
    if !options.open.pace || options.choose.tip.is_some() {
        return vec![asked];
    }
    vec![
        asked,
        PaceWord::DeadWeight.pace_m_s(),
        PaceWord::Firm.pace_m_s(),
    ]
}

/// Half a tip off the middle, m.
pub(super) fn half_tip_m(gear: &Gear) -> f64 {
    0.5 * tip_width_m(gear)
}

/// Side that half a tip brings: `w = 2.5·(b/R)(1 − R/L)`.
fn half_tip_side(gear: &Gear) -> f64 {
    let radius_m = 0.5 * gear.balls.cue_diameter_m;
    2.5 * half_tip_m(gear) / radius_m * (1.0 - radius_m / Tip::centre_on(gear).pivot_m)
}

/// All strokes of all balls that are on.
pub(super) fn direct_shots(
    table: &Table<'_>,
    options: &AdviceOptions,
    targets: &[usize],
    progress: Listener<'_>,
) -> Result<Direct, AcceptanceError> {
    let all: Vec<usize> = (0..table.layout.balls.len()).collect();
    let (paces, strokes) = (paces(options), arrivals(options));
    progress(Progress::Begins("strokes", paces.len()));
    let choose = &options.choose;
    let found = drop_sets(table, &all, &choose.stroke, choose.tip.as_ref())?;
    let wanted = found
        .par_iter()
        .filter(|s| targets.contains(&s.as_ref().map_or_else(|no| no.0, |set| set.ball)));
    // At the usual pace everything is looked at, and it is said why something is not on.
    let looked: Vec<Looked> = wanted
        .map(|set| match set {
            Err((ball, pocket, _)) => (*ball, *pocket, Err(no_drop(table, *ball, *pocket))),
            Ok(set) => (set.ball, set.pocket, stroked(table, choose, set, &strokes)),
        })
        .collect();
    progress(Progress::Step);
    let worth_more = |no: &Refusal| matches!(no, Refusal::NoDrop);
    let at_other_paces: Vec<(usize, PocketName)> = looked
        .iter()
        .filter(|(.., found)| match found {
            Ok(found) => found.iter().any(|s| s.quick > NOTHING),
            Err(no) => worth_more(no),
        })
        .map(|(ball, pocket, _)| (*ball, *pocket))
        .collect();
    let mut more: Vec<Stroked> = Vec::new();
    for &pace_m_s in paces.iter().skip(1) {
        if table.stopped() {
            break;
        }
        let here: Vec<Vec<Stroked>> = at_other_paces
            .par_iter()
            .map(|&(ball, pocket)| {
                let Ok(Ok(set)) = table.drop_set(ball, pocket, pace_m_s) else {
                    return Vec::new();
                };
                stroked(table, choose, &set, &strokes).unwrap_or_default()
            })
            .collect();
        more.extend(here.into_iter().flatten());
        progress(Progress::Step);
    }
    let (pairs, refused) = by_pocket(looked, &more);
    Ok(Direct {
        pairs,
        refused,
        sets: found.into_iter().flatten().collect(),
    })
}

/// What was found of one ball and pocket at the usual pace.
type Looked = (usize, PocketName, Result<Vec<Stroked>, Refusal>);
/// A shot that is not on.
type NotOn = (usize, PocketName, Refusal);

/// Strokes by ball and pocket, the likeliest first, and what is not on at any pace.
fn by_pocket(looked: Vec<Looked>, more: &[Stroked]) -> (Vec<Vec<Stroked>>, Vec<NotOn>) {
    let (mut pairs, mut refused) = (Vec::new(), Vec::new());
    for (ball, pocket, found) in looked {
        let others = more
            .iter()
            .filter(|s| (s.shot.ball, s.shot.pocket) == (ball, pocket));
        let mut own: Vec<Stroked> = others.cloned().collect();
        match found {
            Ok(found) => own.extend(found),
            Err(no) if own.is_empty() => refused.push((ball, pocket, no)),
            Err(_) => {}
        }
        own.retain(|s| s.quick > NOTHING);
        own.sort_by(|a, b| b.quick.total_cmp(&a.quick));
        if !own.is_empty() {
            pairs.push(own);
        }
    }
    pairs.sort_by(|a, b| b[0].quick.total_cmp(&a[0].quick));
    (pairs, refused)
}

/// One ball and pocket at one pace with several strokes; the refusal of the first where none is on.
fn stroked(
    table: &Table<'_>,
    options: &ChooseOptions,
    set: &DropSet,
    strokes: &[Stroke],
) -> Result<Vec<Stroked>, Refusal> {
    let mut out: Vec<Stroked> = Vec::with_capacity(strokes.len());
    for (k, stroke) in strokes.iter().enumerate() {
        let stroke = Stroke {
            pace_m_s: set.acceptance.pace_m_s,
            ..*stroke
        };
        match direct(table, Ok(set), &stroke) {
            Ok(shot) => {
                if playable(table.gear, &shot, &stroke) && !out.iter().any(|s| same(&s.shot, &shot))
                {
                    out.push(weighed_quickly(table, options, shot, stroke));
                }
            }
            Err(why) if k == 0 => return Err(why),
            Err(_) => {}
        }
    }
    Ok(out)
}

/// Whether a stroke brings it, at a speed that somebody plays.
fn playable(gear: &Gear, shot: &Candidate, stroke: &Stroke) -> bool {
    shot.window().is_some_and(|w| {
        let arrives =
            stroke.tip.is_some() || stick_of(gear, w, Tip::centre_on(gear).hold()).is_ok();
        arrives && !w.flags.has(Flags::TOO_FAST) && !w.flags.has(Flags::CANNOT_ARRIVE)
    })
}

/// Whether two strokes bring the same: a centre ball that rolls by then is a rolling one.
fn same(a: &Candidate, b: &Candidate) -> bool {
    let law = |c: &Candidate| c.window().map(|w| (w.law.roll, w.law.side_right));
    match (law(a), law(b)) {
        (Some(a), Some(b)) => (a.0 - b.0).abs() < 0.02 && (a.1 - b.1).abs() < 0.02,
        _ => false,
    }
}

fn weighed_quickly(
    table: &Table<'_>,
    options: &ChooseOptions,
    shot: Candidate,
    stroke: Stroke,
) -> Stroked {
    let stance = stance(table, shot.aim_rad, options.reach);
    let plays = Plays {
        aims: options.aims(&shot),
        arm_factor: stance.arm_factor(),
    };
    let quick = as_intended(table, &shot, &plays);
    Stroked {
        shot,
        stroke,
        stance,
        quick,
    }
}

/// Who looks for what follows.
pub(super) struct Looks<'a> {
    pub(super) table: &'a Table<'a>,
    pub(super) options: &'a AdviceOptions,
    pub(super) finder: Finder<'a>,
    pub(super) sets: Vec<&'a DropSet>,
    /// About what a shot and the next score.
    pub(super) unit: f64,
}

impl<'a> Looks<'a> {
    pub(super) fn new(
        table: &'a Table<'a>,
        options: &'a AdviceOptions,
        sets: &'a [DropSet],
    ) -> Self {
        Self {
            table,
            options,
            finder: Finder::new(table, &options.choose),
            sets: sets.iter().collect(),
            unit: Stake::of(options.legal.as_ref(), table.layout.balls.len()).unit(),
        }
    }

    /// What these makes leave, the first being the intended one where it is a make.
    pub(super) fn leaves(
        &self,
        shot: &Candidate,
        forward: &mut Forward<'_>,
        makes: &[Try],
    ) -> Leaves {
        let legal = self.options.legal.after(shot.ball);
        let stills: Vec<Option<Still>> = makes
            .iter()
            .map(|one| self.after_make(shot, forward, one))
            .collect();
        let next: Vec<Option<NextShot>> = stills
            .iter()
            .map(|still| {
                let still = still.as_ref()?;
                let mut moved = still.moved.clone();
                moved.push(shot.ball);
                let known = Known::without(&self.sets, &moved);
                self.finder.best(&still.layout, legal.as_ref(), &known)
            })
            .collect();
        let named = next.iter().flatten().next().copied();
        let all = count(makes.len().max(1));
        let sum = |of: &dyn Fn(&NextShot) -> f64| next.iter().flatten().map(of).sum::<f64>() + 0.0;
        let moves = stills.first().and_then(|s| {
            let moved = s.as_ref()?.moved.iter().copied();
            moved.into_iter().find(|b| *b != shot.ball)
        });
        Leaves {
            named,
            worth: sum(&|n| n.chance * n.worth) / all,
            chance: sum(&|n| n.chance) / all,
            followed: count(stills.iter().flatten().count()) / all,
            moves,
            stills: stills.into_iter().flatten().collect(),
        }
    }

    /// The table after a make; `None` where the cue ball drops or nobody can say.
    fn after_make(&self, shot: &Candidate, forward: &mut Forward<'_>, one: &Try) -> Option<Still> {
        if !forward.strike(one.share) {
            return None;
        }
        let parted = forward.parted(one.delta_rad)?;
        let alone = shot.first == shot.ball && parted.met == shot.ball;
        let object = (!alone).then_some(parted.object_m_s);
        let mut still = settled(self.table, parted.met, parted.cue, object);
        // Where the ball goes is known better by the shot than by what else may happen to it.
        if is_up(still.layout.balls[shot.ball].at) {
            still.layout.balls[shot.ball].at = gone(shot.ball);
        }
        let up: Vec<kurbo::Point> = still
            .layout
            .balls
            .iter()
            .map(|b| b.at)
            .filter(|at| is_up(*at))
            .collect();
        if let Some(spot) = self.options.legal.put_back(shot.ball, &up) {
            still.layout.balls[shot.ball].at = spot;
        }
        (still.scratched.is_none() && still.is_known()).then_some(still)
    }

    /// A first look: three speeds, aimed right.
    pub(super) fn glance(&self, stroked: &Stroked) -> f64 {
        let shot = &stroked.shot;
        let mut forward = Forward::new(self.table, shot);
        let aims = self.options.choose.aims(shot);
        let makes = GLANCE.map(|z| Try {
            share: (1.0 + aims.scatter.speed_share * z).max(0.1),
            delta_rad: aims.bias_rad,
        });
        let leaves = self.leaves(shot, &mut forward, &makes);
        // A make that cannot be followed may have scratched.
        let share = 0.5 * (1.0 + leaves.followed);
        let worth = self.options.legal.worth(shot.first, shot.ball);
        stroked.quick * (worth * share + leaves.worth)
    }

    /// Whether nothing is on after a ball is made.
    fn is_last(&self, ball: usize) -> bool {
        let legal = self.options.legal.after(ball);
        let mut left = self.table.others(Some(ball));
        !left.any(|(i, at)| is_up(at) && legal.on(i))
    }

    /// All that is said of a shot.
    pub(super) fn weighed(&self, stroked: Stroked) -> Weighed {
        let Stroked {
            shot,
            stroke,
            stance,
            ..
        } = stroked;
        let aims = self.options.choose.aims(&shot);
        let plays = Plays {
            aims,
            arm_factor: stance.arm_factor(),
        };
        let Tries {
            scratched,
            kept,
            touched,
            makes,
        } = tried(self.table, &shot, &plays);
        let mut forward = Forward::new(self.table, &shot);
        let sigma_rad = shot.sigma_rad(aims, stance.arm_factor());
        let cue = forward.outcome(aims.bias_rad, true).cue;
        let missed = misses(&forward, &shot, sigma_rad, aims.bias_rad);
        let makes: Vec<Try> = makes.into_iter().take(MAKES).collect();
        let leaves = self.leaves(&shot, &mut forward, &makes);
        let chance = made(self.table, &shot, &plays);
        let legal = self.options.legal.as_ref();
        let worth = legal.worth(shot.first, shot.ball);
        let wins = legal.wins(shot.first, shot.ball);
        let last = wins || self.is_last(shot.ball);
        let kind = Kind::of(&shot, &stroke);
        let ranked = RankedShot {
            stance,
            sigma_rad,
            chance,
            range: None,
            chance_and_keep: chance * kept,
            scratch: scratched,
            cue,
            misses: missed,
            next: leaves.next(),
            ruling: self
                .table
                .situation
                .as_ref()
                .map(|s| s.ruling(shot.first, shot.ball)),
            shot,
        };
        Weighed {
            ranked,
            stroke,
            last,
            leaves,
            touched,
            worth_of_make: worth,
            two_ahead: None,
            wins,
            kind,
            instead: Vec::new(),
        }
    }
}

#[expect(clippy::cast_precision_loss, reason = "a handful of makes")]
fn count(n: usize) -> f64 {
    n as f64
}

/// The strokes worth weighing whole, by a first look.
pub(super) fn promising(looks: &Looks<'_>, pairs: &[Vec<Stroked>]) -> Vec<Stroked> {
    let candidates: Vec<&Stroked> = pairs
        .iter()
        .take(PAIRS)
        .flat_map(|own| {
            let best = own[0].quick;
            own.iter().filter(move |s| s.quick >= WORTH_LOOKING * best)
        })
        .collect();
    let mut glanced: Vec<(f64, &Stroked)> = candidates
        .into_par_iter()
        .map(|s| {
            let seen = if looks.table.stopped() {
                0.0
            } else {
                looks.glance(s)
            };
            (seen, s)
        })
        .collect();
    glanced.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut out: Vec<Stroked> = Vec::with_capacity(WEIGHED);
    let mut compared: Vec<(usize, PocketName)> = Vec::with_capacity(COMPARED);
    for (_, s) in &glanced {
        let way = (s.shot.ball, s.shot.pocket);
        let own = |o: &&Stroked| (o.shot.ball, o.shot.pocket) == way;
        if !compared.contains(&way) && compared.len() < COMPARED {
            // Of the best balls the best of each kind, so that it can be said what the others would do.
            compared.push(way);
            let mut kinds = Vec::new();
            for (_, other) in glanced.iter().filter(|(_, o)| own(o)) {
                let kind = Kind::of(&other.shot, &other.stroke);
                if !kinds.contains(&kind) {
                    kinds.push(kind);
                    out.push((*other).clone());
                }
            }
        }
        let is = |o: &Stroked| own(&o) && o.stroke == s.stroke;
        if out.iter().filter(own).count() < OF_ONE && !out.iter().any(is) {
            out.push((*s).clone());
        }
        if out.len() >= WEIGHED {
            break;
        }
    }
    // Every ball and pocket is said, with its easiest stroke at least.
    for own in pairs {
        let is =
            |o: &Stroked| (o.shot.ball, o.shot.pocket) == (own[0].shot.ball, own[0].shot.pocket);
        if !out.iter().any(is) {
            out.push(own[0].clone());
        }
    }
    out
}

/// The best strokes with side, where it pays.
pub(super) fn with_side(looks: &Looks<'_>, weighed: &mut Vec<Weighed>) {
    if !looks.options.open.side || looks.options.choose.tip.is_some() {
        return;
    }
    let side = half_tip_side(looks.table.gear);
    let tried: Vec<(usize, f64)> = (0..weighed.len().min(SIDED))
        .filter(|&k| weighed[k].ranked.shot.family == Family::Direct)
        .flat_map(|k| [(k, side), (k, -side)])
        .collect();
    let found: Vec<Option<(usize, Weighed)>> = tried
        .into_par_iter()
        .map(|(k, side)| {
            if looks.table.stopped() {
                return None;
            }
            let plain = &weighed[k];
            let shot = &plain.ranked.shot;
            let pace_m_s = shot.pace_m_s?;
            let roll = shot.window()?.law.roll;
            let stroke = Stroke {
                pace_m_s,
                ..plain.stroke.arriving(roll, side)
            };
            let set = looks
                .table
                .drop_set(shot.ball, shot.pocket, pace_m_s)
                .ok()?
                .ok()?;
            let choose = &looks.options.choose;
            let one = stroked(looks.table, choose, &set, &[stroke]).ok()?.pop()?;
            (one.quick > WORTH_LOOKING * plain.ranked.chance).then(|| (k, looks.weighed(one)))
        })
        .collect();
    for (k, sided) in found.into_iter().flatten() {
        if sided.value() > weighed[k].value() + SIDE_PAYS * looks.unit {
            weighed.push(sided);
        }
    }
}
