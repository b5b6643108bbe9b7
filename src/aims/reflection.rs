//! Reflection: the lamp's bright spot on the object ball taken as the mark for the cue ball's centre.
//!
//! The spot depends on lamp and eye, not on the pocket, so the line is right at one cut at most.
//! Light reflects at equal angles on either side of the ball's normal (Alhazen's problem). In the
//! plane of ball centre, lamp and eye, with distances `L` and `E` from the centre, angle `γ`
//! between them and the normal turned `ψ` from the eye's direction:
//! `L E sin(γ − 2ψ) = R (L sin(γ − ψ) − E sin ψ)`. Far lamp and eye: `ψ = γ/2`.

use super::{CannotAim, Eye, Lamp, Scene, Way};

/// The lamp's bright spot as the mark.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reflection {
    /// The lamp.
    pub lamp: Lamp,
    /// The player's eye.
    pub eye: Eye,
}

/// Where a lamp's image shines on a ball.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BrightSpot {
    /// The ball's outward normal there.
    pub normal: [f64; 3],
    /// Angle between the normal and the light, both ways, rad.
    pub incidence_rad: f64,
    /// Turn of the normal from the eye's direction, rad.
    pub from_eye_rad: f64,
}

/// Accuracy of the normal's turn, rad.
const SPOT_RAD: f64 = 1e-14;

/// The bright spot on a ball of `radius_m` at the origin. `None` when it lies beyond the ball's edge
/// or lamp or eye are inside the ball.
///
/// The angles of incidence and reflection change in opposite ways as the normal turns from the eye
/// to the lamp, so there is one spot and bisection finds it.
#[must_use]
pub fn bright_spot(radius_m: f64, lamp: [f64; 3], eye: [f64; 3]) -> Option<BrightSpot> {
    let (far_lamp, far_eye) = (norm(lamp), norm(eye));
    if far_lamp <= radius_m || far_eye <= radius_m {
        return None;
    }
    let to_eye = scaled(eye, 1.0 / far_eye);
    let to_lamp = scaled(lamp, 1.0 / far_lamp);
    let cos = dot(to_eye, to_lamp).clamp(-1.0, 1.0);
    let across = added(to_lamp, scaled(to_eye, -cos));
    let sin = norm(across);
    let gamma = sin.atan2(cos);
    // tan i = far sin x/(far cos x − R), x from the normal
    let incidence = |far: f64, x: f64| (far * x.sin()).atan2(far * x.cos() - radius_m);
    let (mut lo, mut hi) = (0.0, gamma);
    while hi - lo > SPOT_RAD {
        let psi = 0.5 * (lo + hi);
        if psi <= lo || psi >= hi {
            break;
        }
        if incidence(far_lamp, gamma - psi) > incidence(far_eye, psi) {
            lo = psi;
        } else {
            hi = psi;
        }
    }
    let psi = 0.5 * (lo + hi);
    let incidence_rad = incidence(far_eye, psi);
    if incidence_rad >= std::f64::consts::FRAC_PI_2 {
        return None;
    }
    let sideways = if sin > 0.0 {
        scaled(across, psi.sin() / sin)
    } else {
        [0.0; 3]
    };
    Some(BrightSpot {
        normal: added(scaled(to_eye, psi.cos()), sideways),
        incidence_rad,
        from_eye_rad: psi,
    })
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn norm(a: [f64; 3]) -> f64 {
    dot(a, a).sqrt()
}

fn scaled(a: [f64; 3], by: f64) -> [f64; 3] {
    a.map(|v| v * by)
}

fn added(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

impl Way for Reflection {
    fn name(&self) -> String {
        "reflection".into()
    }

    fn rule(&self) -> String {
        "send the cue ball's centre at the lamp's bright spot on the object ball".into()
    }

    fn assumes(&self) -> Vec<String> {
        vec![self.lamp.says(), self.eye.says()]
    }

    fn aim_rad(&self, scene: &Scene<'_>) -> Result<f64, CannotAim> {
        let radius = scene.gear.object_radius_m();
        let object = scene.object();
        let lamp = self.lamp.sight_m(scene, self.eye)? - object;
        let spot = bright_spot(
            radius,
            [lamp.x, lamp.y, self.lamp.height_m() - radius],
            [
                -self.eye.behind_m() - object.x,
                0.0,
                self.eye.height_m() - radius,
            ],
        )
        .ok_or(CannotAim::SpotHidden)?;
        let at = object + kurbo::Vec2::new(spot.normal[0], spot.normal[1]) * radius;
        scene.towards_rad(at)
    }
}
