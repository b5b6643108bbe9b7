//! Shadow: the middle of the object ball's shadow taken for the place where it stands, and the ghost
//! ball's base read one contact distance behind it on the line to the pocket.
//!
//! In the upright plane through lamp and ball the light's two edges and the cloth form a triangle
//! whose incircle is the ball. With lamp height `H` and the base `l` from under the lamp, the two
//! ends of the shadow lie `p` and `q` from the base, `q − p = 2Rl/(H − 2R)`; hence its middle lies
//! `R·l/(H − 2R)` beyond the base, away from the lamp: exact under the lamp. (The shadow is an
//! ellipse with the base as a focus: Dandelin's sphere.)

use super::{CannotAim, Eye, Lamp, Scene, Way};

/// The ghost ball's base read from shadows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shadow {
    /// The lamp.
    pub lamp: Lamp,
    /// The player's eye, for standing in the light.
    pub eye: Eye,
}

/// How far the middle of a ball's shadow lies from its base, away from the lamp, m:
/// `R·l/(H − 2R)`. Precondition: the lamp hangs above the ball's top, `H > 2R`.
#[must_use]
pub fn shadow_shift(radius_m: f64, lamp_height_m: f64, lamp_away_m: f64) -> f64 {
    radius_m * lamp_away_m / (lamp_height_m - 2.0 * radius_m)
}

impl Way for Shadow {
    fn name(&self) -> String {
        "shadow".into()
    }

    fn rule(&self) -> String {
        "take the middle of the object ball's shadow for its place and set the ghost ball's base behind it".into()
    }

    fn assumes(&self) -> Vec<String> {
        vec![self.lamp.says()]
    }

    fn aim_rad(&self, scene: &Scene<'_>) -> Result<f64, CannotAim> {
        let lamp = self.lamp.sight_m(scene, self.eye)?;
        let away = scene.object() - lamp;
        let share = shadow_shift(scene.gear.object_radius_m(), self.lamp.height_m(), 1.0);
        let travel = kurbo::Vec2::from_angle(scene.wanted_rad());
        scene.towards_rad(scene.object() + away * share - travel * scene.contact_m())
    }
}
