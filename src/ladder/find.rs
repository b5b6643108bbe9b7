//! Shots of given chances, looked for over quarter-diamond places.
//!
//! Object-ball places and pockets are taken in an order drawn from the seed; each costs one
//! acceptance, after which every cue-ball place is one pull-back. The search ends when every rung
//! has enough to choose from, or when the table is exhausted. A cue ball that needs the rest is left
//! out. Nothing depends on the number of
//! threads.

use std::ops::Range;

use kurbo::Point;
use rand::SeedableRng;
use rand::seq::SliceRandom;
use rand_pcg::Pcg64;
use rayon::prelude::*;

use super::lie::{Lie, Room, Rough, Scored, Tried};
use super::paces::Paces;
use super::place::grid;
use super::wishes::{Balance, Topic, Wishes};
use crate::gear::Gear;
use crate::pocket::PocketName;
use crate::stop::{Stop, Stopped};
use crate::units::Position;

/// A shot within this of a rung's chance may stand on it: 0.2 makes in ten (half of the half make
/// that rungs may be off their even spacing, less a little for rounding).
pub(super) const NEAR_ENOUGH: f64 = 0.02;
/// A shot guessed near a rung may prove off it: so many more are looked at than are kept.
const MORE_LOOKS: usize = 2;
/// How far the chance of a frozen ball may be from that of the same shot with no cushion near (assumption:
/// seen up to 0.3), less in proportion to how far off the cushion it lies.
const CUSHION_OFF: f64 = 0.3;
/// Cuts below this count as straight, neither left nor right, rad: 2° (assumption).
pub(super) const STRAIGHT_RAD: f64 = 2.0 * std::f64::consts::PI / 180.0;

/// How deep the search goes (assumptions: enough for variety).
#[derive(Debug, Clone, Copy)]
struct Depth {
    /// Object-ball places with their pockets looked at in one go.
    at_once: usize,
    /// Shots wanted for each rung and side before the search may end.
    enough: usize,
    /// Most shots kept for each rung from one object-ball place, so that no place crowds out
    /// others; and the same where there is only one place.
    most: (usize, usize),
    /// The same beside a cushion, where each look is dear.
    most_beside: (usize, usize),
}

impl Depth {
    const USUAL: Self = Self {
        at_once: 96,
        enough: 60,
        most: (4, usize::MAX),
        most_beside: (1, 12),
    };
    /// Where every shot has a pace of its own, it costs some acceptances rather than none.
    const OWN_PACES: Self = Self {
        at_once: 24,
        enough: 4,
        most: (2, 40),
        most_beside: (1, 8),
    };

    fn of(room: &Room<'_>) -> Self {
        if room.has_own_paces() {
            Self::OWN_PACES
        } else {
            Self::USUAL
        }
    }

    fn with_one_lie(self, only_one: bool, beside_cushion: bool) -> usize {
        let most = if beside_cushion {
            self.most_beside
        } else {
            self.most
        };
        if only_one { most.1 } else { most.0 }
    }
}

/// What the search found for each rung.
#[derive(Debug, Clone, Default)]
pub(super) struct Found {
    /// Shots near enough, in the order found.
    pub(super) near: Vec<Scored>,
    /// The nearest of all, near enough or not.
    pub(super) nearest: Option<Scored>,
}

impl Found {
    /// How far the nearest of all is off.
    fn off(&self, target: f64) -> f64 {
        self.nearest
            .map_or(f64::INFINITY, |s| (s.chance - target).abs())
    }

    /// Keeps a shot that is near enough to the target, or nearer than any before.
    fn offer(&mut self, chance: f64, target: f64, most: usize, scored: &dyn Fn() -> Scored) {
        let off = (chance - target).abs();
        let best = self.off(target);
        let near = off <= NEAR_ENOUGH && self.near.len() < most;
        if !near && off >= best {
            return;
        }
        let scored = scored();
        if near {
            self.near.push(scored);
        }
        if off < best {
            self.nearest = Some(scored);
        }
    }
}

/// What a rung still needs, before a batch of lies.
#[derive(Debug, Clone, Copy)]
struct Need {
    /// Whether it has not enough to choose from.
    open: bool,
    /// How far the nearest of all is off.
    off: f64,
}

impl Need {
    /// Whether a shot with a chance in this range may be near enough, or nearer than any before.
    fn wants(self, found: &Found, target: f64, chance: Range<f64>, most: usize) -> bool {
        let off = (chance.start - target).max(target - chance.end).max(0.0);
        let best = self.off.min(found.off(target));
        let near = off <= NEAR_ENOUGH && found.near.len() < most;
        self.open && (near || (best > NEAR_ENOUGH && off < best))
    }
}

/// What a batch of lies is looked at with.
struct Batch<'a> {
    cues: &'a [Position],
    needs: &'a [Need],
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

