//! What the chart of a pocket against the approach says.

use crate::draw::theme::Caption;
use crate::gear::Gear;
use crate::pocket::PocketKind;
use crate::units::{Length, Speed, UnitSystem, speak};

/// Where nothing drops.
pub(crate) const NOTHING: &str = "no ball drops at this pace";
/// Along the approaches.
pub(crate) const APPROACH: &str = "approach angle, 0 straight in, positive heading left (degrees)";
/// Along the sizes.
pub(crate) fn size(units: UnitSystem) -> &'static str {
    match units {
        UnitSystem::Metric => "effective pocket size (mm)",
        UnitSystem::Inches => "effective pocket size (in)",
    }
}
/// The shade.
pub(crate) const ASSUMED: &str = "with the jaws, over the assumptions";
/// Below the chart.
pub(crate) fn footer(gear: &Gear) -> String {
    let shade = if gear.measured.facings.is_known() {
        "bounce and friction as measured, 95 times in 100"
    } else {
        "bounce ± 0.1 and friction halved to doubled; no published values"
    };
    format!("Shade: with the jaws, {shade}. The clean part does not depend on it.")
}

/// What it takes clean at two approaches, mm.
pub(crate) struct Clean {
    pub(crate) straight_mm: f64,
    pub(crate) off_mm: f64,
    pub(crate) off_deg: f64,
}

/// From where a ball comes, and how fast.
pub(crate) struct Comes {
    pub(crate) distance_m: f64,
    pub(crate) pace_m_s: f64,
}

/// The words round it, but for the line below.
pub(crate) fn caption(
    gear: &Gear,
    kind: PocketKind,
    comes: &Comes,
    clean: Option<&Clean>,
    units: UnitSystem,
) -> Caption {
    let size = |mm: f64| speak::small_length(Length::from_mm(mm), units);
    let title = match clean {
        Some(clean) if clean.off_mm > 0.0 => format!(
            "The {} takes {} clean straight in, {} at {:.0}°",
            pocket(kind),
            size(clean.straight_mm),
            size(clean.off_mm),
            clean.off_deg
        ),
        Some(clean) => format!(
            "The {} takes {} clean straight in, nothing clean at {:.0}°",
            pocket(kind),
            size(clean.straight_mm),
            clean.off_deg
        ),
        None => format!("How much does the {} take, from which angle?", pocket(kind)),
    };
    Caption {
        title,
        subtitle: format!(
            "Object ball {} away, {} at the pocket; {}",
            speak::distance(Length::from_m(comes.distance_m), units),
            speak::speed(Speed::from_m_s(comes.pace_m_s), units),
            gear.spoken()
        ),
        footer: String::new(),
        desc:
            "Effective pocket size against the approach angle: clean, with the jaws, with the rail."
                .to_owned(),
    }
}

fn pocket(kind: PocketKind) -> &'static str {
    match kind {
        PocketKind::Corner => "corner",
        PocketKind::Side => "side pocket",
    }
}
