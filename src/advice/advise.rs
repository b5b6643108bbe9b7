//! The whole of it: strokes, what follows, misses, safeties, the one against the other.

use rayon::prelude::*;

use super::ahead::two_ahead;
use super::go::{Compared, Going, Handed, Opponent, Stake};
use super::legal::Legal;
use super::misses::{MissLeft, Missing, worth_of_miss};
use super::next::Finder;
use super::request::{AdviceOptions, Ahead};
use super::safety::{Safety, Seeker};
use super::strokes::{Instead, Kind, Looks, Stroked, Weighed, direct_shots, promising, with_side};
use crate::layout::{
    Candidate, Choice, ChooseOptions, CueEnd, Family, LeastBad, Listener, NextBall, Plays, Prefer,
    RankedShot, Refusal, Stance, Table, after_next, as_intended, detailed, direct, doubted,
    least_bad, roundabout, stance,
};
use crate::pocket::{AcceptanceError, PocketName};
use crate::window::Flags;

/// Values are compared in steps of this share; within one, what is plain and what goes in more often comes
/// first (assumption: nobody can tell 50 from 51 in 100).
const STEP: f64 = 0.02;
/// A plainer stroke of the same ball is taken where it costs no more than this, in balls (assumption).
const AS_GOOD: f64 = 0.04;
/// Faster than this at the pocket is played hard, m/s.
const FIRM_M_S: f64 = 1.5;
/// Banks, combinations and kicks that are weighed whole.
const ROUNDABOUT: usize = 8;
/// Cuts below this are straight, rad: ten degrees (assumption).
const STRAIGHT_RAD: f64 = 0.175;
/// Chances below this are never.
const NOTHING: f64 = 1e-3;
/// Below this a shot is no shot (assumption: 1 in 20).
const NO_SHOT: f64 = 0.05;
/// Fouls that are listed.
const FOULS: usize = 24;
/// Shots of which it is said what a miss leaves.
const MISSES: usize = 3;
/// A ball is looked at first where it goes in so much more often than the first choice.
const EASIER: f64 = 0.02;

/// Why the easiest ball is not the first choice.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Because {
    /// The cue ball drops too often.
    Scratch,
    /// It can wait: it is the next shot after the first choice.
    Waits,
    /// It leaves less.
    LeavesLess,
    /// It makes less of what is on, in points.
    ScoresLess,
}

/// The easiest ball, where it is not the first choice.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WhyNot {
    /// Its place in the ranking.
    pub index: usize,
    /// Why it is not the first.
    pub because: Because,
}

/// All that was found.
#[derive(Debug, Clone)]
pub struct Advice {
    /// Best first; of each ball and pocket the best stroke.
    pub shots: Vec<Weighed>,
    /// Shots at balls that are not on: each would be a foul.
    pub fouls: Vec<RankedShot>,
    /// Direct shots that are not on, and why.
    pub refused: Vec<(usize, PocketName, Refusal)>,
    /// What misses of the best shots leave, in their order.
    pub misses: Vec<Vec<MissLeft>>,
    /// The easiest ball, where it is not the first.
    pub why_not: Option<WhyNot>,
    /// Safeties, best first; none where none was looked for.
    pub safeties: Vec<Safety>,
    /// Whether they were looked for.
    pub sought: bool,
    /// Going against the best of them; `None` where there is nothing to go for.
    pub compared: Option<Compared>,
    /// The easiest legal hit, where no shot is worth trying.
    pub least_bad: Option<LeastBad>,
    /// It was asked to stop before all was looked at.
    pub stopped: bool,
}

impl Advice {
    /// Whether nothing is worth trying.
    #[must_use]
    pub fn no_shot(&self) -> bool {
        self.shots.first().is_none_or(|s| s.ranked.chance < NO_SHOT)
    }

    /// As a ranking, for whatever reads one.
    #[must_use]
    pub fn choice(&self) -> Choice {
        let legal = self.shots.iter().map(|s| &s.ranked);
        Choice {
            shots: legal.chain(&self.fouls).cloned().collect(),
            refused: self.refused.clone(),
            no_shot: self.no_shot(),
            least_bad: self.least_bad,
        }
    }
}

