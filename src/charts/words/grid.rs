//! What the map of room over cut and distance says.

use super::room::each_side;
use crate::charts::request::{Over, RoomUnit};
use crate::draw::text;
use crate::units::{Angle, Length, speak};

/// The map, where it has no values.
pub(crate) const MAP: &str = "the map";
/// Why it has none.
pub(crate) const EMPTY: &str = "its grid has no values";

/// Along the axis of distances.
pub(crate) fn distance(over: Over, log: bool) -> String {
    let what = match over {
        Over::Apart => "cue ball to object ball",
        Over::ToPocket => "object ball to pocket",
    };
    let scale = if log { ", log scale" } else { "" };
    format!("{what} (ft{scale})")
}

/// What is held, and what is counted.
pub(crate) fn subtitle(held: &str) -> String {
    format!("{held}. Clean or off the jaws")
}

/// The map in words, over cuts in degrees and distances in feet.
pub(crate) fn desc(unit: RoomUnit, over: Over, cuts: [f64; 2], feet: [f64; 2]) -> String {
    let between = match over {
        Over::Apart => "between the balls",
        Over::ToPocket => "to the pocket",
    };
    format!(
        "Map of the {} over cut angles from {:.0} to {:.0} degrees and {:.1} to {:.1} feet {between}.",
        each_side(unit),
        cuts[0],
        cuts[1],
        feet[0],
        feet[1]
    )
}

/// What the farthest distance and the thinnest cut leave of the room, as ratios to the easiest shot's.
pub(crate) struct Takes {
    pub(crate) near_m: f64,
    pub(crate) far_m: f64,
    pub(crate) distance: f64,
    pub(crate) cut_deg: f64,
    pub(crate) cut: f64,
}

/// The finding; the question where nothing is taken.
pub(crate) fn title(takes: Option<&Takes>) -> String {
    let Some(takes) = takes else {
        return "Which takes the margin, the cut or the distance?".to_owned();
    };
    let left = |ratio: f64| format!("{} %", text::number(percent(100.0 / ratio)));
    let feet = |m: f64| speak::feet(Length::from_m(m));
    format!(
        "{} instead of {} keeps {} of the margin, cutting {} keeps {}",
        feet(takes.far_m),
        feet(takes.near_m),
        left(takes.distance),
        speak::degrees(Angle::from_deg(takes.cut_deg)),
        left(takes.cut)
    )
}

/// Whole percents, tenths below one.
fn percent(value: f64) -> f64 {
    if value < 1.0 {
        (10.0 * value).round() / 10.0
    } else {
        value.round()
    }
}
