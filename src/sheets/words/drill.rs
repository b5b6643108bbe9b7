//! What stands beside the diagram of one shot.

use crate::gear::{Bed, Marks};
use crate::ladder::in_diamonds;
use crate::sheets::parts::Style;
use crate::speech::place_words;
use crate::units::Position;

/// The n-th rung of a ladder.
pub(crate) fn rung(number: usize) -> String {
    format!("Rung {number}")
}

/// What passes it.
pub(crate) fn passes(makes: u32, tries: u32) -> String {
    format!("{makes} of {tries} pass")
}

/// Places and pocket in plain words, a line each.
pub(crate) fn plain_lines(
    object: Position,
    cue: Position,
    pocket: &str,
    bed: &Bed,
    style: &Style,
) -> Vec<String> {
    vec![
        format!("Ball 1: {}.", place_words(object, bed, style.speech())),
        format!("White ball: {}.", place_words(cue, bed, style.speech())),
        format!("Pocket: {pocket}."),
    ]
}

/// A ball's place, in diamonds where the table has them, and in words.
pub(crate) fn ball(name: &str, place: Position, said: &str, bed: &Bed) -> String {
    if bed.marks != Marks::Diamonds {
        return format!("{name}: {said}.");
    }
    format!("{name} {}: {said}.", in_diamonds(place, bed))
}

/// The object ball, as [`ball`] names it.
pub(crate) const OBJECT_BALL: &str = "Object ball";
/// The cue ball.
pub(crate) const CUE_BALL: &str = "Cue ball";

/// The cut of a shot: "straight", "32° to the left".
pub(crate) fn cut(deg: f64, side: &str) -> String {
    match side {
        "straight" => "straight".to_owned(),
        side => format!("{deg:.0}° to the {side}"),
    }
}

/// Pocket, cut and chance.
pub(crate) fn pocket(pocket: &str, cut: &str, makes_in_ten: f64) -> String {
    format!("{pocket}, {cut}; {makes_in_ten:.1} in 10.")
}

/// What the diagram shows.
pub(crate) fn shows(cue: &str, object: &str, pocket: &str) -> String {
    format!(
        "The table from above, head left: cue ball {cue}, object ball {object}, into the {pocket} pocket."
    )
}

/// What a row of boxes is, and whose; nobody's where the name is empty.
pub(crate) fn boxes(tries: u32, name: &str) -> String {
    if name.is_empty() {
        format!("{tries} boxes to tick.")
    } else {
        format!("{tries} boxes to tick for {name}.")
    }
}
