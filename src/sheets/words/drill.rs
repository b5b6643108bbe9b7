//! What stands beside the diagram of one shot.

use kurbo::Point;

use crate::gear::{Bed, Marks};
use crate::ladder::in_diamonds;
use crate::sheets::parts::Style;
use crate::speech::{by_diamonds, place_words};
use crate::units::{Position, UnitSystem, speak};

/// The n-th rung of a ladder.
pub(crate) fn rung(number: usize) -> String {
    format!("Rung {number}")
}

/// What passes it.
pub(crate) fn passes(makes: u32, tries: u32) -> String {
    format!("pass mark {makes} of {tries}")
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

/// Both balls, counted along the numbers of the diagram.
pub(crate) fn numbers(object: Position, cue: Position, bed: &Bed) -> String {
    format!(
        "{OBJECT_BALL} {}; {CUE_BALL_LATER} {}.",
        in_diamonds(object, bed),
        in_diamonds(cue, bed)
    )
}

/// The same in plain words, with the pocket: quarters of a diamond, or a tape's centimetres or inches from the
/// head end and from the right.
pub(crate) fn plain_numbers(
    object: Point,
    cue: Point,
    pocket: &str,
    bed: &Bed,
    style: &Style,
) -> String {
    let quarters = |x: f64| speak::diamonds(0.25 * (4.0 * x).round());
    let pair = |at: Point| {
        if by_diamonds(bed, style.speech()) {
            let (x, y) = (8.0 * at.x / bed.length_m, 4.0 * at.y / bed.width_m);
            return format!("{} and {}", quarters(x), quarters(y));
        }
        let (unit, m) = match style.units {
            UnitSystem::Metric => ("cm", 0.01),
            UnitSystem::Inches => ("in", 0.0254),
        };
        format!("{:.0} and {:.0} {unit}", at.x / m, at.y / m)
    };
    format!(
        "Ball 1: {}. White ball: {}. Pocket: {pocket}.",
        pair(object),
        pair(cue)
    )
}

/// The object ball, as [`ball`] names it.
pub(crate) const OBJECT_BALL: &str = "Object ball";
/// The cue ball.
pub(crate) const CUE_BALL: &str = "Cue ball";
/// The same within a sentence.
const CUE_BALL_LATER: &str = "cue ball";

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
