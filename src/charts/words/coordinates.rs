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

/// How two numbers say a place, with the example.
pub(crate) fn how_places_are_said(along: f64, across: f64) -> String {
    format!(
        "A place is two numbers: diamonds from the head rail, then from the right rail as seen from the head. Ball 1 lies at {}: {} from the head, {} from the right.",
        place(along, across),
        speak::diamonds(along),
        speak::diamonds(across)
    )
}