/// Looks at every shot, and at safeties. `progress` hears what is being looked at.
///
/// # Errors
/// [`AcceptanceError`] for a bad pace.
pub fn advise(
    table: &Table<'_>,
    options: &AdviceOptions,
    progress: Listener<'_>,
) -> Result<Advice, AcceptanceError> {
    let legal = options.legal.as_ref();
    let balls = table.layout.balls.len();
    let targets: Vec<usize> = (0..balls).filter(|&b| legal.on(b)).collect();
    let found = direct_shots(table, options, &targets, progress)?;
    let looks = Looks::new(table, options, &found.sets);
    let strokes = promising(&looks, &found.pairs);
    // Who stops the search hears of the best so far, so one is weighed in any case.
    let first = strokes.first().cloned();
    let mut weighed: Vec<Weighed> = strokes
        .into_par_iter()
        .filter(|_| !table.stopped())
        .map(|s| looks.weighed(s))
        .collect();
    if weighed.is_empty() {
        weighed.extend(first.map(|s| looks.weighed(s)));
    }
    weighed.extend(off_others(&looks, &targets, progress)?);
    weighed.sort_by(|a, b| b.value().total_cmp(&a.value()));
    with_side(&looks, &mut weighed);
    let by = Order {
        prefer: options.choose.prefer,
        unit: looks.unit,
    };
    let mut shots = by.best_of_each(weighed);
    let mut ranked: Vec<RankedShot> = shots.iter().map(|s| s.ranked.clone()).collect();
    doubted(table, &options.choose, &mut ranked);
    for shot in &mut shots {
        let same = ranked.iter().find(|r| r.shot == shot.ranked.shot);
        shot.ranked.range = same.and_then(|r| r.range);
    }
    shots.sort_by(|a, b| by.order(a, b));
    if options.ahead == Ahead::Two && !table.stopped() {
        two_ahead(&looks, &mut shots, progress);
        shots.sort_by(|a, b| by.order(a, b));
    }
    red_after_colour(&looks, &mut shots);
    let fouls = fouls(&looks, &targets);
    Ok(Advice {
        fouls,
        refused: found.refused,
        ..judged(&looks, shots, progress)
    })
}

/// Best shots of which the shot after the next is looked for.
const CARRIED_ON: usize = 3;

/// Where points are counted, what could follow after the next shot of the best: a red after the colour.
fn red_after_colour(looks: &Looks<'_>, shots: &mut [Weighed]) {
    let (table, choose) = (looks.table, &looks.options.choose);
    shots.par_iter_mut().take(CARRIED_ON).for_each(|shot| {
        let made = shot.ranked.shot.ball;
        let stop = shot.ranked.cue.at;
        let rests = shot.ranked.cue.end == CueEnd::Rest && !table.stopped();
        if let Some(next) = shot.ranked.next.as_mut().filter(|_| rests) {
            let ball = NextBall {
                ball: next.ball,
                pocket: next.pocket,
            };
            next.then = after_next(table, choose, made, stop, ball);
        }
    });
}

/// Shots at balls that are not on, in a game: listed as what they are.
fn fouls(looks: &Looks<'_>, targets: &[usize]) -> Vec<RankedShot> {
    let (table, choose) = (looks.table, &looks.options.choose);
    let asked = |ball: &usize| choose.targets.is_empty() || choose.targets.contains(ball);
    if table.situation.is_none() || table.stopped() {
        return Vec::new();
    }
    let mut found: Vec<(f64, Stance, Candidate)> = looks
        .sets
        .par_iter()
        .filter(|set| asked(&set.ball) && !targets.contains(&set.ball))
        .filter_map(|set| {
            let shot = direct(table, Ok(set), &choose.stroke).ok()?;
            let stance = stance(table, shot.aim_rad, choose.reach);
            let chance = shot.chance(choose.aims(&shot), stance.arm_factor());
            (chance > NOTHING).then_some((chance, stance, shot))
        })
        .collect();
    found.sort_by(|a, b| b.0.total_cmp(&a.0));
    found.truncate(FOULS);
    found
        .into_par_iter()
        .map(|(_, stance, shot)| detailed(table, choose, stance, shot))
        .collect()
}

/// Banks, combinations and kicks, with the stroke asked for.
fn off_others(
    looks: &Looks<'_>,
    targets: &[usize],
    progress: Listener<'_>,
) -> Result<Vec<Weighed>, AcceptanceError> {
    let (table, choose) = (looks.table, &looks.options.choose);
    if !(choose.banks || choose.combinations || choose.kicks) || table.stopped() {
        return Ok(Vec::new());
    }
    let mut found: Vec<Stroked> = roundabout(table, choose, targets, &looks.sets, progress)?
        .into_iter()
        .filter(|shot| !shot.window().is_some_and(|w| w.flags.has(Flags::TOO_FAST)))
        .filter(|shot| looks.options.legal.worth(shot.first, shot.ball) > 0.0)
        .map(|shot| {
            let stance = stance(table, shot.aim_rad, choose.reach);
            let plays = Plays {
                aims: choose.aims(&shot),
                arm_factor: stance.arm_factor(),
            };
            let quick = as_intended(table, &shot, &plays);
            Stroked {
                stroke: choose.stroke,
                stance,
                quick,
                shot,
            }
        })
        .filter(|s| s.quick > NOTHING)
        .collect();
    found.sort_by(|a, b| b.quick.total_cmp(&a.quick));
    found.truncate(ROUNDABOUT);
    Ok(found
        .into_par_iter()
        .filter(|_| !table.stopped())
        .map(|s| looks.weighed(s))
        .collect())
}

