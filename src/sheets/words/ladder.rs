//! What a booklet of a ladder says.

use crate::field::Hint;
use crate::gear::the_spoken_gear;
use crate::layout::with_article;
use crate::sheets::parts::Style;
use crate::speech::WordSet;

/// What the sheet is.
pub(crate) const ABOUT: &str =
    "A ladder of shots, each with a diagram, places in words and boxes for the tries.";
/// How a ladder's tally is typed.
pub(crate) const TALLY: &str = "\"3: K 6/10\"";

/// What it is known by.
pub(crate) fn title(topic: &str) -> String {
    format!("Ladder: {topic}")
}

/// Over the first page.
pub(crate) fn heading(topic: &str) -> String {
    format!("A ladder: {topic}")
}

/// Words to know a sheet by, with its code.
pub(crate) fn coded(words: &str, code: Option<&str>) -> String {
    code.map_or_else(|| words.to_owned(), |code| format!("{words}, code {code}"))
}

/// For whom, and how to play it.
pub(crate) fn how_to_play(player: &str, gear: &str, style: &Style) -> String {
    if style.plain && style.speech().words == WordSet::Uk {
        "Start at rung 1. Try each shot once for each box. Tick what goes in. Enough ticks? Go up! In the pictures the baulk end is on the left. Places are measured from the cushions. The white ball is the cue ball.".to_owned()
    } else if style.plain {
        "Start at rung 1. Try each shot once for each box. Tick what goes in. Enough ticks? Go up! In the pictures the head of the table is on the left. Diamonds are the marks on the rails. The white ball is the cue ball.".to_owned()
    } else {
        let diagrams = style.speech().pick(
            "the head is left, the white ball is the cue ball and the blue band its path, 1 is the object ball and other balls are grey; places count diamonds from the head rail, then from the right rail",
            "the baulk end is on the left, the white ball is the cue ball and the blue band its path, 1 is the object ball and other balls are grey; places are from the nose of a cushion to the middle of the ball",
        );
        format!(
            "For {}, on {}. Play each rung as often as it has boxes, tick what goes in, and go up when it is passed. In the diagrams {diagrams}.",
            with_article(player),
            the_spoken_gear(gear),
        )
    }
}

/// That the stroke is the same on every rung.
pub(crate) fn same_stroke(lengths: f64) -> String {
    format!(
        "The same stroke on every rung: it would send the cue ball {lengths} table lengths up and down with nothing in the way."
    )
}

/// How the player stands.
pub(crate) fn stands(hand: &str, reach_m: f64, style: &Style) -> String {
    if style.plain {
        format!("For a {hand}-handed player.")
    } else {
        format!(
            "For a {hand}-handed player who reaches {} over the table: shots that would need the rest are left out.",
            style.distance(reach_m)
        )
    }
}

/// Balls that stand in the way of every rung, their places in words.
pub(crate) fn in_the_way(places: &[&str]) -> String {
    format!(
        "In the way on every rung, dark in the diagrams: a ball {}.",
        places.join("; a ball ")
    )
}

/// How tallies of a sheet with a code go into the practice log; `kept` where the log is known to keep
/// it.
pub(crate) fn code(code: &str, kept: bool, tally: &str, style: &Style) -> String {
    if style.plain {
        format!("Code: {code}")
    } else {
        format!(
            "Code of this sheet: {code}.{}",
            Hint::EnterTally { code, tally, kept }
        )
    }
}
