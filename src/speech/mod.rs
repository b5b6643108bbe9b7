//! To whom is something said: in which units, and in whose words.
//!
//! Every sentence of the library stands in a file called `words`, beside what it is about, and takes
//! a [`Speech`]. What the trades call differently (a rail is a cushion elsewhere, a bank a double)
//! it takes from [`Nouns`], so that another set of words is one file here and one line in
//! [`WordSet`]. Where whole sentences differ, a `match` on [`Speech::words`] is the place.

mod caution;
mod letters;
mod listener;
mod names;
mod nouns;
mod pairs;
mod place;
mod scope;
mod uk;
mod us;
mod word_set;

pub use caution::{Caution, MARKS, PRACTICE, STROKE_TEST, cautions};
pub use letters::first_large;
pub use listener::Speech;
pub use names::named;
pub use nouns::Nouns;
pub use pairs::PAIRS;
pub use place::{by_diamonds, place_words, place_words_m, rail_words};
#[cfg(feature = "paper")]
pub(crate) use scope::{in_words_of, words_here};
pub use word_set::WordSet;
