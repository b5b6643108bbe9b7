//! What the chart of room against pace says.

use super::room::kind;
use crate::draw::theme::Caption;
use crate::gear::Gear;
use crate::speech::Speech;
use crate::units::{Angle, Length, Speed, UnitSystem, speak};
use crate::window::{Shot, TOO_FAST_M_S, stroke_word};

/// A foot, m (exact).
const FOOT_M: f64 = 0.3048;

/// Where no pace makes it.
pub(crate) const NOTHING: &str = "it goes in at no pace that can be played";
/// Along the paces.
pub(crate) fn pace(units: UnitSystem) -> &'static str {
    match units {
        UnitSystem::Metric => "pace at the pocket, in brackets the cue ball's speed (m/s)",
        UnitSystem::Inches => "pace at the pocket, in brackets the cue ball's speed (ft/s)",
    }
}
/// Along throw.
pub(crate) const THROW: &str = "throw (degrees)";
/// The line of throw.
pub(crate) const THROW_LINE: &str = "throw, fuller";

/// What the line of everything that drops shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Found {
    /// Most room at one pace.
    Widest {
        /// At the pocket.
        pace_m_s: f64,
        each_deg: f64,
        cue_m_s: f64,
        /// Part of it off the rail.
        by_rail: bool,
    },
    /// Nearly the same at every pace.
    Little { least_deg: f64, most_deg: f64 },
}

/// The words round it.
pub(crate) fn caption(
    gear: &Gear,
    shot: &Shot,
    cut_rad: f64,
    found: Option<&Found>,
    units: UnitSystem,
) -> Caption {
    let degrees = |deg: f64| speak::room_degrees(Angle::from_deg(deg));
    let speed = |m_s: f64| speak::speed(Speed::from_m_s((20.0 * m_s).round() / 20.0), units);
    let title = match found {
        None => "How does the margin change with pace?".to_owned(),
        Some(Found::Widest {
            pace_m_s,
            each_deg,
            by_rail,
            ..
        }) => format!(
            "Widest margin at {} at the pocket: {} either side, jaws{} counted",
            speed(*pace_m_s),
            degrees(*each_deg),
            if *by_rail { " and rail" } else { "" }
        ),
        Some(Found::Little {
            least_deg,
            most_deg,
        }) => format!(
            "Pace matters little here: {} to {} either side, jaws counted",
            degrees(*least_deg),
            degrees(*most_deg)
        ),
    };
    Caption {
        title,
        subtitle: format!(
            "{} pocket, cut {}, {} between the balls, {}; {}",
            kind(shot.frame.kind),
            speak::degrees(Angle::from_rad(cut_rad)),
            speak::distance(Length::from_m(shot.apart_m()), units),
            stroke_word(&shot.stroke, Speech::from(units)),
            gear.spoken()
        ),
        footer: format!("Throw: how much fuller than the line of centres the object ball leaves; the aim includes it. Lines end where the cue ball would need more than {}. Assumed: standard bounce of jaws and rails.", speak::speed(Speed::from_m_s(TOO_FAST_M_S), units)),
        desc: "Above, margin either side in degrees against the object ball's speed at the pocket: clean, with the jaws, with the rail. Below, throw in degrees.".to_owned(),
    }
}

/// A pace, with the cue ball's speed that it needs.
pub(crate) fn tick(pace_m_s: f64, cue_m_s: Option<f64>, units: UnitSystem) -> String {
    let (pace, times) = match units {
        UnitSystem::Metric => (pace_m_s.to_string(), 1.0),
        UnitSystem::Inches => (format!("{:.1}", pace_m_s / FOOT_M), 1.0 / FOOT_M),
    };
    match cue_m_s {
        Some(cue_m_s) => format!("{pace} ({:.1})", cue_m_s * times),
        None => pace,
    }
}

/// At the most room.
pub(crate) fn widest(cue_m_s: f64, units: UnitSystem) -> String {
    format!(
        "widest; cue ball {}",
        speak::speed(Speed::from_m_s((20.0 * cue_m_s).round() / 20.0), units)
    )
}
