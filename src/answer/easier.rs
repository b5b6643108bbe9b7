//! Which small change would make a shot easier.

use kurbo::Vec2;

use crate::gear::Gear;
use crate::window::{Shot, Solution, solve};

/// A small change of a shot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Change {
    /// The cue ball a diamond nearer on the same line.
    CueCloser,
    /// Half the speed at the pocket.
    Softer,
}

/// One change that makes the shot easier.
#[derive(Debug, Clone, PartialEq)]
pub struct Easier {
    /// What to change.
    pub change: Change,
    /// The shot after the change.
    pub shot: Shot,
    /// Its solution.
    pub solution: Solution,
}

/// The easier of two small changes: cue ball one diamond closer on the same line, or half the speed.
/// `None` when neither helps by a tenth.
#[must_use]
pub fn easier(gear: &Gear, shot: &Shot, solution: &Solution) -> Option<Easier> {
    let room = |s: &Solution| {
        let window = s.window.as_ref().ok()?;
        window.direct.or(window.drop).map(|w| w.total_rad())
    };
    let now = room(solution).unwrap_or(0.0);
    let mut best: Option<(f64, Easier)> = None;
    for (change, changed) in changes(gear, shot, solution) {
        let Ok(solved) = solve(gear, &changed) else {
            continue;
        };
        let Some(then) = room(&solved) else { continue };
        if then > 1.1 * now && best.as_ref().is_none_or(|(width, _)| then > *width) {
            best = Some((
                then,
                Easier {
                    change,
                    shot: changed,
                    solution: solved,
                },
            ));
        }
    }
    best.map(|(_, easier)| easier)
}

fn changes(gear: &Gear, shot: &Shot, solution: &Solution) -> Vec<(Change, Shot)> {
    let mut out = Vec::new();
    let diamond = gear.bed.length_m / 8.0;
    if let Ok(window) = &solution.window
        && window.aim.travel_m > 2.0 * diamond
    {
        let forward = Vec2::from_angle(window.aim_in_pocket_frame_rad()) * diamond;
        out.push((
            Change::CueCloser,
            Shot {
                cue: shot.cue + forward,
                ..*shot
            },
        ));
    }
    let mut softer = *shot;
    softer.stroke.pace_m_s *= 0.5;
    out.push((Change::Softer, softer));
    out
}
