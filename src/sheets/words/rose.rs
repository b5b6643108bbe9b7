//! What the rose of room around the ghost ball says.

use crate::gear::Gear;
use crate::pocket::PocketKind;
use crate::sheets::parts::Style;
use crate::window::{Stroke, stroke_said};

/// What the sheet is.
pub(crate) const ABOUT: &str =
    "Petals around the ghost ball, each as wide as the cue ball may be off at true size.";
/// What the picture shows.
pub(crate) const SHOWS: &str = "Petals around the ghost ball, one for each direction the cue ball may come from, as wide as it may be off. The text beside it says how to use it.";
/// Beside the arrow.
pub(crate) const TO_POCKET: &str = "to the pocket";
/// On the grey ball.
pub(crate) const OBJECT_BALL: &str = "object ball";
/// On the dashed one.
pub(crate) const GHOST_BALL: &str = "ghost ball";

/// How petals lie to each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Crowd {
    /// All of them apart.
    None,
    /// Some were left out so that the others are.
    Thinned,
    /// So wide that even the few left overlap.
    Overlapping,
}

/// The sheet's title.
pub(crate) fn title(gear: &Gear, kind: PocketKind) -> String {
    format!("Room: {}, {kind} pocket", gear.name)
}

/// Its question.
pub(crate) fn question(style: &Style) -> &'static str {
    if style.plain {
        "How much room is there?"
    } else {
        "How much room is there around the ghost ball?"
    }
}

/// How to use it, and why there are no more petals.
pub(crate) fn how_to_use(crowd: Crowd, style: &Style) -> String {
    let how = if style.plain {
        "Put a ball on the grey ball. Turn the paper: the arrow looks at the pocket. Stand behind the cue ball. How wide is your petal?"
    } else {
        "Lay the paper on the table with the object ball on the grey ball and the arrow to the middle of the pocket.\n \nLook from behind the cue ball along the petal that points at it. The cue ball's middle must come through the petal, towards the cross, the middle of the ghost ball.\n \nTake the paper away and play."
    };
    let few = match (crowd, style.plain) {
        (Crowd::None, _) => "",
        (Crowd::Thinned, true) => " Between two petals? Guess!",
        (Crowd::Thinned, false) => {
            "\n \nSo near to the pocket petals are wide: those in between are left out, since they would lie on each other."
        }
        (Crowd::Overlapping, true) => " The middle petal lies on top.",
        (Crowd::Overlapping, false) => {
            "\n \nSo near to the pocket petals are wide: those in between are left out, and the others still overlap; each has its outline, the middle one lies on top."
        }
    };
    format!("{how}{few}")
}

/// What is drawn: kind of pocket, three distances to it, distance between the balls, stroke.
pub(crate) struct Drawn<'a> {
    pub(crate) gear: &'a Gear,
    pub(crate) kind: PocketKind,
    pub(crate) to_pocket_m: [f64; 3],
    pub(crate) apart_m: f64,
    pub(crate) stroke: &'a Stroke,
}

/// Which piece is for which distance.
pub(crate) fn pieces(drawn: &Drawn<'_>, style: &Style) -> String {
    let [near, middle, far] = drawn.to_pocket_m.map(|m| style.distance(m));
    let kind = drawn.kind;
    if style.plain {
        return format!(
            "Pocket {near} away: the piece next to the ball. {middle}: the middle piece. {far}: the outer piece. Far away is narrow!"
        );
    }
    format!(
        "Object ball {near} from the {kind} pocket: the inner piece of a petal; {middle}: the middle piece; {far}: the outer piece.\n \nA piece is as wide as the cue ball's middle may be off, at true size, and the ball goes in untouched.\n \n{}, {} between the balls, square in, {}, {} at the pocket. Throw is allowed for.",
        drawn.gear.name,
        style.distance(drawn.apart_m),
        stroke_said(drawn.stroke, style.speech()),
        style.speed(drawn.stroke.pace_m_s)
    )
}