/// Whether two shots are the same but for the stroke.
fn same_shot(a: &Candidate, b: &Candidate) -> bool {
    let way = |c: &Candidate| (c.ball, c.first, c.pocket, c.family);
    // Banks and kicks have several ways of one name, told apart by their aim.
    way(a) == way(b) && (a.family == Family::Direct || (a.aim_rad - b.aim_rad).abs() < 1e-6)
}

/// How much a stroke asks of a player besides what the model counts (assumption): side most, then draw and
/// force, then stun. A straight shot is stunned as easily as played plain, and where the cue ball stops is
/// plainest then; rolling on is as easy as a plain stroke, where anything follows.
fn effort(w: &Weighed) -> u32 {
    let shot = &w.ranked.shot;
    let straight = shot.cut_rad.abs() < STRAIGHT_RAD && !w.last;
    let arrives = match w.kind {
        Some(Kind::Draw) => 2,
        Some(Kind::Stun) => u32::from(!straight),
        Some(Kind::Follow) => u32::from(straight || w.last),
        Some(Kind::Centre) => u32::from(straight),
        Some(Kind::Other) => 1,
        None => 0,
    };
    let firm = shot.pace_m_s.is_some_and(|pace| pace > FIRM_M_S);
    4 * u32::from(has_side(w)) + arrives + 2 * u32::from(firm)
}

/// What shots are ranked by.
#[derive(Debug, Clone, Copy)]
struct Order {
    prefer: Prefer,
    /// About what a shot and the next score.
    unit: f64,
}

impl Order {
    fn worth(self, w: &Weighed) -> f64 {
        let keep = w.ranked.expected() * w.ranked.kept_share();
        match self.prefer {
            Prefer::Run => w.value() / self.unit,
            Prefer::Make => keep,
            Prefer::Control => keep * w.follows() / self.unit,
        }
    }

    /// Best first; a total order, so that the same layout always gives the same answer.
    fn order(self, a: &Weighed, b: &Weighed) -> std::cmp::Ordering {
        let keep = |w: &Weighed| w.ranked.expected() * w.ranked.kept_share();
        let step = |w: &Weighed| (self.worth(w) / STEP).round();
        let plain = |w: &Weighed| {
            let direct = w.ranked.shot.family == Family::Direct;
            (!direct, has_side(w))
        };
        let (one, other) = (&a.ranked.shot, &b.ranked.shot);
        step(b)
            .total_cmp(&step(a))
            .then_with(|| plain(a).cmp(&plain(b)))
            .then_with(|| b.value().total_cmp(&a.value()))
            .then_with(|| keep(b).total_cmp(&keep(a)))
            .then_with(|| (one.ball, one.first).cmp(&(other.ball, other.first)))
            .then_with(|| one.aim_rad.total_cmp(&other.aim_rad))
    }

    /// The best stroke of every ball and pocket: of those that are worth about as much, the plainest; and
    /// what the other kinds would bring.
    fn best_of_each(self, mut weighed: Vec<Weighed>) -> Vec<Weighed> {
        weighed.sort_by(|a, b| self.order(a, b));
        let mut ways: Vec<Vec<Weighed>> = Vec::with_capacity(weighed.len());
        for shot in weighed {
            let same = |own: &&mut Vec<Weighed>| same_shot(&own[0].ranked.shot, &shot.ranked.shot);
            match ways.iter_mut().find(same) {
                Some(own) => own.push(shot),
                None => ways.push(vec![shot]),
            }
        }
        let mut out: Vec<Weighed> = ways.into_iter().map(|own| self.plainest(own)).collect();
        out.sort_by(|a, b| self.order(a, b));
        out
    }

