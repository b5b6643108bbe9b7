//! What the table of margins says, as a chart and on paper.

use super::room::kind;
use crate::charts::margins::{Cell, Halves, Leads, MarginTable};
use crate::draw::theme::Caption;
use crate::gear::Gear;
use crate::speech::Speech;
use crate::units::{Angle, Length, Speed, UnitSystem, decimals, speak};
use crate::window::stroke_word;

/// Thickness of a sheet of office paper, m (common practice: 80 g/m², about 0.1 mm).
const PAPER_M: f64 = 1e-4;
/// Sheets that somebody can count between two fingers.
const SHEETS: std::ops::RangeInclusive<f64> = 1.5..=12.4;

/// Where no cell has a gap.
pub(crate) const NOTHING: &str = "none of these shots goes in clean";
/// What the rows are.
pub(crate) fn leads(leads: Leads, plain: bool) -> &'static str {
    match leads {
        Leads::ToObject => "between the balls",
        Leads::ToPocket if plain => "to the pocket",
        Leads::ToPocket => "object ball to the pocket",
    }
}

/// In a cell of a shot that the table is too short for.
pub(crate) fn off_table(plain: bool) -> &'static str {
    if plain { "too far" } else { "table too short" }
}

/// In a cell of a shot that does not go in clean.
pub(crate) fn not_clean(plain: bool) -> &'static str {
    if plain { "no gap" } else { "not clean" }
}

/// Over a column.
pub(crate) fn hit(fraction: f64) -> String {
    let named = [(0.75, "¾ ball"), (0.5, "½ ball"), (0.25, "¼ ball")];
    let is = |f: f64| (f - fraction).abs() < 1e-9;
    match named.into_iter().find(|(f, _)| is(*f)) {
        Some((_, name)) => name.to_owned(),
        None if is(1.0) => "full ball".to_owned(),
        None => "⅛ ball".to_owned(),
    }
}

/// Below it.
pub(crate) fn cut(fraction: f64) -> String {
    let deg = Angle::from_ball_fraction(fraction).deg();
    if deg < 0.5 {
        return "straight".to_owned();
    }
    format!("{deg:.0}° cut")
}

/// A row.
pub(crate) fn apart(m: f64, units: UnitSystem) -> String {
    speak::distance(Length::from_m(m), units)
}

/// The same without decimals: whole centimetres.
pub(crate) fn plain_apart(m: f64, units: UnitSystem) -> String {
    match units {
        UnitSystem::Metric => format!("{:.0} cm", 100.0 * m),
        UnitSystem::Inches => apart(m, units),
    }
}

/// A gap: millimetres, or thousandths of an inch below a tenth.
pub(crate) fn gap(m: f64, units: UnitSystem) -> String {
    speak::small_length(Length::from_m(m), units)
}

/// The same without decimals: whole millimetres, or sixteenths of an inch.
pub(crate) fn plain_gap(m: f64, units: UnitSystem) -> String {
    let whole = |parts: f64| (parts >= 0.95).then(|| parts.round().max(1.0));
    match units {
        UnitSystem::Metric => match whole(1e3 * m) {
            Some(mm) => format!("{mm} mm"),
            None => "<1 mm".to_owned(),
        },
        UnitSystem::Inches => match whole(16.0 * m / 0.0254) {
            Some(parts) => format!("{parts}/16 in"),
            None => "<1/16 in".to_owned(),
        },
    }
}

/// Makes in ten, short.
pub(crate) fn makes(chance: f64) -> String {
    match chance {
        p if p < 0.05 => "<1 in 10".to_owned(),
        p if p > 0.95 => ">9 in 10".to_owned(),
        p => format!("{:.0} in 10", (10.0 * p).round()),
    }
}

/// The finding.
pub(crate) fn title(table: &MarginTable) -> String {
    let said = |m| gap(m, table.units);
    match table.ends_m() {
        Some((most, least)) => format!(
            "From {} to {}{}: how far your tip may be off",
            said(most),
            said(least),
            sheets(least)
        ),
        None => "How far your tip may be off".to_owned(),
    }
}

