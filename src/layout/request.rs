//! What to look for on a table, and for whom.

use super::candidate::Candidate;
use super::force::Tip;
use super::stance::Reach;
use crate::player::AimError;
use crate::units::{Hand, Side};
use crate::window::Stroke;

/// What to look for, and for whom.
#[derive(Debug, Clone, PartialEq)]
pub struct ChooseOptions {
    /// The player's aim.
    pub player: AimError,
    /// The player's aim on cuts to the right, where it is another (a lean that changes with the cut).
    pub on_right_cuts: Option<AimError>,
    /// The stroke; its pace where no stroke off the tip is given.
    pub stroke: Stroke,
    /// The stroke off the tip, the same for all shots, instead of the pace.
    pub tip: Option<Tip>,
    /// How far the player gets.
    pub reach: Reach,
    /// Balls that may be played first; all when empty.
    pub targets: Vec<usize>,
    /// Whether to look at banks.
    pub banks: bool,
    /// Whether to look at combinations.
    pub combinations: bool,
    /// Whether to look at kicks.
    pub kicks: bool,
    /// What counts.
    pub prefer: Prefer,
}

impl ChooseOptions {
    /// A right-handed player on both feet with a centre ball, who looks at every way to make any ball
    /// and at the balls after it.
    #[must_use]
    pub fn new(player: AimError) -> Self {
        Self {
            player,
            on_right_cuts: None,
            stroke: Stroke::centre_ball(),
            tip: None,
            reach: Reach::standing(Hand::Right),
            targets: Vec::new(),
            banks: true,
            combinations: true,
            kicks: true,
            prefer: Prefer::Run,
        }
    }

    /// The player's aim on a shot.
    #[must_use]
    pub fn aims(&self, shot: &Candidate) -> &AimError {
        match &self.on_right_cuts {
            Some(right) if shot.cut_side() == Side::Right => right,
            _ => &self.player,
        }
    }
}

/// What counts in the ranking.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Prefer {
    /// The chance of this shot.
    Make,
    /// The chance of this shot and the next.
    Control,
    /// The balls that this shot and the next make: a make and keep times one and the next.
    Run,
}
