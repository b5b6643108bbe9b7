//! What the chart of a window's factors says.

use super::room::kind;
use crate::draw::theme::Caption;
use crate::gear::Gear;
use crate::units::{Length, UnitSystem, speak};
use crate::window::Shot;

/// Along the bars.
pub(crate) const AXIS: &str = "degrees in all (log scale)";
/// What is drawn beside them.
pub(crate) const STRAIGHT: &str = "straight and square in at the same distances";
/// The bars.
pub(crate) const STEPS: [&str; 4] = [
    "the pocket opens",
    "after the distance",
    "after the cut",
    "after throw",
];

/// Beside a bar: the factor that it is after, and what is left, degrees.
pub(crate) fn left(factor: Option<f64>, deg: f64) -> String {
    match factor {
        None => format!("{deg:.2}°"),
        Some(factor) => format!("× {factor:.3} = {deg:.3}°"),
    }
}

/// The words round it; which part of the window it is of, in words.
pub(crate) fn caption(gear: &Gear, shot: &Shot, what: &str, exact_rad: f64) -> Caption {
    let distance = |m: f64| speak::distance(Length::from_m(m), UnitSystem::Metric);
    Caption {
        title: format!(
            "Why {:.2}° in all: what each step leaves of the pocket",
            exact_rad.to_degrees()
        ),
        subtitle: format!(
            "{} pocket, {} between the balls, {} to it; {what}; {}",
            kind(shot.frame.kind),
            distance(shot.apart_m()),
            distance(shot.object.to_vec2().hypot()),
            gear.spoken()
        ),
        footer: "The factors multiply to the first order; the title has the exact window."
            .to_owned(),
        desc: "Bars from the pocket's opening through distance, cut and throw to the window, in degrees on a logarithmic axis.".to_owned(),
    }
}
