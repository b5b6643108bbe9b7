//! What the chart of room against pace says.

use super::room::kind;
use crate::draw::theme::Caption;
use crate::gear::Gear;
use crate::speech::Speech;
use crate::units::{Angle, Length, UnitSystem, speak};
use crate::window::{Shot, TOO_FAST_M_S, stroke_word};

/// Where no pace makes it.
pub(crate) const NOTHING: &str = "it goes in at no pace";
/// Along the paces.
pub(crate) const PACE: &str = "pace at the pocket, in brackets the cue ball's speed (m/s)";
/// Along throw.
pub(crate) const THROW: &str = "throw (degrees)";
/// The line of throw.
pub(crate) const THROW_LINE: &str = "throw, fuller";

/// Where there is most room.
pub(crate) struct Widest {
    /// At the pocket.
    pub(crate) pace_m_s: f64,
    pub(crate) each_deg: f64,
}

/// The words round it.
pub(crate) fn caption(gear: &Gear, shot: &Shot, cut_rad: f64, widest: Option<Widest>) -> Caption {
    let title = widest.map_or_else(
        || "How does the margin change with pace?".to_owned(),
        |Widest { pace_m_s, each_deg }| {
            format!(
                "Widest margin at {pace_m_s:.1} m/s at the pocket: {each_deg:.2}° either side, jaws counted"
            )
        },
    );
    Caption {
        title,
        subtitle: format!(
            "{} pocket, cut {}, {} between the balls, {}; {}",
            kind(shot.frame.kind),
            speak::degrees(Angle::from_rad(cut_rad)),
            speak::distance(Length::from_m(shot.apart_m()), UnitSystem::Metric),
            stroke_word(&shot.stroke, Speech::default()),
            gear.spoken()
        ),
        footer: format!("Throw: how much fuller than the line of centres the object ball leaves; the aim includes it. Assumed: standard bounce of jaws and rails; a cue ball faster than {TOO_FAST_M_S} m/s is more than a hard stroke."),
        desc: "Above, margin either side in degrees against the object ball's speed at the pocket: clean, with the jaws, with the rail. Below, throw in degrees.".to_owned(),
    }
}

/// A pace, with the cue ball's speed that it needs.
pub(crate) fn tick(pace_m_s: f64, cue_m_s: Option<f64>) -> String {
    cue_m_s.map_or(format!("{pace_m_s}"), |c| format!("{pace_m_s} ({c:.1})"))
}

/// At the most room.
pub(crate) fn widest(cue_m_s: f64) -> String {
    format!("widest; cue ball {cue_m_s:.1} m/s")
}
