//! Axes: a plotting frame with linear or logarithmic scales, its mesh drawn by plotters.

use kurbo::{Point, Rect};
use std::convert::Infallible;

use plotters::chart::{ChartBuilder, ChartContext};
use plotters::coord::cartesian::Cartesian2d;
use plotters::coord::ranged1d::{DefaultFormatting, KeyPointHint, Ranged};
use plotters::drawing::{DrawingAreaErrorKind, IntoDrawingArea};
use plotters::element::{Polygon, Rectangle};
use plotters::prelude::RGBColor;
use plotters::series::LineSeries;
use plotters::style::{Color, ShapeStyle, TextStyle};

use super::backend::{OnCanvas, size_steps};
use super::canvas::{Anchor, Canvas, Paint, Stroke, Text};
use super::colour::{self, Rgb};
use super::fault::DrawError;
use super::text::{self, Block, Fitted, Weight};
use super::theme::Theme;

/// One axis.
#[derive(Debug, Clone, PartialEq)]
pub struct Axis {
    /// What it shows, with the unit: `cut angle (degrees)`.
    pub title: String,
    /// Value at the left or lower end.
    pub from: f64,
    /// Value at the right or upper end.
    pub to: f64,
    /// Logarithmic.
    pub log: bool,
    /// Ticks to use instead of the computed ones, with their labels.
    pub ticks: Vec<(f64, String)>,
}

impl Axis {
    /// A linear axis.
    #[must_use]
    pub fn linear(title: impl Into<String>, from: f64, to: f64) -> Self {
        Self {
            title: title.into(),
            from,
            to,
            log: false,
            ticks: Vec::new(),
        }
    }

    /// A logarithmic axis.
    #[must_use]
    pub fn log(title: impl Into<String>, from: f64, to: f64) -> Self {
        Self {
            log: true,
            ..Self::linear(title, from, to)
        }
    }

    /// With ticks of one's own.
    #[must_use]
    pub fn with_ticks(mut self, ticks: Vec<(f64, String)>) -> Self {
        self.ticks = ticks;
        self
    }

    /// `count` values from one end to the other, evenly spaced as drawn; two at least.
    #[must_use]
    pub fn steps(&self, count: u32) -> Vec<f64> {
        let last = count.max(2) - 1;
        (0..=last)
            .map(|k| {
                let share = f64::from(k) / f64::from(last);
                match k {
                    0 => self.from,
                    _ if k == last => self.to,
                    _ => self.value(share),
                }
            })
            .collect()
    }

    /// Share of the way along the axis, 0 to 1 inside.
    #[must_use]
    pub fn share(&self, value: f64) -> f64 {
        if self.log {
            (value / self.from).ln() / (self.to / self.from).ln()
        } else {
            (value - self.from) / (self.to - self.from)
        }
    }

    /// The value at a share of the way.
    #[must_use]
    pub fn value(&self, share: f64) -> f64 {
        if self.log {
            self.from * (self.to / self.from).powf(share)
        } else {
            self.from + (self.to - self.from) * share
        }
    }

    /// Whether a value lies on it, with a hair's breadth of tolerance for rounding.
    #[must_use]
    pub fn holds(&self, value: f64) -> bool {
        // 1e-9 of the axis is far below a thousandth of a pixel.
        let s = self.share(value);
        (-1e-9..=1.0 + 1e-9).contains(&s)
    }

    fn check(&self) -> Result<(), DrawError> {
        let ordered = self.from < self.to && self.from.is_finite() && self.to.is_finite();
        if !ordered || (self.log && self.from <= 0.0) {
            return Err(DrawError::Axis {
                title: self.title.clone(),
                from: self.from,
                to: self.to,
                log: self.log,
            });
        }
        Ok(())
    }

    /// Ticks on steps of 1, 2 and 5, at most about `most` of them.
    fn ticks(&self, most: usize) -> Vec<(f64, String)> {
        if !self.ticks.is_empty() {
            return self.ticks.clone();
        }
        let values = if self.log {
            log_ticks(self.from, self.to, most)
        } else {
            linear_ticks(self.from, self.to, most)
        };
        values
            .into_iter()
            .filter(|v| self.holds(*v))
            .map(|v| (v, text::number(v)))
            .collect()
    }
}

/// Multiples of 1, 2 or 5 times a power of ten.
fn linear_ticks(from: f64, to: f64, most: usize) -> Vec<f64> {
    #[expect(clippy::cast_precision_loss, reason = "a handful of ticks")]
    let raw = (to - from) / most.max(1) as f64;
    let power = 10f64.powf(raw.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|m| m * power)
        .find(|s| *s >= raw * (1.0 - 1e-9))
        .unwrap_or(10.0 * power);
    let first = (from / step - 1e-9).ceil();
    (0..)
        .map(|i| (first + f64::from(i)) * step)
        .take_while(|v| *v <= to + 1e-9 * step)
        .collect()
}

