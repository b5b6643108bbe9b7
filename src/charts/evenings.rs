//! Practice evening by evening: is this student getting better?

use super::chart::AnswerChart;
use super::fault::ChartError;
use super::words::skill as words;
use crate::answer::SkillAnswer;
use crate::draw::lines::{Band, Line, LineChart};
use crate::draw::plot::Axis;
use crate::draw::{Picture, Size};

/// Top of the axis when every interval ends below it, in spreads of the whole period. Assumption.
const LEAST_TOP: f64 = 1.5;
/// Intervals beyond this are cut off at the edge of the picture. Assumption.
const MOST_TOP: f64 = 3.0;

/// The spread evening by evening.
#[derive(Debug, Clone, Copy)]
pub struct EveningsChart;

impl AnswerChart<SkillAnswer> for EveningsChart {
    fn name(&self) -> &'static str {
        "skill-evenings"
    }

    fn question(&self) -> &'static str {
        "Is this student getting better?"
    }

    /// Nothing with fewer than two evenings that tell.
    #[expect(clippy::cast_precision_loss, reason = "a few evenings")]
    fn draw(&self, answer: &SkillAnswer, size: Size) -> Result<Option<Picture>, ChartError> {
        let told: Vec<(f64, f64, f64, f64)> = answer
            .by_day
            .iter()
            .enumerate()
            .filter_map(|(k, day)| {
                let e = day.spread?;
                Some((
                    k as f64,
                    e.value,
                    e.low.unwrap_or(0.0),
                    e.high.unwrap_or(MOST_TOP).min(MOST_TOP),
                ))
            })
            .collect();
        if told.len() < 2 {
            return Ok(None);
        }
        let last = answer.by_day.len().saturating_sub(1) as f64;
        let top = told
            .iter()
            .map(|t| t.1.max(t.3))
            .fold(LEAST_TOP, f64::max)
            .min(MOST_TOP);
        let ticks = answer
            .by_day
            .iter()
            .enumerate()
            .map(|(k, day)| (k as f64, day.day.get(5..).unwrap_or_default().to_owned()))
            .collect();
        let chart = LineChart {
            caption: words::evenings(answer),
            x: Axis::linear(words::DAY, -0.2, last + 0.2).with_ticks(ticks),
            y: Axis::linear(words::spread_axis(answer), 0.0, top),
            lines: vec![Line {
                name: words::SPREAD.to_owned(),
                points: told.iter().map(|t| (t.0, t.1.min(top))).collect(),
            }],
            bands: vec![Band {
                name: words::SHADE.to_owned(),
                points: told.iter().map(|t| (t.0, t.2, t.3.min(top))).collect(),
                line: 0,
            }],
            marks: Vec::new(),
        };
        Ok(Some(chart.draw(size)?))
    }
}
