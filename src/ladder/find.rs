//! Shots of given chances, looked for over quarter-diamond places.
//!
//! Object-ball places and pockets are taken in an order drawn from the seed; each costs one
//! acceptance, after which every cue-ball place is one pull-back. The search ends when every rung
//! has enough to choose from, or when the table is exhausted. Nothing depends on the number of
//! threads.

use rand::SeedableRng;
use rand::seq::SliceRandom;
use rand_pcg::Pcg64;
use rayon::prelude::*;

use super::lie::{Room, Scored};
use super::place::grid;
use super::wishes::{Balance, Wishes};
use crate::player::chance_of;
use crate::pocket::PocketName;
use crate::units::Position;

/// A shot within this of a rung's chance may stand on it: 0.2 makes in ten (half of the half make
/// that rungs may be off their even spacing, less a little for rounding).
pub(super) const NEAR_ENOUGH: f64 = 0.02;
/// Object-ball places with their pockets looked at in one go (assumption: enough for variety).
const AT_ONCE: usize = 96;
/// Shots wanted for each rung and side before the search may end (assumption).
const ENOUGH: usize = 60;
/// Most shots kept for each rung from one object-ball place, so that no place crowds out others.
const FROM_ONE_LIE: usize = 4;
/// Cuts below this count as straight, neither left nor right, rad: 2° (assumption).
pub(super) const STRAIGHT_RAD: f64 = 2.0 * std::f64::consts::PI / 180.0;

/// What the search found for each rung.
#[derive(Debug, Clone, Default)]
pub(super) struct Found {
    /// Shots near enough, in the order found.
    pub(super) near: Vec<Scored>,
    /// The nearest of all, near enough or not.
    pub(super) nearest: Option<Scored>,
}

impl Found {
    /// Keeps a shot that is near enough to the target, or nearer than any before.
    fn offer(
        &mut self,
        chance: f64,
        target: f64,
        most: usize,
        scored: &dyn Fn() -> Option<Scored>,
    ) {
        let off = (chance - target).abs();
        let best = self
            .nearest
            .map_or(f64::INFINITY, |s| (s.chance - target).abs());
        let near = off <= NEAR_ENOUGH && self.near.len() < most;
        if !near && off >= best {
            return;
        }
        let Some(scored) = scored() else { return };
        if near {
            self.near.push(scored);
        }
        if off < best {
            self.nearest = Some(scored);
        }
    }
}

/// -1 for a left cut, 1 for a right cut, 0 for a straight shot.
pub(super) fn side(cut_rad: f64) -> i8 {
    if cut_rad > STRAIGHT_RAD {
        -1
    } else if cut_rad < -STRAIGHT_RAD {
        1
    } else {
        0
    }
}

/// Looks for shots for every rung.
pub(super) fn find(room: &Room<'_>, wishes: &Wishes) -> Vec<Found> {
    let objects: Vec<Position> = wishes.object.map_or_else(|| grid().collect(), |p| vec![p]);
    let mut pairs: Vec<(Position, PocketName)> = objects
        .iter()
        .flat_map(|o| wishes.pockets.iter().map(move |p| (*o, *p)))
        .collect();
    pairs.shuffle(&mut Pcg64::seed_from_u64(wishes.seed));
    let cues: Vec<Position> = grid().collect();
    let mut found = vec![Found::default(); wishes.rungs];
    for batch in pairs.chunks(AT_ONCE) {
        let lies: Vec<Vec<Found>> = batch
            .par_iter()
            .map(|&(object, pocket)| from_lie(room, wishes, (object, pocket), &cues))
            .collect();
        for lie in lies {
            for ((rung, more), number) in found.iter_mut().zip(lie).zip(0..) {
                rung.near.extend(more.near);
                let target = wishes.target(number);
                let off =
                    |s: &Option<Scored>| s.map_or(f64::INFINITY, |s| (s.chance - target).abs());
                if off(&more.nearest) < off(&rung.nearest) {
                    rung.nearest = more.nearest;
                }
            }
        }
        if found.iter().all(|f| rich(f, wishes.balance)) {
            break;
        }
    }
    found
}

/// Whether a rung has enough to choose from, on each side that may be wanted.
fn rich(found: &Found, balance: Balance) -> bool {
    let of = |wanted: i8| {
        found
            .near
            .iter()
            .filter(|s| side(s.cut_rad) != -wanted)
            .count()
    };
    match balance {
        Balance::Even => of(1) >= ENOUGH && of(-1) >= ENOUGH,
        _ => found.near.len() >= ENOUGH,
    }
}

/// Every cue-ball place for one object ball and pocket.
fn from_lie(
    room: &Room<'_>,
    wishes: &Wishes,
    (object, pocket): (Position, PocketName),
    cues: &[Position],
) -> Vec<Found> {
    let mut out = vec![Found::default(); wishes.rungs];
    let Some(at) = room.object_point(object) else {
        return out;
    };
    if !wishes.topic.wants_pocket(pocket.kind()) {
        return out;
    }
    let frame = pocket.frame(room.gear);
    let local = frame.to_pocket(at);
    if !wishes.topic.wants_way((-local.y).atan2(-local.x)) {
        return out;
    }
    let Some(lie) = room.lie(at, pocket) else {
        return out;
    };
    let most = if wishes.object.is_some() {
        usize::MAX
    } else {
        FROM_ONE_LIE
    };
    let diamond_m = room.gear.bed.length_m / 8.0;
    for &cue in cues {
        let Some(point) = room.cue_point(cue) else {
            continue;
        };
        let Some((cut, travel_m)) = room.geometry(&lie, point) else {
            continue;
        };
        let way = (travel_m + lie.acceptance.distance_m) / diamond_m;
        // the cut at the target differs a little from that at the middle of the pocket
        const SLACK_RAD: f64 = 0.05;
        let (from, to) = wishes.cuts_rad;
        if cut < from - SLACK_RAD || cut > to + SLACK_RAD {
            continue;
        }
        let Some(window) = room.window(&lie, point) else {
            continue;
        };
        let cut = window.cut_rad.abs();
        if cut < from || cut > to || !wishes.topic.wants_cut(cut, way) {
            continue;
        }
        if !side_fits(wishes.balance, window.cut_rad) {
            continue;
        }
        let chance = chance_of(&lie.acceptance, &window, &room.player);
        let scored = || room.score(&lie, cue, object);
        for (number, rung) in out.iter_mut().enumerate() {
            rung.offer(chance, wishes.target(number), most, &scored);
        }
    }
    out
}

fn side_fits(balance: Balance, cut_rad: f64) -> bool {
    match balance {
        Balance::Left => side(cut_rad) <= 0,
        Balance::Right => side(cut_rad) >= 0,
        Balance::Even | Balance::Any => true,
    }
}
