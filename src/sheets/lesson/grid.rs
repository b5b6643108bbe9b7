//! A grid to fill in: a line a day, a column a shot.

use kurbo::{Point, Rect};

use crate::draw::canvas::{Anchor, Canvas, Paint, Stroke, Text};
use crate::draw::colour;
use crate::draw::tags::Tag;
use crate::draw::text::{self, Weight};
use crate::sheets::page::shortened;
use crate::sheets::words::lesson as words;

/// A grid of days and shots.
pub(super) struct Grid<'a> {
    /// Whose it is; empty on a sheet that is one student's.
    pub(super) name: &'a str,
    /// Numbers of the shots.
    pub(super) shots: &'a [usize],
    pub(super) days: u8,
    /// Height of the letters, mm.
    pub(super) size_mm: f64,
    /// Height of a line, mm.
    pub(super) row_mm: f64,
}

/// Between words and the lines of the grid, mm.
const INSIDE_MM: f64 = 1.5;

impl Grid<'_> {
    pub(super) fn high_mm(&self) -> f64 {
        f64::from(self.days + 1) * self.row_mm
    }

    fn first_words(&self) -> &str {
        if self.name.is_empty() {
            words::DAY
        } else {
            self.name
        }
    }

    /// From the top left of its place, so wide.
    pub(super) fn draw(&self, canvas: &mut Canvas, at: Point, width_mm: f64) {
        canvas.part(Tag::Figure(words::grid(self.name)));
        let size = self.size_mm;
        #[expect(clippy::cast_precision_loss, reason = "a few shots")]
        let count = self.shots.len() as f64;
        let said = text::width(self.first_words(), size, Weight::Bold) + 2.0 * INSIDE_MM;
        let first = said.clamp(width_mm / (count + 1.0), 0.45 * width_mm);
        let each = (width_mm - first) / count;
        let place = Rect::from_origin_size(at, (width_mm, self.high_mm()));
        let line = Stroke::new(colour::SOFT_INK, 0.2);
        canvas.rect(place, &Paint::line(line.clone()));
        for day in 1..=self.days {
            let y = at.y + f64::from(day) * self.row_mm;
            canvas.line(Point::new(place.x0, y), Point::new(place.x1, y), &line);
        }
        let base = at.y + 0.5 * self.row_mm + 0.36 * size;
        for words in shortened(self.first_words(), size, first - 2.0 * INSIDE_MM, 1) {
            let from = Point::new(at.x + INSIDE_MM, base);
            canvas.text(&Text::new(&words, from, size).bold());
        }
        let mut x = at.x + first;
        for number in self.shots {
            canvas.line(Point::new(x, place.y0), Point::new(x, place.y1), &line);
            let long = words::shot(*number, None);
            let fits = text::width(&long, size, Weight::Regular) + INSIDE_MM < each;
            let said = if fits { long } else { number.to_string() };
            let middle = Point::new(x + 0.5 * each, base);
            canvas.text(&Text::new(&said, middle, size).anchor(Anchor::Middle));
            x += each;
        }
    }
}
