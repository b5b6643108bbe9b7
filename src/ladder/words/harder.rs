//! Why a rung is harder, in words.

use crate::ladder::why::Harder;
use crate::speech::Speech;
use crate::units::{Angle, Length, speak};

impl Harder {
    /// In words: "thinner (12° → 30°)".
    #[must_use]
    pub fn words(&self, speech: impl Into<Speech>) -> String {
        let speech = speech.into();
        let far = |m: f64| speak::distance(Length::from_m(m), speech);
        let deg = |rad: f64| format!("{:.0}°", Angle::from_rad(rad).deg());
        match *self {
            Self::CueFarther(a, b) => format!("cue ball farther ({} → {})", far(a), far(b)),
            Self::ObjectFarther(a, b) => {
                format!("farther from the pocket ({} → {})", far(a), far(b))
            }
            Self::Thinner(a, b) => format!("thinner ({} → {})", deg(a), deg(b)),
            Self::LessSquare(a, b) if b > a + 0.01 => {
                format!("farther off straight in ({} → {})", deg(a), deg(b))
            }
            Self::LessSquare(..) => "the pocket takes less".to_owned(),
            Self::AlongTheRail => format!("along the {}", speech.nouns().rail),
            Self::SidePocket => format!(
                "a {}, which takes less from there",
                speech.nouns().side_pocket
            ),
            Self::Throw => "more throw".to_owned(),
            Self::Awkward { over_ball } => raised(over_ball, speech),
            Self::InTheWay(a, b) => format!(
                "the ball in the way takes more of the margin ({:.0} → {:.0} %)",
                100.0 * a,
                100.0 * b
            ),
            Self::HardlyAny => "about as hard".to_owned(),
        }
    }
}

/// How the cue is raised.
pub(crate) fn raised(over_ball: bool, speech: Speech) -> String {
    if over_ball {
        "cue raised over a ball".to_owned()
    } else {
        format!("cue raised over the {}", speech.nouns().rail)
    }
}
