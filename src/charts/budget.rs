//! The error budget as bars: how far each input sends the object ball off.

use super::ChartError;
use super::Picture;
use super::bars::{BarChart, Row};
use super::plot::Axis;
use super::render::Size;
use super::theme::Caption;
use crate::answer::{budget_headline, budget_label, tenths};
use crate::player::budget::Budget;

/// Room right of the longest bar, as a share of it.
const HEADROOM: f64 = 1.05;

/// Draws a budget; `held` says shot and player, `assumed` what is assumed.
///
/// # Errors
/// [`ChartError`].
pub fn budget_chart(
    budget: &Budget,
    (who, held, assumed): (&str, &str, &str),
    size: Size,
) -> Result<Picture, ChartError> {
    let rows: Vec<Row> = budget
        .inputs
        .iter()
        .map(|row| Row {
            note: format!(
                "{:.0} %; if halved {}",
                100.0 * row.share,
                tenths(row.makes_if_halved)
            ),
            ..Row::new(budget_label(row.source), row.contribution_deg)
        })
        .collect();
    let most = budget
        .inputs
        .iter()
        .map(|row| row.contribution_deg)
        .fold(f64::MIN_POSITIVE, f64::max);
    let spoken: Vec<String> = budget
        .inputs
        .iter()
        .map(|row| {
            format!(
                "{} {:.2} degrees",
                budget_label(row.source),
                row.contribution_deg
            )
        })
        .collect();
    BarChart {
        caption: Caption {
            title: budget_headline(budget, who),
            subtitle: held.to_owned(),
            footer: assumed.to_owned(),
            desc: format!(
                "How far each input sends the object ball off: {}.",
                spoken.join(", ")
            ),
        },
        axis: Axis::linear(
            "object ball's direction, spread due to each (degrees; share of the whole beside it)",
            0.0,
            HEADROOM * most,
        ),
        rows,
        parts: Vec::new(),
        compare: String::new(),
    }
    .draw(size)
}
