//! Which small change would make a shot easier.

use kurbo::Vec2;

use crate::gear::{Bed, Gear};
use crate::player::paced::Aimed;
use crate::player::{AimError, chance_of_solution};
use crate::window::{Shot, Solution, solve_beside};

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

/// The small change of a shot that is worth most, solved; none where nothing can be changed.
#[derive(Debug, Clone, PartialEq)]
pub struct Easing(Option<Eased>);

#[derive(Debug, Clone, PartialEq)]
struct Eased {
    change: Change,
    shot: Shot,
    solution: Solution,
    worth: f64,
}

impl Easing {
    /// Cue ball one diamond closer on the same line, half the speed, no side; for a player from their stance,
    /// or for nobody in particular. Three speeds say which is worth most, all of them what it is worth.
    #[must_use]
    pub fn of(gear: &Gear, shot: &Shot, solution: &Solution, player: Option<&AimError>) -> Self {
        let eased = |(change, shot_after): (Change, Shot)| {
            let solved = solve_beside(gear, shot, solution, &shot_after).ok()?;
            let worth = match player {
                Some(player) => Aimed::of(gear, &shot_after, &solved)?.chance_by_three(player),
                None => width_rad(&solved)?,
            };
            Some(Eased {
                change,
                shot: shot_after,
                solution: solved,
                worth,
            })
        };
        let all = changes(gear, shot, solution).into_iter().filter_map(eased);
        let best = all.reduce(|best, e| if e.worth > best.worth { e } else { best });
        Self(best.map(|mut best| {
            if let Some(player) = player {
                best.worth = chance_of_solution(gear, &best.shot, &best.solution, player);
            }
            best
        }))
    }

    /// The change, `now` being what the shot is worth as it is: a player's chance, or its [`width_rad`].
    /// `None` when it does not help by a tenth; what is said of a player's chance never lowers it.
    #[must_use]
    pub fn beside(self, now: Option<f64>) -> Option<Easier> {
        let now = now.unwrap_or(0.0);
        let best = self.0.filter(|e| e.worth > LEAST_GAIN * now)?;
        Some(Easier {
            change: best.change,
            shot: best.shot,
            solution: best.solution,
            worth: (now, best.worth),
        })
    }
}

/// Width of what goes in, jaws counted, rad; `None` where nothing does.
#[must_use]
pub fn width_rad(solution: &Solution) -> Option<f64> {
    let window = solution.window.as_ref().ok()?;
    window.direct.or(window.drop).map(|w| w.total_rad())
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
