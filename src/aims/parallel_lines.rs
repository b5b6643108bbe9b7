//! Parallel lines: the line of the object ball's path through its middle leaves it at its back; the same
//! line, parallel, through the cue ball's middle leaves that at its front. The cue ball is sent so that
//! the two points meet. Seen at the balls' full width, so for unequal balls a little thin.

use kurbo::Vec2;

use super::{CannotAim, Scene, Way};

/// The two ends of two parallel lines, brought together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ParallelLines;

impl Way for ParallelLines {
    fn name(&self) -> String {
        "parallel-lines".into()
    }

    fn rule(&self) -> String {
        "draw the object ball's path through its middle and a parallel through the cue ball's; send the cue ball so that the two lines' near ends meet".into()
    }

    fn aim_rad(&self, scene: &Scene<'_>) -> Result<f64, CannotAim> {
        let travel = Vec2::from_angle(scene.wanted_rad());
        let (object, cue) = (scene.gear.object_radius_m(), scene.gear.cue_radius_m());
        scene.towards_rad(scene.object() - travel * (object + cue))
    }
}
