//! Panels of equal size side by side, one for each way of aiming, over one key.

use kurbo::{Point, Rect};

use crate::draw::DrawError;
use crate::draw::canvas::{Anchor, Canvas, Paint, Stroke, Text};
use crate::draw::colour::{self, Rgb};
use crate::draw::plot::{Axis, Frame, Room};
use crate::draw::text::{self, Weight};
use crate::draw::theme::{Caption, Theme};

/// Panels of equal size with room for a key below.
pub(super) struct Panels {
    cells: Vec<Rect>,
    key: Rect,
    columns: usize,
}

/// One panel: which, its name and its axes.
pub(super) struct Panel<'a> {
    pub(super) number: usize,
    pub(super) name: &'a str,
    pub(super) x: Axis,
    pub(super) y: Axis,
}

impl Panels {
    pub(super) fn new(body: Rect, theme: &Theme, count: usize) -> Self {
        let key_height = 2.2 * theme.label;
        let columns = match count {
            0..=1 => 1,
            2..=4 => 2,
            5..=9 => 3,
            _ => 4,
        };
        let rows = count.div_ceil(columns).max(1);
        let share = |n: usize| f64::from(u32::try_from(n).unwrap_or(1));
        let (w, h) = (
            body.width() / share(columns),
            (body.height() - key_height) / share(rows),
        );
        let cells = (0..count)
            .map(|k| {
                let at = Point::new(
                    body.x0 + w * share(k % columns),
                    body.y0 + h * share(k / columns),
                );
                Rect::from_origin_size(at, (w - 0.8 * theme.label, h - 0.4 * theme.label))
            })
            .collect();
        Self {
            cells,
            key: Rect::new(body.x0, body.y1 - key_height, body.x1, body.y1),
            columns,
        }
    }

    /// The theme for words inside panels.
    pub(super) fn theme(&self, theme: &Theme) -> Theme {
        let shrink = if self.columns > 2 { 0.8 } else { 0.9 };
        Theme {
            label: shrink * theme.label,
            tick: shrink * theme.tick,
            ..*theme
        }
    }

    /// A frame below the panel's name; axis titles stand in the key line.
    pub(super) fn frame(
        &self,
        canvas: &mut Canvas,
        theme: &Theme,
        panel: &Panel<'_>,
    ) -> Result<Frame, DrawError> {
        let cell = self.cells.get(panel.number).copied().unwrap_or(self.key);
        let at = Point::new(cell.x0, cell.y0 + theme.label);
        canvas.text(&Text::new(panel.name, at, theme.label).bold());
        let body = Rect::new(cell.x0, cell.y0 + 1.3 * theme.label, cell.x1, cell.y1);
        let frame = Frame::fit(
            theme,
            body,
            panel.x.clone(),
            panel.y.clone(),
            Room::default(),
        )?;
        frame.draw(canvas, theme)?;
        Ok(frame)
    }

    /// Swatches with words, left to right, and the meaning of the axes after them.
    pub(super) fn key(
        &self,
        canvas: &mut Canvas,
        theme: &Theme,
        parts: &[(Rgb, &str)],
        axes: &str,
    ) {
        let (size, middle) = (theme.tick, self.key.center().y);
        let mut x = self.key.x0;
        for (fill, words) in parts {
            let box_ = Rect::new(x, middle - 0.5 * size, x + 1.6 * size, middle + 0.5 * size);
            let edge = Stroke::new(colour::SOFT_INK, theme.hair);
            canvas.rect(box_, &Paint::fill(*fill).edged(edge));
            x += 2.1 * size;
            canvas.text(&Text::new(words, Point::new(x, middle), size).centred());
            x += text::width(words, size, Weight::Regular) + 1.5 * size;
        }
        let at = Point::new(self.key.x1, middle);
        let words = Text::new(axes, at, size)
            .anchor(Anchor::End)
            .centred()
            .colour(colour::SOFT_INK);
        canvas.text(&words);
    }
}

/// A chart without data.
pub(super) fn empty(caption: &Caption, why: &'static str) -> DrawError {
    DrawError::Empty {
        what: caption.title.clone(),
        why,
    }
}

/// The middle of a row, rows being 1 high.
pub(super) fn middle(row: usize) -> f64 {
    f64::from(u32::try_from(row).unwrap_or(0)) + 0.5
}

/// Ticks at the multiples of `step`.
pub(super) fn steps(step: f64, from: f64, to: f64) -> Vec<(f64, String)> {
    std::iter::successors(Some((from / step).ceil() * step), |v| Some(v + step))
        .take_while(|v| *v <= to + 1e-9)
        .map(|v| (v, text::number(v)))
        .collect()
}
