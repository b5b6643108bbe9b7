//! Lets plotters draw on our canvas, with text measured by the bundled font.
//!
//! Plotters works in whole pixels; here one of its pixels is a hundred thousandth of a user unit, so
//! that what it draws is as exact as the file, which has three decimals.

use std::convert::Infallible;

use kurbo::{Point, Rect};
use plotters_backend::text_anchor::{HPos, VPos};
use plotters_backend::{
    BackendColor, BackendCoord, BackendStyle, BackendTextStyle, DrawingBackend, DrawingErrorKind,
};

use super::canvas::{Anchor, Canvas, Paint, Stroke, Text};
use super::colour::Rgb;
use super::text::{self, Weight};

/// Plotters' pixels in a user unit.
pub(crate) const STEPS: f64 = 1e5;

type Drawn = Result<(), DrawingErrorKind<Infallible>>;

/// A canvas as plotters sees it.
pub(crate) struct OnCanvas<'a> {
    /// Drawn on.
    pub(crate) canvas: &'a mut Canvas,
    /// Dash and gap lengths of its lines in user units: plotters would cut a dashed line to pieces.
    pub(crate) dash: &'a [f64],
}

/// A user length in plotters' pixels.
#[expect(
    clippy::cast_possible_truncation,
    reason = "canvases are at most 8000 units wide and high"
)]
pub(crate) fn steps(length: f64) -> i32 {
    (length * STEPS).round() as i32
}

/// A non-negative user length in plotters' pixels.
pub(crate) fn size_steps(length: f64) -> u32 {
    steps(length).unsigned_abs()
}

fn point((x, y): BackendCoord) -> Point {
    Point::new(f64::from(x) / STEPS, f64::from(y) / STEPS)
}

fn colour(c: BackendColor) -> Option<Rgb> {
    (c.alpha > 0.0).then_some(Rgb(c.rgb.0, c.rgb.1, c.rgb.2))
}

fn fill<S: BackendStyle>(style: &S) -> Option<Paint> {
    let c = style.color();
    let solid = colour(c).map(Paint::fill);
    if c.alpha < 1.0 {
        solid.map(|p| p.see_through(c.alpha))
    } else {
        solid
    }
}

impl OnCanvas<'_> {
    fn stroke<S: BackendStyle>(&self, style: &S) -> Option<Stroke> {
        let width = f64::from(style.stroke_width()) / STEPS;
        colour(style.color()).map(|c| Stroke {
            dash: self.dash.to_vec(),
            ..Stroke::new(c, width)
        })
    }
}

impl DrawingBackend for OnCanvas<'_> {
    type ErrorType = Infallible;

    fn get_size(&self) -> (u32, u32) {
        let area = self.canvas.area();
        (size_steps(area.width()), size_steps(area.height()))
    }

    fn ensure_prepared(&mut self) -> Drawn {
        Ok(())
    }

    fn present(&mut self) -> Drawn {
        Ok(())
    }

    fn draw_pixel(&mut self, at: BackendCoord, c: BackendColor) -> Drawn {
        if let Some(c) = colour(c) {
            let r = Rect::from_origin_size(point(at), (1.0 / STEPS, 1.0 / STEPS));
            self.canvas.rect(r, &Paint::fill(c));
        }
        Ok(())
    }

    fn draw_line<S: BackendStyle>(
        &mut self,
        from: BackendCoord,
        to: BackendCoord,
        style: &S,
    ) -> Drawn {
        if let Some(s) = self.stroke(style) {
            self.canvas.line(point(from), point(to), &s);
        }
        Ok(())
    }

    fn draw_rect<S: BackendStyle>(
        &mut self,
        upper_left: BackendCoord,
        bottom_right: BackendCoord,
        style: &S,
        fill: bool,
    ) -> Drawn {
        let paint = if fill {
            self::fill(style)
        } else {
            self.stroke(style).map(Paint::line)
        };
        if let Some(p) = paint {
            let r = Rect::from_points(point(upper_left), point(bottom_right));
            self.canvas.rect(r, &p);
        }
        Ok(())
    }

    fn draw_path<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> Drawn {
        if let Some(s) = self.stroke(style) {
            let points: Vec<Point> = path.into_iter().map(point).collect();
            self.canvas.polyline(&points, &s);
        }
        Ok(())
    }

    fn fill_polygon<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        vertices: I,
        style: &S,
    ) -> Drawn {
        if let Some(paint) = fill(style) {
            let points: Vec<Point> = vertices.into_iter().map(point).collect();
            self.canvas.polygon(&points, &paint);
        }
        Ok(())
    }

    fn draw_text<T: BackendTextStyle>(
        &mut self,
        content: &str,
        style: &T,
        at: BackendCoord,
    ) -> Drawn {
        let Some(c) = colour(style.color()) else {
            return Ok(());
        };
        let size = style.size() / STEPS;
        let mut at = point(at);
        let anchor = style.anchor();
        at.y += size
            * match anchor.v_pos {
                VPos::Top => text::CAP_EM,
                VPos::Center => 0.5 * text::CAP_EM,
                VPos::Bottom => 0.0,
            };
        let h = match anchor.h_pos {
            HPos::Left => Anchor::Start,
            HPos::Center => Anchor::Middle,
            HPos::Right => Anchor::End,
        };
        self.canvas
            .text(&Text::new(content, at, size).anchor(h).colour(c));
        Ok(())
    }

    fn estimate_text_size<T: BackendTextStyle>(
        &self,
        content: &str,
        style: &T,
    ) -> Result<(u32, u32), DrawingErrorKind<Infallible>> {
        let size = style.size() / STEPS;
        Ok((
            size_steps(text::width(content, size, Weight::Regular)),
            size_steps(size),
        ))
    }
}
