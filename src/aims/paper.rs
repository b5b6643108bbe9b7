//! Paper aid: a mark laid on the cloth where the ghost ball stands, with a placing error.

use super::error::{AimsError, require};
use super::{CannotAim, Scene, Way};
use crate::field::Field;

/// Which way the aid is misplaced.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Placing {
    /// So that the hit is too full.
    Full,
    /// So that the hit is too thin.
    Thin,
}

/// A paper aid placed wrongly by a given distance, in the worst direction.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PaperAid {
    error_m: f64,
    placing: Placing,
}

impl PaperAid {
    /// Placing error when nothing is said, m (assumption: laid by eye along a cue).
    pub const DEFAULT_ERROR_M: f64 = 0.002;

    /// An aid misplaced by `error_m`.
    ///
    /// # Errors
    /// [`AimsError::OutOfRange`] when negative or above 100 mm.
    pub fn new(error_m: f64, placing: Placing) -> Result<Self, AimsError> {
        require(
            (0.0..=0.1).contains(&error_m),
            Field::PaperError,
            || format!("{}mm", error_m * 1e3),
            "from 0mm to 100mm",
        )?;
        Ok(Self { error_m, placing })
    }
}

impl Way for PaperAid {
    fn name(&self) -> String {
        match self.placing {
            Placing::Full => "paper-aid-full".into(),
            Placing::Thin => "paper-aid-thin".into(),
        }
    }

    fn rule(&self) -> String {
        let side = match self.placing {
            Placing::Full => "full",
            Placing::Thin => "thin",
        };
        format!(
            "send the cue ball's centre over a paper mark laid {:.1} mm too {side}",
            self.error_m * 1e3
        )
    }

    fn aim_rad(&self, scene: &Scene<'_>) -> Result<f64, CannotAim> {
        let ghost = scene.ghost();
        if self.error_m >= ghost.travel_m {
            return Err(CannotAim::PlacingTooLarge {
                error_mm: self.error_m * 1e3,
                travel_mm: ghost.travel_m * 1e3,
            });
        }
        // The largest turn of the line over a mark moved by e: sin δ = e/t_c.
        let turn = (self.error_m / ghost.travel_m).asin();
        let fuller = match self.placing {
            Placing::Full => turn,
            Placing::Thin => -turn,
        };
        Ok(ghost.aim_rad + scene.fuller_sign() * fuller)
    }
}
