//! Who listens: whose words, and which units.

use serde::{Deserialize, Serialize};

use super::nouns::Nouns;
use super::us;
use crate::pocket::PocketName;
use crate::units::UnitSystem;

/// Whose words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
#[non_exhaustive]
pub enum WordSet {
    /// Those of American pool.
    #[default]
    Us,
}

impl WordSet {
    /// What things are called.
    #[must_use]
    pub const fn nouns(self) -> &'static Nouns {
        match self {
            Self::Us => &us::NOUNS,
        }
    }
}

/// To whom it is said.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Speech {
    /// Whose words.
    pub words: WordSet,
    /// In which units.
    pub units: UnitSystem,
    /// Without decimals, for children and beginners.
    pub plain: bool,
}

impl Speech {
    /// What things are called.
    #[must_use]
    pub const fn nouns(self) -> &'static Nouns {
        self.words.nouns()
    }

    /// The same for children and beginners.
    #[must_use]
    pub const fn plainly(self) -> Self {
        Self {
            plain: true,
            ..self
        }
    }

    /// A pocket: "left foot corner", "left side pocket".
    ///
    /// ```
    /// use thincut::{PocketName, Speech};
    ///
    /// assert_eq!(Speech::default().pocket(PocketName::FootLeft), "left foot corner");
    /// ```
    #[must_use]
    pub fn pocket(self, pocket: PocketName) -> &'static str {
        self.nouns().pockets[pocket as usize]
    }
}

impl From<UnitSystem> for Speech {
    /// Whoever names units alone has the usual words.
    fn from(units: UnitSystem) -> Self {
        Self {
            units,
            ..Self::default()
        }
    }
}

impl From<Speech> for UnitSystem {
    fn from(speech: Speech) -> Self {
        speech.units
    }
}
