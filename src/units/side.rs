//! Left or right, and which hand holds the cue.

use std::fmt;

use serde::{Deserialize, Serialize};

/// Left or right, as the shooter sees it. Of a cut: where the object ball goes from the aim line.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Default, Serialize, Deserialize,
)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Side {
    /// Left of the line looked along: counter-clockwise from it.
    #[default]
    Left,
    /// Right of the line looked along: clockwise from it.
    Right,
}

impl Side {
    /// Both, left first.
    pub const BOTH: [Self; 2] = [Self::Left, Self::Right];

    /// `left` or `right`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
        }
    }

    /// The side with this name.
    #[must_use]
    pub fn from_name(name: &str) -> Option<Self> {
        Self::BOTH.into_iter().find(|side| side.name() == name)
    }

    /// The other one.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
        }
    }

    /// Left where `left` holds.
    #[must_use]
    pub fn left_if(left: bool) -> Self {
        if left { Self::Left } else { Self::Right }
    }

    /// Whether this is the left.
    #[must_use]
    pub fn is_left(self) -> bool {
        self == Self::Left
    }

    /// 0 for left, 1 for right: the place in a pair held by side.
    #[must_use]
    pub fn index(self) -> usize {
        usize::from(self == Self::Right)
    }

    /// 1 for left, −1 for right: counter-clockwise is positive.
    #[must_use]
    pub fn sign(self) -> f64 {
        match self {
            Self::Left => 1.0,
            Self::Right => -1.0,
        }
    }
}

impl fmt::Display for Side {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// Which hand holds the butt of the cue.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Hand {
    /// Left-handed.
    Left,
    /// Right-handed.
    Right,
}

impl Hand {
    /// `left` or `right`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
        }
    }

    /// The hand with this name.
    #[must_use]
    pub fn from_name(name: &str) -> Option<Self> {
        [Self::Left, Self::Right]
            .into_iter()
            .find(|hand| hand.name() == name)
    }

    /// The other one.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
        }
    }
}

impl fmt::Display for Hand {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.name())
    }
}
