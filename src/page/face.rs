//! How the page and its interface call fields and say what to do next.

use crate::field::{Face, Hint};

/// Fields as the keys of a request; hints where the page has a way to follow them.
pub(super) const PAGE: Face = Face {
    field: Face::PLAIN.field,
    hint: |hint, f| match hint {
        Hint::EnterTally { .. } => f.write_str(
            " For the practice log: count the tries at the table, on the page, by this code.",
        ),
        _ => Ok(()),
    },
};
