//! Which small change would make a shot easier.

use kurbo::Vec2;

use crate::gear::{Bed, Gear};
use crate::player::{AimError, chance_of_solution};
use crate::window::{Shot, Solution, solve};

/// A small change of a shot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Change {
    /// The cue ball a diamond nearer on the same line.
    CueCloser,
    /// Half the speed at the pocket.
    Softer,
    /// The same stroke without side.
    NoSide,
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
    /// A player's chance, or where nobody aims the width of what goes in (jaws counted, rad): before
    /// and after the change.
    pub worth: (f64, f64),
}

/// The change that helps most: cue ball one diamond closer on the same line, half the speed, no side.
/// `None` when none helps by a tenth; what is said of a player's chance never lowers it.
#[must_use]
pub fn easier(
    gear: &Gear,
    shot: &Shot,
    solution: &Solution,
    player: Option<&AimError>,
) -> Option<Easier> {
    let worth = |shot: &Shot, s: &Solution| match player {
        Some(player) => Some(chance_of_solution(gear, shot, s, player)),
        None => {
            let window = s.window.as_ref().ok()?;
            window.direct.or(window.drop).map(|w| w.total_rad())
        }
    };
    let now = worth(shot, solution).unwrap_or(0.0);
    let mut best: Option<Easier> = None;
    for (change, changed) in changes(gear, shot, solution) {
        let Ok(solved) = solve(gear, &changed) else {
            continue;
        };
        let Some(then) = worth(&changed, &solved) else {
            continue;
        };
        if then > LEAST_GAIN * now && best.as_ref().is_none_or(|b| then > b.worth.1) {
            best = Some(Easier {
                change,
                shot: changed,
                solution: solved,
                worth: (now, then),
            });
        }
    }
    best
}

/// A change that helps by less than this is not worth a word (assumption).
const LEAST_GAIN: f64 = 1.1;

/// How much nearer the cue ball is tried: a diamond, an eighth of the table's length.
pub(crate) fn closer_m(bed: &Bed) -> f64 {
    bed.length_m / 8.0
}

fn changes(gear: &Gear, shot: &Shot, solution: &Solution) -> Vec<(Change, Shot)> {
    let mut out = Vec::new();
    let diamond = closer_m(&gear.bed);
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
    let mut plain = *shot;
    plain.stroke = plain.stroke.without_side();
    if plain.stroke != shot.stroke {
        out.push((Change::NoSide, plain));
    }
    out
}
