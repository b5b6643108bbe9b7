//! What charts say of what stands round a shot.

/// What a chart leaves out that cannot count other balls and the stance.
pub(crate) fn left_out(other_balls: bool, awkward: bool) -> Option<&'static str> {
    match (other_balls, awkward) {
        (true, true) => {
            Some("Not counted here: the other balls on the table, and the awkward stance.")
        }
        (true, false) => Some("Not counted here: the other balls on the table."),
        (false, true) => Some("Not counted here: the awkward stance."),
        (false, false) => None,
    }
}
