//! What every aiming method is: a shot in, the line it aims along out.

use super::error::CannotAim;
use super::scene::Scene;

/// One way of aiming.
pub trait Way: std::fmt::Debug + Send + Sync {
    /// Its name in tables and on the command line.
    fn name(&self) -> String;

    /// What the player does, in one clause.
    fn rule(&self) -> String;

    /// What is taken for lamp, eye or stick, one text each.
    fn assumes(&self) -> Vec<String> {
        Vec::new()
    }

    /// The direction the cue ball is sent in by a player who follows the way perfectly, rad,
    /// relative to cue ball → object ball, counter-clockwise positive.
    ///
    /// # Errors
    /// [`CannotAim`] where the way gives no line for this shot.
    fn aim_rad(&self, scene: &Scene<'_>) -> Result<f64, CannotAim>;
}
