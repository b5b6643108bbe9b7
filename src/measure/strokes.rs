//! What a stroke tells: rolling friction, restitution of the cushions, friction between balls.

use crate::gear::{BallContact, GRAVITY_M_S2, Gear};
use crate::window::{StrokeError, run_of_length};

/// Rolling friction of a ball that rolls `distance_m` to rest in `time_s`: rolling slows it by
/// μ_r g, so d = ½ μ_r g t² and μ_r = 2d/(g t²).
#[must_use]
pub fn rolling_friction(distance_m: f64, time_s: f64) -> f64 {
    2.0 * distance_m / (GRAVITY_M_S2 * time_s * time_s)
}

/// The other way round: the time from `distance_m` before the place of rest.
#[must_use]
pub fn rolling_time_s(distance_m: f64, rolling_friction: f64) -> f64 {
    (2.0 * distance_m / (GRAVITY_M_S2 * rolling_friction)).sqrt()
}

/// Restitutions looked at; the lower ones need strokes nobody has.
const RESTITUTIONS: (f64, f64) = (0.3, 1.0);
/// Accuracy of a restitution found.
const RESTITUTION: f64 = 1e-5;

/// Seconds from tip to rest of a run of `travelled_m` from the head spot, on this gear with
/// another restitution of the cushions.
///
/// # Errors
/// [`StrokeError`]: no stroke runs that far.
pub fn run_time_s(gear: &Gear, restitution: f64, travelled_m: f64) -> Result<f64, StrokeError> {
    let mut gear = gear.clone();
    gear.cushion.restitution = restitution;
    Ok(run_of_length(&gear, travelled_m)?.duration_s)
}

/// A restitution read off a timed run, or the times that are possible.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum RunReading {
    /// Found.
    Restitution(f64),
    /// No cushion does that; between the least and the most seconds it would.
    Impossible {
        /// With the deadest cushion a stroke can drive that far.
        least_s: f64,
        /// With a cushion that loses nothing.
        most_s: f64,
    },
}

/// Restitution of cushions on which a ball runs `travelled_m` and rests after `time_s`.
///
/// A stroke of unknown speed has two results, way and time; for the same way a deader cushion
/// needs a harder stroke, whose ball is quicker. Traced, so spin and sliding are in it; friction of
/// the cushions and sliding friction are the gear's.
///
/// # Errors
/// [`StrokeError`]: no stroke runs that far at all.
pub fn restitution_of_run(
    gear: &Gear,
    travelled_m: f64,
    time_s: f64,
) -> Result<RunReading, StrokeError> {
    let (mut lo, mut hi) = RESTITUTIONS;
    let most_s = run_time_s(gear, hi, travelled_m)?;
    let mut least_s = 0.0;
    while hi - lo > RESTITUTION {
        let middle = 0.5 * (lo + hi);
        match run_time_s(gear, middle, travelled_m) {
            Ok(t) if t >= time_s => hi = middle,
            Ok(t) => {
                lo = middle;
                least_s = t;
            }
            // Too dead for any stroke.
            Err(StrokeError::Lengths { .. }) => lo = middle,
            Err(other) => return Err(other),
        }
    }
    let found = 0.5 * (lo + hi);
    if time_s > most_s || least_s <= 0.0 {
        // The deadest cushion off which a stroke still runs as far.
        const STEPS: u32 = 28;
        let (dead, lively) = RESTITUTIONS;
        let least_s = (0..STEPS)
            .map(|k| dead + (lively - dead) * f64::from(k) / f64::from(STEPS))
            .find_map(|e| run_time_s(gear, e, travelled_m).ok())
            .unwrap_or(most_s);
        return Ok(RunReading::Impossible { least_s, most_s });
    }
    Ok(RunReading::Restitution(found))
}

/// Friction of the balls, 1 as published, that throws a stunned, cut object ball by `throw_rad`.
///
/// Slipping, tan T = scale·(mu_a + mu_b·exp(−mu_c v sin φ)). `None` where the balls would grip
/// first, tan T ≥ (2/7) tan φ/(1 + e_b): such a shot says nothing about friction.
#[must_use]
pub fn friction_scale(
    contact: &BallContact,
    cut_rad: f64,
    speed_m_s: f64,
    throw_rad: f64,
) -> Option<f64> {
    let grip = (2.0 / 7.0) / (1.0 + contact.restitution) * cut_rad.tan();
    let published = BallContact {
        friction_scale: 1.0,
        ..*contact
    };
    let as_published = published.friction(speed_m_s * cut_rad.sin());
    (throw_rad.tan() < grip).then(|| throw_rad.tan() / as_published)
}
