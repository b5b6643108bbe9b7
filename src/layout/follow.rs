//! What follows a make: the best next shot, over the places where the cue ball may stop.
//!
//! Limits: a cue ball that runs into another ball goes on in a way that is not followed; such makes
//! are counted, and nothing is said of the next shot after them. The next shot is a direct one, at
//! the pace its ball has now.

use kurbo::Point;

use super::candidate::{AimSpread, Candidate};
use super::cueball::{CueEnd, Forward};
use super::direct::direct;
use super::file::Layout;
use super::leave::without;
use super::request::ChooseOptions;
use super::scratch::evenly_likely;
use super::stance::stance;
use super::table::{DropSet, Table};
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
        .map(|stop| after.best((*stop)?, options))
        .collect();
    let free = stops.iter().flatten().count();
    // the middle make, or the one nearest to it that touches no ball
    let middle = next.len() / 2;
    let named = (0..next.len())
        .filter_map(|i| next[i].map(|n| (i.abs_diff(middle), n)))
        .min_by_key(|(off, _)| *off)?
        .1;
    let total: f64 = next.iter().flatten().map(|n| n.2).sum();
    Some(FollowUp {
        ball: named.0,
        pocket: named.1,
        chance: total / count(free),
        free: count(free) / count(stops.len()),
    })
}

#[expect(clippy::cast_precision_loss, reason = "a handful of makes")]
fn count(n: usize) -> f64 {
    n as f64
}

/// The table once a ball is gone.
struct After<'a> {
    table: &'a Table<'a>,
    layout: Layout,
    gone: usize,
    /// Drop sets of the balls left; those that the ball stood in the way of are solved again.
    sets: Vec<(PocketName, DropSet)>,
}

impl<'a> After<'a> {
    fn new(table: &'a Table<'a>, sets: &[&DropSet], gone: usize, options: &ChooseOptions) -> Self {
        let layout = without(table.layout, gone);
        let left = Table::new(table.gear, &layout);
        let moved = |ball: usize| if ball > gone { ball - 1 } else { ball };
        let sets = sets
            .iter()
            .filter(|s| s.ball != gone)
            .filter_map(|set| {
                let pace_m_s = match options.tip {
                    Some(_) => set.acceptance.pace_m_s,
                    None => options.stroke.pace_m_s,
                };
                let now = if set.blockers.contains(&gone) {
                    left.drop_set(moved(set.ball), set.pocket, pace_m_s)
                        .ok()?
                        .ok()?
                } else {
                    DropSet {
                        ball: moved(set.ball),
                        ..(*set).clone()
                    }
                };
                (!now.open.is_empty()).then_some((set.pocket, now))
            })
            .collect();
        Self {
            table,
            layout,
            gone,
            sets,
        }
    }

    /// Ball (index before the other was gone), pocket and chance of the best shot from a place.
    fn best(&self, cue: Point, options: &ChooseOptions) -> Option<(usize, PocketName, f64)> {
        let layout = Layout {
            cue,
            ..self.layout.clone()
        };
        let table = Table::new(self.table.gear, &layout);
        let shots = self.sets.iter().filter_map(|(pocket, set)| {
            let shot = direct(&table, Ok(set), &options.stroke).ok()?;
            let arm_factor = stance(&table, shot.aim_rad, options.reach).arm_factor();
            let ball = set.ball + usize::from(set.ball >= self.gone);
            Some((ball, *pocket, shot.chance(options.aims(&shot), arm_factor)))
        });
        shots.max_by(|a, b| a.2.total_cmp(&b.2))
    }
}
