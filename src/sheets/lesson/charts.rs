//! The charts of a lesson: chances and room along its topic, and how hard its parts are.

use super::study::Study;
use crate::draw::bars::{BarChart, Row};
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
use crate::window::{AimWindow, Stroke as Hit};

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

    fn room_caption(&self, style: &Style) -> Caption {
        Caption {
            title: words::room_title(self.topic).to_owned(),
            subtitle: words::room_subtitle(self.topic, self.kind(), &self.held(style)),
            footer: words::room_footer(&self.gear.spoken()),
            desc: said(words::ROOM_SHOWS, self, style, |x, m| {
                self.room_words(x, m, style)
            }),
        }
    }

    /// How much room is there?
    pub(super) fn room_chart(
        &self,
        name: &str,
        style: &Style,
        size: Size,
    ) -> Result<Picture, DrawError> {
        let (unit, times) = match style.units {
            _ if self.by_angle() => ("degrees", 180.0 / std::f64::consts::PI),
            UnitSystem::Metric => ("mm", 1e3),
            UnitSystem::Inches => ("in", 1.0 / 0.0254),
        };
        let value = |x: f64, m: f64| {
            let solution = self.solved_for_room(x, m);
            let length = |w: &AimWindow| if self.by_angle() { 1.0 } else { w.aim.travel_m };
            times * self.each(solution.as_ref(), length)
        };
        let mut lines = self.curves(style, value);
        if self.by_apart() {
            let far = self.room_lines().map(|m| words::to_pocket(m, style));
            let points = self.room_lines().map(|m| self.points(style, m, &value));
            lines = far
                .into_iter()
                .zip(points)
                .map(|(name, points)| Line { name, points })
                .collect();
        }
        let most = lines
            .iter()
            .flat_map(|l| l.points.iter().map(|p| p.1))
            .fold(0.0, f64::max);
        LineChart {
            caption: self.room_caption(style),
            x: self.axis(name, style),
            y: Axis::linear(words::room_axis(unit), 0.0, 1.1 * most.max(1e-3)),
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

/// How hard is each part: fewest, most and middle makes in ten.
pub(super) fn parts_chart(parts: &[(String, Vec<f64>)], size: Size) -> Result<Picture, DrawError> {
    let rows: Vec<Row> = parts
        .iter()
        .map(|(name, makes)| {
            let low = makes.iter().copied().fold(f64::INFINITY, f64::min);
            let high = makes.iter().copied().fold(0.0, f64::max);
            #[expect(clippy::cast_precision_loss, reason = "a few shots")]
            let middle = makes.iter().sum::<f64>() / makes.len() as f64;
            Row {
                // Equal ends would be a stroke of no length in the way of the words.
                interval: (high - low > 0.05).then_some((low, high)),
                note: words::spread(low, high, makes.len()),
                ..Row::new(name, middle)
            }
        })
        .collect();
    let desc: Vec<String> = rows
        .iter()
        .map(|r| format!("{}: {}.", r.name, r.note))
        .collect();
    BarChart {
        caption: Caption {
            title: words::PARTS.to_owned(),
            subtitle: words::PARTS_SUBTITLE.to_owned(),
            footer: String::new(),
            desc: desc.join(" "),
        },
        axis: Axis::linear(words::MAKES, 0.0, 10.0),
        rows,
        parts: Vec::new(),
        compare: String::new(),
    }
    .draw(size)
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
