//! Who listens: whose words, and which units.

use super::nouns::Nouns;
use super::scope::asked_for;
use super::word_set::WordSet;
use crate::gear::Bed;
use crate::pocket::PocketName;
use crate::units::UnitSystem;

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
    /// These words in these units.
    #[must_use]
    pub const fn new(words: WordSet, units: UnitSystem) -> Self {
        Self {
            words,
            units,
            plain: false,
        }
    }

    /// What things are called.
    #[must_use]
    pub const fn nouns(self) -> &'static Nouns {
        self.words.nouns()
    }

    /// One of two words that the trades have for one thing, where it is said only in one place.
    #[must_use]
    pub const fn pick<'a>(self, us: &'a str, uk: &'a str) -> &'a str {
        self.words.pick(us, uk)
    }

    /// The words of whoever plays on this bed, in the usual units.
    #[must_use]
    pub fn of(bed: &Bed) -> Self {
        Self::new(WordSet::of(bed.marks), UnitSystem::default())
    }

    /// The same for children and beginners.
    #[must_use]
    pub const fn plainly(self) -> Self {
        Self {
            plain: true,
            ..self
        }
    }

    /// A pocket by its short name: `foot-left`, `top-left`.
    #[must_use]
    pub const fn pocket_name(self, pocket: PocketName) -> &'static str {
        match (self.words, pocket) {
            (WordSet::Us, PocketName::HeadLeft) => "head-left",
            (WordSet::Us, PocketName::HeadRight) => "head-right",
            (WordSet::Us, PocketName::SideLeft) => "side-left",
            (WordSet::Us, PocketName::SideRight) => "side-right",
            (WordSet::Us, PocketName::FootLeft) => "foot-left",
            (WordSet::Us, PocketName::FootRight) => "foot-right",
            (WordSet::Uk, PocketName::HeadLeft) => "baulk-left",
            (WordSet::Uk, PocketName::HeadRight) => "baulk-right",
            (WordSet::Uk, PocketName::SideLeft) => "middle-left",
            (WordSet::Uk, PocketName::SideRight) => "middle-right",
            (WordSet::Uk, PocketName::FootLeft) => "top-left",
            (WordSet::Uk, PocketName::FootRight) => "top-right",
        }
    }

    /// The same of a pocket that data have by its name; other texts stay.
    #[must_use]
    pub fn pocket_named(self, name: &str) -> &str {
        name.parse().map_or(name, |pocket| self.pocket_name(pocket))
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
    /// Whoever names units alone has the words of the picture being drawn, else the usual ones.
    fn from(units: UnitSystem) -> Self {
        Self::new(asked_for().unwrap_or_default(), units)
    }
}

impl From<Speech> for UnitSystem {
    fn from(speech: Speech) -> Self {
        speech.units
    }
}
