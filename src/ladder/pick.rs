//! One shot for each rung: near its chance, unlike the others, left and right in turn, and such
//! that setting the balls a little off changes nothing.

use rand::{Rng, SeedableRng};
use rand_pcg::Pcg64;
use rayon::prelude::*;

use super::error::LadderError;
use super::find::{Found, NEAR_ENOUGH, find, side};
use super::lie::{Lie, Room, Scored};
use super::pass::Pass;
use super::place::mirrored;
use super::why::{Harder, harder};
use super::wishes::{Balance, Wishes};
use super::words::topic_words;
use crate::gear::Gear;
use crate::layout::{Candidate, Reach};
use crate::player::{AimError, Ranged};
use crate::pocket::PocketName;
use crate::speech::Speech;
use crate::stop::Stop;
use crate::units::{Length, Side};

/// How far off a ball is set by eye, m: a quarter of an inch (assumption).
pub const SET_OFF_M: f64 = 0.006_35;
/// Shots whose placing is looked at for a rung before the steadiest is taken (assumption).
const LOOKED_AT: usize = 6;
/// The same where none of those is near enough once the speeds of the stroke count (assumption).
const LOOKED_AT_MOST: usize = 24;

/// One rung.
#[derive(Debug, Clone, PartialEq)]
pub struct Rung {
    /// The chance asked for.
    pub target: f64,
    /// The shot.
    pub shot: Scored,
    /// Whether its chance is near enough to what was asked for.
    pub met: bool,
    /// The chance over how jaws and rails may bounce.
    pub range: Option<Ranged>,
    /// Lowest and highest chance with either ball, or both, a quarter of an inch off.
    pub set_off: (f64, f64),
    /// Whether it stays this rung, and no other, wherever it is so set.
    pub steady: bool,
    /// What makes it harder than the rung before; empty for the first.
    pub harder: Vec<Harder>,
    /// What passes it.
    pub pass: Pass,
}

/// A graded list of shots.
#[derive(Debug, Clone, PartialEq)]
pub struct Ladder {
    /// What was asked for.
    pub wishes: Wishes,
    /// The rungs, easiest first.
    pub rungs: Vec<Rung>,
}

/// Draws up a ladder.
///
/// # Errors
/// [`LadderError::NoShot`] when nothing on the table fits the wishes, and those of the pass rule. A rung
/// without a shot of its chance is an answer: [`Rung::met`] is false and the shot is the nearest.
pub fn ladder(gear: &Gear, wishes: &Wishes) -> Result<Ladder, LadderError> {
    ladder_until(gear, wishes, &Stop::never())
}

/// The same, given up when it is asked to stop.
///
/// # Errors
/// As [`ladder`], and [`LadderError::Stopped`].
pub fn ladder_until(gear: &Gear, wishes: &Wishes, stop: &Stop) -> Result<Ladder, LadderError> {
    if wishes.mirrored {
        return Ok(mirror_image(
            gear,
            &ladder_until(gear, &canonical(gear, wishes), stop)?,
            wishes,
        ));
    }
    let room = Room::for_ladder(gear, wishes)?;
    let found = find(&room, wishes, stop)?;
    let mut rng = Pcg64::seed_from_u64(wishes.seed ^ 0x5eed);
    let mut rungs: Vec<Rung> = Vec::with_capacity(wishes.rungs);
    for found in &found {
        stop.check()?;
        let ranked = ranked(&room, wishes, found, &rungs, &mut rng);
        let target = wishes.target(rungs.len());
        let (shot, set_off) =
            steadiest(&room, wishes, &ranked, target).ok_or_else(|| no_shot(wishes))?;
        let steady = stays(set_off.0, set_off.1, target, wishes.step());
        let last = rungs.last().map(|r| &r.shot);
        rungs.push(Rung {
            target,
            shot,
            met: (shot.chance - target).abs() <= NEAR_ENOUGH,
            range: room.range(&shot),
            set_off,
            steady,
            harder: last.map_or_else(Vec::new, |l| harder(l, &shot)),
            pass: wishes.pass.pass(shot.chance)?,
        });
    }
    Ok(Ladder {
        wishes: wishes.clone(),
        rungs,
    })
}

/// What obstacles leave of a rung's shot: the directions of the cue ball that make it; `None` where
/// there are no obstacles.
///
/// # Errors
/// Those of a stroke that cannot be.
pub fn left_open(
    gear: &Gear,
    wishes: &Wishes,
    shot: &Scored,
) -> Result<Option<Candidate>, LadderError> {
    Ok(Room::for_ladder(gear, wishes)?.left_open(shot))
}

fn no_shot(wishes: &Wishes) -> LadderError {
    let (from, to) = wishes.cuts_rad;
    let pockets: Vec<&str> = wishes.pockets.iter().map(|p| p.name()).collect();
    let mut words = format!(
        "{}, cuts {:.0}° to {:.0}°, into {}",
        topic_words(wishes.topic, Speech::default()),
        from.to_degrees(),
        to.to_degrees(),
        pockets.join(", ")
    );
    if let Some(object) = wishes.object {
        words.push_str(&format!(", object ball at {object}"));
    }
    for obstacle in &wishes.obstacles {
        words.push_str(&format!(", a ball in the way at {obstacle}"));
    }
    if let Some(reach) = wishes.reach {
        let (hand, far) = (reach.hand.name(), Length::from_m(reach.reach_m));
        words.push_str(&format!(", {hand} hand, reach {far}"));
    }
    LadderError::NoShot { wishes: words }
}

