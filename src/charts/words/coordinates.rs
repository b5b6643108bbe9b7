//! How the picture of a table says places.

use crate::units::speak;

/// Beside the head rail.
pub(crate) const HEAD: &str = "head rail";
/// Beside the foot rail.
pub(crate) const FOOT: &str = "foot rail";

/// A place as it is typed: "6,2.5".
pub(crate) fn place(along: f64, across: f64) -> String {
    format!("{along},{across}")
}

/// A place as it is typed where there are no diamonds: "60cm-from-top,30cm-from-left".
pub(crate) fn place_from(top_m: f64, left_m: f64) -> String {
    format!(
        "{:.0}cm-from-top,{:.0}cm-from-left",
        100.0 * top_m,
        100.0 * left_m
    )
}

/// How a place is said where there are no diamonds, with the example.
pub(crate) fn how_places_are_measured(spot: &str, top_m: f64, left_m: f64) -> String {
    format!(
        "A place is a spot by its name, such as {spot}, or two distances from named cushions to the middle of the ball: ball 1 lies at {}.",
        place_from(top_m, left_m)
    )
}

/// How two numbers say a place, with the example.
pub(crate) fn how_places_are_said(along: f64, across: f64) -> String {
    format!(
        "A place is two numbers: diamonds from the head rail, then from the right rail as seen from the head. Ball 1 lies at {}: {} from the head, {} from the right.",
        place(along, across),
        speak::diamonds(along),
        speak::diamonds(across)
    )
}
