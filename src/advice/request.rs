//! What is asked of the adviser besides what is asked of a ranking.

use std::sync::Arc;

use super::legal::{FreePlay, Legal};
use crate::layout::ChooseOptions;
use crate::player::AimError;

/// What of the stroke is to be found; the rest is as asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Open {
    /// How hard.
    pub pace: bool,
    /// Stun, draw, follow.
    pub arrival: bool,
    /// Side.
    pub side: bool,
}

impl Open {
    /// All of it.
    pub const ALL: Self = Self {
        pace: true,
        arrival: true,
        side: true,
    };
    /// Nothing: every shot with the stroke asked for.
    pub const NONE: Self = Self {
        pace: false,
        arrival: false,
        side: false,
    };
}

/// How far ahead.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ahead {
    /// This shot and the next.
    One,
    /// One more.
    Two,
}

/// What is asked.
#[derive(Debug, Clone)]
pub struct AdviceOptions {
    /// The player, the stroke, what to look at.
    pub choose: ChooseOptions,
    /// What of the stroke is to be found.
    pub open: Open,
    /// What is on.
    pub legal: Arc<dyn Legal>,
    /// The other player's aim.
    pub opponent: AimError,
    /// How far ahead.
    pub ahead: Ahead,
    /// Whether to look for safeties where going for it does not win by itself.
    pub safeties: bool,
}

impl AdviceOptions {
    /// All that can be found for a player against one as good, in free play.
    #[must_use]
    pub fn new(choose: ChooseOptions) -> Self {
        Self {
            open: Open::ALL,
            legal: Arc::new(FreePlay::new(&choose.targets)),
            opponent: AimError {
                bias_rad: 0.0,
                ..choose.player
            },
            ahead: Ahead::One,
            safeties: true,
            choose,
        }
    }
}