    /// Of the strokes of one way, best first, the plainest of the best.
    fn plainest(self, own: Vec<Weighed>) -> Weighed {
        let least = self.worth(&own[0]) - AS_GOOD;
        let as_good = own.iter().filter(|w| self.worth(w) >= least);
        let chosen = as_good.min_by_key(|w| effort(w)).unwrap_or(&own[0]).clone();
        let mut instead: Vec<Instead> = Vec::new();
        for w in own.iter().filter(|w| !has_side(w)) {
            let Some(kind) = w.kind.filter(|kind| Some(*kind) != chosen.kind) else {
                continue;
            };
            if !instead.iter().any(|i| i.kind == kind) {
                instead.push(Instead {
                    kind,
                    chance: w.ranked.chance,
                    scratch: w.ranked.scratch,
                    next: w.next_chance(),
                    value: w.value(),
                });
            }
        }
        Weighed { instead, ..chosen }
    }
}

fn has_side(w: &Weighed) -> bool {
    let window = w.ranked.shot.window();
    window.is_some_and(|w| w.law.side_right != 0.0)
}

/// Misses, safeties, and the one against the other.
fn judged(looks: &Looks<'_>, shots: Vec<Weighed>, progress: Listener<'_>) -> Advice {
    let (table, options) = (looks.table, looks.options);
    let own = options.legal.as_ref();
    let theirs = own.opponent();
    let opponents = ChooseOptions {
        player: options.opponent,
        on_right_cuts: None,
        ..options.choose.clone()
    };
    let opponent = Opponent {
        finder: Finder::new(table, &opponents),
        legal: theirs.as_ref(),
        sets: &looks.sets,
    };
    let stake = Stake::of(theirs.as_ref(), table.layout.balls.len());
    let misses: Vec<Vec<MissLeft>> = shots
        .par_iter()
        .take(MISSES)
        .map(|w| {
            Missing {
                table,
                own,
                opponent: &opponent,
                stake,
            }
            .left(w, options.choose.aims(&w.ranked.shot))
        })
        .collect();
    let pair = shots.first().zip(misses.first());
    let going = pair.map(|(first, left)| to_go_for(first, left, &stake, own));
    let clear = going.is_some_and(|g| g.beats_any_safety(&stake));
    let sought = options.safeties && !clear && !table.stopped();
    let safeties = if sought {
        Seeker {
            table,
            options,
            own,
            opponent: &opponent,
            stake,
        }
        .seek(progress)
    } else {
        Vec::new()
    };
    let compared = going.map(|g| g.against(safeties.first().map(|s| s.value)));
    let mut advice = Advice {
        why_not: why_not(&shots),
        shots,
        fouls: Vec::new(),
        refused: Vec::new(),
        misses,
        safeties,
        sought,
        compared,
        least_bad: None,
        stopped: table.stopped(),
    };
    if advice.no_shot() {
        advice.least_bad = easiest_hit(table, options);
    }
    advice
}

fn easiest_hit(table: &Table<'_>, options: &AdviceOptions) -> Option<LeastBad> {
    let balls = 0..table.layout.balls.len();
    let targets: Vec<usize> = balls.filter(|&b| options.legal.on(b)).collect();
    least_bad(table, &targets, &options.choose.player)
}

/// The first shot as one to go for.
fn to_go_for(first: &Weighed, left: &[MissLeft], stake: &Stake, own: &dyn Legal) -> Going {
    let made = first.ranked.expected();
    Going {
        made,
        kept: made * first.ranked.kept_share(),
        scores: first.worth_of_make + first.follows(),
        scratch: stake.handed(&Handed::foul(own, Some(first.ranked.shot.first), true)),
        miss: worth_of_miss(left, stake),
    }
}

/// The ball that goes in most often, where it is not the first choice, and why it is not.
fn why_not(shots: &[Weighed]) -> Option<WhyNot> {
    let first = shots.first()?;
    let chance = |w: &Weighed| w.ranked.expected();
    let (index, easiest) = shots
        .iter()
        .enumerate()
        .filter(|(_, w)| w.ranked.shot.family == Family::Direct)
        .max_by(|a, b| chance(a.1).total_cmp(&chance(b.1)))?;
    let other = easiest.ranked.shot.ball != first.ranked.shot.ball;
    if !other || chance(easiest) < chance(first) + EASIER {
        return None;
    }
    let scratches = easiest.ranked.kept_share() < first.ranked.kept_share() - EASIER;
    let waits = first
        .leaves
        .named
        .is_some_and(|n| n.ball == easiest.ranked.shot.ball);
    let because = if scratches {
        Because::Scratch
    } else if waits {
        Because::Waits
    } else if easiest.worth_of_make < first.worth_of_make {
        Because::ScoresLess
    } else {
        Because::LeavesLess
    };
    Some(WhyNot { index, because })
}
