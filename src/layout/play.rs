//! Deciding: how hard, whether at all, and what can go wrong.

use kurbo::Point;
use rand::Rng;
use rayon::prelude::*;
use serde::Serialize;

use super::candidate::{AimSpread, Candidate};
use super::chance::Plays;
use super::cueball::{CueEnd, Forward, Paths};
use super::direct::{direct, past_others};
use super::table::{DropSet, Table};
use crate::motion::start_speed_for_pace_m_s;
use crate::player::spreads::{BALLS_SHARE, SPEED_SHARE};
use crate::player::{chance, normal, side_spread_rad};
use crate::pocket::{AcceptanceError, PocketName};
use crate::window::{AimWindow, Flags, PaceWord, Stroke, contact_speed_m_s};

/// Fastest pace at the pocket that is tried, m/s (assumption: harder than anybody plays a ball in).
/// The slowest is [`PaceWord::DeadWeight`]: softer, a ball may die on the shelf.
const FASTEST_M_S: f64 = 5.0;
/// Paces tried, evenly in the logarithm.
const PACES: u32 = 25;

/// Speeds tried around the intended one, each as likely as the others.
const SPEEDS: u32 = 7;
/// Three-point Gauss–Hermite rule of the Normal (from memory; its first five moments are checked
/// by a test): places in σ and weights.
pub const FRICTIONS: [(f64, f64); 3] = [
    (-1.732_050_807_568_877_2, 1.0 / 6.0),
    (0.0, 2.0 / 3.0),
    (1.732_050_807_568_877_2, 1.0 / 6.0),
];

/// One pace tried.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PaceTry {
    /// Speed at the pocket.
    pub pace_m_s: f64,
    /// The same stroke in table lengths.
    pub stroke_lengths: f64,
    /// Cue-ball speed at contact.
    pub cue_speed_m_s: f64,
    /// Chance to make it: aim, growth of the arm with the stroke, errors of speed and condition of the
    /// balls counted.
    pub chance: f64,
    /// Share of the strokes that come out so soft that the ball dies before the pocket.
    pub short_share: f64,
    /// Throw when aimed right, without sign.
    pub throw_rad: f64,
    /// Object-ball directions that drop, those blocked by others taken out.
    pub room_rad: f64,
}

/// The stroke that maximises the chance.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BestPace {
    /// The best of all tried.
    pub best: PaceTry,
    /// The pace that was asked for; `None` when the shot is not on at it.
    pub asked: Option<PaceTry>,
    /// All that make the ball at all, slowest first.
    pub tried: Vec<PaceTry>,
}

/// Tries paces for a direct shot; `None` when it is not on at any of them.
///
/// Besides the aim, the stroke's speed (±10 %) and the friction between the balls (±25 %) scatter,
/// both as the error budget assumes: a soft stroke may die before the pocket and throws more, by
/// an amount that is less certain; a hard one spreads the arm and narrows the pocket. Not counted:
/// where the cue ball goes, and a cloth that rolls off, both of which speak against soft strokes.
///
/// # Errors
/// [`AcceptanceError`] for a ball in a cushion.
pub fn best_pace(
    table: &Table<'_>,
    ball: usize,
    pocket: PocketName,
    stroke: &Stroke,
    plays: &Plays<'_>,
) -> Result<Option<BestPace>, AcceptanceError> {
    let slowest = PaceWord::DeadWeight.pace_m_s();
    let attempt = |pace_m_s| {
        let stroke = Stroke {
            pace_m_s,
            ..*stroke
        };
        pace_try(table, ball, pocket, &stroke, plays)
    };
    let asked = attempt(stroke.pace_m_s)?;
    let tried: Vec<Option<PaceTry>> = (0..PACES)
        .into_par_iter()
        .map(|k| {
            let share = f64::from(k) / f64::from(PACES - 1);
            attempt(slowest * (FASTEST_M_S / slowest).powf(share))
        })
        .collect::<Result<_, _>>()?;
    let tried: Vec<PaceTry> = tried.into_iter().flatten().collect();
    // the asked pace may lie between two of those tried
    let candidates = tried
        .iter()
        .chain(asked.iter().filter(|a| a.pace_m_s >= slowest));
    let best = candidates
        .copied()
        .max_by(|a, b| a.chance.total_cmp(&b.chance));
    Ok(best.map(|best| BestPace { best, asked, tried }))
}

