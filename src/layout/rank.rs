//! Which shot to play: all of them, by chance, then by what follows.

use rayon::prelude::*;

use super::bank::{banks, searches};
use super::candidate::{Candidate, Family, Refusal};
use super::chance::{Doubt, Plays, made, ranged};
use super::combination::combinations;
use super::cueball::{CueRun, Forward};
use super::direct::direct;
use super::follow::{FollowUp, follow_up};
use super::force::drop_sets;
use super::kick::{KICK_SPEED_M_S, kicks};
use super::legal::{LeastBad, least_bad};
use super::miss::{MissLeave, misses};
use super::request::{ChooseOptions, Prefer};
use super::stance::{Stance, stance};
use super::table::{DropSet, Table};
use crate::game::Ruling;
use crate::player::chance;
use crate::player::range::Ranged;
use crate::pocket::{AcceptanceError, PocketName};
use crate::window::{BedShot, Flags, Shot, Stroke, too_steep};

/// Shots whose paths are followed (the rest are ranked by chance alone).
const DETAILED: usize = 120;
/// Shots for which the next shot is looked at.
const LOOKED_AHEAD: usize = 8;
/// Shots whose range is worked out.
const DOUBTED: usize = 12;
/// Chances below this are never, and not looked into.
const NOTHING: f64 = 1e-4;
/// Chances are compared in steps of this; within one, what follows decides (assumption: nobody can
/// tell 50 from 51 in 100).
const CHANCE_STEP: f64 = 0.02;
/// A red and a black: what a shot and the next are worth at most in snooker.
const MOST_POINTS: f64 = 8.0;
/// Below this a shot is no shot, and the least bad option is given as well (assumption).
const NO_SHOT: f64 = 0.05;

/// A shot with all that is said of it.
#[derive(Debug, Clone, PartialEq)]
pub struct RankedShot {
    /// The shot.
    pub shot: Candidate,
    /// Where the player stands.
    pub stance: Stance,
    /// Spread of the direction, rad.
    pub sigma_rad: f64,
    /// Chance to make it, over the speeds of the stroke.
    pub chance: f64,
    /// The same over how jaws and rails may bounce; `None` for shots far from the best.
    pub range: Option<Ranged>,
    /// Chance to make it and keep the cue ball on the table.
    pub chance_and_keep: f64,
    /// Chance to scratch, made or not.
    pub scratch: f64,
    /// The cue ball when aimed right.
    pub cue: CueRun,
    /// What misses leave: too full, too thin.
    pub misses: Vec<MissLeave>,
    /// The best next shot after a make.
    pub next: Option<FollowUp>,
    /// What the rules say of it; `None` in free play.
    pub ruling: Option<Ruling>,
}

impl RankedShot {
    /// The chance as jaws and rails may bounce, on average; what shots are ranked by.
    #[must_use]
    pub fn expected(&self) -> f64 {
        self.range.map_or(self.chance, |r| r.mean)
    }

    /// Whether it is legal and the turn goes on; always in free play.
    #[must_use]
    pub fn is_legal(&self) -> bool {
        self.ruling.is_none_or(Ruling::is_legal)
    }

    /// The share of the makes that keep the cue ball on the table.
    #[must_use]
    pub fn kept_share(&self) -> f64 {
        if self.chance > 0.0 {
            self.chance_and_keep / self.chance
        } else {
            0.0
        }
    }
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// Best first.
    pub shots: Vec<RankedShot>,
    /// Direct shots that are not on, and why.
    pub refused: Vec<(usize, PocketName, Refusal)>,
    /// When nothing is worth trying.
    pub no_shot: bool,
    /// The easiest legal hit, when there is no shot.
    pub least_bad: Option<LeastBad>,
}

/// What a search is doing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Progress {
    /// It begins to look at something in so many steps.
    Begins(&'static str, usize),
    /// A step is done.
    Step,
}

/// Hears how a search gets on, from any thread.
pub type Listener<'a> = &'a (dyn Fn(Progress) + Sync);

