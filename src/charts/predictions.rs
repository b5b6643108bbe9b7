//! Predictions against what was made, by band of difficulty.

use super::chart::AnswerChart;
use super::fault::ChartError;
use super::words::skill as words;
use crate::answer::SkillAnswer;
use crate::draw::calibration::{CalibrationChart, Dot};
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
        let dots = bands
            .iter()
            .map(|b| Dot {
                said: b.predicted,
                seen: b.observed,
                interval: (b.interval.low, b.interval.high),
                note: words::tries(b.tries),
            })
            .collect();
        let chart = CalibrationChart {
            caption: words::predictions(answer),
            said: words::PREDICTED.to_owned(),
            seen: words::MADE.to_owned(),
            agree: words::AGREE.to_owned(),
            dots,
        };
        Ok(Some(chart.draw(size)?))
    }
}
