//! What the chart of a pocket against the approach says.

use crate::draw::theme::Caption;
use crate::gear::Gear;
use crate::pocket::PocketKind;
use crate::units::{Length, UnitSystem, speak};

/// Where nothing drops.
pub(crate) const NOTHING: &str = "no ball drops at this pace";
/// Along the approaches.
pub(crate) const APPROACH: &str = "approach angle, 0 straight in, positive heading left (degrees)";
/// Along the sizes.
pub(crate) const SIZE: &str = "effective pocket size (mm)";
/// The shade.
pub(crate) const ASSUMED: &str = "with the jaws, over the assumptions";
/// Below the chart.
pub(crate) const FOOTER: &str = "Shade: with the jaws, bounce ± 0.1 and friction halved to doubled; no published values. The clean part does not depend on it.";

/// The words round it, but for the line below.
pub(crate) fn caption(gear: &Gear, kind: PocketKind, distance_m: f64, pace_m_s: f64) -> Caption {
    Caption {
        title: format!("How much does the {} pocket take, from which angle?", kind.name()),
        subtitle: format!(
            "Object ball {} away, {pace_m_s} m/s at the pocket; {}",
            speak::distance(Length::from_m(distance_m), UnitSystem::Metric),
            gear.spoken()
        ),
        footer: String::new(),
        desc: "Effective pocket size in millimetres against the approach angle: clean, with the jaws, with the rail.".to_owned(),
    }
}
