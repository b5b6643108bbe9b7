//! Ghost ball: send the cue ball's centre to where it stands when it touches the object ball on the
//! line to the pocket. Exact without throw; with throw it is too full by the throw pulled back.

use super::{CannotAim, Scene, Way};
use crate::units::{Angle, speak};

/// What is allowed for throw.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Allowance {
    /// Nothing.
    None,
    /// Exactly what this stroke throws.
    Exact,
    /// The line of centres is turned thinner by this, rad, at any cut (straight-in too).
    Fixed(f64),
}

/// Centre through the ghost ball's centre.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GhostBall {
    /// Allowance for throw.
    pub allowance: Allowance,
}

impl Way for GhostBall {
    fn name(&self) -> String {
        match self.allowance {
            Allowance::None => "ghost-ball".into(),
            Allowance::Exact => "ghost-ball-throw".into(),
            Allowance::Fixed(_) => "ghost-ball-allowance".into(),
        }
    }

    fn rule(&self) -> String {
        let base = "send the cue ball's centre to the ghost ball's centre";
        match self.allowance {
            Allowance::None => base.into(),
            Allowance::Exact => format!("{base}, moved by what this stroke throws"),
            Allowance::Fixed(rad) => format!(
                "{base}, moved {} thinner for throw",
                speak::degrees(Angle::from_rad(rad))
            ),
        }
    }

    fn aim_rad(&self, scene: &Scene<'_>) -> Result<f64, CannotAim> {
        Ok(match self.allowance {
            Allowance::None => scene.ghost().aim_rad,
            Allowance::Exact => scene.window.aim.aim_rad,
            Allowance::Fixed(rad) => {
                let reach = scene.window.approach.reach_rad();
                let turned = scene.wanted_rad() + scene.fuller_sign() * rad;
                scene
                    .window
                    .approach
                    .at(turned.clamp(-reach, reach))
                    .aim_rad
            }
        })
    }
}
