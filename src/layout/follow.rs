//! What follows a make: the best next shot, over the places where the cue ball may stop.
//!
//! Limits: a cue ball that runs into another ball goes on in a way that is not followed; such makes
//! are counted, and nothing is said of the next shot after them. The next shot is a direct one, at
//! the pace its ball has now. In a game it is one of a ball that may be hit first then; a colour that
//! returns to its spot lies there. What follows after the next is one cue ball, aimed right.

use kurbo::Point;

use super::candidate::{AimSpread, Candidate};
use super::cueball::{CueEnd, Forward};
use super::direct::direct;
use super::file::Layout;
use super::leave::{NextBall, without};
use super::request::ChooseOptions;
use super::scratch::evenly_likely;
use super::stance::stance;
use super::table::{DropSet, Table};
use crate::game::{Ball, Situation, respotted};
use crate::pocket::PocketName;

/// Makes followed, each as likely as the others.
const MAKES: u32 = 9;

/// The next shot after a make that keeps the cue ball.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FollowUp {
    /// Ball of the best next shot after the middle one of the makes.
    pub ball: usize,
    /// Its pocket.
    pub pocket: PocketName,
    /// Chance of the best next shot, on average over the makes that touch no other ball.
    pub chance: f64,
    /// Share of the makes that touch no other ball.
    pub free: f64,
    /// What it scores in a game; 1 in free play.
    pub points: u8,
    /// Where points are counted: what could follow after it, aimed right.
    pub then: Option<AfterThat>,
}

/// The shot after the next.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AfterThat {
    /// Its ball.
    pub ball: usize,
    /// Its pocket.
    pub pocket: PocketName,
    /// The chance of it from where the cue ball would stop.
    pub chance: f64,
}

/// Follows the makes of a shot whose direction spreads by `sigma_rad`.
pub(crate) fn follow_up(
    table: &Table<'_>,
    options: &ChooseOptions,
    sets: &[&DropSet],
    shot: &Candidate,
    sigma_rad: f64,
) -> Option<FollowUp> {
    let forward = Forward::new(table, shot);
    let spread = AimSpread {
        sigma_rad,
        bias_rad: options.aims(shot).bias_rad,
    };
    let errors = evenly_likely(&forward.kept(spread), spread, MAKES);
    let stops: Vec<Option<Point>> = errors
        .iter()
        .map(|&delta| forward.outcome(delta, false).cue)
        .map(|run| (run.end == CueEnd::Rest).then_some(run.at))
        .collect();
    let after = After::new(table, sets, shot.ball, options);
    let next: Vec<Option<(usize, PocketName, f64)>> = stops
        .iter()
        .map(|stop| Some(after.best((*stop)?, options)?.named()))
        .collect();
    let free = stops.iter().flatten().count();
    // the middle make, or the one nearest to it that touches no ball
    let middle = next.len() / 2;
    let named = (0..next.len())
        .filter_map(|i| next[i].map(|n| (i.abs_diff(middle), n)))
        .min_by_key(|(off, _)| *off)?
        .1;
    let counts = after.situation.as_ref().filter(|s| s.game.counts_points());
    let then = counts.and_then(|_| {
        let from = |i: &usize| next[*i].is_some_and(|n| (n.0, n.1) == (named.0, named.1));
        let nearest = (0..next.len())
            .filter(from)
            .min_by_key(|i| i.abs_diff(middle))?;
        after.then(stops[nearest]?, options)
    });
    let total: f64 = next.iter().flatten().map(|n| n.2).sum();
    Some(FollowUp {
        ball: named.0,
        pocket: named.1,
        chance: total / count(free),
        free: count(free) / count(stops.len()),
        points: after.situation.as_ref().map_or(1, |s| s.value(named.0)),
        then,
    })
}

/// Where points are counted: what could follow after a next shot that is known, from where the cue ball
/// stops after the first, aimed right.
pub(crate) fn after_next(
    table: &Table<'_>,
    options: &ChooseOptions,
    made: usize,
    stop: Point,
    next: NextBall,
) -> Option<AfterThat> {
    let counts = table.situation.as_ref()?.game.counts_points();
    if !counts || next.ball == made {
        return None;
    }
    let set = table.drop_set(next.ball, next.pocket, options.stroke.pace_m_s);
    let set = set.ok()?.ok()?;
    let mut after = After::new(table, &[&set], made, options);
    let ball = after.now(next.ball);
    let named = |(into, set): &(PocketName, DropSet)| *into == next.pocket && set.ball == ball;
    after.sets.retain(named);
    after.then(stop, options)
}

#[expect(clippy::cast_precision_loss, reason = "a handful of makes")]
fn count(n: usize) -> f64 {
    n as f64
}

/// The table once a ball is made: gone, or back on its spot.
struct After<'a> {
    table: &'a Table<'a>,
    layout: Layout,
    /// The ball that is gone; `None` where it came back.
    gone: Option<usize>,
    /// Drop sets of the balls left that may be played; those that the ball stood in the way of are solved again.
    sets: Vec<(PocketName, DropSet)>,
    /// The game then; balls go by their places on the table before.
    situation: Option<Situation>,
}

/// The best shot from a place.
struct Best {
    /// Ball, by its place on the table before the other was gone.
    ball: usize,
    pocket: PocketName,
    chance: f64,
    shot: Candidate,
}

impl Best {
    const fn named(&self) -> (usize, PocketName, f64) {
        (self.ball, self.pocket, self.chance)
    }
}

