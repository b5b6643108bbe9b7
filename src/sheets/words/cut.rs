//! The caution of sheets that are to be cut.

use crate::sheets::parts::Style;

/// One caution, on every sheet that is to be cut.
const SCISSORS: &str = "Scissors cut fingers too: cut on a firm surface, away from the hand that holds the paper; for a child, let a grown-up cut.";

/// The same in plain words.
const SCISSORS_PLAIN: &str = "Careful: scissors cut fingers. Let a grown-up help.";

/// The caution of sheets that are to be cut.
pub(crate) fn scissors(style: &Style) -> &'static str {
    if style.plain {
        SCISSORS_PLAIN
    } else {
        SCISSORS
    }
}
