//! The error budget as bars: how far each input sends the object ball off.

use super::chart::AnswerChart;
use super::fault::ChartError;
use crate::answer::{BudgetAnswer, budget_headline, budget_label, to_a_tenth};
use crate::draw::bars::{BarChart, Row};
use crate::draw::plot::Axis;
use crate::draw::theme::Caption;
use crate::draw::{Picture, Size};

/// Room right of the longest bar, as a share of it.
const HEADROOM: f64 = 1.05;

/// A budget and the shot it is of.
#[derive(Debug, Clone, Copy)]
pub struct Budgeted<'a> {
    /// What was found.
    pub answer: &'a BudgetAnswer,
    /// The shot in words.
    pub held: &'a str,
}

/// How far each input sends the object ball off.
#[derive(Debug, Clone, Copy)]
pub struct BudgetChart;

impl AnswerChart<Budgeted<'_>> for BudgetChart {
    fn name(&self) -> &'static str {
        "budget"
    }

    fn question(&self) -> &'static str {
        "Which error costs most on this shot?"
    }

    fn draw(&self, of: &Budgeted<'_>, size: Size) -> Result<Option<Picture>, ChartError> {
        let budget = &of.answer.budget;
        let rows: Vec<Row> = budget
            .inputs
            .iter()
            .map(|row| Row {
                note: format!(
                    "{:.0} %; if halved {}",
                    100.0 * row.share,
                    to_a_tenth(row.makes_if_halved)
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
        let picture = BarChart {
        caption: Caption {
            title: budget_headline(budget, &of.answer.player),
            subtitle: of.held.to_owned(),
            footer: of.answer.assumed_words(),
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
    .draw(size)?;
        Ok(Some(picture))
    }
}
