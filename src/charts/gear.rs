//! The same shots on several gears, the largest loss first.

use super::words::{gear as words, room};
use super::{Chart, ChartError, Choice, Request, RoomUnit, Subject};
use crate::answer::{CompareAnswer, ComparedRow, ComparedShot};
use crate::draw::Picture;
use crate::draw::dots::{DotChart, DotRow};
use crate::draw::plot::Axis;
use crate::draw::theme::Caption;
use crate::gear::the_spoken_gear;

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
            Self::Room(unit) => Axis::linear(room::each_side(unit), 0.0, 1.05 * most),
            Self::Chance => Axis::linear(room::MAKES, 0.0, 10.0),
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
            return Err(ChartError::NoRoom(words::NOTHING.to_owned()));
        }
        let chart = DotChart {
            caption: caption(request, compared, shown, rows.len()),
            axis: shown.axis(most),
            series: compared.spoken(),
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
        return least.map_or_else(String::new, words::makes);
    }
    if row.on.iter().skip(1).any(|s| s.direct_each_deg.is_none()) {
        return words::NO_ROOM.to_owned();
    }
    // In directions, as the title has it, however the room is shown.
    let least = (!row.on.is_empty()).then(|| 100.0 * (row.least_share() - 1.0));
    least.map_or_else(String::new, words::percent)
}

fn caption(request: &Request, compared: &CompareAnswer, shown: Shown, drawn: usize) -> Caption {
    let title = if compared.gears.len() == 2 {
        compared.verdict(1)
    } else {
        None
    };
    let chances = shown == Shown::Chance;
    let tables = compared.spoken();
    let against = the_spoken_gear(compared.gears.first().map_or("", |name| name));
    let of = words::Compared {
        tables: &tables,
        against: &against,
        drawn,
        all: compared.rows.len(),
        chances_of: compared.player.as_deref().filter(|_| chances),
        loses: compared.rows.iter().any(|row| row.least_share() < NO_LOSS),
    };
    Caption {
        title: title.unwrap_or_else(|| words::QUESTION.to_owned()),
        subtitle: words::subtitle(&of),
        footer: request.footer_without(words::footer(&of)),
        desc: words::desc(&tables),
    }
}