/// Looks at every shot. `progress` hears what is being looked at.
///
/// # Errors
/// [`AcceptanceError`] for a bad pace.
pub fn choose(
    table: &Table<'_>,
    options: &ChooseOptions,
    progress: Listener<'_>,
) -> Result<Choice, AcceptanceError> {
    let all: Vec<usize> = (0..table.layout.balls.len()).collect();
    let targets = if options.targets.is_empty() {
        &all
    } else {
        &options.targets
    };
    progress(Progress::Begins("direct shots", 1));
    let sets = drop_sets(table, &all, &options.stroke, options.tip.as_ref())?;
    progress(Progress::Step);
    let wanted: Vec<&Result<DropSet, _>> = sets
        .iter()
        .filter(|s| targets.contains(&s.as_ref().map_or_else(|no| no.0, |set| set.ball)))
        .collect();
    let solved: Vec<Result<Candidate, (usize, PocketName, Refusal)>> = wanted
        .par_iter()
        .map(|set| match set {
            Ok(set) => {
                direct(table, Ok(set), &options.stroke).map_err(|why| (set.ball, set.pocket, why))
            }
            Err((ball, pocket, _)) => Err((*ball, *pocket, no_drop(table, *ball, *pocket))),
        })
        .collect();
    let (mut found, mut refused) = (Vec::new(), Vec::new());
    for shot in solved {
        match shot {
            Ok(shot) => found.push(shot),
            Err(why) => refused.push(why),
        }
    }
    let usable: Vec<&DropSet> = sets.iter().filter_map(|s| s.as_ref().ok()).collect();
    found.extend(roundabout(table, options, targets, &usable, progress)?);
    found.retain(|shot| !shot.window().is_some_and(|w| w.flags.has(Flags::TOO_FAST)));
    let mut shots = ranked(table, options, found, progress);
    doubted(table, options, &mut shots);
    look_ahead(table, options, &usable, &mut shots);
    let points = table
        .situation
        .as_ref()
        .is_some_and(|s| s.game.counts_points());
    shots.sort_by(|a, b| order(options.prefer, points, a, b));
    let no_shot = shots
        .first()
        .is_none_or(|s| s.chance < NO_SHOT || !s.is_legal());
    let least_bad = if no_shot {
        least_bad(table, &legal_first(table, targets), &options.player)
    } else {
        None
    };
    Ok(Choice {
        shots,
        refused,
        no_shot,
        least_bad,
    })
}

/// Of these balls those that may be hit first.
fn legal_first(table: &Table<'_>, targets: &[usize]) -> Vec<usize> {
    let game = table.situation.as_ref();
    let on = |ball: &usize| game.is_none_or(|s| s.may_hit_first(*ball));
    targets.iter().copied().filter(on).collect()
}

/// Why a ball does not drop into a pocket at the pace it was given.
pub(crate) fn no_drop(table: &Table<'_>, ball: usize, pocket: PocketName) -> Refusal {
    let places = BedShot {
        cue: table.layout.cue,
        object: table.at(ball),
        pocket,
    };
    match Shot::on_bed(table.gear, &places, Stroke::default()) {
        Ok(shot) if too_steep(table.gear, &shot) => Refusal::TooSteep,
        _ => Refusal::NoDrop,
    }
}

/// Banks, combinations and kicks whose first ball is a target.
pub(crate) fn roundabout(
    table: &Table<'_>,
    options: &ChooseOptions,
    targets: &[usize],
    sets: &[&DropSet],
    progress: Listener<'_>,
) -> Result<Vec<Candidate>, AcceptanceError> {
    let mut found = Vec::new();
    let (stroke, tip) = (&options.stroke, options.tip.as_ref());
    let step = || progress(Progress::Step);
    // A stroke that does not bring a ball straight in may still do it another way.
    let usual = match options.tip {
        Some(_) if options.combinations || options.kicks => {
            let all: Vec<usize> = (0..table.layout.balls.len()).collect();
            drop_sets(table, &all, &options.stroke, None)?
        }
        _ => Vec::new(),
    };
    let usual: Vec<&DropSet> = usual.iter().filter_map(|s| s.as_ref().ok()).collect();
    let sets = if options.tip.is_some() { &usual } else { sets };
    if options.banks {
        progress(Progress::Begins("banks", searches(targets.len(), tip)));
        found.extend(banks(table, targets, stroke, tip, &step));
    }
    if options.combinations {
        progress(Progress::Begins("combinations", sets.len()));
        let through_target = |c: &Candidate| targets.contains(&c.first);
        found.extend(
            combinations(table, sets, stroke, tip, &step)
                .into_iter()
                .filter(through_target),
        );
    }
    if options.kicks {
        let wanted: Vec<&DropSet> = sets
            .iter()
            .copied()
            .filter(|s| targets.contains(&s.ball))
            .collect();
        progress(Progress::Begins("kicks", wanted.len()));
        let speed_m_s = options.tip.map_or(KICK_SPEED_M_S, |tip| tip.speed_m_s);
        found.extend(kicks(table, &wanted, speed_m_s, &step));
    }
    Ok(found)
}

/// Chances with the stance counted, and the paths of the best.
fn ranked(
    table: &Table<'_>,
    options: &ChooseOptions,
    found: Vec<Candidate>,
    progress: Listener<'_>,
) -> Vec<RankedShot> {
    let mut with_chance: Vec<(f64, Stance, Candidate)> = found
        .into_iter()
        .map(|shot| {
            let stance = stance(table, shot.aim_rad, options.reach);
            (
                shot.chance(options.aims(&shot), stance.arm_factor()),
                stance,
                shot,
            )
        })
        .filter(|(chance, ..)| *chance > NOTHING)
        .collect();
    with_chance.sort_by(|a, b| b.0.total_cmp(&a.0));
    with_chance.truncate(DETAILED);
    if table.stop.asked() {
        with_chance.clear();
    }
    progress(Progress::Begins("what follows", with_chance.len()));
    with_chance
        .into_par_iter()
        .filter(|_| !table.stop.asked())
        .map(|(_, stance, shot)| {
            let shot = detailed(table, options, stance, shot);
            progress(Progress::Step);
            shot
        })
        .collect()
}