/// One pace of a direct shot; `None` when it is not on at it.
fn pace_try(
    table: &Table<'_>,
    ball: usize,
    pocket: PocketName,
    stroke: &Stroke,
    plays: &Plays<'_>,
) -> Result<Option<PaceTry>, AcceptanceError> {
    let pace_m_s = stroke.pace_m_s;
    let Ok(set) = table.drop_set(ball, pocket, pace_m_s)? else {
        return Ok(None);
    };
    let Ok(shot) = direct(table, Ok(&set), stroke) else {
        return Ok(None);
    };
    let Some(window) = shot.window().filter(|w| !w.flags.has(Flags::TOO_FAST)) else {
        return Ok(None);
    };
    let short_share = short_share(table, &set);
    let side_rad = side_spread_rad(table.gear, window, &plays.aims.scatter);
    let spread = AimSpread {
        sigma_rad: shot.sigma_rad(plays.aims, plays.arm_factor).hypot(side_rad),
        bias_rad: plays.aims.bias_rad,
    };
    let mut made = 0.0;
    for k in 0..SPEEDS {
        let share = (f64::from(k) + 0.5) / f64::from(SPEEDS);
        let faster =
            1.0 + SPEED_SHARE * normal::quantile(short_share + (1.0 - short_share) * share);
        made += made_at(table, &set, window, faster, &spread)?;
    }
    let lengths = shot.stroke_lengths(table.gear).unwrap_or(f64::NAN);
    Ok(Some(PaceTry {
        pace_m_s,
        stroke_lengths: lengths,
        cue_speed_m_s: shot.cue_speed_m_s,
        chance: (1.0 - short_share) * made / f64::from(SPEEDS),
        short_share,
        throw_rad: window.throw_rad.abs(),
        room_rad: set.open.measure_rad(),
    }))
}

/// Share of the strokes after which the ball dies before the mouth: those slower than
/// `v_o(0)/v_o(pace)` of the intended speed.
fn short_share(table: &Table<'_>, set: &DropSet) -> f64 {
    let to_mouth_m = set.acceptance.distance_m;
    let least_m_s = start_speed_for_pace_m_s(&table.gear.cloth, 0.0, to_mouth_m);
    normal::cdf((least_m_s / set.acceptance.object_speed_m_s - 1.0) / SPEED_SHARE)
}

/// Chance of an aim meant for one speed when the stroke comes out `faster` times as fast, over the
/// condition of the balls.
fn made_at(
    table: &Table<'_>,
    set: &DropSet,
    window: &AimWindow,
    faster: f64,
    spread: &AimSpread,
) -> Result<f64, AcceptanceError> {
    let meant = &set.acceptance;
    let arrives = contact_speed_m_s(
        &table.gear.cloth,
        meant.object_speed_m_s * faster,
        1.0,
        meant.distance_m,
    );
    // Past the mouth the pace is the speed the ball is sent with.
    let pace_m_s = if meant.object_speed_m_s <= meant.pace_m_s {
        Some(meant.pace_m_s * faster)
    } else {
        arrives
    };
    let Some(pace_m_s) = pace_m_s else {
        return Ok(0.0);
    };
    let Ok(now) = table.drop_set(set.ball, set.pocket, pace_m_s)? else {
        return Ok(0.0);
    };
    Ok(FRICTIONS
        .iter()
        .map(|(z, weight)| {
            let mut sent = *window;
            sent.law.speed_m_s *= faster;
            sent.law.contact.friction_scale *= 1.0 + BALLS_SHARE * z;
            let all = sent.cue_directions(&now.open);
            let (free, _) = past_others(table, set.ball, &sent, &all);
            weight * chance(&free.intervals_rad(), spread.sigma_rad, spread.bias_rad)
        })
        .sum())
}

/// The chance of making the shot from which going for it wins as often as playing safe, given the
/// chances to win the game after a make, a miss and a safety: `(safe − miss)/(make − miss)`.
///
/// `None` when a make does not help (make ≤ miss). Below 0 going for it is always right, above 1
/// never.
#[must_use]
pub fn break_even(win_after_make: f64, win_after_miss: f64, win_after_safe: f64) -> Option<f64> {
    let gain = win_after_make - win_after_miss;
    (gain > 0.0).then(|| (win_after_safe - win_after_miss) / gain)
}

/// What can happen, from simulated errors.
#[derive(Debug, Clone, PartialEq)]
pub struct Risk {
    /// Tries simulated.
    pub tries: u32,
    /// Made, scratch or not.
    pub make: f64,
    /// Scratched, made or not.
    pub scratch: f64,
    /// Made and scratched.
    pub make_and_scratch: f64,
    /// Not made.
    pub miss: f64,
    /// Where the object ball stopped after misses, m.
    pub object_stops: Vec<Point>,
    /// Where the cue ball came to lie when it did not scratch, m.
    pub cue_stops: Vec<Point>,
}

/// What side adds to the spread of a straight shot, rad.
fn side_added_rad(table: &Table<'_>, candidate: &Candidate, plays: &Plays<'_>) -> f64 {
    let window = candidate.window();
    window.map_or(0.0, |w| side_spread_rad(table.gear, w, &plays.aims.scatter))
}