/// Looks for shots for every rung, until it is asked to stop.
pub(super) fn find(room: &Room<'_>, wishes: &Wishes, stop: &Stop) -> Result<Vec<Found>, Stopped> {
    let objects: Vec<Position> = wishes.object.map_or_else(|| grid().collect(), |p| vec![p]);
    // in one order however they were listed, so that a mirrored ladder is the mirror image
    let pockets = || {
        PocketName::ALL
            .into_iter()
            .filter(|p| wishes.pockets.contains(p))
    };
    let mut pairs: Vec<(Position, PocketName)> = objects
        .iter()
        .flat_map(|o| pockets().map(move |p| (*o, p)))
        .collect();
    pairs.shuffle(&mut Pcg64::seed_from_u64(wishes.seed));
    // Looks are dear beside a cushion: those places last, and only for rungs that have none.
    pairs.sort_by_key(|(object, _)| room.is_beside_cushion(*object));
    let mut cues: Vec<Position> = grid().collect();
    if room.has_own_paces() {
        // few are kept of each lie: not always the first on the grid
        cues.shuffle(&mut Pcg64::seed_from_u64(wishes.seed));
    }
    let mut found = vec![Found::default(); wishes.rungs];
    let depth = Depth::of(room);
    let first_beside = pairs.partition_point(|(object, _)| !room.is_beside_cushion(*object));
    let (open, beside) = pairs.split_at(first_beside);
    // Of one place asked for there is nothing else to choose from.
    let few = if wishes.object.is_some() {
        depth.enough
    } else {
        1
    };
    let open = open.chunks(depth.at_once).map(|b| (b, depth.enough));
    let beside = beside.chunks(depth.at_once).map(|b| (b, few));
    for (pairs, enough) in open.chain(beside) {
        if found.iter().all(|f| rich(f, wishes.balance, enough)) {
            break;
        }
        // a rung that has enough is not looked for where every look costs acceptances
        let needs: Vec<Need> = (0..)
            .zip(&found)
            .map(|(number, f)| Need {
                open: !rich(f, wishes.balance, enough),
                off: f.off(wishes.target(number)),
            })
            .collect();
        let batch = Batch {
            cues: &cues,
            needs: &needs,
        };
        let lies: Vec<Vec<Found>> = pairs
            .par_iter()
            .map(|&(object, pocket)| {
                stop.check()?;
                Ok(from_lie(room, wishes, object, pocket, &batch))
            })
            .collect::<Result<_, Stopped>>()?;
        for lie in lies {
            for ((rung, more), number) in found.iter_mut().zip(lie).zip(0..) {
                let target = wishes.target(number);
                if more.off(target) < rung.off(target) {
                    rung.nearest = more.nearest;
                }
                rung.near.extend(more.near);
            }
        }
    }
    Ok(found)
}

/// Whether a rung has enough to choose from, on each side that may be wanted.
fn rich(found: &Found, balance: Balance, enough: usize) -> bool {
    let of = |wanted: i8| {
        found
            .near
            .iter()
            .filter(|s| side(s.cut_rad) != -wanted)
            .count()
    };
    match balance {
        Balance::Even => of(1) >= enough && of(-1) >= enough,
        _ => found.near.len() >= enough,
    }
}

/// Every cue-ball place for one object ball and pocket.
fn from_lie(
    room: &Room<'_>,
    wishes: &Wishes,
    object: Position,
    pocket: PocketName,
    batch: &Batch<'_>,
) -> Vec<Found> {
    let Batch { cues, needs } = *batch;
    let mut out = vec![Found::default(); wishes.rungs];
    let Some(lie) = lie(room, wishes, object, pocket) else {
        return out;
    };
    let most = Depth::of(room).with_one_lie(wishes.object.is_some(), lie.is_beside_cushion());
    let mut paces = Paces::default();
    let mut looks = vec![0_usize; wishes.rungs];
    let looked = worth_looking(room, wishes, &lie, cues);
    // Where every place is tried, at one pace, they are solved together.
    let guessed = room.has_own_paces() || lie.is_beside_cushion();
    let mut all_tried = (!guessed).then(|| {
        let points: Vec<Point> = looked.iter().map(|(_, rough)| rough.cue).collect();
        let tried: Vec<_> = room.tried_all(&lie, &lie.usual, &points).collect();
        tried.into_iter()
    });
    for (cue, rough) in looked {
        // where each shot has a pace of its own, and beside a cushion, a guess says whether the exact one
        // is wanted
        if guessed {
            let wanted = |low: f64, high: f64| -> Vec<usize> {
                (0..wishes.rungs)
                    .filter(|&k| looks[k] < most.saturating_add(MORE_LOOKS))
                    .filter(|&k| needs[k].wants(&out[k], wishes.target(k), low..high, most))
                    .collect()
            };
            let wanted = if lie.is_beside_cushion() {
                let (guess, off) = (room.guess(&lie, rough.cue), CUSHION_OFF * lie.cushion_share);
                wanted(guess - off, guess + off)
            } else {
                paces.wanted(room, &lie, &rough, &wanted)
            };
            if wanted.is_empty() {
                continue;
            }
            wanted.into_iter().for_each(|k| looks[k] += 1);
        }
        let together = all_tried.as_mut().map(|all| all.next().flatten());
        let Some(tried) = together.unwrap_or_else(|| room.tried(&lie, rough.cue)) else {
            continue;
        };
        if tried.needs_rest
            || !fits(
                room,
                wishes,
                &tried,
                rough.travel_m + lie.usual.acceptance.distance_m,
            )
        {
            continue;
        }
        let scored = || room.score(&lie, cue, object, &tried);
        for (number, rung) in out.iter_mut().enumerate() {
            rung.offer(tried.chance, wishes.target(number), most, &scored);
        }
    }
    out
}