/// 1, 2, 5 in each decade, or only 1 when that is too many.
fn log_ticks(from: f64, to: f64, most: usize) -> Vec<f64> {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "decades of finite floats fit easily"
    )]
    let (low, high) = (from.log10().floor() as i32, to.log10().ceil() as i32);
    let of = |steps: &[f64]| -> Vec<f64> {
        (low..=high)
            .flat_map(|d| steps.iter().map(move |s| s * 10f64.powi(d)))
            .filter(|v| *v >= from * (1.0 - 1e-9) && *v <= to * (1.0 + 1e-9))
            .collect()
    };
    let fine = of(&[1.0, 2.0, 5.0]);
    if fine.len() <= most.max(10) {
        fine
    } else {
        of(&[1.0])
    }
}

/// Least gap between two labels of an axis, in their size.
const LABEL_GAP: f64 = 0.2;

/// The rectangle of the data and how values map into it.
#[derive(Debug, Clone, PartialEq)]
pub struct Frame {
    /// Where the data go.
    pub plot: Rect,
    /// Horizontal axis.
    pub x: Axis,
    /// Vertical axis.
    pub y: Axis,
}

/// Room kept free on the sides of a frame for other things than its own axes.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Room {
    /// Left of the frame, instead of tick labels when larger.
    pub left: f64,
    /// Right.
    pub right: f64,
    /// Above.
    pub top: f64,
}

/// Where marks of both axes stand and what is written there.
#[derive(Clone, Copy, Default)]
struct Ticks<'a> {
    x: &'a [(f64, String)],
    y: &'a [(f64, String)],
}

impl Frame {
    /// Fits a frame with its tick labels and axis titles into `body`.
    ///
    /// # Errors
    /// [`DrawError::Axis`] when a range is empty, infinite or not positive on a log axis.
    pub fn fit(theme: &Theme, body: Rect, x: Axis, y: Axis, room: Room) -> Result<Self, DrawError> {
        x.check()?;
        y.check()?;
        let ticks_y = y.ticks(7);
        let widest = ticks_y
            .iter()
            .map(|(_, t)| text::width(t, theme.tick, Weight::Regular))
            .fold(0.0, f64::max);
        let bottom = if x.title.is_empty() {
            0.0
        } else {
            1.5 * theme.label
        };
        let last_half = x.ticks(8).last().map_or(0.0, |(_, t)| {
            0.5 * text::width(t, theme.tick, Weight::Regular)
        });
        let top = body.y0 + (0.5 * theme.tick).max(room.top);
        let low = body.y1 - bottom - 1.2 * theme.tick - 2.0 * tick_length(theme);
        let title_room = upright_title(theme, &y.title, low - top).map_or(0.0, |t| {
            line_height(&t) * count(t.lines.len()) + 0.3 * theme.label
        });
        let plot = Rect::new(
            body.x0 + (title_room + widest + 3.0 * tick_length(theme)).max(room.left),
            top,
            body.x1 - room.right.max(last_half),
            low,
        );
        Ok(Self { plot, x, y })
    }

    /// Where a pair of values goes.
    #[must_use]
    pub fn at(&self, x: f64, y: f64) -> Point {
        Point::new(
            self.plot.x0 + self.x.share(x) * self.plot.width(),
            self.plot.y1 - self.y.share(y) * self.plot.height(),
        )
    }

    /// Which pair of values is drawn at a place.
    #[must_use]
    pub fn values(&self, at: Point) -> (f64, f64) {
        (
            self.x.value((at.x - self.plot.x0) / self.plot.width()),
            self.y.value((self.plot.y1 - at.y) / self.plot.height()),
        )
    }

    /// Draws a line through values.
    ///
    /// # Errors
    /// [`DrawError::Drawing`] if plotters refuses.
    pub fn line(
        &self,
        canvas: &mut Canvas,
        points: &[(f64, f64)],
        stroke: &Stroke,
    ) -> Result<(), DrawError> {
        let line = LineSeries::new(points.iter().copied(), pen(stroke));
        self.plotted(canvas, &stroke.dash, |chart| {
            chart.draw_series(line).map(|_| ())
        })
    }

    /// Draws an area, given by the values around it.
    ///
    /// # Errors
    /// As [`Self::line`].
    pub fn area(
        &self,
        canvas: &mut Canvas,
        outline: &[(f64, f64)],
        fill: Rgb,
        opacity: f64,
    ) -> Result<(), DrawError> {
        let area = Polygon::new(outline, plain(fill).mix(opacity).filled());
        self.plotted(canvas, &[], |chart| chart.draw_series([area]).map(|_| ()))
    }