/// A player's strokes at one shot, drawn one after the other.
struct Strokes<'a> {
    candidate: &'a Candidate,
    plays: &'a Plays<'a>,
    forward: Forward<'a>,
    side_rad: f64,
}

impl<'a> Strokes<'a> {
    fn new(table: &'a Table<'a>, candidate: &'a Candidate, plays: &'a Plays<'a>) -> Self {
        Self {
            candidate,
            plays,
            forward: Forward::new(table, candidate),
            side_rad: side_added_rad(table, candidate, plays),
        }
    }

    /// The next one: how it is followed, and how far its aim is off, rad; `None` where the cue ball
    /// stops short.
    fn next<R: Rng + ?Sized>(&mut self, rng: &mut R) -> Option<(&Forward<'a>, f64)> {
        let player = self.plays.aims;
        let (faster, aside) = (normal::sample(rng), normal::sample(rng));
        if !self
            .forward
            .strike(1.0 + player.scatter.speed_share * faster)
        {
            return None;
        }
        let speed = self.forward.cue_speed_m_s();
        let sigma_rad = self
            .candidate
            .sigma_at_rad(player, self.plays.arm_factor, speed);
        let delta = player.bias_rad + sigma_rad.hypot(self.side_rad) * aside;
        Some((&self.forward, delta))
    }
}

/// One simulated try.
#[derive(Debug, Clone, PartialEq)]
pub struct Attempt {
    /// Whether the ball called went into the pocket called.
    pub made: bool,
    /// Whether the cue ball went into a pocket.
    pub scratched: bool,
    /// For a miss that met the ball: whether it was hit fuller than wanted.
    pub too_full: Option<bool>,
    /// Where the balls went; nothing where the stroke went wild or the cue ball stopped short.
    pub paths: Option<Paths>,
}

/// Simulates tries at a shot and follows each, as [`risk`] does; strokes that go wild miss.
#[must_use]
pub fn attempts<R: Rng + ?Sized>(
    table: &Table<'_>,
    candidate: &Candidate,
    plays: &Plays<'_>,
    tries: u32,
    rng: &mut R,
) -> Vec<Attempt> {
    let lost = Attempt {
        made: false,
        scratched: false,
        too_full: None,
        paths: None,
    };
    let wild = plays.aims.wild_share;
    let wanted = candidate.window().map(|w| w.cut_rad.abs());
    let mut strokes = Strokes::new(table, candidate, plays);
    let mut one = |rng: &mut R| {
        if wild > 0.0 && rng.random::<f64>() < wild {
            return lost.clone();
        }
        let Some((forward, delta)) = strokes.next(rng) else {
            return lost.clone();
        };
        let outcome = forward.outcome(delta, false);
        let made = forward.made(&outcome);
        let fuller = || Some(outcome.cut_rad?.abs() < wanted?);
        Attempt {
            made,
            scratched: matches!(outcome.cue.end, CueEnd::Scratch(_)),
            too_full: if made { None } else { fuller() },
            paths: Some(forward.paths(delta)),
        }
    };
    (0..tries).map(|_| one(rng)).collect()
}

/// Simulates a player's errors on a shot, of direction and of the stroke's speed.
#[must_use]
pub fn risk<R: Rng + ?Sized>(
    table: &Table<'_>,
    candidate: &Candidate,
    plays: &Plays<'_>,
    tries: u32,
    rng: &mut R,
) -> Risk {
    let (mut make, mut scratch, mut both) = (0_u32, 0_u32, 0_u32);
    let (mut object_stops, mut cue_stops) = (Vec::new(), Vec::new());
    let mut strokes = Strokes::new(table, candidate, plays);
    for _ in 0..tries {
        // A stroke so soft that the cue ball stops short leaves everything where it is.
        let Some((forward, delta)) = strokes.next(rng) else {
            object_stops.push(table.at(candidate.ball));
            cue_stops.push(table.layout.cue);
            continue;
        };
        let outcome = forward.outcome(delta, false);
        let made = forward.made(&outcome);
        let scratched = matches!(outcome.cue.end, CueEnd::Scratch(_));
        make += u32::from(made);
        scratch += u32::from(scratched);
        both += u32::from(made && scratched);
        if !made {
            object_stops.push(outcome.object_at);
        }
        if !scratched {
            cue_stops.push(outcome.cue.at);
        }
    }
    let share = |count: u32| f64::from(count) / f64::from(tries.max(1));
    Risk {
        tries,
        make: share(make),
        scratch: share(scratch),
        make_and_scratch: share(both),
        miss: 1.0 - share(make),
        object_stops,
        cue_stops,
    }
}
