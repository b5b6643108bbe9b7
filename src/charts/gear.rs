//! The same shots on several gears, the largest loss first.

use super::{Chart, ChartError, Choice, Request, RoomUnit, Subject};
use crate::answer::{CompareAnswer, ComparedRow, ComparedShot};
use crate::draw::Picture;
use crate::draw::dots::{DotChart, DotRow};
use crate::draw::plot::Axis;
use crate::draw::theme::Caption;

/// From this share of the room on a loss is rounded to nothing, as the percentages are.
const NO_LOSS: f64 = 0.995;

/// Shots on several gears.
#[derive(Debug, Clone, Copy)]
pub struct GearChart;

/// What the dots show.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Shown {
    Room(RoomUnit),
    Chance,
}

impl Shown {
    fn value(self, shot: &ComparedShot) -> f64 {
        let value = match self {
            Self::Room(RoomUnit::Degrees) => shot.direct_each_deg,
            Self::Room(RoomUnit::Mm) => shot.direct_each_mm,
            Self::Chance => shot.chance.map(|p| 10.0 * p),
        };
        value.unwrap_or(f64::NAN)
    }

    fn axis(self, most: f64) -> Axis {
        match self {
            Self::Room(unit) => Axis::linear(unit.title(), 0.0, 1.05 * most),
            Self::Chance => Axis::linear("makes in ten", 0.0, 10.0),
        }
    }
}

impl Chart for GearChart {
    fn name(&self) -> &'static str {
        "gear"
    }

    fn question(&self) -> &'static str {
        "How much harder are the same shots on another table?"
    }

    fn subject(&self) -> Subject {
        Subject::Gears
    }

    fn choices(&self) -> &'static [Choice] {
        &[Choice::Player, Choice::Room]
    }

    fn draw(&self, request: &Request) -> Result<Picture, ChartError> {
        let needs = ChartError::NeedsGears { chart: self.name() };
        let compared = request.compared.as_ref().ok_or(needs.clone())?;
        if compared.gears.len() < 2 {
            return Err(needs);
        }
        let shown = match (&compared.player, request.options.room) {
            (Some(_), None) => Shown::Chance,
            (_, unit) => Shown::Room(unit.unwrap_or(RoomUnit::Mm)),
        };
        let most_rows = DotChart::rows_at(request.size);
        let rows: Vec<DotRow> = compared
            .rows
            .iter()
            .take(most_rows)
            .map(|row| DotRow {
                name: row.shot.clone(),
                values: row.on.iter().map(|s| shown.value(s)).collect(),
                note: note(row, shown),
            })
            .collect();
        let values = rows.iter().flat_map(|r| &r.values).copied();
        let most = values.filter(|v| v.is_finite()).fold(0.0, f64::max);
        if most <= 0.0 {
            return Err(ChartError::NoRoom("none goes on any table".to_owned()));
        }
        let chart = DotChart {
            caption: caption(request, compared, shown, rows.len()),
            axis: shown.axis(most),
            series: compared.gears.clone(),
            rows,
        };
        Ok(chart.draw(request.size)?)
    }
}

/// What the gear that differs most does to a shot.
fn note(row: &ComparedRow, shown: Shown) -> String {
    let first = row.on.first().map_or(f64::NAN, |s| shown.value(s));
    let others = row.on.iter().skip(1).map(|s| shown.value(s));
    if shown == Shown::Chance {
        let changes = others.map(|v| v - first).filter(|c| c.is_finite());
        let least = changes.reduce(f64::min);
        return least.map_or_else(String::new, |c| format!("{} in 10", signed(c, 1)));
    }
    if row.on.iter().skip(1).any(|s| s.direct_each_deg.is_none()) {
        return "no room".to_owned();
    }
    // In directions, as the title has it, however the room is shown.
    let least = (!row.on.is_empty()).then(|| 100.0 * (row.least_share() - 1.0));
    least.map_or_else(String::new, |c| format!("{} %", signed(c, 0)))
}

/// With its sign, a true minus; zero has none.
fn signed(value: f64, decimals: usize) -> String {
    let size = format!("{:.decimals$}", value.abs());
    if size.chars().all(|c| c == '0' || c == '.') {
        "±0".to_owned()
    } else if value < 0.0 {
        format!("\u{2212}{size}")
    } else {
        format!("+{size}")
    }
}

fn caption(request: &Request, compared: &CompareAnswer, shown: Shown, drawn: usize) -> Caption {
    let first = &compared.gears[0];
    let title = if compared.gears.len() == 2 {
        compared.verdict(1)
    } else {
        None
    };
    let all = compared.rows.len();
    let count = if drawn < all {
        format!("{drawn} of {all} shots")
    } else if all == 1 {
        "One shot".to_owned()
    } else {
        format!("{all} shots")
    };
    let what = match (shown, &compared.player) {
        (Shown::Chance, Some(who)) => format!("chances of: {who}"),
        _ => "untouched or off the jaws".to_owned(),
    };
    let loses = compared.rows.iter().any(|row| row.least_share() < NO_LOSS);
    let order = if loses {
        "largest loss"
    } else {
        "smallest gain"
    };
    let of = match (shown, compared.gears.len()) {
        (_, 2) if loses => "of the table that loses most",
        (_, 2) => "on the other table",
        (Shown::Chance, _) => "on the table where the shot is hardest",
        (Shown::Room(_), _) => "on the table that leaves least room",
    };
    Caption {
        title: title.unwrap_or_else(|| "How much harder are the same shots?".to_owned()),
        subtitle: format!("{count}, {order} of room against {first} first; {what}"),
        footer: request.footer_without(format!("Right: the change against the first table, {of}. Assumed: standard bounce of jaws and rails, unless a table changes it.")),
        desc: format!(
            "One row a shot, one dot a table ({}), largest loss of room first.",
            compared.gears.join(", ")
        ),
    }
}
