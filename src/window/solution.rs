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

/// A shot that can be made: what the pocket takes, and the window that leaves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Solved<'a> {
    /// Directions of the object ball that drop.
    pub acceptance: &'a Acceptance,
    /// Directions of the cue ball that send it there.
    pub window: &'a AimWindow,
}

impl Solution {
    /// Both together, where there are both.
    ///
    /// # Errors
    /// [`NoWindow`]: why there is none.
    pub fn solved(&self) -> Result<Solved<'_>, NoWindow> {
        let window = self.window.as_ref().map_err(|no| *no)?;
        // Whatever has a window has an acceptance; without one nothing drops.
        let acceptance = self.acceptance.as_ref().ok_or(NoWindow::NoDrop)?;
        Ok(Solved { acceptance, window })
    }
}

/// Solves a shot.
///
/// ```
/// use thincut::{AbstractShot, Angle, Gear, Length, NoWindow, Preset, Shot, Stroke, solve};
///
/// let gear = Gear::standard(Preset::Snooker12Ft)?;
/// let (near, far) = (Length::from_m(0.5), Length::from_m(1.5));
/// let straight = AbstractShot::new(Angle::ZERO, near, far);
/// let shot = Shot::from_angles(&gear, &straight, Stroke::default())?;
/// assert!(solve(&gear, &shot)?.window.is_ok());
///
/// // Across the face of a middle pocket nothing goes in.
/// let across = straight.into_side().approached(Angle::from_deg(80.0));
/// let shot = Shot::from_angles(&gear, &across, Stroke::default())?;
/// assert_eq!(solve(&gear, &shot)?.window, Err(NoWindow::NoDrop));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
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
