//! The chart of a lesson: chances along its topic.

use super::study::Study;
use crate::draw::lines::{Line, LineChart};
use crate::draw::plot::Axis;
use crate::draw::theme::Caption;
use crate::draw::{DrawError, Picture, Size};
use crate::ladder::Topic;
use crate::sheets::fault::SheetError;
use crate::sheets::page::Sheet;
use crate::sheets::parts::Style;
use crate::sheets::words::lesson as words;
use crate::units::UnitSystem;
use crate::window::Stroke as Hit;

/// A chart's pixel on paper, mm: its smallest letters, 9 px, are 8 pt.
const PX_MM: f64 = 0.32;
/// Points of a line.
const POINTS: u32 = 36;

impl Study<'_> {
    /// The unit of what changes, and how many of it make one of its own.
    fn unit(&self, style: &Style) -> (&'static str, f64) {
        match (self.topic, style.units) {
            (Topic::LongStraight, UnitSystem::Metric) => ("m", 1.0),
            (Topic::LongStraight, UnitSystem::Inches) => ("feet", 1.0 / 0.3048),
            (Topic::AlongTheRail, UnitSystem::Metric) => ("m/s", 1.0),
            (Topic::AlongTheRail, UnitSystem::Inches) => ("feet a second", 1.0 / 0.3048),
            _ => ("degrees", 180.0 / std::f64::consts::PI),
        }
    }

    fn axis(&self, name: &str, style: &Style) -> Axis {
        let (from, to) = self.range();
        let (unit, times) = self.unit(style);
        Axis::linear(format!("{name} ({unit})"), from * times, to * times)
    }

    fn points(
        &self,
        style: &Style,
        line_m: f64,
        value: &impl Fn(f64, f64) -> f64,
    ) -> Vec<(f64, f64)> {
        let (from, to) = self.range();
        let times = self.unit(style).1;
        (0..=POINTS)
            .map(|i| from + (to - from) * f64::from(i) / f64::from(POINTS))
            .map(|x| (times * x, value(x, line_m)))
            .collect()
    }

    fn curves(&self, style: &Style, value: impl Fn(f64, f64) -> f64) -> Vec<Line> {
        let line = |m: f64| Line {
            name: self.line_name(m, style),
            points: self.points(style, m, &value),
        };
        self.lines().map(line).into()
    }

    /// How often does it go in?
    pub(super) fn chance_chart(
        &self,
        name: &str,
        style: &Style,
        size: Size,
    ) -> Result<Picture, DrawError> {
        let lines = self.curves(style, |x, m| 10.0 * self.chance(x, m));
        // Along the rail the pace is what changes.
        let pace_m_s = match self.topic {
            Topic::AlongTheRail => None,
            _ => Some(Hit::centre_ball().pace_m_s),
        };
        LineChart {
            caption: Caption {
                title: words::CHANCES.to_owned(),
                subtitle: self.held(style),
                footer: words::chances_for(&self.player, pace_m_s, style),
                desc: said(words::CHANCES_SHOW, self, style, |x, m| {
                    format!("{:.1}", 10.0 * self.chance(x, m))
                }),
            },
            x: self.axis(name, style),
            y: Axis::linear(words::MAKES, 0.0, 10.0),
            lines,
            bands: Vec::new(),
            marks: Vec::new(),
        }
        .draw(size)
    }
}

/// A chart in words: its steps on its middle line.
fn said(
    what: &str,
    study: &Study<'_>,
    style: &Style,
    value: impl Fn(f64, f64) -> String,
) -> String {
    let middle = study.lines()[1];
    let steps = study
        .steps()
        .map(|x| words::value_at(&value(x, middle), &study.step_words(x, style)));
    words::chart(what, &study.line_name(middle, style), &steps)
}

/// The pixels of a chart so wide and high on paper.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a page at most"
)]
pub(super) fn chart_size(width_mm: f64, height_mm: f64) -> Size {
    Size {
        width_px: (width_mm / PX_MM).round() as u32,
        height_px: (height_mm / PX_MM).round() as u32,
    }
}

/// A chart on the page.
pub(super) fn place_chart(sheet: &mut Sheet, chart: &Picture) -> Result<(), SheetError> {
    let size = (f64::from(chart.width_px), f64::from(chart.height_px));
    let (canvas, strip) = sheet.figure("a chart", chart.desc.clone(), PX_MM * size.1)?;
    canvas.picture(&chart.svg, size.0, size.1, strip);
    Ok(())
}
