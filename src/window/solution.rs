//! From a shot to its answer.

use super::aim::{AimWindow, NoWindow};
use super::shot::{Shot, ShotError};
use super::solve::accept_shot;
use super::struck::solve_with;
use crate::gear::Gear;
use crate::pocket::Acceptance;

/// Acceptance and window of a shot.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution {
    /// Directions of the object ball that drop, where there are any.
    pub acceptance: Option<Acceptance>,
    /// The window, or why there is none.
    pub window: Result<AimWindow, NoWindow>,
}

/// Solves a shot.
///
/// # Errors
/// [`ShotError::Acceptance`] when the object ball overlaps a cushion. Shots without a window are
/// answers, in [`Solution::window`].
pub fn solve(gear: &Gear, shot: &Shot) -> Result<Solution, ShotError> {
    Ok(match accept_shot(gear, shot)? {
        Ok(acceptance) => {
            let window = solve_with(gear, &acceptance, shot.cue, &shot.stroke);
            Solution {
                acceptance: Some(acceptance),
                window,
            }
        }
        Err(no) => Solution {
            acceptance: None,
            window: Err(no.into()),
        },
    })
}
