//! What a card of chances or room says.

use crate::gear::Gear;
use crate::player::Player;
use crate::sheets::parts::{Style, of_ten};
use crate::units::UnitSystem;
use crate::window::{Stroke, stroke_said};

/// Thickness of a bank card, mm (published: ISO/IEC 7810, ID-1).
const BANK_CARD_MM: f64 = 0.76;

/// What the sheet is.
pub(crate) const ABOUT: &str =
    "A card of numbers by cut and distance, to fold to the size of a bank card.";
/// Beside the lines to fold along.
pub(crate) const FOLD: &str = "fold";
/// Over the names of the rows.
pub(crate) const ROWS: &str = "cut";
/// Where nothing goes in.
pub(crate) const NOTHING: &str = "–";

/// The sheet's title.
pub(crate) fn title(gear: &Gear, chances: bool) -> String {
    let what = if chances { "Chances" } else { "Margin" };
    format!("{what} by cut and distance: {}", gear.spoken())
}

/// Its question.
pub(crate) fn question(chances: bool) -> &'static str {
    if chances {
        "How often does it go in?"
    } else {
        "How much margin is there?"
    }
}

/// How to read the card.
pub(crate) fn reading(
    gear: &Gear,
    player: Option<&Player>,
    stroke: &Stroke,
    style: &Style,
) -> String {
    let said = format!(
        "Straight into a corner pocket; {}; {}, {} at the pocket.",
        gear.spoken(),
        stroke_said(stroke, style.speech()),
        style.speed(stroke.pace_m_s)
    );
    match (player, style.plain) {
        (Some(_), true) => "A card for your pocket. Cut along the outer line and fold it twice. Play a shot ten times: so many go in.".to_owned(),
        (None, true) => format!("A card for your pocket. Cut along the outer line and fold it. So many {} you may be off.", room_unit(style)),
        (Some(player), false) => format!(
            "Makes in ten of {}. Rows: the cut. Columns: between the balls, centre to centre. One side of the card for each distance to the pocket. {said}",
            whose(player),
        ),
        (None, false) => format!(
            "Margin either side for a ball that goes in clean. Rows: the cut. First column: at the ghost ball, in {}, whatever the distance between the balls. The others: degrees the aim may be off, by the distance between the balls, centre to centre. One side of the card for each distance to the pocket. {said}",
            room_unit(style)
        ),
    }
}

/// Whose makes they are: a student is somebody, a level is anybody of it.
fn whose(player: &Player) -> String {
    let who = &player.who;
    if who.starts_with("student ") {
        who.clone()
    } else if player.assumed || who.contains("player") {
        format!("a {who}")
    } else {
        format!("a {who} player")
    }
}

/// On plain cards, for whom it is.
pub(crate) fn for_whom(player: &Player) -> String {
    format!("For {}.", player.who)
}

/// On plain cards, the table.
pub(crate) fn on_table(gear: &Gear) -> String {
    format!("{}.", gear.spoken())
}

/// On plain cards, what the numbers are, with the lines above.
pub(crate) fn meaning(who: Option<&str>, table: &str, style: &Style) -> String {
    let metric = style.units == UnitSystem::Metric;
    match who {
        Some(who) => format!(
            "Of ten, so many go in.\nTop: balls apart, {}.\n{who}\n{table}",
            if metric { "cm" } else { "inches" }
        ),
        None => format!(
            "You may be off so many {}, left or right.\nTop: to the pocket.\n{table}",
            if metric { "mm" } else { "credit cards" }
        ),
    }
}

/// On plain cards, what the names of the rows are.
pub(crate) const SIDE: &str = "Left: how full you hit it.";

/// Over a side with chances, so far from the pocket.
pub(crate) fn chances_title(gear: &Gear, who: &str, far: f64, style: &Style) -> String {
    let far = style.distance(far);
    if style.plain {
        return format!("Pocket {far} away");
    }
    let name = gear.spoken();
    format!(
        "Makes in ten by cut and distance between the balls, {far} to the pocket; {who}; {name}"
    )
}

