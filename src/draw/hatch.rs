//! Hatching: what is closed, missing or cannot be played, without a colour of its own.

use kurbo::{Point, Rect};

use super::canvas::{Canvas, Stroke};

/// Hatches a rectangle with lines that rise to the right, `apart` from each other across.
pub fn hatch(canvas: &mut Canvas, area: Rect, apart: f64, stroke: &Stroke) {
    // Lines x + y = c cross the rectangle for c between its two corners; across they lie c/√2 apart.
    let step = apart.abs().max(1e-3) * std::f64::consts::SQRT_2;
    let (first, last) = (area.x0 + area.y0, area.x1 + area.y1);
    let mut c = first + step;
    while c < last {
        let x0 = area.x0.max(c - area.y1);
        let x1 = area.x1.min(c - area.y0);
        canvas.line(Point::new(x0, c - x0), Point::new(x1, c - x1), stroke);
        c += step;
    }
}
