//! What is said of strokes, and of a shot without a window.

use super::aim::{NoWindow, Part};
use super::shot::{Hit, Stroke, Tip};
use crate::speech::Speech;

/// Why a shot cannot be made.
#[must_use]
pub fn no_window_words(no: NoWindow) -> &'static str {
    match no {
        NoWindow::NoDrop => "the ball dies before the hole: hit it harder",
        NoWindow::TooSteep => {
            "from that angle the pocket takes no ball straight, however hard or soft"
        }
        NoWindow::InTheJaws => "the ball is a hanger, and almost any hit drops it",
        NoWindow::OutOfReach => "even the thinnest hit sends the ball past the pocket",
        NoWindow::TooClose => "the balls are so near that aiming means little",
        NoWindow::Blocked => "other balls block the path",
    }
}

/// How the ball goes in, in the part that is meant.
#[must_use]
pub fn part_words(part: Part) -> &'static str {
    match part {
        Part::Clean => "clean",
        Part::Direct => "off the jaws",
        Part::Drop => "off the rail",
    }
}

/// What a stroke is in a sentence: "a centre-ball stroke", "a rolling cue ball", "a stun shot".
#[must_use]
pub fn stroke_said(stroke: &Stroke, speech: impl Into<Speech>) -> String {
    match stroke.tip {
        None => roll_words(stroke.roll, speech),
        Some(tip) if tip.across_m == 0.0 && tip.height_m == 0.0 => {
            "a centre-ball stroke".to_owned()
        }
        Some(tip) => format!("the tip {}", off_centre(&tip)),
    }
}

/// The same in a list: "centre ball", "rolling", "stun".
#[must_use]
pub fn stroke_word(stroke: &Stroke, speech: impl Into<Speech>) -> String {
    match stroke.tip {
        None => roll_word(stroke.roll, speech),
        Some(tip) if tip.across_m == 0.0 && tip.height_m == 0.0 => "centre ball".to_owned(),
        Some(tip) => format!("tip {}", off_centre(&tip)),
    }
}

/// A way of hitting, with what the trade calls backspin.
#[must_use]
pub fn hit_word(hit: Hit, speech: impl Into<Speech>) -> &'static str {
    match hit {
        Hit::Draw => speech.into().nouns().draw,
        Hit::Stun | Hit::Roll | Hit::Follow => hit.name(),
    }
}

/// A roll ratio in a sentence: "a rolling cue ball", "a stun shot"; others by their number.
#[must_use]
pub fn roll_words(ratio: f64, speech: impl Into<Speech>) -> String {
    match Hit::of_roll(ratio) {
        Some(Hit::Roll) => "a rolling cue ball".to_owned(),
        Some(hit) => format!("a {} shot", hit_word(hit, speech)),
        None => format!("roll {ratio}"),
    }
}

/// The same in a list: "rolling", "stun".
#[must_use]
pub fn roll_word(ratio: f64, speech: impl Into<Speech>) -> String {
    match Hit::of_roll(ratio) {
        Some(Hit::Roll) => "rolling".to_owned(),
        Some(hit) => hit_word(hit, speech).to_owned(),
        None => format!("roll {ratio}"),
    }
}

/// "6.5 mm high and 3 mm right".
fn off_centre(tip: &Tip) -> String {
    let part = |m: f64, plus: &str, minus: &str| {
        let mm = (1e4 * m.abs()).round() / 10.0;
        (mm > 0.0).then(|| format!("{mm} mm {}", if m > 0.0 { plus } else { minus }))
    };
    let parts = [
        part(tip.height_m, "high", "low"),
        part(tip.across_m, "right", "left"),
    ];
    let said: Vec<String> = parts.into_iter().flatten().collect();
    said.join(" and ")
}