/// Candidates for the rung after those before it, best first.
fn ranked(
    room: &Room<'_>,
    wishes: &Wishes,
    found: &Found,
    before: &[Rung],
    rng: &mut Pcg64,
) -> Vec<Scored> {
    let unlike = |s: &Scored| {
        before
            .iter()
            .map(|r| distance(room, &r.shot, s))
            .fold(f64::INFINITY, f64::min)
    };
    let wanted = wanted_side(wishes.balance, before);
    let target = wishes.target(before.len());
    let mut scored: Vec<(f64, Scored)> = Vec::with_capacity(found.near.len());
    for s in &found.near {
        let noise: f64 = rng.random();
        let apart = unlike(s);
        if apart <= 0.0 {
            continue;
        }
        let off = (s.chance - target).abs() / NEAR_ENOUGH;
        let wrong_side = f64::from(u8::from(wanted != 0 && side(s.cut_rad) == -wanted));
        // one unit: as far off as is allowed, or as like another rung as can be (assumption)
        let far = idle(room, s);
        let cost = off + 1.0 / (1.0 + apart) + 10.0 * wrong_side + 0.5 * noise + 2.0 * far;
        scored.push((cost, *s));
    }
    scored.sort_by(|a, b| a.0.total_cmp(&b.0));
    if scored.is_empty() {
        return found.nearest.into_iter().collect();
    }
    // a wrong side is taken only when there is no other
    let least = scored[0].0;
    scored
        .into_iter()
        .take_while(|(cost, _)| *cost < least + 5.0)
        .take(LOOKED_AT_MOST)
        .map(|(_, s)| s)
        .collect()
}

/// How little an obstacle has to do with a shot: 0 in the way, 1 from two ball widths on; 0 without.
fn idle(room: &Room<'_>, shot: &Scored) -> f64 {
    if shot.gap_m.is_finite() {
        (shot.gap_m / (2.0 * room.gear.balls.object_diameter_m)).clamp(0.0, 1.0)
    } else {
        0.0
    }
}

/// The side that evens the count, 0 for either.
fn wanted_side(balance: Balance, before: &[Rung]) -> i8 {
    if balance != Balance::Even {
        return 0;
    }
    let sum: i32 = before.iter().map(|r| i32::from(side(r.shot.cut_rad))).sum();
    match sum {
        s if s < 0 => 1,
        s if s > 0 => -1,
        _ => 0,
    }
}

/// How unlike two shots are: 0 for the same shot or its mirror image about a middle line, about 1
/// for a change that a student notices (10° of cut, a diamond of way, 15° off square).
fn distance(room: &Room<'_>, a: &Scored, b: &Scored) -> f64 {
    let diamond_m = room.gear.bed.length_m / 8.0;
    let kind = f64::from(u8::from(a.pocket.kind() != b.pocket.kind()));
    let parts = [
        (a.cut_rad.abs() - b.cut_rad.abs()).to_degrees() / 10.0,
        (a.travel_m - b.travel_m) / diamond_m,
        (a.to_pocket_m - b.to_pocket_m) / diamond_m,
        (a.off_square_rad - b.off_square_rad).to_degrees() / 15.0,
        2.0 * kind,
    ];
    let sum: f64 = parts.iter().map(|p| p * p).sum();
    // rounding of mirrored places
    let apart = sum.sqrt();
    if apart < 1e-6 { 0.0 } else { apart }
}

/// The first shot that stays its rung when set off, else the steadiest.
fn steadiest(
    room: &Room<'_>,
    wishes: &Wishes,
    ranked: &[Scored],
    target: f64,
) -> Option<(Scored, (f64, f64))> {
    let worst = |(low, high): (f64, f64)| (low - target).abs().max((high - target).abs());
    let off = |shot: &Scored| (shot.chance - target).abs();
    let mut best: Option<(Scored, (f64, f64))> = None;
    // Where none is near enough once the speeds of the stroke count.
    let mut nearest: Option<(Scored, (f64, f64))> = None;
    for (looked_at, shot) in ranked.iter().enumerate() {
        if looked_at >= LOOKED_AT && best.is_some() {
            break;
        }
        let exact = room.exact(shot).unwrap_or(shot.chance);
        let by = exact - shot.chance;
        let (low, high) = set_off(room, shot);
        let range = ((low + by).max(0.0), (high + by).min(1.0));
        let shot = Scored {
            chance: exact,
            ..*shot
        };
        if off(&shot) > NEAR_ENOUGH {
            if nearest.is_none_or(|(known, _)| off(&shot) < off(&known)) {
                nearest = Some((shot, range));
            }
            continue;
        }
        if stays(range.0, range.1, target, wishes.step()) {
            return Some((shot, range));
        }
        if best.is_none_or(|(_, least)| worst(range) < worst(least)) {
            best = Some((shot, range));
        }
    }
    best.or(nearest)
}