/// Works out what the chances of the best rest on: their mean over how jaws and rails may bounce is
/// what they are ranked by.
pub(crate) fn doubted(table: &Table<'_>, options: &ChooseOptions, shots: &mut [RankedShot]) {
    let doubt = Doubt::new(table.gear);
    let tables = doubt.tables(table);
    shots.sort_by(|a, b| b.chance_and_keep.total_cmp(&a.chance_and_keep));
    shots.par_iter_mut().take(DOUBTED).for_each(|ranked| {
        if table.stop.asked() {
            return;
        }
        let plays = Plays {
            aims: options.aims(&ranked.shot),
            arm_factor: ranked.stance.arm_factor(),
        };
        ranked.range = Some(ranged(&tables, &ranked.shot, &plays, ranked.chance));
    });
}

/// All that is said of a shot but what follows.
pub(crate) fn detailed(
    table: &Table<'_>,
    options: &ChooseOptions,
    stance: Stance,
    shot: Candidate,
) -> RankedShot {
    let player = options.aims(&shot);
    let plays = Plays {
        aims: player,
        arm_factor: stance.arm_factor(),
    };
    let made = made(table, &shot, &plays);
    let sigma_rad = shot.sigma_rad(player, stance.arm_factor());
    let forward = Forward::new(table, &shot);
    let scratches = forward
        .scratch_set(sigma_rad, player.bias_rad)
        .intervals_rad();
    let kept = shot.directions.subtract(&scratches).intervals_rad();
    let cue = forward.outcome(player.bias_rad, true).cue;
    let misses = misses(&forward, &shot, sigma_rad, player.bias_rad);
    // The share of the makes that keep the cue ball is that of the intended speed.
    let window = chance(&shot.intervals_rad(), sigma_rad, player.bias_rad);
    let kept = chance(&kept, sigma_rad, player.bias_rad);
    let kept_share = if window > 0.0 { kept / window } else { 0.0 };
    RankedShot {
        stance,
        sigma_rad,
        chance: made,
        range: None,
        chance_and_keep: made * kept_share,
        scratch: chance(&scratches, sigma_rad, player.bias_rad),
        cue,
        misses,
        next: None,
        ruling: table
            .situation
            .as_ref()
            .map(|s| s.ruling(shot.first, shot.ball)),
        shot,
    }
}

fn look_ahead(
    table: &Table<'_>,
    options: &ChooseOptions,
    sets: &[&DropSet],
    shots: &mut [RankedShot],
) {
    shots.sort_by(|a, b| order(Prefer::Make, false, a, b));
    shots.par_iter_mut().take(LOOKED_AHEAD).for_each(|shot| {
        if !table.stop.asked() && shot.is_legal() {
            shot.next = follow_up(table, options, sets, &shot.shot, shot.sigma_rad);
        }
    });
}

/// Best first; a total order, so that the same layout always gives the same answer.
/// What the rules call a foul comes after what is legal. With `points`, control counts them.
fn order(prefer: Prefer, points: bool, a: &RankedShot, b: &RankedShot) -> std::cmp::Ordering {
    // Nothing is promised of makes that run into another ball.
    let follows = |s: &RankedShot| s.next.map_or(0.0, |n| n.chance * n.free);
    let worth = |s: &RankedShot| match prefer {
        Prefer::Make => s.expected() * s.kept_share(),
        Prefer::Control if points => {
            let own = f64::from(s.ruling.map_or(1, Ruling::points));
            let then = s.next.map_or(0.0, |n| follows(s) * f64::from(n.points));
            s.expected() * s.kept_share() * (own + then) / MOST_POINTS
        }
        Prefer::Control => s.expected() * s.kept_share() * follows(s),
        Prefer::Run => s.expected() * s.kept_share() * (1.0 + follows(s)),
    };
    let illegal = |s: &RankedShot| u8::from(!s.is_legal());
    let step = |s: &RankedShot| (worth(s) / CHANCE_STEP).round();
    let plain = |s: &RankedShot| u8::from(s.shot.family != Family::Direct);
    illegal(a)
        .cmp(&illegal(b))
        .then_with(|| step(b).total_cmp(&step(a)))
        .then_with(|| plain(a).cmp(&plain(b)))
        .then_with(|| follows(b).total_cmp(&follows(a)))
        .then_with(|| worth(b).total_cmp(&worth(a)))
        .then_with(|| (a.shot.ball, a.shot.first).cmp(&(b.shot.ball, b.shot.first)))
        .then_with(|| a.shot.aim_rad.total_cmp(&b.shot.aim_rad))
}