/// Over a side with room, so far from the pocket.
pub(crate) fn room_title(gear: &Gear, far: f64, style: &Style) -> String {
    format!(
        "Clean, {} to the pocket; {}. Margin either side: {} at the ghost ball, then degrees of aim by the distance between the balls",
        style.distance(far),
        gear.spoken(),
        match style.units {
            UnitSystem::Metric => "mm",
            UnitSystem::Inches => "inches",
        }
    )
}

/// Over the room of plain cards.
pub(crate) fn plain_room_title(style: &Style) -> &'static str {
    match style.units {
        UnitSystem::Metric => "Off by how many mm?",
        UnitSystem::Inches => "Off by how many cards?",
    }
}

/// Two figures of a small angle.
pub(crate) fn degrees(deg: f64) -> String {
    if deg < 0.0995 {
        format!("{deg:.3}°")
    } else {
        format!("{deg:.2}°")
    }
}

/// A distance over a column, on plain cards without its unit.
pub(crate) fn plain_head(m: f64, style: &Style) -> String {
    match style.units {
        UnitSystem::Metric => format!("{:.0}", 100.0 * m),
        UnitSystem::Inches => format!("{:.0}", m / 0.0254),
    }
}

/// The same with it: half feet as feet, anything else in inches, which are shorter.
pub(crate) fn head(m: f64, style: &Style) -> String {
    let inches = (m / 0.0254).round();
    match style.units {
        UnitSystem::Metric => style.distance(m),
        UnitSystem::Inches if inches % 6.0 == 0.0 => style.distance(m),
        UnitSystem::Inches => format!("{inches:.0}\u{a0}in"),
    }
}

/// The unit over the columns of plain cards.
pub(crate) fn top_unit(style: &Style) -> &'static str {
    match style.units {
        UnitSystem::Metric => "cm",
        UnitSystem::Inches => "in",
    }
}

/// Over the column of room.
pub(crate) fn room_head(style: &Style) -> &'static str {
    match style.units {
        UnitSystem::Metric => "mm",
        UnitSystem::Inches => "in",
    }
}

/// Makes in ten.
pub(crate) fn makes(chance: f64, style: &Style) -> String {
    match chance {
        p if p < 0.05 => if style.plain { "<1" } else { "<0.5" }.to_owned(),
        p if p > 0.95 => if style.plain { ">9" } else { ">9.5" }.to_owned(),
        p if style.plain => format!("{:.0}", of_ten(p).clamp(1.0, 9.0)),
        p => format!("{:.1}", 10.0 * p),
    }
}

/// Room without its unit; whole millimetres or credit cards on plain cards, never more than there is.
pub(crate) fn room(mm: Option<f64>, style: &Style) -> String {
    let Some(mm) = mm else {
        return NOTHING.to_owned();
    };
    let cards = (mm / BANK_CARD_MM).floor();
    match (style.plain, style.units) {
        (false, UnitSystem::Metric) => format!("{mm:.1}"),
        (false, UnitSystem::Inches) if mm < 2.5 => format!("{:.3}", mm / 25.4),
        (false, UnitSystem::Inches) => format!("{:.2}", mm / 25.4),
        (true, UnitSystem::Metric) if mm < 1.0 => "<1".to_owned(),
        (true, UnitSystem::Metric) => format!("{:.0}", mm.floor()),
        (true, UnitSystem::Inches) if cards < 1.0 => "<1".to_owned(),
        (true, UnitSystem::Inches) => format!("{cards:.0}"),
    }
}

/// The unit of the room, spelled out.
fn room_unit(style: &Style) -> &'static str {
    match (style.plain, style.units) {
        (_, UnitSystem::Metric) => "millimetres",
        (false, UnitSystem::Inches) => "inches",
        (true, UnitSystem::Inches) => "credit cards, one on the other,",
    }
}
