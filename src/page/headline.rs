//! The one line on top: a number and what it means.

use schemars::JsonSchema;
use serde::Serialize;

use crate::answer::{ShotAnswer, not_playable_words, who_plays};
use crate::layout::Closed;
use crate::player::in_ten;
use crate::speech::Speech;
use crate::units::{Length, speak};
use crate::window::{NoWindow, no_window_words};

/// Who, a number and the words round it; read one after the other they are a sentence.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Headline {
    /// `A club player makes it`; empty where nobody plays it.
    pub who: String,
    /// `7 in 10`, or `2.1 mm either side`.
    pub number: String,
    /// What is to be added: `assumed`, `from 400 tries`, or what the number is of.
    pub words: String,
}

/// The headline of a shot.
#[must_use]
pub fn headline(answer: &ShotAnswer, speech: impl Into<Speech>) -> Headline {
    let speech = speech.into();
    let line = |number: &str, words: &str| Headline {
        who: String::new(),
        number: number.to_owned(),
        words: words.to_owned(),
    };
    let has = |no: NoWindow| answer.flags.iter().any(|f| f == no.name());
    let widest = answer.direct.as_ref().or(answer.drop.as_ref());
    let Some(widest) = widest else {
        return if has(NoWindow::TooSteep) {
            line("Does not drop", no_window_words(NoWindow::TooSteep))
        } else if has(NoWindow::NoDrop) {
            line("Does not drop", no_window_words(NoWindow::NoDrop))
        } else if has(NoWindow::InTheJaws) {
            line("A hanger", "almost any hit drops it")
        } else if has(NoWindow::TooClose) {
            line("Too close", no_window_words(NoWindow::TooClose))
        } else {
            line(
                "Cannot be hit from here",
                no_window_words(NoWindow::OutOfReach),
            )
        };
    };
    // Whatever its margin, nobody strikes it so hard.
    if let Some(why) = not_playable_words(answer, speech.units) {
        let (number, words) = why.split_once(": ").unwrap_or((&why, ""));
        return line(number, words);
    }
    if let (Some(who), Some(chance)) = (&answer.player, answer.chance) {
        let (who, whence) = who_plays(who);
        return Headline {
            who: format!("{who} {} it", speech.nouns().makes),
            number: in_ten(chance),
            words: whence.unwrap_or_default(),
        };
    }
    let (part, how) = match &answer.clean {
        Some(clean) => (clean, "goes in clean"),
        None => (widest, "never clean; goes in off the jaws or a rail"),
    };
    let each = 0.5 * (part.thick_ghost_mm + part.thin_ghost_mm);
    line(
        &format!(
            "{} either side",
            speak::small_length(Length::from_mm(each), speech)
        ),
        &format!("at the ghost ball: {how}"),
    )
}

/// The headline when other balls close every direction.
#[must_use]
pub fn blocked_headline(closed: Closed, blockers: &[String]) -> Headline {
    let by: Vec<String> = blockers.iter().map(|b| format!("the {b}")).collect();
    let by = if by.is_empty() {
        "a cushion".to_owned()
    } else {
        by.join(" and ")
    };
    let closes = if blockers.len() > 1 {
        "close"
    } else {
        "closes"
    };
    let whose = match closed {
        Closed::Object => "of the object ball to the pocket",
        Closed::Cue => "of the cue ball to the object ball",
    };
    Headline {
        who: String::new(),
        number: "Blocked".to_owned(),
        words: format!("{by} {closes} the path {whose}"),
    }
}
