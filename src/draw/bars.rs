//! Bars: stacks of parts, steps that shrink a quantity, values with intervals.
//!
//! All are horizontal, so that names of any length can be read without turning the head.

use kurbo::{Point, Rect};

use super::canvas::{Anchor, Canvas, Paint, Stroke, Text};
use super::colour::{self, Rgb, part_fill};
use super::fault::DrawError;
use super::lines::{block_text, data};
use super::picture::Picture;
use super::picture::Size;
use super::plot::{Axis, Frame};
use super::rows::{Lettering, Rows};
use super::text::{self, Weight};
use super::theme::{Board, Caption, Theme};

/// One row of a bar chart.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Left of the bar.
    pub name: String,
    /// Where each part ends, from the axis on; drawn in the colours of [`part_fill`].
    pub ends: Vec<f64>,
    /// What was there before, shown pale behind the bar (a step that shrinks).
    pub before: Option<f64>,
    /// Interval around the bar's end.
    pub interval: Option<(f64, f64)>,
    /// A mark to compare with, drawn as an upright stroke.
    pub compare: Option<f64>,
    /// Right of the bar.
    pub note: String,
}

impl Row {
    /// A row with one part.
    #[must_use]
    pub fn new(name: impl Into<String>, value: f64) -> Self {
        Self {
            name: name.into(),
            ends: vec![value],
            before: None,
            interval: None,
            compare: None,
            note: String::new(),
        }
    }

    fn values(&self) -> impl Iterator<Item = f64> + '_ {
        self.ends
            .iter()
            .copied()
            .chain(self.before)
            .chain(self.compare)
            .chain(self.interval.into_iter().flat_map(|(a, b)| [a, b]))
    }

    fn reach(&self) -> f64 {
        self.values().fold(f64::NEG_INFINITY, f64::max)
    }
}

/// A chart of horizontal bars.
#[derive(Debug, Clone, PartialEq)]
pub struct BarChart {
    /// The words around it.
    pub caption: Caption,
    /// The axis of values.
    pub axis: Axis,
    /// Top to bottom.
    pub rows: Vec<Row>,
    /// Names of the parts, for the key; empty for single bars.
    pub parts: Vec<String>,
    /// What the compare strokes mean, for the key; empty without.
    pub compare: String,
}

impl BarChart {
    /// Draws it.
    ///
    /// # Errors
    /// [`DrawError`]: no rows, values off the axis, no room.
    pub fn draw(&self, size: Size) -> Result<Picture, DrawError> {
        self.check()?;
        let mut board = Board::new(size, &self.caption);
        board.need(200.0, 90.0)?;
        let theme = board.theme;
        let body = self.key(&mut board.canvas, &theme, board.body);
        let words = self.rows.iter().map(|r| (r.name.as_str(), r.note.as_str()));
        let rows = Rows::fit(
            &theme,
            body,
            &self.axis,
            words,
            Lettering {
                size: theme.label,
                share: 0.34,
            },
        )?;
        let (canvas, frame) = (&mut board.canvas, &rows.frame);
        frame.draw(canvas, &theme)?;
        for (row, (y, name)) in self.rows.iter().zip(rows.places()) {
            let bar = Bar {
                frame,
                theme: &theme,
                y,
                half: (0.34 * rows.pitch).min(1.4 * theme.label),
            };
            bar.draw(canvas, row)?;
            let at = Point::new(frame.plot.x0 - 0.6 * theme.label, y);
            right_text(canvas, name, at, theme.label);
            let end = frame.at(row.reach(), 0.0).x + 0.6 * theme.label;
            block_text(
                canvas,
                std::slice::from_ref(&row.note),
                Point::new(end, y),
                theme.label,
            );
        }
        canvas.close_group();
        board.finish(&self.caption)
    }

    fn check(&self) -> Result<(), DrawError> {
        if self.rows.is_empty() {
            return Err(DrawError::Empty {
                what: self.caption.title.clone(),
                why: "there are no rows",
            });
        }
        for row in &self.rows {
            if let Some(value) = row.values().find(|v| !self.axis.holds(*v)) {
                return Err(DrawError::Value {
                    series: row.name.clone(),
                    value,
                    why: "it lies off the axis",
                });
            }
        }
        Ok(())
    }

