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

/// What the farthest distance and the thinnest cut leave of the room, as ratios to the easier shot's.
pub(crate) struct Takes {
    pub(crate) near_m: f64,
    pub(crate) far_m: f64,
    /// The cut at which the distances are held against each other.
    pub(crate) at_deg: f64,
    pub(crate) distance: f64,
    /// The fullest and the thinnest cut of the nearest shots.
    pub(crate) full_deg: f64,
    pub(crate) cut_deg: f64,
    pub(crate) cut: f64,
}

/// A cut smaller than this is no cut, degrees.
const STRAIGHT_DEG: f64 = 0.5;

/// Below a map with places that have no value.
pub(crate) const HATCHED: &str =
    "Hatched: the table is too short, or the stroke would be too hard. ";

/// The finding; the question where nothing is taken.
pub(crate) fn title(takes: Option<&Takes>) -> String {
    let Some(takes) = takes else {
        return "Which takes the margin, the cut or the distance?".to_owned();
    };
    let left = |ratio: f64| format!("{} %", text::number(percent(100.0 / ratio)));
    let feet = |m: f64| speak::feet(Length::from_m(m));
    let degrees = |deg: f64| speak::degrees(Angle::from_deg(deg));
    let at = if (takes.at_deg - takes.full_deg).abs() < STRAIGHT_DEG {
        String::new()
    } else {
        format!(" at {}", degrees(takes.at_deg))
    };
    let full = if takes.full_deg < STRAIGHT_DEG {
        format!("a {} cut", degrees(takes.cut_deg))
    } else {
        format!(
            "{} instead of {}",
            degrees(takes.cut_deg),
            degrees(takes.full_deg)
        )
    };
    format!(
        "{} instead of {}{at} keeps {} of the margin; {full} keeps {}",
        feet(takes.far_m),
        feet(takes.near_m),
        left(takes.distance),
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
