//! From a shot to its answer.

use super::aim::{AimWindow, NoWindow};
use super::beside::{Placed, near_cushion};
use super::shot::{Shot, ShotError};
use super::solve::accept_shot;
use super::struck::solve_with;
use crate::gear::Gear;
use crate::pocket::{Acceptance, NoAcceptance};

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
/// assert_eq!(solve(&gear, &shot)?.window, Err(NoWindow::TooSteep));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// [`ShotError::Acceptance`] when the object ball overlaps a cushion. Shots without a window are
/// answers, in [`Solution::window`].
pub fn solve(gear: &Gear, shot: &Shot) -> Result<Solution, ShotError> {
    Ok(match accept_shot(gear, shot)? {
        Ok(acceptance) => solve_accepted(gear, shot, acceptance),
        Err(no) => Solution {
            acceptance: None,
            window: Err(if no == NoAcceptance::NoDrop && too_steep(gear, shot) {
                NoWindow::TooSteep
            } else {
                no.into()
            }),
        },
    })
}

/// Paces tried before a pocket is said to take nothing, m/s: from one that dies on the shelf to harder
/// than anybody plays a ball in.
const ANY_PACE_M_S: [f64; 6] = [0.2, 0.5, 1.0, 1.7, 3.0, 5.0];

/// What goes in off a jaw over less than this at the mouth is luck, m (assumption).
const LUCK_M: f64 = 5e-3;

/// Whether the pocket takes nothing straight or off its jaws from the object ball's place at any pace; what
/// a hard stroke may bring in off a rail is luck.
#[must_use]
pub fn too_steep(gear: &Gear, shot: &Shot) -> bool {
    !ANY_PACE_M_S.into_iter().any(|pace_m_s| {
        let mut paced = *shot;
        paced.stroke.pace_m_s = pace_m_s;
        let wide = |found: &Acceptance| {
            let part = found.direct.filter(|_| found.clean.is_some());
            part.is_some()
                || found
                    .direct
                    .is_some_and(|d| found.distance_m * d.width_rad() > LUCK_M)
        };
        matches!(accept_shot(gear, &paced), Ok(Ok(found)) if wide(&found))
    })
}

/// Solves a shot whose acceptance is known. Where a cushion is in reach of the cue ball the set is found
/// forwards, ball first or off one cushion first.
#[must_use]
pub fn solve_accepted(gear: &Gear, shot: &Shot, acceptance: Acceptance) -> Solution {
    let window = solve_with(gear, &acceptance, shot.cue, &shot.stroke);
    let forwards = window
        .as_ref()
        .ok()
        .and_then(|plain| beside_cushion(gear, shot, &acceptance, plain));
    forwards.unwrap_or(Solution {
        acceptance: Some(acceptance),
        window,
    })
}

/// Solves another shot of the table, one that is solved being at hand: where object ball, pocket and pace
/// are the same, so is what the pocket takes.
///
/// # Errors
/// As [`solve`].
pub(crate) fn solve_beside(
    gear: &Gear,
    known: &Shot,
    solution: &Solution,
    shot: &Shot,
) -> Result<Solution, ShotError> {
    let same = known.frame == shot.frame
        && known.object == shot.object
        && known.stroke.pace_m_s.to_bits() == shot.stroke.pace_m_s.to_bits();
    // Beside a cushion the acceptance is written down for one place of the cue ball.
    let beside = shot.frame.name.is_some() && near_cushion(gear, shot.frame.to_plan(shot.object));
    match &solution.acceptance {
        Some(acceptance) if same && !beside => Ok(solve_accepted(gear, shot, acceptance.clone())),
        _ => solve(gear, shot),
    }
}

/// The solution found forwards where a cushion is in reach of the cue ball.
pub(crate) fn beside_cushion(
    gear: &Gear,
    shot: &Shot,
    acceptance: &Acceptance,
    plain: &AimWindow,
) -> Option<Solution> {
    let pocket = shot.frame.name?;
    let object = shot.frame.to_plan(shot.object);
    if !near_cushion(gear, object) {
        return None;
    }
    let placed = Placed {
        gear,
        pocket,
        cue: shot.frame.to_plan(shot.cue),
        object,
        others: &[],
        turned_rad: shot.frame.axis_rad,
    };
    let found = placed.beside(acceptance, plain, shot.cue, &shot.stroke)?;
    Some(Solution {
        acceptance: Some(found.acceptance),
        window: Ok(found.window),
    })
}
