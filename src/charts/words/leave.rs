//! What the map of the leave says.

use crate::draw::theme::Caption;
use crate::layout::{RestingArea, leave_words};
use crate::pocket::PocketName;
use crate::speech::Speech;

/// The map, where it has no values.
pub(crate) const MAP: &str = "the leave";
/// Why it has none.
pub(crate) const EMPTY: &str = super::places::EMPTY;

/// A ball into a pocket.
pub(crate) struct Into<'a> {
    pub(crate) ball: &'a str,
    pub(crate) pocket: PocketName,
}

/// The words round the map: this shot, the next, who plays.
pub(crate) fn caption(
    shot: &Into<'_>,
    next: &Into<'_>,
    resting: &[RestingArea],
    who: &str,
) -> Caption {
    let next = format!("the {} into the {} pocket", next.ball, next.pocket.name());
    let leaves = leave_words(resting, Speech::default());
    Caption {
        subtitle: format!(
            "Chance of {next} from each place of the cue ball, once the {} is in the {} pocket; {who}",
            shot.ball,
            shot.pocket.name(),
        ),
        footer: "Marks: where the cue ball comes to lie, each as likely as the others of its kind. Blank: no place for the cue ball. Dashed: the ball pocketed first.".to_owned(),
        desc: format!("The table from above, coloured by the chance of {next}; {leaves}."),
        title: leaves,
    }
}
