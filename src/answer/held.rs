//! The stick of a shot: where it points, where its tip strikes and what the cue ball does on its way.

use serde::{Deserialize, Serialize};

use crate::gear::Gear;
use crate::stroke::{CannotArrive, Stick, stick_to_object};
use crate::window::{AimWindow, Flags, Shot, Tip, at, stick_of};

/// How the stick is held for a shot. Angles are counter-clockwise (left) positive.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct StickShot {
    /// Direction in which it points, as `aim_deg`.
    pub direction_deg: f64,
    /// How far left of the ghost ball's middle it points, at the ghost ball.
    pub left_of_ghost_mm: f64,
    /// The same as an angle at the cue ball.
    pub left_of_ghost_deg: f64,
    /// Squirt: the cue ball leaves so far left of the stick's line.
    pub squirt_deg: f64,
    /// Swerve: what its way then turns left by the contact.
    pub swerve_deg: f64,
    /// Where the tip strikes, right of the middle.
    pub tip_across_mm: f64,
    /// Above the middle.
    pub tip_height_mm: f64,
    /// Elevation of the stick.
    pub elevation_deg: f64,
    /// Speed of the cue ball off the tip.
    pub speed_m_s: f64,
}

/// Why no stick brings the cue ball as asked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NoStick {
    /// Struck where the stroke says, it does not get to the object ball.
    TooFarOff,
    /// It stops before the contact.
    StopsShort,
    /// No place of the tip does.
    CannotArrive(CannotArrive),
}

impl From<CannotArrive> for NoStick {
    fn from(why: CannotArrive) -> Self {
        Self::CannotArrive(why)
    }
}

impl StickShot {
    /// The stick of a solved shot.
    ///
    /// # Errors
    /// Why none brings the cue ball as asked.
    pub fn new(gear: &Gear, shot: &Shot, window: &AimWindow) -> Result<Self, NoStick> {
        let hold = Tip::centre_on(gear).hold();
        let stick = match window.stick {
            Some(stick) => stick,
            None if window.flags.has(Flags::CANNOT_ARRIVE) => {
                return Err(NoStick::TooFarOff);
            }
            None => stick_of(gear, window, hold)?,
        };
        let travel_m = window.aim.travel_m;
        let mark = at(gear, &stick, travel_m).ok_or(NoStick::StopsShort)?;
        let aim_rad = window.aim_in_pocket_frame_rad();
        let points_rad =
            points(gear, shot, window, &stick).unwrap_or(aim_rad - mark.left_m.atan2(mark.along_m));
        let left_rad = points_rad - aim_rad;
        let squirt_rad = stick.squirt_rad(gear.cue_radius_m());
        let deg = |rad: f64| rad.to_degrees() + 0.0;
        Ok(Self {
            direction_deg: (shot.frame.axis_rad + points_rad)
                .to_degrees()
                .rem_euclid(360.0),
            left_of_ghost_mm: 1e3 * travel_m * left_rad.tan() + 0.0,
            left_of_ghost_deg: deg(left_rad),
            squirt_deg: deg(squirt_rad),
            swerve_deg: deg(mark.arrival.direction_rad - squirt_rad),
            tip_across_mm: 1e3 * stick.across_m + 0.0,
            tip_height_mm: 1e3 * stick.height_m + 0.0,
            elevation_deg: deg(stick.elevation_rad),
            speed_m_s: stick.speed_m_s,
        })
    }
}

/// Where the stick points in the pocket's frame so that the object ball goes to the target; `None`
/// where a ball without side needs no search, or none is found.
fn points(gear: &Gear, shot: &Shot, window: &AimWindow, stick: &Stick) -> Option<f64> {
    if stick.across_m == 0.0 {
        return None;
    }
    let target_rad = window.approach.base_rad + window.centre_line_rad + window.target_rad;
    let (points_rad, _) = stick_to_object(gear, stick, shot.cue, shot.object, target_rad).ok()?;
    let aim_rad = window.aim_in_pocket_frame_rad();
    let turned = (points_rad - aim_rad).rem_euclid(std::f64::consts::TAU);
    let turned = if turned > std::f64::consts::PI {
        turned - std::f64::consts::TAU
    } else {
        turned
    };
    Some(aim_rad + turned)
}
