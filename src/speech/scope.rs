//! In whose words a picture is drawn: its letters are measured and set in them, whichever chart it is.

use std::borrow::Cow;
use std::cell::Cell;

use super::listener::{Speech, WordSet};
use crate::gear::Bed;
use crate::units::UnitSystem;

thread_local! {
    static WORDS: Cell<Option<WordSet>> = const { Cell::new(None) };
}

/// Does some work whose pictures speak these words ([`heard`]): on this thread, until it is done.
///
/// ```
/// use thincut::speech::{WordSet, heard, in_words_of};
///
/// assert_eq!(in_words_of(WordSet::Uk, || heard("off the rail").into_owned()), "off the cushion");
/// assert_eq!(heard("off the rail"), "off the rail");
/// ```
pub fn in_words_of<T>(words: WordSet, work: impl FnOnce() -> T) -> T {
    /// Gives the words back, by whichever way the work ends.
    struct Before(Option<WordSet>);
    impl Drop for Before {
        fn drop(&mut self) {
            WORDS.set(self.0);
        }
    }
    let _before = Before(WORDS.replace(Some(words)));
    work()
}

/// A text in the words of the picture that is being drawn.
#[must_use]
pub fn heard(text: &str) -> Cow<'_, str> {
    match WORDS.get() {
        None | Some(WordSet::Us) => Cow::Borrowed(text),
        Some(words) => Cow::Owned(Speech::new(words, UnitSystem::default()).said(text)),
    }
}

/// The words asked for, where somebody asked.
pub(super) fn asked_for() -> Option<WordSet> {
    WORDS.get()
}

/// The words asked for, where somebody asked; else those of whoever plays on such a table.
#[must_use]
pub(crate) fn words_here(bed: &Bed) -> WordSet {
    WORDS.get().unwrap_or_else(|| WordSet::of(bed.marks))
}
