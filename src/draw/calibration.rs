//! Said against seen: points with intervals and the line on which both agree.

use kurbo::{Line, Point};

use super::bars::whisker;
use super::canvas::{Anchor, Canvas, Stroke, Text};
use super::colour::{self, BLUE};
use super::fault::DrawError;
use super::lines::{crosses, data};
use super::picture::Picture;
use super::picture::Size;
use super::plot::{Axis, Frame, Room};
use super::theme::{Board, Caption, Marker, Theme};

/// A group of attempts.
#[derive(Debug, Clone, PartialEq)]
pub struct Dot {
    /// Share said.
    pub said: f64,
    /// Share seen.
    pub seen: f64,
    /// Interval of the share seen.
    pub interval: (f64, f64),
    /// Beside the point: `12 shots`.
    pub note: String,
}

/// A calibration chart: shares from 0 to 1 on both axes, shown as "in 10".
#[derive(Debug, Clone, PartialEq)]
pub struct CalibrationChart {
    /// The words around it.
    pub caption: Caption,
    /// Horizontal axis title.
    pub said: String,
    /// Vertical axis title.
    pub seen: String,
    /// Written along the diagonal.
    pub agree: String,
    /// The groups.
    pub dots: Vec<Dot>,
}

impl CalibrationChart {
    /// Draws it.
    ///
    /// # Errors
    /// [`DrawError`]: no points, shares outside 0 to 1, no room.
    pub fn draw(&self, size: Size) -> Result<Picture, DrawError> {
        self.check()?;
        let mut board = Board::new(size, &self.caption);
        board.need(200.0, 120.0)?;
        let theme = board.theme;
        let tenths = || {
            (0..=5u32)
                .map(|i| (f64::from(2 * i) / 10.0, format!("{}", 2 * i)))
                .collect()
        };
        let x = Axis::linear(self.said.clone(), 0.0, 1.0).with_ticks(tenths());
        let y = Axis::linear(self.seen.clone(), 0.0, 1.0).with_ticks(tenths());
        let frame = Frame::fit(&theme, board.body, x, y, Room::default())?;
        let canvas = &mut board.canvas;
        frame.draw(canvas, &theme)?;
        let (a, b) = (frame.at(0.0, 0.0), frame.at(1.0, 1.0));
        let line = Stroke::new(colour::SOFT_INK, theme.hair).dashed(&[5.0, 3.0]);
        canvas.line(a, b, &line);
        for dot in &self.dots {
            let at = frame.at(dot.said, dot.seen);
            canvas.open_group(&[
                ("class", "dot"),
                (
                    "data-values",
                    &data([dot.said, dot.seen, dot.interval.0, dot.interval.1].into_iter()),
                ),
            ]);
            whisker(
                canvas,
                &theme,
                frame.at(dot.said, dot.interval.0),
                frame.at(dot.said, dot.interval.1),
            );
            Marker::Disc.draw(canvas, at, 1.3 * theme.marker, BLUE);
            canvas.close_group();
        }
        self.notes(canvas, &theme, &frame);
        self.agreement(canvas, &theme, &frame, Line::new(a, b));
        canvas.close_group();
        board.finish(&self.caption)
    }

    /// What each dot is, on its side of the diagonal where there is room.
    fn notes(&self, canvas: &mut Canvas, theme: &Theme, frame: &Frame) {
        for dot in &self.dots {
            let at = frame.at(dot.said, dot.seen);
            let beside = |dx: f64, anchor| {
                Text::new(&dot.note, Point::new(at.x + dx, at.y), theme.tick)
                    .anchor(anchor)
                    .centred()
            };
            let gap = 0.8 * theme.label;
            let (left, right) = (beside(-gap, Anchor::End), beside(gap, Anchor::Start));
            // Above the diagonal its line passes on the right, below on the left.
            let order = if dot.seen >= dot.said {
                [left, right]
            } else {
                [right, left]
            };
            let free = |t: &&Text<'_>| {
                frame.plot.contains_rect(t.bounds())
                    && canvas.is_free(t.bounds())
                    && !self.whiskers(frame, dot).any(|w| crosses(&w, t.bounds()))
            };
            if let Some(t) = order.iter().find(free) {
                canvas.text(t);
            }
        }
    }

    /// The intervals of all dots but one, on the canvas.
    fn whiskers<'a>(
        &'a self,
        frame: &'a Frame,
        but: &'a Dot,
    ) -> impl Iterator<Item = [Point; 2]> + 'a {
        self.dots
            .iter()
            .filter(move |d| !std::ptr::eq(*d, but))
            .map(|d| [d.interval.0, d.interval.1].map(|v| frame.at(d.said, v)))
    }

    /// Along the diagonal, where neither an interval nor a note is.
    fn agreement(&self, canvas: &mut Canvas, theme: &Theme, frame: &Frame, diagonal: Line) {
        let (a, b) = (diagonal.p0, diagonal.p1);
        let slope = (b.y - a.y).atan2(b.x - a.x).to_degrees();
        let ends = |d: &Dot| [d.interval.0, d.interval.1].map(|v| frame.at(d.said, v));
        for tenth in [9, 8, 7, 6, 5, 4, 3, 2, 1] {
            let p = a.lerp(b, f64::from(tenth) / 10.0 - 0.03);
            let t = Text::new(
                &self.agree,
                Point::new(p.x, p.y - 0.4 * theme.tick),
                theme.tick,
            )
            .rotated(slope)
            .anchor(Anchor::Middle)
            .colour(colour::SOFT_INK);
            let room = t.bounds();
            let free = frame.plot.contains_rect(room)
                && canvas.is_free(room)
                && !self.dots.iter().any(|d| crosses(&ends(d), room));
            if free {
                canvas.text(&t);
                break;
            }
        }
    }

    fn check(&self) -> Result<(), DrawError> {
        if self.dots.is_empty() {
            return Err(DrawError::Empty {
                what: self.caption.title.clone(),
                why: "there are no groups of attempts",
            });
        }
        for d in &self.dots {
            let values = [d.said, d.seen, d.interval.0, d.interval.1];
            if let Some(value) = values.into_iter().find(|v| !(0.0..=1.0).contains(v)) {
                return Err(DrawError::Value {
                    series: d.note.clone(),
                    value,
                    why: "shares run from 0 to 1",
                });
            }
        }
        Ok(())
    }
}
