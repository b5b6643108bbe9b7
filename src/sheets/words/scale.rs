//! What the scale and the gates of the stroke test say.

use crate::field::Hint;
use crate::sheets::parts::Style;
use crate::units::{Angle, UnitSystem, speak};

/// What the sheet is.
pub(crate) const ABOUT: &str =
    "A scale in millimetres, four spacers for gates, and room for ten readings.";
/// Its question.
pub(crate) const QUESTION: &str = "How straight is the stroke?";
/// What the scale shows.
pub(crate) const SCALE_SHOWS: &str = "A scale of 80 mm to the left and to the right of 0, one line a millimetre, all from its lower edge, which goes to the nose of the rail.";
/// At the scale's left end.
pub(crate) const LEFT: &str = "left, in mm";
/// At its right end.
pub(crate) const RIGHT: &str = "right";

/// The sheet's title.
pub(crate) fn title(distance_m: f64, style: &Style) -> String {
    format!("Stroke test over {}", style.distance(distance_m))
}

/// How to use the scale.
pub(crate) fn how_to_read(distance_m: f64, style: &Style) -> String {
    let far = style.distance(distance_m);
    if style.plain {
        format!(
            "Tape the scale onto a rail, flat, its marks at the nose: the edge the balls touch. Front of the cue ball {far} from the nose. Roll it at 0, ten times. Look from above: which mark does it touch? L is left, R is right."
        )
    } else {
        format!(
            "Cut the scale out and tape it flat on top of a rail: the edge with the marks along the nose, which is the edge the ball touches, and + on the left as you shoot. Set the cue ball in front of 0, its front {far} from the nose, and play it at 0, always with the same stroke. Read from above, to the millimetre, at which mark it touches the nose; left is plus, right is minus. No object ball, nothing to sight: what scatters is the stroke."
        )
    }
}

/// How to use the gates.
pub(crate) fn gates(distance_m: f64, style: &Style) -> String {
    let far = style.distance(distance_m);
    if style.plain {
        format!(
            "Gates: {far} away set two balls, one strip between. Take it away. Roll the cue ball through!"
        )
    } else {
        format!(
            "Spacers for gates: {far} in front of the cue ball, middle to middle, set two balls side by side across its path, so far apart that, seen from above, the strip just fills the gap between them. Take it away and play the cue ball through. The angle is how far off the line may be."
        )
    }
}

/// What a spacer shows.
pub(crate) fn spacer_shows(room_mm: f64, style: &Style) -> String {
    format!(
        "A strip as long as the ball and {} on each side.",
        room(room_mm, style)
    )
}

/// On a spacer.
pub(crate) fn each_side(room_mm: f64, style: &Style) -> String {
    format!("{} each side", room(room_mm, style))
}

/// Beside a spacer: how far off the line may be.
pub(crate) fn within(room_mm: f64, distance_m: f64, style: &Style) -> String {
    let angle = Angle::from_rad((1e-3 * room_mm / distance_m).atan());
    format!(
        "within {} over {}",
        speak::degrees(angle),
        style.distance(distance_m)
    )
}

/// The room of a gate: whole millimetres, or a fraction of an inch.
fn room(room_mm: f64, style: &Style) -> String {
    let exact = Style {
        plain: true,
        ..*style
    };
    exact.measure(1e-3 * room_mm)
}

/// At a line of the scale, mm left of its middle.
pub(crate) fn mark(mm: i32, style: &Style) -> String {
    match mm {
        0 => "0".to_owned(),
        m if style.plain => format!("{}{}", if m > 0 { "L" } else { "R" }, m.abs()),
        m if m > 0 => format!("+{m}"),
        m => format!("−{}", m.abs()),
    }
}

/// Over the readings.
pub(crate) fn readings(style: &Style) -> &'static str {
    if style.plain {
        "Write the ten numbers here"
    } else {
        "The ten readings, in mm"
    }
}

/// How to write them down.
pub(crate) fn how_to_write(distance_m: f64, style: &Style) -> String {
    if style.plain {
        "L or R first. For the coach: L is plus, R is minus.".to_owned()
    } else {
        format!(
            "Under the number of each try its sign and its millimetres.{}",
            Hint::ReadStroke {
                distance: &typed(distance_m, style.units)
            }
        )
    }
}

/// A distance as an option takes it, in the sheet's own units: `1.5m`, `3ft`, `39.37in`.
pub(crate) fn typed(m: f64, units: UnitSystem) -> String {
    let rounded = |x: f64, digits: f64| (digits * x).round() / digits;
    let feet = rounded(m / 0.3048, 1e3);
    match units {
        UnitSystem::Metric => format!("{}m", rounded(m, 1e3)),
        // Halves are what a person measures.
        UnitSystem::Inches if (2.0 * feet).fract().abs() < 1e-9 => format!("{feet}ft"),
        UnitSystem::Inches => format!("{}in", rounded(m / 0.0254, 1e2)),
    }
}
