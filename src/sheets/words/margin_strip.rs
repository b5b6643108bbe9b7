//! What the margin strip says.

use crate::charts::margins::Strip;
use crate::gear::Gear;
use crate::pocket::PocketKind;
use crate::sheets::parts::Style;
use crate::window::stroke_said;

/// What the sheet is.
pub(crate) const ABOUT: &str = "A strip with the margin at the ghost ball at true size, for five hits and three distances to the pocket.";
/// What the picture shows.
pub(crate) const SHOWS: &str = "For a full ball, three quarters, half, a quarter and an eighth of a ball, and for three distances to the pocket, two blocks with the gap between them that the cue ball's middle has at the ghost ball.";

/// The sheet's title.
pub(crate) fn title(gear: &Gear, kind: PocketKind) -> String {
    format!("Margin strip: {}, {kind} pocket", gear.spoken())
}

/// Its question.
pub(crate) fn question(style: &Style) -> &'static str {
    if style.plain {
        "How exact must it be?"
    } else {
        "How much margin is there at the ghost ball?"
    }
}

/// How to read it.
pub(crate) fn how_to_read(style: &Style) -> &'static str {
    if style.plain {
        "Find your hit and how far the pocket is. When the balls meet, the middle of the white ball must be in the gap."
    } else {
        "Find the column of the hit and the row of the distance to the pocket. The white gap, at true size, is how far off the middle of the cue ball may be where the balls meet, from too full to too thin, for the ball to go in clean. Hold the strip beside the ball to see it, and put it away to play."
    }
}

/// What is held and assumed.
pub(crate) fn held(gear: &Gear, strip: &Strip, style: &Style) -> String {
    let plain = if style.plain { "For the coach: " } else { "" };
    format!(
        "{plain}{}, {} pocket, straight in, {} between the balls, {}, {} at the pocket. From nearer or farther the margin at the ghost ball is nearly the same; at the tip it is not.",
        gear.spoken(),
        strip.kind,
        style.distance(strip.apart_m),
        stroke_said(&strip.stroke, style.speech()),
        style.speed(strip.stroke.pace_m_s)
    )
}
