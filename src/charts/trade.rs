//! In whose words a picture is drawn.

use crate::draw::wording::{Saying, said_by};
use crate::speech::{self, Speech, WordSet};
use crate::units::UnitSystem;

/// Does some work whose pictures speak these words: sentences as they are made, and every text again as it
/// is set, since a picture is measured in what it says.
pub fn in_words_of<T>(words: WordSet, work: impl FnOnce() -> T) -> T {
    let saying: Option<Saying> = match words {
        WordSet::Us => None,
        WordSet::Uk => Some(|text| Speech::new(WordSet::Uk, UnitSystem::default()).said(text)),
    };
    speech::in_words_of(words, || said_by(saying, work))
}
