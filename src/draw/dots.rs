//! Dots on rows: the same quantity for several series, one row a case, on one axis.

use kurbo::{Point, Rect};

use super::canvas::{Canvas, Stroke, Text};
use super::colour::{self, LINE_COLOURS};
use super::fault::DrawError;
use super::lines::{block_text, data};
use super::picture::Picture;
use super::picture::Size;
use super::plot::{Axis, Frame};
use super::rows::{Lettering, Rows};
use super::text::{self, Weight};
use super::theme::{Board, Caption, MARKERS, Theme};

/// One case.
#[derive(Debug, Clone, PartialEq)]
pub struct DotRow {
    /// Left of the row.
    pub name: String,
    /// One value a series; NaN where there is none.
    pub values: Vec<f64>,
    /// Right of the row.
    pub note: String,
}

/// Names are broken on a picture narrower than this, pixels (for the eye).
const NARROW_PX: u32 = 500;

/// A chart of dots.
#[derive(Debug, Clone, PartialEq)]
pub struct DotChart {
    /// The words around it.
    pub caption: Caption,
    /// The axis of values.
    pub axis: Axis,
    /// Names of the series, at most five.
    pub series: Vec<String>,
    /// Top to bottom.
    pub rows: Vec<DotRow>,
}

impl DotChart {
    /// How many rows can be read at a size.
    #[must_use]
    pub fn rows_at(size: Size) -> usize {
        let theme = Theme::for_size(size);
        // Two thirds of the height for rows of a line and a half each (for the eye); on a narrow
        // picture a name takes two lines, and the words above and below take more.
        let lines = if size.width_px < NARROW_PX { 3.2 } else { 1.6 };
        let rows = 0.64 * f64::from(size.height_px) / (lines * theme.label);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a few dozen"
        )]
        (rows.max(1.0) as usize)
    }

    /// Draws it.
    ///
    /// # Errors
    /// [`DrawError`]: too many series, no rows, a value off the axis, no room.
    pub fn draw(&self, size: Size) -> Result<Picture, DrawError> {
        self.check()?;
        let mut board = Board::new(size, &self.caption);
        board.need(240.0, 120.0)?;
        let theme = board.theme;
        let body = self.key(&mut board.canvas, &theme, board.body);
        let words = self.rows.iter().map(|r| (r.name.as_str(), r.note.as_str()));
        let rows = Rows::fit(
            &theme,
            body,
            &self.axis,
            words,
            Lettering {
                size: theme.tick,
                share: 0.4,
            },
        )?;
        let (canvas, frame) = (&mut board.canvas, &rows.frame);
        frame.draw(canvas, &theme)?;
        for (row, (y, name)) in self.rows.iter().zip(rows.places()) {
            draw_row(canvas, frame, &theme, y, row);
            block_text(canvas, name, Point::new(body.x0, y), theme.tick);
            let at = Point::new(frame.plot.x1 + 0.6 * theme.label, y);
            canvas.text(&Text::new(&row.note, at, theme.tick).centred());
        }
        canvas.close_group();
        board.finish(&self.caption)
    }

    fn check(&self) -> Result<(), DrawError> {
        if self.series.len() > LINE_COLOURS.len() {
            return Err(DrawError::TooManyLines {
                count: self.series.len(),
            });
        }
        let known = |r: &DotRow| r.values.iter().any(|v| v.is_finite());
        if !self.rows.iter().any(known) {
            return Err(DrawError::Empty {
                what: self.caption.title.clone(),
                why: "no row has a value",
            });
        }
        for row in &self.rows {
            let known = row.values.iter().filter(|v| !v.is_nan());
            if let Some(value) = known.into_iter().find(|v| !self.axis.holds(**v)) {
                return Err(DrawError::Value {
                    series: row.name.clone(),
                    value: *value,
                    why: "it lies off the axis",
                });
            }
        }
        Ok(())
    }

    /// The series above the rows, one a line when they are long; gives the room below.
    fn key(&self, canvas: &mut Canvas, theme: &Theme, body: Rect) -> Rect {
        let (mut x, mut y) = (body.x0, body.y0 + 0.6 * theme.label);
        for (i, name) in self.series.iter().enumerate() {
            let wide = 1.6 * theme.label + text::width(name, theme.label, Weight::Regular);
            if x + wide > body.x1 && x > body.x0 {
                x = body.x0;
                y += 1.4 * theme.label;
            }
            let mark = Point::new(x + 0.5 * theme.label, y);
            MARKERS[i].draw(canvas, mark, 1.2 * theme.marker, LINE_COLOURS[i]);
            let at = Point::new(x + 1.4 * theme.label, y);
            canvas.text(&Text::new(name, at, theme.label).centred());
            x += wide + 1.2 * theme.label;
        }
        Rect::new(body.x0, y + theme.label, body.x1, body.y1)
    }
}

/// A hair from the least to the most value, then the dots, the first series on top.
fn draw_row(canvas: &mut Canvas, frame: &Frame, theme: &Theme, y: f64, row: &DotRow) {
    canvas.open_group(&[
        ("class", "dots"),
        ("data-name", &row.name),
        ("data-values", &data(row.values.iter().copied())),
    ]);
    let places: Vec<(usize, Point)> = row
        .values
        .iter()
        .enumerate()
        .filter(|(_, v)| v.is_finite())
        .map(|(i, v)| (i, Point::new(frame.at(*v, 0.0).x, y)))
        .collect();
    let xs = places.iter().map(|(_, p)| p.x);
    let (left, right) = xs.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, r), x| {
        (l.min(x), r.max(x))
    });
    if left < right {
        let hair = Stroke::new(colour::SOFT_INK, theme.hair);
        canvas.line(Point::new(left, y), Point::new(right, y), &hair);
    }
    for (i, at) in places.into_iter().rev() {
        MARKERS[i].draw(canvas, at, 1.2 * theme.marker, LINE_COLOURS[i]);
    }
    canvas.close_group();
}
