//! What practice says, in pictures: predictions against what was made, and evening by evening.

use super::calibration::{CalibrationChart, Dot};
use super::lines::{Band, Line, LineChart};
use super::plot::Axis;
use super::render::Size;
use super::theme::Caption;
use super::{ChartError, Picture};
use crate::answer::{SkillAnswer, skill_verdict};

/// Top of the axis when every interval ends below it, in spreads of the whole period. Assumption.
const LEAST_TOP: f64 = 1.5;
/// Intervals beyond this are cut off at the edge of the picture. Assumption.
const MOST_TOP: f64 = 3.0;

/// Predicted against made, by band of difficulty. `None` without a fitted student.
///
/// # Errors
/// [`ChartError`].
pub fn calibration_chart(answer: &SkillAnswer, size: Size) -> Result<Option<Picture>, ChartError> {
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
    chart.draw(size).map(Some)
}

/// The spread evening by evening. `None` with fewer than two evenings that tell.
///
/// # Errors
/// [`ChartError`].
#[expect(clippy::cast_precision_loss, reason = "a few evenings")]
pub fn trend_chart(answer: &SkillAnswer, size: Size) -> Result<Option<Picture>, ChartError> {
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
        caption: Caption {
            title: skill_verdict(answer),
            subtitle: format!("Spread of the aim evening by evening, {}", days(answer)),
            footer:
                "1 is the spread of all evenings together; below it is steadier. Shaded: 95 in 100."
                    .to_owned(),
            desc: answer
                .by_day
                .iter()
                .filter_map(|d| Some(format!("{}: {:.2}.", d.day, d.spread?.value)))
                .collect::<Vec<_>>()
                .join(" "),
        },
        x: Axis::linear("day (month-day)", -0.2, last + 0.2).with_ticks(ticks),
        y: Axis::linear("spread, all evenings = 1", 0.0, top),
        lines: vec![Line {
            name: "spread".to_owned(),
            points: told.iter().map(|t| (t.0, t.1.min(top))).collect(),
        }],
        bands: vec![Band {
            name: "95 in 100".to_owned(),
            points: told.iter().map(|t| (t.0, t.2, t.3.min(top))).collect(),
            line: 0,
        }],
        marks: Vec::new(),
    };
    chart.draw(size).map(Some)
}

fn days(answer: &SkillAnswer) -> String {
    answer.days.as_ref().map_or_else(String::new, |(from, to)| {
        format!("{} tries, {from} to {to}", answer.tries)
    })
}
