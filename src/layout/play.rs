//! Deciding: how hard, whether at all, and what can go wrong.

use kurbo::Point;
use rand::Rng;
use serde::Serialize;

use super::candidates::{Candidate, direct};
use super::cueball::{CueEnd, Forward};
use super::table::Table;
use crate::player::{AimError, normal};
use crate::pocket::{AcceptanceError, PocketName};
use crate::window::{Flags, PaceWord, Stroke};

/// Fastest pace at the pocket that is tried, m/s (assumption: harder than anybody plays a ball in).
/// The slowest is [`PaceWord::JustDrops`]: softer, a ball may die on the shelf.
const FASTEST_M_S: f64 = 5.0;
/// Paces tried, evenly in the logarithm.
const PACES: u32 = 25;

/// One pace tried.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PaceTry {
    /// Speed at the pocket.
    pub pace_m_s: f64,
    /// Cue-ball speed at contact.
    pub cue_speed_m_s: f64,
    /// Chance to make it, arm growth and throw counted.
    pub chance: f64,
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

/// Tries paces for a direct shot of a player whose stance widens the arm by a factor; `None` when it is not on at any of them.
///
/// # Errors
/// [`AcceptanceError`] for a ball in a cushion.
pub fn best_pace(
    table: &Table<'_>,
    ball: usize,
    pocket: PocketName,
    stroke: &Stroke,
    (player, arm_factor): (&AimError, f64),
) -> Result<Option<BestPace>, AcceptanceError> {
    let slowest = PaceWord::JustDrops.pace_m_s();
    let attempt = |pace_m_s| {
        pace_try(
            table,
            (ball, pocket),
            stroke,
            pace_m_s,
            (player, arm_factor),
        )
    };
    let asked = attempt(stroke.pace_m_s)?;
    let mut tried = Vec::new();
    for k in 0..PACES {
        let share = f64::from(k) / f64::from(PACES - 1);
        tried.extend(attempt(slowest * (FASTEST_M_S / slowest).powf(share))?);
    }
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
    (ball, pocket): (usize, PocketName),
    stroke: &Stroke,
    pace_m_s: f64,
    (player, arm_factor): (&AimError, f64),
) -> Result<Option<PaceTry>, AcceptanceError> {
    let stroke = Stroke {
        pace_m_s,
        ..*stroke
    };
    let Ok(set) = table.drop_set(ball, pocket, pace_m_s)? else {
        return Ok(None);
    };
    let Ok(shot) = direct(table, Ok(&set), &stroke) else {
        return Ok(None);
    };
    let Some(window) = shot.window().filter(|w| !w.flags.has(Flags::TOO_FAST)) else {
        return Ok(None);
    };
    Ok(Some(PaceTry {
        pace_m_s,
        cue_speed_m_s: shot.cue_speed_m_s,
        chance: shot.chance(player, arm_factor),
        throw_rad: window.throw_rad.abs(),
        room_rad: set.open.measure_rad(),
    }))
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

/// Simulates a player's errors on a shot; the factor is the stance's on the arm.
#[must_use]
pub fn risk<R: Rng + ?Sized>(
    table: &Table<'_>,
    candidate: &Candidate,
    (player, arm_factor): (&AimError, f64),
    tries: u32,
    rng: &mut R,
) -> Risk {
    let forward = Forward::new(table, candidate);
    let sigma_rad = candidate.sigma_rad(player, arm_factor);
    let (mut make, mut scratch, mut both) = (0_u32, 0_u32, 0_u32);
    let (mut object_stops, mut cue_stops) = (Vec::new(), Vec::new());
    for _ in 0..tries {
        let delta = player.bias_rad + sigma_rad * normal::sample(rng);
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
