//! What a way looks at: the two balls, the line wanted, the player's eye and the lamp.

use kurbo::{Point, Vec2};

use super::error::{AimsError, CannotAim, require};
use crate::contact::Geometry;
use crate::field::Field;
use crate::gear::Gear;
use crate::window::{AimWindow, Shot};

/// A shot as a way sees it.
#[derive(Debug, Clone, Copy)]
pub struct Scene<'a> {
    /// The equipment.
    pub gear: &'a Gear,
    /// The shot.
    pub shot: &'a Shot,
    /// Its window.
    pub window: &'a AimWindow,
}

impl Scene<'_> {
    /// Direction in which the object ball is to leave, rad.
    #[must_use]
    pub fn wanted_rad(&self) -> f64 {
        self.window.centre_line_rad + self.window.target_rad
    }

    /// The ghost ball for it: contact on the line of travel, throw left out.
    #[must_use]
    pub fn ghost(&self) -> Geometry {
        self.window.approach.at(self.wanted_rad())
    }

    /// Centre to centre of the balls, m.
    #[must_use]
    pub fn apart_m(&self) -> f64 {
        self.window.approach.apart_m
    }

    /// Centre to centre in plan when they touch, m.
    #[must_use]
    pub fn contact_m(&self) -> f64 {
        self.window.approach.contact_m
    }

    /// +1 for a left cut, −1 for a right cut. A turn by this sign is a turn towards a fuller hit.
    pub fn fuller_sign(&self) -> f64 {
        self.window.cut_side.sign()
    }

    /// Aim through the point `offset_m` beside the object ball's centre, on the side that is hit:
    /// `tan a = offset/d`.
    pub(crate) fn aim_beside_rad(&self, offset_m: f64) -> f64 {
        -self.fuller_sign() * offset_m.atan2(self.apart_m())
    }

    /// Aim that cuts with this sine, `sin a = D sin φ/d`.
    pub(crate) fn aim_for_cut_rad(&self, sin_cut: f64) -> f64 {
        let sin = self.contact_m() * sin_cut / self.apart_m();
        -self.fuller_sign() * sin.clamp(-1.0, 1.0).asin()
    }

    /// Object ball's centre to the contact point in plan, m. The centres of unequal balls stand at
    /// their own heights: of the plan distance `D` the object ball's share is `R_o/(R_c + R_o)`.
    pub(crate) fn contact_radius_m(&self) -> f64 {
        let (object, cue) = (self.gear.object_radius_m(), self.gear.cue_radius_m());
        self.contact_m() * object / (object + cue)
    }

    /// Direction from the cue ball to a point of the sight frame, rad.
    pub(super) fn towards_rad(&self, mark: Vec2) -> Result<f64, CannotAim> {
        if mark.x > 0.0 {
            Ok(mark.atan2())
        } else {
            Err(CannotAim::MarkTooClose)
        }
    }

    /// The object ball's centre in the sight frame.
    pub(super) fn object(&self) -> Vec2 {
        Vec2::new(self.apart_m(), 0.0)
    }
}

/// Where the player's eye is, above the line through both centres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Eye {
    behind_m: f64,
    height_m: f64,
}

impl Default for Eye {
    /// 0.7 m behind the cue ball, 0.3 m above the cloth: a low stance (assumptions).
    fn default() -> Self {
        Self {
            behind_m: 0.7,
            height_m: 0.3,
        }
    }
}

/// Farthest an eye is looked for, m (assumption: nobody aims from farther).
const EYE_RANGE_M: (f64, f64) = (0.1, 3.0);
/// Highest lamp, m above the cloth (assumption: a high hall).
const HIGHEST_LAMP_M: f64 = 10.0;
/// Farthest lamp along the cloth, m (assumption: a long hall).
const FARTHEST_LAMP_M: f64 = 20.0;

impl Eye {
    /// `behind_m` from the cue ball's centre along the cloth, `height_m` above the cloth.
    ///
    /// # Errors
    /// [`AimsError::OutOfRange`] outside 0.1 to 3 m.
    pub fn new(behind_m: f64, height_m: f64) -> Result<Self, AimsError> {
        let (low, high) = EYE_RANGE_M;
        let need = "from 100mm to 3m";
        let text = |v: f64| move || format!("{}m", v);
        require(
            (low..=high).contains(&behind_m),
            Field::EyeBehind,
            text(behind_m),
            need,
        )?;
        require(
            (low..=high).contains(&height_m),
            Field::EyeHeight,
            text(height_m),
            need,
        )?;
        Ok(Self { behind_m, height_m })
    }

