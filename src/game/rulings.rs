//! What the rules say of a stroke.

use super::names::{Game, RuleSet};

/// What the rules say of a stroke that hits one ball first and makes one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ruling {
    /// Legal, and the turn goes on.
    Legal {
        /// What it scores: points in snooker and straight pool, else 1.
        points: u8,
    },
    /// Legal, and the game is won by it.
    Wins {
        /// What it scores.
        points: u8,
    },
    /// No foul, but the turn ends: the other side's ball went down.
    TurnEnds,
    /// Editions of the rules differ (the 8 hit first on an open table): no foul is claimed.
    Unsettled,
    /// A foul.
    Foul(Foul),
    /// The game is lost by it: the last ball before its time.
    Loses,
}

impl Ruling {
    /// What it scores.
    #[must_use]
    pub const fn points(self) -> u8 {
        match self {
            Self::Legal { points } | Self::Wins { points } => points,
            _ => 0,
        }
    }

    /// Whether the turn goes on, or the game is won.
    #[must_use]
    pub const fn is_legal(self) -> bool {
        matches!(self, Self::Legal { .. } | Self::Wins { .. })
    }
}

/// A ruling with the game whose rules it is by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Told {
    /// The ruling.
    pub ruling: Ruling,
    /// The game.
    pub game: Game,
    /// English pool: whose rules.
    pub rules: Option<RuleSet>,
}

/// A foul.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Foul {
    /// Which.
    pub kind: FoulKind,
    /// What the other side gets in snooker: the value of the ball on or of the ball concerned, the higher,
    /// at least 4 (WPBSA).
    pub penalty: Option<u8>,
}

impl FoulKind {
    /// As data: `wrong-ball-first`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::WrongBallFirst => "wrong-ball-first",
            Self::WrongBallMade => "wrong-ball-made",
            Self::InOff => "in-off",
            Self::NoBall => "no-ball",
            Self::NoCushion => "no-cushion",
        }
    }
}

/// Fouls of a stroke, by name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FoulKind {
    /// The first ball hit may not be hit first.
    WrongBallFirst,
    /// A ball went down that may not.
    WrongBallMade,
    /// The cue ball went down.
    InOff,
    /// No ball was hit.
    NoBall,
    /// Nothing was made and nothing reached a cushion after the first contact.
    NoCushion,
}