impl<'a> After<'a> {
    fn new(table: &'a Table<'a>, sets: &[&DropSet], made: usize, options: &ChooseOptions) -> Self {
        let situation = table.situation.as_ref().map(|s| s.after(made));
        let back = table.situation.as_ref().and_then(|s| back(table, s, made));
        let (layout, gone) = match back {
            Some(at) => (moved_to(table.layout, made, at), None),
            None => (without(table.layout, made), Some(made)),
        };
        let left = Table::new(table.gear, &layout);
        let playable = |ball: usize| situation.as_ref().is_none_or(|s| s.may_hit_first(ball));
        let now = |ball: usize| match gone {
            Some(gone) if ball > gone => ball - 1,
            _ => ball,
        };
        let pace = |set: Option<&DropSet>| match (options.tip, set) {
            (Some(_), Some(set)) => set.acceptance.pace_m_s,
            _ => options.stroke.pace_m_s,
        };
        let again = |ball: usize, pocket: PocketName, set: Option<&DropSet>| {
            left.drop_set(now(ball), pocket, pace(set)).ok()?.ok()
        };
        let kept: Vec<(PocketName, Option<DropSet>)> = if back.is_some() {
            let balls = (0..table.layout.balls.len()).filter(|ball| playable(*ball));
            balls
                .flat_map(|ball| PocketName::ALL.map(|pocket| (ball, pocket)))
                .map(|(ball, pocket)| (pocket, again(ball, pocket, None)))
                .collect()
        } else {
            sets.iter()
                .filter(|s| s.ball != made && playable(s.ball))
                .map(|set| {
                    let then = if set.blockers.contains(&made) {
                        again(set.ball, set.pocket, Some(set))
                    } else {
                        Some(DropSet {
                            ball: now(set.ball),
                            ..(*set).clone()
                        })
                    };
                    (set.pocket, then)
                })
                .collect()
        };
        let open = kept
            .into_iter()
            .filter_map(|(pocket, set)| Some((pocket, set?)))
            .filter(|(_, set)| !set.open.is_empty());
        let sets = open.collect();
        Self {
            table,
            sets,
            situation,
            layout,
            gone,
        }
    }

    /// The best shot from a place.
    fn best(&self, cue: Point, options: &ChooseOptions) -> Option<Best> {
        let layout = Layout {
            cue,
            ..self.layout.clone()
        };
        let table = Table::new(self.table.gear, &layout);
        let shots = self.sets.iter().filter_map(|(pocket, set)| {
            let shot = direct(&table, Ok(set), &options.stroke).ok()?;
            let arm_factor = stance(&table, shot.aim_rad, options.reach).arm_factor();
            Some(Best {
                ball: self.before(set.ball),
                pocket: *pocket,
                chance: shot.chance(options.aims(&shot), arm_factor),
                shot,
            })
        });
        shots.max_by(|a, b| a.chance.total_cmp(&b.chance))
    }

    /// A ball's place on this table.
    fn now(&self, ball: usize) -> usize {
        match self.gone {
            Some(gone) if ball > gone => ball - 1,
            _ => ball,
        }
    }

    /// A ball's place on the table before.
    fn before(&self, ball: usize) -> usize {
        match self.gone {
            Some(gone) if ball >= gone => ball + 1,
            _ => ball,
        }
    }

    /// What follows the best shot from a place, aimed right.
    fn then(&self, cue: Point, options: &ChooseOptions) -> Option<AfterThat> {
        let best = self.best(cue, options)?;
        let layout = Layout {
            cue,
            ..self.layout.clone()
        };
        // Balls of this table by their places on it.
        let situation = self.situation.as_ref().map(|s| match self.gone {
            Some(gone) => s.without(gone),
            None => s.clone(),
        });
        let table = Table::new(self.table.gear, &layout).in_game(situation);
        let run = Forward::new(&table, &best.shot).outcome(0.0, false).cue;
        if run.end != CueEnd::Rest {
            return None;
        }
        let sets: Vec<&DropSet> = self.sets.iter().map(|(_, set)| set).collect();
        let all = Self::every_set(&table, best.shot.ball, options);
        let sets: Vec<&DropSet> = if all.is_empty() {
            sets
        } else {
            all.iter().collect()
        };
        let after = After::new(&table, &sets, best.shot.ball, options);
        let last = after.best(run.at, options)?;
        Some(AfterThat {
            ball: self.before(last.ball),
            pocket: last.pocket,
            chance: last.chance,
        })
    }

    /// Drop sets of the balls that may be played after the next, where the next ball is gone by then.
    fn every_set(table: &Table<'_>, made: usize, options: &ChooseOptions) -> Vec<DropSet> {
        let then = table.situation.as_ref().map(|s| s.after(made));
        let playable = |ball: &usize| then.as_ref().is_none_or(|s| s.may_hit_first(*ball));
        let balls = (0..table.layout.balls.len()).filter(playable);
        balls
            .flat_map(|ball| PocketName::ALL.map(|pocket| (ball, pocket)))
            .filter_map(|(ball, pocket)| {
                let set = table.drop_set(ball, pocket, options.stroke.pace_m_s);
                set.ok()?.ok()
            })
            .collect()
    }
}

/// Where a colour goes that is made; `None` where it stays down.
fn back(table: &Table<'_>, situation: &Situation, made: usize) -> Option<Point> {
    let Some(Ball::Colour(colour)) = situation.ball(made).filter(|_| situation.returns(made))
    else {
        return None;
    };
    let others: Vec<Point> = table.others(Some(made)).map(|(_, at)| at).collect();
    respotted(&table.gear.bed, colour, &others, table.object_object_m)
}

/// The layout with one ball elsewhere.
fn moved_to(layout: &Layout, ball: usize, at: Point) -> Layout {
    let mut moved = layout.clone();
    if let Some(ball) = moved.balls.get_mut(ball) {
        ball.at = at;
    }
    moved
}
