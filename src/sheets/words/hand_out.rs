//! What a hand-out says.

use crate::gear::Gear;
use crate::layout::Layout;
use crate::pocket::PocketName;
use crate::sheets::parts::Style;
use crate::speech::{first_large, place_words};
use crate::units::{Coordinate, Position};

/// What the sheet is.
pub(crate) const ABOUT: &str =
    "Shots to take along: how often each goes in, and where the balls lie.";
/// Beside the code.
pub(crate) const OPENS: &str = "Scan it to open the shot on the page, while the page is shared.";

/// Where everything lies.
pub(crate) fn set_up(gear: &Gear, layout: &Layout, pocket: PocketName, style: &Style) -> String {
    let speech = style.speech();
    let bed = &gear.bed;
    let place = |p: kurbo::Point| {
        let along = Coordinate::Diamonds(8.0 * p.x / bed.length_m);
        let across = Coordinate::Diamonds(4.0 * p.y / bed.width_m);
        place_words(Position::At(along, across), bed, speech)
    };
    let mut parts = vec![format!("Cue ball: {}.", place(layout.cue))];
    for (k, ball) in layout.balls.iter().enumerate() {
        let called = if k == 0 {
            "Object ball".to_owned()
        } else {
            format!("Ball {}", ball.label)
        };
        parts.push(format!("{called}: {}.", place(ball.at)));
    }
    parts.push(format!("Into the {}.", speech.pocket(pocket)));
    parts.join(" ")
}

/// `A club player makes it 4 in 10, assumed.`
pub(crate) fn sentence(who: &str, number: &str, adds: &str) -> String {
    let adds = match (adds.is_empty(), who.is_empty()) {
        (true, _) => String::new(),
        (false, true) => format!(" {adds}"),
        (false, false) => format!(", {adds}"),
    };
    let said = format!("{who} {number}{adds}.");
    first_large(said.trim_start())
}
