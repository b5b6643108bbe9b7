//! To whom is something said: in which units, and in whose words.
//!
//! Every sentence of the library stands in a file called `words`, beside what it is about, and takes
//! a [`Speech`]. What the trades call differently (a rail is a cushion elsewhere, a bank a double)
//! it takes from [`Nouns`], so that another set of words is one file here and one line in
//! [`WordSet`]. Where whole sentences differ, a `match` on [`Speech::words`] is the place.

mod place;
mod us;

use serde::{Deserialize, Serialize};

use crate::pocket::PocketName;
use crate::units::UnitSystem;

pub use place::{place_words, rail_words};

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

/// What the trades call differently. Plurals stand beside their singulars, since not all end in s.
#[derive(Debug)]
pub struct Nouns {
    /// The six pockets, in the order of [`PocketName::ALL`].
    pub pockets: [&'static str; 6],
    /// Both pockets in the long rails.
    pub side_pockets: &'static str,
    /// One of them.
    pub side_pocket: &'static str,
    /// A rail, as an end of the table or as what balls come off.
    pub rail: &'static str,
    /// Several.
    pub rails: &'static str,
    /// One of the two long ones.
    pub long_rail: &'static str,
    /// The end the cue ball starts from.
    pub head: &'static str,
    /// The other end.
    pub foot: &'static str,
    /// The marks a quarter of the width apart.
    pub diamond: &'static str,
    /// Several.
    pub diamonds: &'static str,
    /// A shot that drops.
    pub make: &'static str,
    /// Several.
    pub makes: &'static str,
    /// It dropped: "made 4 in 10".
    pub made: &'static str,
    /// The object ball comes off a rail.
    pub bank: &'static str,
    /// The cue ball comes off a rail first.
    pub kick: &'static str,
    /// One object ball sends another.
    pub combination: &'static str,
    /// The cue ball drops.
    pub scratch: &'static str,
    /// It does so.
    pub scratches: &'static str,
    /// Doing so.
    pub scratching: &'static str,
    /// Spin about the vertical.
    pub side: &'static str,
    /// Backspin at contact.
    pub draw: &'static str,
    /// A plastic card for a feel of a thickness.
    pub card: &'static str,
}

/// With a large first letter, as at the start of a sentence.
#[must_use]
pub fn first_large(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pockets_are_called_by_their_own_names() {
        for (k, name) in PocketName::ALL.into_iter().enumerate() {
            assert_eq!(name as usize, k);
            let said = Speech::default().pocket(name);
            // What is typed has the same words in another order.
            let mut typed: Vec<&str> = name.name().split('-').collect();
            typed.retain(|word| !said.contains(word));
            assert!(typed.is_empty(), "{said} for {}", name.name());
        }
    }
}
