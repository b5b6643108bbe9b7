//! The cautions of sheets.

use crate::sheets::parts::Style;
use crate::speech::{Caution, cautions};

/// The caution of sheets that are to be cut.
pub(crate) fn scissors(style: &Style) -> String {
    care(&[Caution::Scissors], style)
}

/// What to mind, in the sheet's own language.
pub(crate) fn care(of: &[Caution], style: &Style) -> String {
    cautions(of, style.plain)
}
