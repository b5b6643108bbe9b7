//! Windows of strokes: of a cue ball that arrives as asked, or of a tip that strikes at a place.

use kurbo::Point;

use super::aim::{AimWindow, Flags, NoWindow};
use super::many;
use super::shot::Stroke;
use super::strike::stick_at;
use crate::gear::Gear;
use crate::pocket::Acceptance;

/// Rounds that bring the stick's speed and what arrives into agreement: each plain one shrinks the
/// difference tenfold or more, and secants need about half as many.
const ROUNDS: u32 = 30;
/// Agreement of roll and side.
const AGREED: f64 = 1e-9;

/// Solves the window of a cue ball at `cue` (pocket frame, m), the acceptance being known.
///
/// Where the stroke says where its tip strikes, what arrives follows from the way and the stick's speed
/// from the pace of the shot; both depend on each other and are brought into agreement.
///
/// # Errors
/// [`NoWindow`] where there is none.
pub fn solve_with(
    gear: &Gear,
    acceptance: &Acceptance,
    cue: Point,
    stroke: &Stroke,
) -> Result<AimWindow, NoWindow> {
    if stroke.tip.is_none() {
        return many::one(gear, acceptance, cue, stroke);
    }
    let first = many::one(gear, acceptance, cue, &rolling(stroke))?;
    settled(gear, acceptance, cue, stroke, first)
}

/// Solves the windows of many cue balls (pocket frame, m), the acceptance being known; answers in the
/// order of `cues`, each that of [`solve_with`] to 1e-12 rad.
#[must_use]
pub fn solve_many(
    gear: &Gear,
    acceptance: &Acceptance,
    cues: &[Point],
    stroke: &Stroke,
) -> Vec<Result<AimWindow, NoWindow>> {
    if stroke.tip.is_none() {
        return many::many(gear, acceptance, cues, stroke);
    }
    // Most cue balls roll by the time they arrive, and are done with the first round.
    let firsts = many::many(gear, acceptance, cues, &rolling(stroke));
    let settle = |(first, cue): (Result<AimWindow, NoWindow>, &Point)| {
        settled(gear, acceptance, *cue, stroke, first?)
    };
    firsts.into_iter().zip(cues).map(settle).collect()
}

/// The same stroke with a cue ball that arrives rolling.
fn rolling(stroke: &Stroke) -> Stroke {
    Stroke {
        roll: 1.0,
        side: 0.0,
        tip: None,
        ..*stroke
    }
}

/// Brings a window of a rolling cue ball into agreement with the stroke's tip.
fn settled(
    gear: &Gear,
    acceptance: &Acceptance,
    cue: Point,
    stroke: &Stroke,
    first: AimWindow,
) -> Result<AimWindow, NoWindow> {
    let Some(tip) = &stroke.tip else {
        return Ok(first);
    };
    let (mut roll, mut side) = (Agreeing::new(1.0), Agreeing::new(0.0));
    let mut found = first;
    for _ in 0..ROUNDS {
        let travel_m = found.aim.travel_m;
        let Some((stick, arrival)) = stick_at(gear, tip, found.cue_speed_m_s, travel_m) else {
            found.flags.set(Flags::CANNOT_ARRIVE, true);
            return Ok(found);
        };
        found.stick = Some(stick);
        let came = found.cut_side.sign() * arrival.side_right;
        let off = roll.off(arrival.roll).abs().max(side.off(came).abs());
        if off < AGREED {
            break;
        }
        let asked = Stroke {
            roll: roll.next(arrival.roll),
            side: side.next(came),
            tip: None,
            ..*stroke
        };
        found = many::one(gear, acceptance, cue, &asked)?;
    }
    Ok(found)
}

/// A number that goes into a window and comes out of it nearly the same.
#[derive(Debug, Clone, Copy)]
struct Agreeing {
    into: f64,
    /// What went in the round before, and how far off it came out.
    before: Option<(f64, f64)>,
}

impl Agreeing {
    fn new(into: f64) -> Self {
        Self { into, before: None }
    }

    fn off(&self, came: f64) -> f64 {
        came - self.into
    }

    /// What goes in next: by the secant of the last two rounds where that is a step of the size of the
    /// difference, else what came.
    fn next(&mut self, came: f64) -> f64 {
        let off = self.off(came);
        let step = match self.before {
            Some((into, was)) => off * (self.into - into) / (was - off),
            None => off,
        };
        let step = if (0.5..2.0).contains(&(step / off)) {
            step
        } else {
            off
        };
        self.before = Some((self.into, off));
        self.into += step;
        self.into
    }
}
