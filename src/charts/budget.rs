//! The error budget as bars: how far each input sends the object ball off.

use super::chart::AnswerChart;
use super::fault::ChartError;
use super::words::skill as words;
use crate::answer::BudgetAnswer;
use crate::draw::bars::{BarChart, Row};
use crate::draw::plot::Axis;
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
                note: words::share(row.share, row.makes_if_halved),
                ..Row::new(words::input(row.source), row.contribution_deg)
            })
            .collect();
        let most = budget
            .inputs
            .iter()
            .map(|row| row.contribution_deg)
            .fold(f64::MIN_POSITIVE, f64::max);
        let picture = BarChart {
            caption: words::budget(of.answer, of.held),
            axis: Axis::linear(words::DUE, 0.0, HEADROOM * most),
            rows,
            parts: Vec::new(),
            compare: String::new(),
        }
        .draw(size)?;
        Ok(Some(picture))
    }
}
