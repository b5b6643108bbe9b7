//! What the chart of a shot's difficulty says, step by step.

use super::room::kind;
use crate::answer::{ShotAnswer, factor_words, not_playable_words, reason};
use crate::draw::theme::Caption;
use crate::gear::Gear;
use crate::player::factors::Factor;
use crate::speech::Speech;
use crate::units::{Angle, Length, Speed, UnitSystem, speak};
use crate::window::Shot;

/// Along the bars.
pub(crate) const AXIS: &str = "margin over the player's spread (plain shot = 100)";
/// Beside the plain shot's bar.
pub(crate) const PLAIN_NOTE: &str = "100";
/// A step that keeps this much more than all gives.
const GIVES: f64 = 1.0;

/// The plain shot.
pub(crate) fn plain(units: UnitSystem) -> String {
    let far = speak::distance(Length::from_m(0.6096), units);
    format!("plain: straight, {far} + {far}")
}

/// Beside a bar: what the step keeps and what is left; a reason is marked.
pub(crate) fn keeps(share: f64, left: f64, main: bool) -> String {
    let step = if share > GIVES {
        format!("gives {:.0} % more", 100.0 * (share - 1.0))
    } else {
        format!("keeps {:.0} %", 100.0 * share)
    };
    let mark = if main { " ◄" } else { "" };
    format!("{step}: {}{mark}", percent(left))
}

/// Whole numbers, and a decimal below ten.
fn percent(share: f64) -> String {
    if share < 0.0995 {
        format!("{:.1}", 100.0 * share)
    } else {
        format!("{:.0}", 100.0 * share)
    }
}

/// What is drawn.
pub(crate) struct Drawn<'a> {
    pub(crate) gear: &'a Gear,
    pub(crate) shot: &'a Shot,
    pub(crate) answer: &'a ShotAnswer,
    /// Who plays it, where somebody is named.
    pub(crate) who: Option<&'a str>,
    pub(crate) units: UnitSystem,
}

impl Drawn<'_> {
    fn distance(&self, m: f64) -> String {
        speak::distance(Length::from_m(m), self.units)
    }

    fn to_pocket(&self) -> String {
        self.distance(self.shot.object.to_vec2().hypot())
    }

    /// A step, with what it changes to.
    pub(crate) fn step(&self, factor: Option<Factor>) -> String {
        let speech = Speech::from(self.units);
        let degrees = |deg: f64| speak::degrees(Angle::from_deg(deg.abs()));
        match factor {
            Some(Factor::ObjectDistance) => {
                format!("object ball {} from the pocket", self.to_pocket())
            }
            Some(Factor::PocketAngle) => {
                format!(
                    "comes in {} off straight in",
                    degrees(self.answer.approach_deg)
                )
            }
            Some(Factor::Pace) => format!(
                "pace: {} at the pocket",
                speak::speed(Speed::from_m_s(self.answer.pace_m_s), self.units)
            ),
            Some(Factor::CueDistance) => {
                format!("cue ball {} away", self.distance(self.shot.apart_m()))
            }
            Some(Factor::Cut) => match self.answer.cut_deg {
                Some(deg) => format!("cut of {}", degrees(deg)),
                None => factor_words(Factor::Cut, self.answer, speech).to_owned(),
            },
            Some(other) => factor_words(other, self.answer, speech).to_owned(),
            None => "what is left over".to_owned(),
        }
    }

    /// The words round it: the reason in the words of the sentence.
    pub(crate) fn caption(&self, product: f64) -> Caption {
        let speech = Speech::from(self.units);
        let never = not_playable_words(self.answer, self.units);
        let named = if never.is_none() {
            " ◄ is named in the title."
        } else {
            ""
        };
        let said = never
            .or_else(|| reason(self.answer, speech))
            .unwrap_or_default();
        let who = match self.who {
            Some(who) => format!("; {who}"),
            None => String::new(),
        };
        let left = percent(product);
        Caption {
            title: said.trim_end_matches('.').to_owned(),
            subtitle: format!(
                "{} pocket, {} between the balls, {} to it; {}{who}. In all {left}, where the plain shot has 100.",
                kind(self.shot.frame.kind),
                self.distance(self.shot.apart_m()),
                self.to_pocket(),
                self.gear.spoken()
            ),
            footer: format!(
                "Margin: all directions of the cue ball that drop the ball, over the spread of the player's aim{}.{named} Steps that change nothing are left out.",
                if self.who.is_some() {
                    ""
                } else {
                    " (as players usually share it between stroke and sighting)"
                }
            ),
            desc: format!(
                "Bars from the plain shot, 100, step by step to this shot, {left}: each says what the step keeps."
            ),
        }
    }
}
