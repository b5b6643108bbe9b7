//! How charts say room.

use crate::charts::request::{Over, RoomUnit};
use crate::pocket::PocketKind;
use crate::speech::Speech;
use crate::units::{Angle, Length, speak};
use crate::window::{Stroke, stroke_word};

/// At the mark of the shot asked about.
pub(crate) const THIS_SHOT: &str = "this shot";
/// Along axes of chances.
pub(crate) const MAKES: &str = "makes in ten";
/// Along axes of cuts.
pub(crate) const CUT: &str = "cut angle (degrees)";
/// What most maps count.
pub(crate) const JAWS_COUNTED: &str = "clean or off the jaws";
/// Where no part of the pocket can be hit.
pub(crate) const NO_PART: &str = "no part can be hit";
/// Lines of the three ways of going in, each with those before it.
pub(crate) const LINES: [&str; 3] = ["clean", "with the jaws", "with the rail"];

/// "Corner" or "Side", at the start of a sentence.
pub(crate) fn kind(kind: PocketKind) -> &'static str {
    match kind {
        PocketKind::Corner => "Corner",
        PocketKind::Side => "Side",
    }
}

/// For axes and legends.
pub(crate) fn each_side(unit: RoomUnit) -> &'static str {
    match unit {
        RoomUnit::Degrees => "margin either side (degrees)",
        RoomUnit::Mm => "margin either side at the ghost ball (mm)",
    }
}

/// For a logarithmic axis.
pub(crate) fn each_side_log(unit: RoomUnit) -> &'static str {
    match unit {
        RoomUnit::Degrees => "margin either side (degrees, log scale)",
        RoomUnit::Mm => "margin either side at the ghost ball (mm, log scale)",
    }
}

/// Behind a number.
pub(crate) fn mark(unit: RoomUnit) -> &'static str {
    match unit {
        RoomUnit::Degrees => "°",
        RoomUnit::Mm => " mm",
    }
}

/// What a grid holds fixed: pocket, approach, one of its two distances.
pub(crate) fn held(
    pocket: PocketKind,
    approach_rad: f64,
    over: Over,
    held_m: f64,
    gear: &str,
) -> String {
    let square = if approach_rad.abs() < 1e-9 {
        "straight in".to_owned()
    } else {
        let off = Angle::from_rad(approach_rad.abs());
        format!("{} off straight in", speak::degrees(off))
    };
    let held = speak::feet(Length::from_m(held_m));
    let held = match over {
        Over::Apart => format!("{held} to the pocket"),
        Over::ToPocket => format!("{held} between the balls"),
    };
    format!("{} pocket, {square}, {held}; {gear}", kind(pocket))
}

/// What charts over many shots assume.
pub(crate) fn assumed(stroke: &Stroke) -> String {
    format!(
        "Half the window of cue-ball directions. Assumed: {} m/s at the pocket, {}, standard bounce of jaws and rails.",
        stroke.pace_m_s,
        stroke_word(stroke, Speech::default())
    )
}
