//! What the chart of a struck cue ball says.

use crate::draw::theme::Caption;
use crate::gear::Gear;
use crate::stroke::Stick;
use crate::units::{Angle, Length, UnitSystem, speak};

/// The chart, where it has nothing to draw.
pub(crate) const CHART: &str = "stroke";
/// Why.
pub(crate) const EMPTY: &str = "the ball never stops on this cloth";
/// Where it begins to roll.
pub(crate) const ROLLS: &str = "rolls from here";
/// Where it meets the object ball.
pub(crate) const MEETS: &str = "meets the object ball";
/// Along the stick's line.
pub(crate) const ALONG: &str = "along the stick's line (cm)";
/// Across it.
pub(crate) const ACROSS: &str = "left of the stick's line (mm), right negative";
/// The path.
pub(crate) const CUE_BALL: &str = "cue ball";
/// The line.
pub(crate) const STICK: &str = "stick's line";

/// Where the cue ball has got to.
fn title(far_m: f64, left_mm: f64) -> String {
    let far = speak::distance(Length::from_m(far_m), UnitSystem::Metric);
    if left_mm.abs() < 0.05 {
        return format!("The cue ball is on the stick's line after {far}");
    }
    format!(
        "The cue ball is {} {} of the stick's line after {far}",
        speak::small_length(Length::from_mm(left_mm.abs()), UnitSystem::Metric),
        if left_mm > 0.0 { "left" } else { "right" }
    )
}

/// The finding and its numbers: `left_mm` of the stick's line after `far_m` along it.
pub(crate) fn caption(gear: &Gear, stick: &Stick, far_m: f64, left_mm: f64) -> Caption {
    let squirt = Angle::from_rad(stick.squirt_rad(gear.cue_radius_m()).abs());
    Caption {
        title: title(far_m, left_mm),
        subtitle: format!(
            "{:.1} mm right and {:.1} mm high, {:.2} m/s off the tip, stick {} up: squirt {}",
            1e3 * stick.across_m,
            1e3 * stick.height_m,
            stick.speed_m_s,
            speak::degrees(Angle::from_rad(stick.elevation_rad)),
            speak::degrees(squirt),
        ),
        footer: format!(
            "Across is drawn much wider than along. Pivot {:.0} mm from the ball's middle; {}.",
            1e3 * stick.pivot_m,
            gear.spoken()
        ),
        desc: "Path of the cue ball's middle against the line of the stick, in millimetres left of it over centimetres along it.".to_owned(),
    }
}
