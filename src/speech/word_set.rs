//! Whose words.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use super::nouns::Nouns;
use super::{uk, us};
use crate::error::UnitError;
use crate::gear::Marks;
use crate::shown::quoted;

/// Whose words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
#[non_exhaustive]
pub enum WordSet {
    /// Those of American pool.
    #[default]
    Us,
    /// Those of snooker and English pool.
    Uk,
}

impl WordSet {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Us, Self::Uk];

    /// As typed: `us`, `uk`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Us => "us",
            Self::Uk => "uk",
        }
    }

    /// Those of whoever plays on a table marked so.
    #[must_use]
    pub const fn of(marks: Marks) -> Self {
        match marks {
            Marks::Diamonds => Self::Us,
            Marks::Snooker | Marks::English => Self::Uk,
        }
    }

    /// One of two words that the trades have for one thing, where it is said only in one place.
    #[must_use]
    pub const fn pick<'a>(self, us: &'a str, uk: &'a str) -> &'a str {
        match self {
            Self::Us => us,
            Self::Uk => uk,
        }
    }

    /// What things are called.
    #[must_use]
    pub const fn nouns(self) -> &'static Nouns {
        match self {
            Self::Us => &us::NOUNS,
            Self::Uk => &uk::NOUNS,
        }
    }
}

impl FromStr for WordSet {
    type Err = UnitError;

    fn from_str(text: &str) -> Result<Self, UnitError> {
        Self::ALL
            .into_iter()
            .find(|set| set.name() == text.trim().to_lowercase())
            .ok_or_else(|| UnitError::UnknownWords {
                value: quoted(text),
            })
    }
}

impl fmt::Display for WordSet {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}