/// ", four sheets of paper".
fn sheets(m: f64) -> String {
    const COUNTED: [&str; 12] = [
        "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
        "twelve",
    ];
    let count = m / PAPER_M;
    if !SHEETS.contains(&count) {
        return String::new();
    }
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "two to twelve"
    )]
    let word = COUNTED[count.round() as usize - 1];
    format!(" ({word} sheets of paper)")
}

/// How to read it.
pub(crate) fn how_to_read(table: &MarginTable) -> String {
    format!(
        "White gap, life size: how far the tip may be off in all, from too full to too thin, {} ahead of the bridge, for the ball to go in clean. Beside it: makes of a {}.",
        bridge(table),
        who(table)
    )
}

fn bridge(table: &MarginTable) -> String {
    let m = table.stroke.bridge_m;
    match table.units {
        UnitSystem::Metric => speak::distance(Length::from_m(m), table.units),
        UnitSystem::Inches => format!("{} in", speak::diamonds(m / 0.0254)),
    }
}

/// A level is "club player (assumed)"; somebody known is named.
fn who(table: &MarginTable) -> String {
    match table.player.who.strip_suffix(", assumed") {
        Some(level) => format!("{level} (assumed)"),
        None => table.player.who.clone(),
    }
}

/// What halves the gap.
pub(crate) fn halves(table: &MarginTable) -> String {
    let said: Vec<&str> = table
        .halves
        .iter()
        .map(|h| match h {
            Halves::TwiceApart => "twice as far between the balls",
            Halves::TwiceToPocket => "twice as far to the pocket",
            Halves::FullToEighth => "an eighth of a ball instead of a full one",
        })
        .collect();
    match said[..] {
        [] => String::new(),
        [one] => format!("What halves the gap: {one}."),
        [ref first @ .., last] => {
            format!("What halves the gap: {}, or {last}.", first.join(", "))
        }
    }
}

/// What is held and assumed.
pub(crate) fn held(table: &MarginTable, gear: &Gear) -> String {
    let in_from = if table.approach_rad.abs() < 1e-9 {
        "straight in".to_owned()
    } else {
        let off = Angle::from_rad(table.approach_rad.abs());
        format!("{} off straight in", speak::degrees(off))
    };
    let off_table = if table.some_off_table() {
        " Hatched: the table is too short to set it up."
    } else {
        ""
    };
    format!(
        "{} pocket {} away, {in_from}; {}. Assumed: {} at the pocket, {}.{off_table}",
        kind(table.kind),
        speak::distance(Length::from_m(table.to_pocket_m), table.units),
        gear.spoken(),
        speak::speed(Speed::from_m_s(table.stroke.pace_m_s), table.units),
        stroke_word(&table.stroke, Speech::from(table.units)),
    )
}

/// The words round the chart.
pub(crate) fn caption(table: &MarginTable, gear: &Gear) -> Caption {
    Caption {
        title: title(table),
        subtitle: how_to_read(table),
        footer: held(table, gear),
        desc: desc(table),
    }
}

/// The table in words.
pub(crate) fn desc(table: &MarginTable) -> String {
    let row = |(apart_m, cells): (f64, &[Cell; 5])| {
        let gaps: Vec<String> = cells
            .iter()
            .map(|cell| {
                cell.gap_m()
                    .map_or_else(|| "none".to_owned(), |m| decimals(1e3 * m, 2))
            })
            .collect();
        format!("{}: {}", apart(apart_m, table.units), gaps.join(", "))
    };
    let rows: Vec<String> = table
        .aparts_m
        .into_iter()
        .zip(&table.cells)
        .map(row)
        .collect();
    format!(
        "The gap at the tip in millimetres for a full ball, three quarters, half, a quarter and an eighth of a ball. {}.",
        rows.join("; ")
    )
}