    /// Draws a bar from one pair of values to another.
    ///
    /// # Errors
    /// As [`Self::line`].
    pub fn bar(
        &self,
        canvas: &mut Canvas,
        corners: [(f64, f64); 2],
        paint: &Paint,
    ) -> Result<(), DrawError> {
        let inside = paint.fill.map(|fill| plain(fill).filled());
        let edge = paint.stroke.as_ref();
        let bars = inside.into_iter().chain(edge.map(pen));
        let dash = edge.map_or(&[][..], |s| &s.dash);
        self.plotted(canvas, dash, |chart| {
            chart
                .draw_series(bars.map(|style| Rectangle::new(corners, style)))
                .map(|_| ())
        })
    }

    /// Lets plotters draw on this frame without ticks.
    fn plotted(
        &self,
        canvas: &mut Canvas,
        dash: &[f64],
        draw: impl FnOnce(&mut Chart<'_, '_>) -> Result<(), Fault>,
    ) -> Result<(), DrawError> {
        self.ticked(canvas, dash, Ticks::default(), draw)
    }

    /// Lets plotters draw on this frame.
    fn ticked(
        &self,
        canvas: &mut Canvas,
        dash: &[f64],
        ticks: Ticks<'_>,
        draw: impl FnOnce(&mut Chart<'_, '_>) -> Result<(), Fault>,
    ) -> Result<(), DrawError> {
        let (area, plot) = (canvas.area(), self.plot);
        let root = OnCanvas { canvas, dash }.into_drawing_area();
        ChartBuilder::on(&root)
            .margin_top(size_steps(plot.y0))
            .margin_right(size_steps(area.x1 - plot.x1))
            .x_label_area_size(size_steps(area.y1 - plot.y1))
            .y_label_area_size(size_steps(plot.x0))
            .build_cartesian_2d(Scale::new(&self.x, ticks.x), Scale::new(&self.y, ticks.y))
            .and_then(|mut chart| draw(&mut chart))
            .map_err(|e| DrawError::Drawing(e.to_string()))
    }

    /// Draws mesh, axes, tick labels and axis titles, and opens a group that carries the frame and
    /// both ranges as data; the caller closes it when the data are drawn.
    ///
    /// # Errors
    /// [`DrawError::Drawing`] if plotters refuses.
    pub fn draw(&self, canvas: &mut Canvas, theme: &Theme) -> Result<(), DrawError> {
        self.mesh(canvas, theme)?;
        let p = self.plot;
        if !self.x.title.is_empty() {
            let y = p.y1 + 2.0 * tick_length(theme) + 1.2 * theme.tick + theme.label;
            let (x, size) = below(theme, &self.x.title, p.center().x, canvas.area());
            let title = Text::new(&self.x.title, Point::new(x, y), size);
            canvas.text(&title.anchor(Anchor::Middle));
        }
        if let Some(title) = upright_title(theme, &self.y.title, p.height()) {
            let widest = self
                .y
                .ticks(7)
                .iter()
                .map(|(_, t)| text::width(t, theme.tick, Weight::Regular))
                .fold(0.0, f64::max);
            let mut x = p.x0 - widest - 3.0 * tick_length(theme) - 0.4 * theme.label;
            for line in title.lines.iter().rev() {
                let at = Point::new(x, p.center().y);
                let t = Text::new(line, at, title.size).rotated(-90.0);
                canvas.text(&t.anchor(Anchor::Middle));
                x -= line_height(&title);
            }
        }
        let range = |a: &Axis| {
            format!(
                "{} {} {}",
                a.from,
                a.to,
                if a.log { "log" } else { "linear" }
            )
        };
        canvas.open_group(&[
            ("class", "frame"),
            ("data-plot", &format!("{} {} {} {}", p.x0, p.y0, p.x1, p.y1)),
            ("data-x-axis", &range(&self.x)),
            ("data-y-axis", &range(&self.y)),
        ]);
        Ok(())
    }

    /// Every second or third tick and so on, where the labels of all would run into each other.
    fn apart(&self, theme: &Theme, ticks: Vec<(f64, String)>) -> Vec<(f64, String)> {
        let at = |v: f64| self.at(v, self.y.from).x;
        let half = |t: &str| 0.5 * text::width(t, theme.tick, Weight::Regular);
        let clear = |every: usize| {
            let kept: Vec<_> = ticks.iter().step_by(every).collect();
            kept.windows(2).all(|pair| {
                let ((a, one), (b, other)) = (pair[0], pair[1]);
                at(*b) - at(*a) >= half(one) + half(other) + LABEL_GAP * theme.tick
            })
        };
        let every = (1..=ticks.len()).find(|every| clear(*every)).unwrap_or(1);
        ticks.into_iter().step_by(every).collect()
    }

