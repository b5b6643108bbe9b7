//! Back of the ball: the line from the middle of the pocket through the object ball's middle comes out
//! at its back; the cue ball's middle is sent half a ball behind that. It aims for the middle of the
//! mouth, which is not the middle of what goes in where the ball comes in at an angle.

use super::{CannotAim, Scene, Way};

/// The line through the pocket, from behind the ball.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BackOfBall;

impl Way for BackOfBall {
    fn name(&self) -> String {
        "back-of-ball".into()
    }

    fn rule(&self) -> String {
        "follow the line from the middle of the pocket through the object ball to its back; send the cue ball's middle half a ball behind that".into()
    }

    fn aim_rad(&self, scene: &Scene<'_>) -> Result<f64, CannotAim> {
        let approach = &scene.window.approach;
        let reach = approach.reach_rad();
        let line = scene.window.centre_line_rad.clamp(-reach, reach);
        Ok(approach.at(line).aim_rad)
    }
}
