//! What becomes of a text before it is measured and set. Drawing knows no words: whoever draws says how.

use std::borrow::Cow;
use std::cell::Cell;

/// How a text is said.
pub type Saying = fn(&str) -> String;

thread_local! {
    static SAYING: Cell<Option<Saying>> = const { Cell::new(None) };
}

/// Does some work whose texts are all said so, or as they are: on this thread, until it is done.
///
/// ```
/// use thincut::draw::text::{Weight, width};
/// use thincut::draw::wording::said_by;
///
/// let wide = |text| width(text, 10.0, Weight::Regular);
/// assert!(said_by(Some(|text| text.replace("rail", "cushion")), || wide("rail")) > wide("rail"));
/// ```
pub fn said_by<T>(saying: Option<Saying>, work: impl FnOnce() -> T) -> T {
    /// Gives back what was before, by whichever way the work ends.
    struct Before(Option<Saying>);
    impl Drop for Before {
        fn drop(&mut self) {
            SAYING.set(self.0);
        }
    }
    let _before = Before(SAYING.replace(saying));
    work()
}

/// A text as it is said in the picture that is being drawn.
#[must_use]
pub fn said(text: &str) -> Cow<'_, str> {
    SAYING
        .get()
        .map_or(Cow::Borrowed(text), |saying| Cow::Owned(saying(text)))
}