    /// Behind the cue ball's centre, m.
    pub(crate) fn behind_m(self) -> f64 {
        self.behind_m
    }

    /// Above the cloth, m.
    #[must_use]
    pub fn height_m(self) -> f64 {
        self.height_m
    }

    pub(super) fn says(self) -> String {
        format!(
            "an eye {:.0} mm behind the cue ball and {:.0} mm above the cloth",
            self.behind_m * 1e3,
            self.height_m * 1e3
        )
    }
}

/// A lamp, taken as a point, by its place from the object ball.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lamp {
    height_m: f64,
    ahead_m: f64,
    left_m: f64,
}

impl Lamp {
    /// Height above the cloth when nothing is said, m (assumption: lamps over tables hang so).
    pub const DEFAULT_HEIGHT_M: f64 = 0.85;
    /// Beyond the object ball when nothing is said, m (assumption).
    pub const DEFAULT_AHEAD_M: f64 = 0.5;

    /// A lamp `height_m` above the cloth, `ahead_m` from the object ball onwards along cue ball →
    /// object ball and `left_m` to the left of that line.
    ///
    /// # Errors
    /// [`AimsError::LampTooLow`] when it does not hang above the balls,
    /// [`AimsError::OutOfRange`] when it is out of every hall.
    pub fn new(gear: &Gear, height_m: f64, ahead_m: f64, left_m: f64) -> Result<Self, AimsError> {
        let ball = gear.balls.object_diameter_m.max(gear.balls.cue_diameter_m);
        if height_m <= ball {
            return Err(AimsError::LampTooLow {
                height_mm: height_m * 1e3,
                ball_mm: ball * 1e3,
            });
        }
        let metres = |v: f64| move || format!("{v}m");
        require(
            height_m <= HIGHEST_LAMP_M,
            Field::LampHeight,
            metres(height_m),
            "above the balls and at most 10m",
        )?;
        for (what, far) in [(Field::LampAhead, ahead_m), (Field::LampLeft, left_m)] {
            require(
                far.abs() <= FARTHEST_LAMP_M,
                what,
                metres(far),
                "from -20m to 20m",
            )?;
        }
        Ok(Self {
            height_m,
            ahead_m,
            left_m,
        })
    }

    /// A lamp over a place on the table's plan, m, seen from a shot.
    ///
    /// # Errors
    /// As [`Lamp::new`].
    pub fn over(gear: &Gear, height_m: f64, plan: Point, shot: &Shot) -> Result<Self, AimsError> {
        let from_object = shot.frame.to_pocket(plan) - shot.object;
        let sight = (shot.object - shot.cue).atan2();
        let at = Vec2::from_angle(from_object.atan2() - sight) * from_object.hypot();
        Self::new(gear, height_m, at.x, at.y)
    }

    /// Above the cloth, m.
    #[must_use]
    pub fn height_m(self) -> f64 {
        self.height_m
    }

    /// The lamp's place in the sight frame, m, checked against the player's eye.
    ///
    /// # Errors
    /// [`CannotAim::LampBehindPlayer`] when the player would stand in its light.
    pub(crate) fn sight_m(self, scene: &Scene<'_>, eye: Eye) -> Result<Vec2, CannotAim> {
        let at = scene.object() + Vec2::new(self.ahead_m, self.left_m);
        let behind = -at.x - eye.behind_m();
        if behind > 0.0 {
            return Err(CannotAim::LampBehindPlayer {
                behind_mm: behind * 1e3,
            });
        }
        Ok(at)
    }

    pub(super) fn says(self) -> String {
        let side = if self.left_m < 0.0 { "right" } else { "left" };
        let way = if self.ahead_m < 0.0 {
            "short of"
        } else {
            "beyond"
        };
        format!(
            "a lamp {:.0} mm above the cloth, {:.0} mm {way} the object ball and {:.0} mm to the {side}",
            self.height_m * 1e3,
            self.ahead_m.abs() * 1e3,
            self.left_m.abs() * 1e3
        )
    }
}
