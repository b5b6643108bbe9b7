//! One column, and what it is called.

use super::cells::AXES;

/// A column of a struct.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Column {
    /// The fields that lead to it.
    pub(super) path: Vec<&'static str>,
    pub(super) name: String,
    pub(super) is_number: bool,
}

/// `clean_thick_deg`; of a pair `ghost_ball_x_mm`, its axis before the unit.
pub(super) fn name(path: &[&'static str]) -> String {
    match path {
        [before @ .., pair, axis] if AXES.contains(axis) => {
            let (what, unit) = pair.rsplit_once('_').unwrap_or((pair, ""));
            [before, &[what, axis, unit]].concat().join("_")
        }
        _ => path.join("_"),
    }
}
