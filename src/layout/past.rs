//! One shot past the other balls on the table, as a solution like any other: its acceptance and its
//! window hold what is still open.

use super::candidate::{Candidate, Refusal};
use super::chance::{open_past, seen_from};
use super::direct::direct_played;
use super::table::Table;
use crate::gear::Gear;
use crate::player::Aimed;
use crate::pocket::Acceptance;
use crate::window::{Flags, NoWindow, Shot, ShotError, Solution, solve};

/// A shot among other balls.
#[derive(Debug, Clone, PartialEq)]
pub struct PastOthers {
    /// Acceptance and window in the pocket's frame, those directions taken out that others block.
    pub solution: Solution,
    /// Share of the directions that others take, 0 to 1.
    pub blocked_share: f64,
    /// The balls that do.
    pub blockers: Vec<usize>,
    /// Which way is closed, when every direction is taken.
    pub closed: Option<Closed>,
    /// The shot on the plan, to be followed; `None` where there is no window.
    pub played: Option<Candidate>,
}

impl PastOthers {
    /// Cue-ball directions relative to the aim that other balls leave open, rad, for
    /// [`Aimed::open_rad`]; `None` where none stands in the way.
    #[must_use]
    pub fn open_rad(&self, gear: &Gear, shot: &Shot) -> Option<Vec<(f64, f64)>> {
        let window = self.solution.window.as_ref().ok()?;
        open_past(&Aimed::new(gear, shot, window), self.played.as_ref()?)
    }
}

/// Which way is closed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Closed {
    /// That of the object ball to the pocket.
    Object,
    /// That of the cue ball to the object ball.
    Cue,
}

/// Solves a shot on the bed for the ball `ball` of the table, which lies where the shot has it.
///
/// Without others it is [`solve`], to the last digit.
///
/// # Errors
/// As [`solve`].
pub fn solve_past(table: &Table<'_>, shot: &Shot, ball: usize) -> Result<PastOthers, ShotError> {
    let plain = solve(table.gear, shot)?;
    let alone = table.layout.balls.len() == 1;
    let untouched = |solution, played| PastOthers {
        solution,
        blocked_share: 0.0,
        blockers: Vec::new(),
        closed: None,
        played,
    };
    let (Some(pocket), Some(accepted)) = (shot.frame.name, &plain.acceptance) else {
        return Ok(untouched(plain, None));
    };
    let set = table.drop_set_of(ball, pocket, accepted.clone());
    let refused = match direct_played(table, &set, &shot.stroke) {
        Ok((played, _)) if alone || untouched_by_others(&played) => {
            return Ok(untouched(plain, Some(played)));
        }
        Ok((played, acceptance)) => {
            let window = played.window().map(|w| seen_from(shot, w));
            let acceptance = acceptance.unwrap_or_else(|| Acceptance {
                pieces: set.open.clone(),
                ..set.acceptance.clone()
            });
            return Ok(PastOthers {
                blocked_share: played.blocked_share,
                blockers: played.blockers.clone(),
                solution: Solution {
                    acceptance: Some(seen_from_pocket(shot, acceptance)),
                    window: window.ok_or(NoWindow::Blocked),
                },
                closed: None,
                played: Some(played),
            });
        }
        Err(refused) => refused,
    };
    let (closed, blockers) = match refused {
        Refusal::ObjectBlocked(by) => (Closed::Object, by),
        Refusal::CueBlocked(by) => (Closed::Cue, by),
        // The plain solution says so too.
        Refusal::NoDrop | Refusal::TooSteep | Refusal::OutOfReach | Refusal::TooClose => {
            return Ok(untouched(plain, None));
        }
    };
    let open = Acceptance {
        pieces: set.open,
        ..set.acceptance
    };
    Ok(PastOthers {
        solution: Solution {
            acceptance: (closed == Closed::Cue).then(|| seen_from_pocket(shot, open)),
            window: Err(NoWindow::Blocked),
        },
        blocked_share: 1.0,
        blockers,
        closed: Some(closed),
        played: None,
    })
}

/// Whether the shot is as it would be alone. Where a cushion is near, others may stand in ways off it
/// that are not looked at one by one.
fn untouched_by_others(played: &Candidate) -> bool {
    let beside = played
        .window()
        .is_some_and(|w| w.flags.has(Flags::CUSHION_NEAR));
    played.blockers.is_empty() && !beside
}

fn seen_from_pocket(shot: &Shot, acceptance: Acceptance) -> Acceptance {
    Acceptance {
        object: shot.object,
        approach_rad: acceptance.approach_rad - shot.frame.axis_rad,
        ..acceptance
    }
}