/// Whether chances in this range are nearer to this rung than to any other.
fn stays(low: f64, high: f64, target: f64, step: f64) -> bool {
    let half = 0.5 * step;
    low >= target - half && high <= target + half
}

/// Lowest and highest chance with each ball in place or a quarter of an inch off in any of eight
/// directions.
fn set_off(room: &Room<'_>, shot: &Scored) -> (f64, f64) {
    let (Some(object), Some(cue)) = (room.object_point(shot.object), room.cue_point(shot.cue))
    else {
        return (shot.chance, shot.chance);
    };
    let still = std::iter::once(kurbo::Vec2::ZERO);
    let pushes: Vec<kurbo::Vec2> = still.chain(Room::shoves(SET_OFF_M)).collect();
    let wider = |a: (f64, f64), b: (f64, f64)| (a.0.min(b.0), a.1.max(b.1));
    if room
        .lie(object, shot.pocket)
        .is_some_and(|lie| lie.is_beside_cushion())
    {
        return set_off_beside(room, shot, object, cue, &pushes);
    }
    pushes
        .par_iter()
        .filter_map(|push| {
            // off into a cushion or another ball is no place
            let lie = room.lie(object + *push, shot.pocket)?;
            let chances = room.chances_around(&lie, cue, &pushes);
            let range = (shot.chance, shot.chance);
            Some(chances.into_iter().fold(range, |r, p| wider(r, (p, p))))
        })
        .reduce(|| (shot.chance, shot.chance), wider)
}

/// The same beside a cushion, where each look is dear: a guess says at which places the chance is lowest
/// and highest, and those are looked at.
fn set_off_beside(
    room: &Room<'_>,
    shot: &Scored,
    object: kurbo::Point,
    cue: kurbo::Point,
    pushes: &[kurbo::Vec2],
) -> (f64, f64) {
    let mut ends: [Option<(f64, Lie, kurbo::Point)>; 2] = [None, None];
    for lie in pushes
        .iter()
        .filter_map(|p| room.lie(object + *p, shot.pocket))
    {
        for at in pushes.iter().map(|push| cue + *push) {
            if room.geometry(&lie, at).is_none() {
                continue;
            }
            let guess = room.guess(&lie, at);
            for (end, sign) in ends.iter_mut().zip([1.0, -1.0]) {
                if end.as_ref().is_none_or(|e| sign * guess < sign * e.0) {
                    *end = Some((guess, lie.clone(), at));
                }
            }
        }
    }
    let looked = ends.into_iter().flatten();
    let chances = looked.map(|(_, lie, at)| room.chance(&lie, at));
    chances.fold((shot.chance, shot.chance), |r, p| (r.0.min(p), r.1.max(p)))
}

/// The other side of the long middle line.
fn other_side(pocket: PocketName) -> PocketName {
    match pocket {
        PocketName::HeadLeft => PocketName::HeadRight,
        PocketName::HeadRight => PocketName::HeadLeft,
        PocketName::SideLeft => PocketName::SideRight,
        PocketName::SideRight => PocketName::SideLeft,
        PocketName::FootLeft => PocketName::FootRight,
        PocketName::FootRight => PocketName::FootLeft,
    }
}

/// The wishes as their mirror image, so that the ladder found for them, mirrored again, has the
/// very same chances.
fn canonical(gear: &Gear, wishes: &Wishes) -> Wishes {
    Wishes {
        mirrored: false,
        pockets: wishes.pockets.iter().map(|p| other_side(*p)).collect(),
        object: wishes.object.map(|p| mirrored(p, &gear.bed)),
        balance: match wishes.balance {
            Balance::Left => Balance::Right,
            Balance::Right => Balance::Left,
            same => same,
        },
        player: turned(wishes.aim(Side::Right)),
        right: wishes.right.map(|_| turned(wishes.aim(Side::Left))),
        reach: wishes.reach.map(|r| Reach {
            hand: r.hand.other(),
            ..r
        }),
        obstacles: wishes
            .obstacles
            .iter()
            .map(|p| mirrored(*p, &gear.bed))
            .collect(),
        stroke: crate::window::Stroke {
            straight_side: wishes.stroke.straight_side.other(),
            ..wishes.stroke
        },
        ..wishes.clone()
    }
}

/// The mirror image of an aim.
fn turned(aim: AimError) -> AimError {
    AimError {
        bias_rad: -aim.bias_rad,
        ..aim
    }
}

fn mirror_image(gear: &Gear, ladder: &Ladder, wishes: &Wishes) -> Ladder {
    let rungs = ladder
        .rungs
        .iter()
        .map(|rung| Rung {
            shot: Scored {
                cue: mirrored(rung.shot.cue, &gear.bed),
                object: mirrored(rung.shot.object, &gear.bed),
                pocket: other_side(rung.shot.pocket),
                cut_rad: -rung.shot.cut_rad,
                ..rung.shot
            },
            ..rung.clone()
        })
        .collect();
    Ladder {
        wishes: wishes.clone(),
        rungs,
    }
}