    fn mesh(&self, canvas: &mut Canvas, theme: &Theme) -> Result<(), DrawError> {
        let many_x = (self.plot.width() / (4.0 * theme.tick)).max(2.0);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "between 2 and a few hundred"
        )]
        let tx = self.apart(theme, self.x.ticks((many_x as usize).min(10)));
        let ty = self.y.ticks(7);
        let mesh = Mesh {
            theme,
            x: &tx,
            y: &ty,
        };
        let ticks = Ticks { x: &tx, y: &ty };
        self.ticked(canvas, &[], ticks, |chart| mesh.draw(chart))
    }
}

/// A frame as plotters sees it, and its faults.
type Chart<'a, 'c> = ChartContext<'a, OnCanvas<'c>, Cartesian2d<Scale, Scale>>;
type Fault = DrawingAreaErrorKind<Infallible>;

/// An axis as plotters wants it: whole pixels and the ticks we chose.
struct Scale {
    axis: Axis,
    ticks: Vec<f64>,
}

impl Scale {
    fn new(axis: &Axis, ticks: &[(f64, String)]) -> Self {
        Self {
            axis: axis.clone(),
            ticks: ticks.iter().map(|(v, _)| *v).collect(),
        }
    }
}

impl Ranged for Scale {
    type FormatOption = DefaultFormatting;
    type ValueType = f64;

    #[expect(
        clippy::cast_possible_truncation,
        reason = "ticks lie on the axis, so the result lies within the limits"
    )]
    fn map(&self, value: &f64, (from, to): (i32, i32)) -> i32 {
        from + (self.axis.share(*value) * f64::from(to - from)).round() as i32
    }

    fn key_points<Hint: KeyPointHint>(&self, hint: Hint) -> Vec<f64> {
        if hint.weight().allow_light_points() {
            Vec::new()
        } else {
            self.ticks.clone()
        }
    }

    fn range(&self) -> std::ops::Range<f64> {
        self.axis.from..self.axis.to
    }
}

/// The middle and the size of a title below, kept inside a narrow picture.
fn below(theme: &Theme, title: &str, middle: f64, picture: Rect) -> (f64, f64) {
    let room = picture.width() - theme.margin;
    let wide = text::width(title, theme.label, Weight::Regular);
    let size = theme.label * (room / wide).min(1.0);
    let half = 0.5 * (wide.min(room) + theme.margin);
    let inside = middle.max(picture.x0 + half).min(picture.x1 - half);
    (inside, size)
}

/// A title along the left side, shrunk and then broken where the side is too short for it.
fn upright_title(theme: &Theme, title: &str, length: f64) -> Option<Fitted> {
    let block = Block {
        size: theme.label,
        smallest: (0.72 * theme.label).max(9.0).min(theme.label),
        weight: Weight::Regular,
        max_width: length,
        max_lines: 1,
    };
    (!title.is_empty()).then(|| block.fit(title))
}

fn line_height(title: &Fitted) -> f64 {
    1.2 * title.size
}

#[expect(clippy::cast_precision_loss, reason = "a few lines of text")]
fn count(lines: usize) -> f64 {
    lines as f64
}

fn tick_length(theme: &Theme) -> f64 {
    0.35 * theme.tick
}

struct Mesh<'a> {
    theme: &'a Theme,
    x: &'a [(f64, String)],
    y: &'a [(f64, String)],
}

impl Mesh<'_> {
    fn draw(&self, chart: &mut Chart<'_, '_>) -> Result<(), Fault> {
        let named = |ticks: &[(f64, String)], v: f64| {
            ticks
                .iter()
                .min_by(|a, b| (a.0 - v).abs().total_cmp(&(b.0 - v).abs()))
                .map_or_else(String::new, |(_, t)| t.clone())
        };
        let size = self.theme.tick * super::backend::STEPS;
        let ink = plain(colour::INK);
        let label = TextStyle::from((text::FONT_FAMILY, size)).color(&ink);
        let hair = size_steps(self.theme.hair);
        chart
            .configure_mesh()
            .max_light_lines(0)
            .light_line_style(plotters::style::TRANSPARENT)
            .bold_line_style(plain(colour::GRID).stroke_width(hair))
            .axis_style(plain(colour::SOFT_INK).stroke_width(hair))
            .x_labels(self.x.len().max(1))
            .y_labels(self.y.len().max(1))
            .x_label_formatter(&|v| named(self.x, *v))
            .y_label_formatter(&|v| named(self.y, *v))
            .label_style(label)
            .set_all_tick_mark_size(size_steps(tick_length(self.theme)))
            .draw()
    }
}

fn plain(c: Rgb) -> RGBColor {
    RGBColor(c.0, c.1, c.2)
}

fn pen(stroke: &Stroke) -> ShapeStyle {
    plain(stroke.colour).stroke_width(size_steps(stroke.width))
}
