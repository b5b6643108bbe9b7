//! What the chart of shots on several tables says.

use super::room::JAWS_COUNTED;

/// Where no shot goes.
pub(crate) const NOTHING: &str = "none goes on any table";
/// Beside a shot that has no room on one of them.
pub(crate) const NO_ROOM: &str = "no margin";
/// The title where nothing is found.
pub(crate) const QUESTION: &str = "How much harder are the same shots?";

/// What is compared.
pub(crate) struct Compared<'a> {
    /// The tables.
    pub(crate) tables: &'a [String],
    /// The first one, which the others are held against.
    pub(crate) against: &'a str,
    /// Shots drawn.
    pub(crate) drawn: usize,
    /// Shots there are.
    pub(crate) all: usize,
    /// Whose chances are drawn; room where nobody's.
    pub(crate) chances_of: Option<&'a str>,
    /// Some shot loses room.
    pub(crate) loses: bool,
}

/// How many shots, in which order.
pub(crate) fn subtitle(c: &Compared<'_>) -> String {
    let (drawn, all) = (c.drawn, c.all);
    let count = if drawn < all {
        format!("{drawn} of {all} shots")
    } else if all == 1 {
        "One shot".to_owned()
    } else {
        format!("{all} shots")
    };
    let what = match c.chances_of {
        Some(who) => format!("chances of: {who}"),
        None => JAWS_COUNTED.to_owned(),
    };
    let order = if c.loses {
        "largest loss"
    } else {
        "smallest gain"
    };
    format!(
        "{count}, {order} of margin against {} first; {what}",
        c.against
    )
}

/// What stands on the right, and what is assumed.
pub(crate) fn footer(c: &Compared<'_>) -> String {
    let of = match (c.chances_of, c.tables.len()) {
        (_, 2) if c.loses => "of the table that loses most",
        (_, 2) => "on the other table",
        (Some(_), _) => "on the table where the shot is hardest",
        (None, _) => "on the table that leaves the least margin",
    };
    format!(
        "Right: the change against the first table, {of}. Assumed: standard bounce of jaws and rails, unless a table changes it."
    )
}

/// The chart in words.
pub(crate) fn desc(tables: &[String]) -> String {
    format!(
        "One row a shot, one dot a table ({}), largest loss of margin first.",
        tables.join(", ")
    )
}

/// A change of chance.
pub(crate) fn makes(change: f64) -> String {
    format!("{} in 10", signed(change, 1))
}

/// A change of room, percent.
pub(crate) fn percent(change: f64) -> String {
    format!("{} %", signed(change, 0))
}

/// With its sign, a true minus; zero has none.
fn signed(value: f64, decimals: usize) -> String {
    let size = format!("{:.decimals$}", value.abs());
    if size.chars().all(|c| c == '0' || c == '.') {
        "±0".to_owned()
    } else if value < 0.0 {
        format!("\u{2212}{size}")
    } else {
        format!("+{size}")
    }
}
