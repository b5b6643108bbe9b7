//! The contact point as the mark: with the cue ball's centre (the classic beginner's line), and with
//! the cue ball's own contact point.

use kurbo::Vec2;

use super::{CannotAim, Scene, Way};

/// Cue-ball centre sent at the contact point on the object ball.
///
/// The object ball's centre lies `r sin(λ − α)` off that line, `r` the contact point's distance from
/// it, so `sin φ = (r/D) sin(λ − α)`: for equal balls about half the sine wanted. Always too full,
/// exact only straight in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ContactPoint;

impl Way for ContactPoint {
    fn name(&self) -> String {
        "contact-point".into()
    }

    fn rule(&self) -> String {
        "send the cue ball's centre at the contact point on the object ball".into()
    }

    fn aim_rad(&self, scene: &Scene<'_>) -> Result<f64, CannotAim> {
        let travel = Vec2::from_angle(scene.wanted_rad());
        scene.towards_rad(scene.object() - travel * scene.contact_radius_m())
    }
}

/// The cue ball's own contact point sent at that of the object ball (parallel shift). The two points
/// are as far from their centres as in the touch, so the line is parallel to the ghost ball's and
/// exact without throw.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ContactToContact;

impl Way for ContactToContact {
    fn name(&self) -> String {
        "contact-to-contact".into()
    }

    fn rule(&self) -> String {
        "send the cue ball parallel to the line from its own contact point to the object ball's"
            .into()
    }

    fn aim_rad(&self, scene: &Scene<'_>) -> Result<f64, CannotAim> {
        let travel = Vec2::from_angle(scene.wanted_rad());
        let on_object = scene.object() - travel * scene.contact_radius_m();
        let on_cue = travel * (scene.contact_m() - scene.contact_radius_m());
        scene.towards_rad(on_object - on_cue)
    }
}
