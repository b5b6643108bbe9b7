//! What a sheet of marks says.

use crate::ladder::Turn;
use crate::sheets::parts::Style;

/// What it is known by.
pub(crate) const TITLE: &str = "Marks: one shot, equally hard for all";
/// What the sheet is.
pub(crate) const ABOUT: &str = "One shot with a mark for each student, and boxes for the tries.";
/// Over the page.
pub(crate) const HEADING: &str = "One shot, equally hard for all";
/// Over the turns, which may stand on a page without their game.
pub(crate) const TURNS: &str = "Turns: who sets the balls also counts";

/// How to find a place in the picture.
pub(crate) fn how_to_find(style: &Style) -> &'static str {
    let speech = style.speech();
    if style.plain {
        speech.pick(
            "In the pictures the head of the table is on the left. Diamonds are the marks on the rails.",
            "In the pictures the baulk end is on the left. Places are measured from the cushions.",
        )
    } else {
        speech.pick(
            "In the diagram the head of the table is left; places count diamonds from the head rail, then from the right rail.",
            "In the diagram the baulk end is on the left; places are from the nose of a cushion to the middle of the ball.",
        )
    }
}

/// Over the students' lines.
pub(crate) fn along(style: &Style) -> &'static str {
    if style.plain {
        "On the string, from the middle of ball 1:"
    } else {
        "On the string, from the middle of the object ball:"
    }
}

/// A turn: "0–10 min: table 1: A (B sets); rest: C".
pub(crate) fn turn(turn: &Turn) -> String {
    let shoots = turn.shoots.iter().enumerate().map(|(k, who)| {
        let sets = turn.sets.get(k).map(|s| format!(" ({s} sets)"));
        format!("table {}: {who}{}", k + 1, sets.unwrap_or_default())
    });
    let mut parts: Vec<String> = shoots.collect();
    if !turn.rests.is_empty() {
        parts.push(format!("rest: {}", turn.rests.join(", ")));
    }
    let (from, to) = (turn.from_min.round(), turn.to_min.round());
    format!("{from}–{to} min: {}", parts.join("; "))
}