/// The object ball before the pocket, where the topic wants it and it drops.
fn lie(room: &Room<'_>, wishes: &Wishes, object: Position, pocket: PocketName) -> Option<Lie> {
    let at = room.object_point(object)?;
    let local = pocket.frame(room.gear).to_pocket(at);
    let wanted = wishes.topic.wants_pocket(pocket.kind())
        && wishes.topic.wants_way((-local.y).atan2(-local.x))
        && (wishes.topic != Topic::AlongTheRail || beside_rail(room.gear, at, pocket));
    wanted.then(|| room.lie(at, pocket)).flatten()
}

/// Whether a ball lies along one of the rails that meet at a pocket: at most a quarter of a diamond from its
/// nose, which is a ball and a half.
fn beside_rail(gear: &Gear, at: Point, pocket: PocketName) -> bool {
    let (length_m, width_m) = (gear.bed.length_m, gear.bed.width_m);
    let (along, across) = match pocket {
        PocketName::HeadLeft => (0.0, width_m),
        PocketName::HeadRight => (0.0, 0.0),
        PocketName::SideLeft => (0.5 * length_m, width_m),
        PocketName::SideRight => (0.5 * length_m, 0.0),
        PocketName::FootLeft => (length_m, width_m),
        PocketName::FootRight => (length_m, 0.0),
    };
    let off_m = (at.x - along).abs().min((at.y - across).abs());
    off_m <= length_m / 32.0 + 1e-6
}

/// Cue-ball places as they come; with obstacles, those first whose ways pass nearest to one.
fn in_order(room: &Room<'_>, lie: &Lie, cues: &[Position]) -> Vec<(Position, Point)> {
    let placed = cues.iter().filter_map(|c| Some((*c, room.cue_point(*c)?)));
    let mut all: Vec<(f64, (Position, Point))> = placed
        .map(|(c, at)| (room.gap_m(lie, at), (c, at)))
        .collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    all.into_iter().map(|(_, place)| place).collect()
}

/// Places in the order in which they are looked at, those that are worth it.
fn worth_looking(
    room: &Room<'_>,
    wishes: &Wishes,
    lie: &Lie,
    cues: &[Position],
) -> Vec<(Position, Rough)> {
    // Few are kept of such a lie: not always the first on the grid.
    let mut mixed = Vec::new();
    let cues = if lie.is_beside_cushion() && !room.has_own_paces() {
        mixed.extend_from_slice(cues);
        mixed.shuffle(&mut Pcg64::seed_from_u64(wishes.seed));
        &mixed
    } else {
        cues
    };
    let places = in_order(room, lie, cues).into_iter();
    let looked = places.filter_map(|(cue, at)| Some((cue, worth_a_look(room, wishes, lie, at)?)));
    looked.collect()
}

/// Cut (rad) and travel (m) by geometry alone, where the cut may be in the range.
fn worth_a_look(room: &Room<'_>, wishes: &Wishes, lie: &Lie, cue: Point) -> Option<Rough> {
    // the cut at the target differs a little from that at the middle of the pocket
    const SLACK_RAD: f64 = 0.05;
    let rough = room.geometry(lie, cue)?;
    let (from, to) = wishes.cuts_rad;
    let is_wanted = rough.cut_rad >= from - SLACK_RAD && rough.cut_rad <= to + SLACK_RAD;
    is_wanted.then_some(rough)
}

/// Whether cut, way and side are as wished.
fn fits(room: &Room<'_>, wishes: &Wishes, tried: &Tried, way_m: f64) -> bool {
    let way = 8.0 * way_m / room.gear.bed.length_m;
    let cut = tried.window.cut_rad.abs();
    let (from, to) = wishes.cuts_rad;
    (from..=to).contains(&cut)
        && wishes.topic.wants_cut(cut, way)
        && side_fits(wishes.balance, tried.window.cut_rad)
}

fn side_fits(balance: Balance, cut_rad: f64) -> bool {
    match balance {
        Balance::Left => side(cut_rad) <= 0,
        Balance::Right => side(cut_rad) >= 0,
        Balance::Even | Balance::Any => true,
    }
}
