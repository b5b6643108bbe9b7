//! Predictions against what was made, by band of difficulty.

use super::chart::AnswerChart;
use super::fault::ChartError;
use crate::answer::SkillAnswer;
use crate::draw::calibration::{CalibrationChart, Dot};
use crate::draw::theme::Caption;
use crate::draw::{Picture, Size};

/// Predicted against made.
#[derive(Debug, Clone, Copy)]
pub struct PredictionsChart;

impl AnswerChart<SkillAnswer> for PredictionsChart {
    fn name(&self) -> &'static str {
        "skill-predictions"
    }

    fn question(&self) -> &'static str {
        "Do the predictions for this student hold?"
    }

    /// Nothing without a fitted student.
    fn draw(&self, answer: &SkillAnswer, size: Size) -> Result<Option<Picture>, ChartError> {
        let bands = &answer.report.bands;
        if bands.is_empty() {
            return Ok(None);
        }
        let hold = bands.iter().filter(|b| b.holds()).count();
        let dots = bands
            .iter()
            .map(|b| Dot {
                said: b.predicted,
                seen: b.observed,
                interval: (b.interval.low, b.interval.high),
                note: format!("{} tries", b.tries),
            })
            .collect();
        let chart = CalibrationChart {
        caption: Caption {
            title: format!(
                "Do the predictions for {} hold? In {hold} of {} bands of difficulty",
                answer.student,
                bands.len()
            ),
            subtitle: days(answer),
            footer:
                "Upright lines: 95 in 100 (Wilson). Fitted to the same tries it is held against."
                    .to_owned(),
            desc: bands
                .iter()
                .map(|b| {
                    format!(
                        "Predicted {:.1} in 10, made {:.1} in 10.",
                        10.0 * b.predicted,
                        10.0 * b.observed
                    )
                })
                .collect::<Vec<_>>()
                .join(" "),
        },
        said: "predicted makes in 10".to_owned(),
        seen: "made in 10".to_owned(),
        agree: "as predicted".to_owned(),
        dots,
    };
        Ok(Some(chart.draw(size)?))
    }
}

/// The tries and the days they come from.
pub(super) fn days(answer: &SkillAnswer) -> String {
    answer.days.as_ref().map_or_else(String::new, |(from, to)| {
        format!("{} tries, {from} to {to}", answer.tries)
    })
}
