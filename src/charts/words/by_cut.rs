//! What the chart of room against the cut says.

use super::room::{each_side, mark};
use crate::charts::request::{Over, RoomUnit};
use crate::draw::text;
use crate::units::{Length, speak};

/// Where a grid has no line.
pub(crate) const NOTHING: &str = "no shot of the grid goes in clean";

/// A line's name: "4 ft apart".
pub(crate) fn line(distance_m: f64, over: Over) -> String {
    format!(
        "{} {}",
        speak::feet(Length::from_m(distance_m)),
        suffix(over)
    )
}

fn suffix(over: Over) -> &'static str {
    match over {
        Over::Apart => "apart",
        Over::ToPocket => "to go",
    }
}

/// The shade above it.
pub(crate) fn shade(line: &str) -> String {
    format!("off the jaws, {line}")
}

/// What is held, and what lines and shades are.
pub(crate) fn subtitle(held: &str, shaded: Option<&str>) -> String {
    let of = shaded.map_or_else(String::new, |line| format!(" ({line})"));
    format!(
        "{held}. Line: clean. Shade: still in off the jaws{}. A line ends where the table is too short or the stroke too hard",
        of
    )
}

/// The chart in words, from cut to cut, degrees.
pub(crate) fn desc(unit: RoomUnit, low: f64, high: f64, lines: &[&str]) -> String {
    format!(
        "{} against the cut angle from {low:.0} to {high:.0} degrees, one line for each of {} distances: {}.",
        each_side(unit),
        lines.len(),
        lines.join(", "),
    )
}

/// One end of the finding: the room there, the cut, the line's name.
pub(crate) struct End<'a> {
    pub(crate) room: f64,
    pub(crate) cut_deg: f64,
    pub(crate) line: &'a str,
}

/// The finding, from the easiest end to the hardest; the question where there is none.
pub(crate) fn title(ends: Option<[End<'_>; 2]>, unit: RoomUnit, over: Over) -> String {
    let Some([easy, hard]) = ends else {
        return "How much margin does a cut leave?".to_owned();
    };
    let at = |end: &End<'_>| {
        end.line
            .trim_end_matches(suffix(over))
            .trim_end()
            .to_owned()
    };
    let cut = if easy.cut_deg.abs() < 0.5 {
        "straight".to_owned()
    } else {
        format!("at {:.0}°", easy.cut_deg)
    };
    let and = if easy.cut_deg.abs() < 0.5 {
        "at"
    } else {
        "and"
    };
    let said = |v: f64| format!("{}{}", text::number(two_digits(v)), mark(unit));
    format!(
        "Clean margin either side: {} {cut} {and} {}, {} at {:.0}° and {}",
        said(easy.room),
        at(&easy),
        said(hard.room),
        hard.cut_deg,
        at(&hard)
    )
}

/// Rounded to two digits.
fn two_digits(value: f64) -> f64 {
    let step = 10_f64.powf(value.abs().log10().floor() - 1.0);
    (value / step).round() * step
}
