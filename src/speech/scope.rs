//! In whose words a picture is drawn: whatever chart it is, its sentences ask here.

use std::cell::Cell;

use super::word_set::WordSet;
#[cfg(feature = "paper")]
use crate::gear::Bed;

thread_local! {
    static WORDS: Cell<Option<WordSet>> = const { Cell::new(None) };
}

/// Does some work whose sentences speak these words: on this thread, until it is done.
#[cfg(feature = "paper")]
pub(crate) fn in_words_of<T>(words: WordSet, work: impl FnOnce() -> T) -> T {
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

/// The words asked for, where somebody asked.
pub(super) fn asked_for() -> Option<WordSet> {
    WORDS.get()
}

/// The words asked for, where somebody asked; else those of whoever plays on such a table.
#[cfg(feature = "paper")]
#[must_use]
pub(crate) fn words_here(bed: &Bed) -> WordSet {
    WORDS.get().unwrap_or_else(|| WordSet::of(bed.marks))
}