    /// Draws the key above the bars and returns the room below it.
    fn key(&self, canvas: &mut Canvas, theme: &Theme, body: Rect) -> Rect {
        if self.parts.is_empty() && self.compare.is_empty() {
            return body;
        }
        let (mut x, mut y) = (body.x0, body.y0 + 0.6 * theme.label);
        let entries = self.parts.iter().enumerate().map(|(i, n)| (Some(i), n));
        let compare = (!self.compare.is_empty()).then_some((None, &self.compare));
        for (part, name) in entries.chain(compare) {
            let wide = 1.6 * theme.label + text::width(name, theme.label, Weight::Regular);
            if x + wide > body.x1 && x > body.x0 {
                x = body.x0;
                y += 1.4 * theme.label;
            }
            let middle = Point::new(x + 0.5 * theme.label, y);
            match part {
                Some(i) => {
                    let side = Rect::from_center_size(middle, (theme.label, 0.9 * theme.label));
                    canvas.rect(side, &filled(theme, i));
                }
                None => stroke_mark(canvas, theme, middle, 0.55 * theme.label),
            }
            let at = Point::new(x + 1.4 * theme.label, y);
            canvas.text(&Text::new(name, at, theme.label).centred());
            x += wide + 1.2 * theme.label;
        }
        Rect::new(body.x0, y + 1.0 * theme.label, body.x1, body.y1)
    }
}

fn filled(theme: &Theme, part: usize) -> Paint {
    let f = part_fill(part);
    Paint::fill(f.area).edged(Stroke::new(f.edge, theme.hair))
}

fn stroke_mark(canvas: &mut Canvas, theme: &Theme, at: Point, half: f64) {
    let (top, low) = (Point::new(at.x, at.y - half), Point::new(at.x, at.y + half));
    // A white rim keeps the stroke visible on a dark bar.
    canvas.line(top, low, &Stroke::new(Rgb::WHITE, 2.2 * theme.line));
    canvas.line(top, low, &Stroke::new(colour::INK, theme.line));
}

fn right_text(canvas: &mut Canvas, lines: &[String], at: Point, size: f64) {
    #[expect(clippy::cast_precision_loss, reason = "a few lines of text")]
    let top = at.y - 0.575 * size * (lines.len() as f64 - 1.0);
    for (k, line) in lines.iter().enumerate() {
        #[expect(clippy::cast_precision_loss, reason = "a few lines of text")]
        let y = top + 1.15 * size * k as f64;
        let t = Text::new(line, Point::new(at.x, y), size).anchor(Anchor::End);
        canvas.text(&t.centred());
    }
}

struct Bar<'a> {
    frame: &'a Frame,
    theme: &'a Theme,
    y: f64,
    half: f64,
}

impl Bar<'_> {
    fn x(&self, value: f64) -> f64 {
        self.frame.at(value, 0.0).x
    }

    /// The bar between two values, as plotters has it: the rows are values too.
    fn between(&self, from: f64, to: f64) -> [(f64, f64); 2] {
        let row = |y: f64| self.frame.values(Point::new(self.frame.plot.x0, y)).1;
        [
            (from, row(self.y - self.half)),
            (to, row(self.y + self.half)),
        ]
    }

    fn draw(&self, canvas: &mut Canvas, row: &Row) -> Result<(), DrawError> {
        canvas.open_group(&[
            ("class", "bar"),
            ("data-name", &row.name),
            ("data-values", &data(row.ends.iter().copied())),
            ("data-before", &data(row.before.into_iter())),
            (
                "data-interval",
                &data(row.interval.into_iter().flat_map(|(a, b)| [a, b])),
            ),
            ("data-compare", &data(row.compare.into_iter())),
        ]);
        let start = if self.frame.x.log {
            self.frame.x.from
        } else {
            0.0_f64.max(self.frame.x.from)
        };
        if let Some(before) = row.before {
            let pale = Paint::fill(colour::GRID.mix(Rgb::WHITE, 0.4))
                .edged(Stroke::new(colour::SOFT_INK, 0.7 * self.theme.hair).dashed(&[3.0, 2.0]));
            self.frame.bar(canvas, self.between(start, before), &pale)?;
        }
        let mut from = start;
        for (i, end) in row.ends.iter().enumerate() {
            let part = self.between(from, *end);
            self.frame.bar(canvas, part, &filled(self.theme, i))?;
            from = *end;
        }
        if let Some((low, high)) = row.interval {
            whisker(
                canvas,
                self.theme,
                Point::new(self.x(low), self.y),
                Point::new(self.x(high), self.y),
            );
        }
        if let Some(c) = row.compare {
            stroke_mark(
                canvas,
                self.theme,
                Point::new(self.x(c), self.y),
                1.15 * self.half,
            );
        }
        canvas.close_group();
        Ok(())
    }
}

/// An interval between two points, with end strokes, readable on any fill.
pub(crate) fn whisker(canvas: &mut Canvas, theme: &Theme, a: Point, b: Point) {
    let along = b - a;
    let cap = if along.x.abs() > along.y.abs() {
        (0.0, 1.0)
    } else {
        (1.0, 0.0)
    };
    let cap = kurbo::Vec2::from(cap) * (0.35 * theme.label);
    for (ink, w) in [(Rgb::WHITE, 2.4), (colour::INK, 0.8)] {
        let s = Stroke::new(ink, w * theme.line);
        canvas.line(a, b, &s);
        canvas.line(a - cap, a + cap, &s);
        canvas.line(b - cap, b + cap, &s);
    }
}
