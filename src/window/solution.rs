//! A shot solved: what its pocket takes, and the window.

use kurbo::{Point, Vec2};

use super::aim::{AimWindow, NoWindow};
use super::beside::{Placed, near_cushion};
use super::shot::{Shot, ShotError};
use super::solve::solve_with;
use crate::bed::{BedCourse, accept_on_bed};
use crate::gear::{Cloth, Gear};
use crate::motion::BallBody;
use crate::pocket::{
    Acceptance, AcceptanceError, FullBed, NoAcceptance, PocketShape, accept, accepted_at_speed,
    drops_on,
};

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

/// Whether the pocket takes nothing from the object ball's place at any pace.
#[must_use]
pub fn too_steep(gear: &Gear, shot: &Shot) -> bool {
    !ANY_PACE_M_S.into_iter().any(|pace_m_s| {
        let mut paced = *shot;
        paced.stroke.pace_m_s = pace_m_s;
        matches!(accept_shot(gear, &paced), Ok(Ok(_)))
    })
}

/// Solves a shot whose acceptance is known. Where a cushion is in reach of the cue ball the set is found
/// forwards, ball first or off one cushion first.
#[must_use]
pub fn solve_accepted(gear: &Gear, shot: &Shot, acceptance: Acceptance) -> Solution {
    let window = solve_with(gear, &acceptance, shot.cue, &shot.stroke);
    if let (Ok(plain), Some(pocket)) = (&window, shot.frame.name) {
        let object = shot.frame.to_plan(shot.object);
        if near_cushion(gear, object) {
            let placed = Placed {
                gear,
                pocket,
                cue: shot.frame.to_plan(shot.cue),
                object,
                others: &[],
                turned_rad: shot.frame.axis_rad,
            };
            if let Some(found) = placed.beside((&acceptance, plain), shot.cue, &shot.stroke) {
                return Solution {
                    acceptance: Some(found.acceptance),
                    window: Ok(found.window),
                };
            }
        }
    }
    Solution {
        acceptance: Some(acceptance),
        window,
    }
}

/// What the pocket takes of a shot: on the whole bed where it stands on a table, with endless rails
/// where it is given by angles alone.
///
/// # Errors
/// [`AcceptanceError`] when the object ball overlaps a cushion.
pub fn accept_shot(
    gear: &Gear,
    shot: &Shot,
) -> Result<Result<Acceptance, NoAcceptance>, AcceptanceError> {
    let pace_m_s = shot.stroke.pace_m_s;
    if let Some(pocket) = shot.frame.name {
        return accept_on_bed(gear, pocket, shot.object, pace_m_s);
    }
    let body = BallBody::object(gear);
    let shape = PocketShape::new(gear, shot.frame.kind, &body);
    accept(&shape, &gear.cloth, &body, shot.object, pace_m_s)
}

/// A shot's pocket with what an object ball can meet on its way there, for many speeds of it.
#[derive(Debug)]
pub struct Mouth {
    way: Way,
    body: BallBody,
    cloth: Cloth,
    object: Point,
}

/// The whole bed, or the pocket by itself.
#[derive(Debug)]
enum Way {
    Bed(Box<BedCourse>),
    Alone(Box<PocketShape>),
}

impl Mouth {
    /// For the object ball and the pocket of a shot.
    #[must_use]
    pub fn new(gear: &Gear, shot: &Shot) -> Self {
        let body = BallBody::object(gear);
        let way = match shot.frame.name {
            Some(pocket) => {
                let plan = FullBed::new(gear, &body);
                Way::Bed(Box::new(BedCourse::new(gear, &plan, pocket)))
            }
            None => Way::Alone(Box::new(PocketShape::new(gear, shot.frame.kind, &body))),
        };
        Self {
            way,
            body,
            cloth: gear.cloth,
            object: shot.object,
        }
    }

    /// What it takes of an object ball that starts at a speed, m/s; `None` where no direction drops.
    #[must_use]
    pub fn takes(&self, speed_m_s: f64) -> Option<Acceptance> {
        if self.object.x >= 0.0 || speed_m_s <= 0.0 {
            return None;
        }
        let (cloth, body, object) = (&self.cloth, &self.body, self.object);
        match &self.way {
            Way::Bed(course) => accepted_at_speed(&**course, cloth, body, object, speed_m_s),
            Way::Alone(shape) => accepted_at_speed(&**shape, cloth, body, object, speed_m_s),
        }
        .ok()
    }

    /// Whether the object ball drops when sent off at a velocity (pocket frame, m/s).
    #[must_use]
    pub fn drops(&self, velocity: Vec2) -> bool {
        let (cloth, body, object) = (&self.cloth, &self.body, self.object);
        match &self.way {
            Way::Bed(course) => drops_on(&**course, cloth, body, object, velocity),
            Way::Alone(shape) => drops_on(&**shape, cloth, body, object, velocity),
        }
    }
}
