//! How many fixed aims would have every cut: each sends the object ball along one direction, and the
//! pocket takes as wide a run of directions as it opens (Alciatore, TP A.13, Colorado State University:
//! about 19 from 3 ft into a large pocket).

use crate::pocket::Acceptance;

/// The cuts that they are to have, degrees.
const ALL_CUTS_DEG: f64 = 90.0;

/// How many fixed aims every cut from straight to 90° takes, counting what goes in clean or off the jaws;
/// `None` where nothing does.
#[must_use]
pub fn fixed_aims(acceptance: &Acceptance) -> Option<f64> {
    let width_deg = acceptance.direct?.width_rad().to_degrees();
    (width_deg > 0.0).then(|| (ALL_CUTS_DEG / width_deg).max(1.0))
}
