//! Windows of strokes: of a cue ball that arrives as asked, or of a tip that strikes at a place.

use kurbo::Point;

use super::aim::{AimWindow, Flags, NoWindow};
use super::many::{self, Asked, Job};
use super::shot::{Stroke, Tip};
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
    let cued = |cue: &Point| Cued {
        acceptance,
        cue: *cue,
        stroke,
    };
    solve_all(gear, &cues.iter().map(cued).collect::<Vec<_>>())
}

/// A cue ball with what its pocket takes and its stroke.
#[derive(Debug, Clone, Copy)]
pub struct Cued<'a> {
    /// What the pocket takes.
    pub acceptance: &'a Acceptance,
    /// The cue ball's place, in the pocket's frame, m.
    pub cue: Point,
    /// How it is struck.
    pub stroke: &'a Stroke,
}

/// Solves the windows of many shots on one table, each with its own acceptance and stroke; answers in their
/// order, each that of [`solve_with`] to 1e-12 rad. Those of one acceptance are solved faster where they follow
/// each other.
#[must_use]
pub fn solve_all(gear: &Gear, shots: &[Cued<'_>]) -> Vec<Result<AimWindow, NoWindow>> {
    let same = |a: &Cued<'_>, b: &Cued<'_>| std::ptr::eq(a.acceptance, b.acceptance);
    let runs = shots.chunk_by(same);
    let asked: Vec<Asked<'_>> = runs
        .clone()
        .map(|run| Asked::new(gear, run[0].acceptance))
        .collect();
    let each = runs.zip(&asked);
    let each = each.flat_map(|(run, asked)| run.iter().map(move |shot| (shot, asked)));
    let firsts: Vec<Job<'_>> = each
        .map(|(shot, asked)| Job {
            asked,
            cue: shot.cue,
            stroke: match shot.stroke.tip {
                None => *shot.stroke,
                Some(_) => rolling(shot.stroke),
            },
        })
        .collect();
    let mut found = many::many(&firsts);
    let mut open: Vec<Open<'_>> = shots
        .iter()
        .enumerate()
        .filter_map(|(index, shot)| Open::new(index, shot.stroke))
        .collect();
    for _ in 0..ROUNDS {
        let mut jobs = Vec::with_capacity(open.len());
        open.retain_mut(|open| {
            let Ok(window) = &mut found[open.index] else {
                return false;
            };
            let next = open.settling.next(gear, window);
            jobs.extend(next.map(|stroke| Job {
                stroke,
                ..firsts[open.index]
            }));
            next.is_some()
        });
        if jobs.is_empty() {
            break;
        }
        for (open, window) in open.iter().zip(many::many(&jobs)) {
            found[open.index] = window;
        }
    }
    found
}

/// One that does not agree with its tip yet.
struct Open<'a> {
    index: usize,
    settling: Settling<'a>,
}

impl<'a> Open<'a> {
    fn new(index: usize, stroke: &'a Stroke) -> Option<Self> {
        Settling::new(stroke).map(|settling| Self { index, settling })
    }
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
    let mut found = first;
    let Some(mut settling) = Settling::new(stroke) else {
        return Ok(found);
    };
    for _ in 0..ROUNDS {
        let Some(asked) = settling.next(gear, &mut found) else {
            break;
        };
        found = many::one(gear, acceptance, cue, &asked)?;
    }
    Ok(found)
}

/// A window on its way to agree with the stroke's tip.
struct Settling<'a> {
    stroke: &'a Stroke,
    tip: &'a Tip,
    roll: Agreeing,
    side: Agreeing,
}

impl<'a> Settling<'a> {
    /// From a cue ball that arrives rolling; `None` where the stroke says what arrives.
    fn new(stroke: &'a Stroke) -> Option<Self> {
        Some(Self {
            stroke,
            tip: stroke.tip.as_ref()?,
            roll: Agreeing::new(1.0),
            side: Agreeing::new(0.0),
        })
    }

    /// Notes the stick that strikes there; what to ask for next, or `None` where the window agrees or no stick
    /// brings it.
    fn next(&mut self, gear: &Gear, found: &mut AimWindow) -> Option<Stroke> {
        let stick = stick_at(gear, self.tip, found.cue_speed_m_s, found.aim.travel_m);
        let Some((stick, arrival)) = stick else {
            found.flags.set(Flags::CANNOT_ARRIVE, true);
            return None;
        };
        found.stick = Some(stick);
        let came = found.cut_side.sign() * arrival.side_right;
        let off = self.roll.off(arrival.roll).abs();
        if off.max(self.side.off(came).abs()) < AGREED {
            return None;
        }
        Some(Stroke {
            roll: self.roll.next(arrival.roll),
            side: self.side.next(came),
            tip: None,
            ..*self.stroke
        })
    }
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
