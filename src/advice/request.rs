//! What is asked of the adviser besides what is asked of a ranking.

use std::sync::Arc;

use super::legal::{Legal, legal_on};
use crate::layout::{ChooseOptions, Table};
use crate::player::AimError;
use crate::request::StrokeRequest;

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

    /// What a request leaves open.
    #[must_use]
    pub fn of(asked: &StrokeRequest) -> Self {
        let arrives = asked.arrives.is_some() || asked.roll.is_some() || asked.hit.is_some();
        Self {
            pace: asked.pace.is_none() && asked.stroke.is_none(),
            arrival: !arrives && asked.tip.is_none(),
            side: asked.side.is_none() && asked.tip.is_none(),
        }
    }
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
    /// All that can be found for a player against one as good, by the rules of the table's game.
    #[must_use]
    pub fn new(table: &Table<'_>, choose: ChooseOptions) -> Self {
        Self {
            open: Open::ALL,
            legal: legal_on(table, &choose.targets),
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
