//! The margin of one shot at true size: two blocks with the gap that the cue ball's middle has at the
//! ghost ball, too full on one side and too thin on the other.

use kurbo::{Point, Rect, Vec2};

use crate::draw::canvas::{Anchor, Canvas, Paint};
use crate::draw::colour;
use crate::draw::tags::Tag;
use crate::draw::text::{self, Weight};
use crate::sheets::fault::SheetError;
use crate::sheets::parts::{Style, block, block_height, bold, bold_height, dimension, label};
use crate::sheets::words::lesson as words;
use crate::window::{AimWindow, Part};

/// The margin of one shot at true size.
pub(super) struct CloseUp {
    /// The shot: `Shot 8`.
    shot: String,
    /// Margin to the left and to the right of the shooter, mm.
    room_mm: (f64, f64),
    /// Too full lies on the left.
    fuller_left: bool,
    /// How the ball goes in within it.
    how: Part,
}

/// Least width of a block, mm.
const LEAST_MM: f64 = 16.0;
/// Above and below the heading, mm.
const APART_MM: f64 = 2.0;

/// Height of the blocks, mm: large letters leave less for them.
fn block_mm(style: &Style) -> f64 {
    if style.plain { 13.0 } else { 20.0 }
}

impl CloseUp {
    /// The untouched part of a shot's window, or the widest that there is.
    pub(super) fn new(shot: &str, window: &AimWindow) -> Option<Self> {
        let (how, part) = window.best_part()?;
        let (low, high) = part.interval_rad();
        let at = |angle: f64| 1e3 * window.aim.travel_m * angle.tan();
        Some(Self {
            shot: shot.to_owned(),
            room_mm: (at(high), -at(low)),
            // Cut to the left, the object ball lies left of the aim: a fuller hit goes there.
            fuller_left: window.cut_rad >= 0.0,
            how,
        })
    }

    fn gap_mm(&self) -> f64 {
        self.room_mm.0 + self.room_mm.1
    }

    fn width_words(&self, style: &Style) -> String {
        style.small(1e-3 * self.gap_mm())
    }

    /// Width that blocks, gap and words take, mm.
    pub(super) fn width_mm(&self, style: &Style) -> f64 {
        let said = [words::TOO_FULL, words::TOO_THIN];
        let wide = said.map(|w| text::width(w, style.label_mm(), Weight::Regular));
        self.gap_mm() + 2.0 * wide.into_iter().fold(LEAST_MM, f64::max)
    }

    /// Height in a column so wide, mm.
    pub(super) fn high_mm(&self, style: &Style, width_mm: f64) -> f64 {
        let size = style.body_mm();
        let said = words::strip(&self.width_words(style), self.how, style);
        3.0 * APART_MM
            + bold_height(&words::true_size(&self.shot, style), size, width_mm)
            + block_mm(style)
            + 4.0 * style.label_mm()
            + block_height(&said, size, width_mm)
    }

    /// A heading, the margin, and what to look at.
    pub(super) fn print(
        &self,
        canvas: &mut Canvas,
        place: Rect,
        style: &Style,
    ) -> Result<(), SheetError> {
        let (size, width) = (style.body_mm(), self.width_words(style));
        let across = |y: f64| Rect::new(place.x0, y, place.x1, place.y1);
        canvas.part(Tag::Heading(2));
        let title = words::true_size(&self.shot, style);
        let y = bold(canvas, &title, size, across(place.y0 + APART_MM));
        canvas.part(Tag::Figure(words::strip_shows(&width)));
        let middle = place.center().x;
        let half = 0.5 * self.width_mm(style);
        let top = y + APART_MM;
        let low = top + block_mm(style) + 4.0 * style.label_mm();
        self.draw(
            canvas,
            Rect::new(middle - half, top, middle + half, low),
            &width,
            style,
        );
        block(
            canvas,
            &words::strip(&width, self.how, style),
            size,
            across(low),
        )?;
        Ok(())
    }

    fn draw(&self, canvas: &mut Canvas, area: Rect, width: &str, style: &Style) {
        let letters = style.label_mm();
        let (top, middle) = (area.y0 + 1.5 * letters, area.center().x);
        let half = 0.5 * self.gap_mm();
        let paint = Paint::fill(colour::SOFT_INK);
        let gap = (middle - half, middle + half);
        let foot = top + block_mm(style);
        canvas.open_group(&[("class", "margin")]);
        canvas.rect(Rect::new(area.x0, top, gap.0, foot), &paint);
        canvas.rect(Rect::new(gap.1, top, area.x1, foot), &paint);
        canvas.close_group();
        let (left, right) = if self.fuller_left {
            (words::TOO_FULL, words::TOO_THIN)
        } else {
            (words::TOO_THIN, words::TOO_FULL)
        };
        let above = top - 0.5 * letters;
        label(
            canvas,
            style,
            left,
            Point::new(area.x0, above),
            Anchor::Start,
        );
        label(
            canvas,
            style,
            right,
            Point::new(area.x1, above),
            Anchor::End,
        );
        let below = foot + 2.0;
        if self.gap_mm() > 4.0 {
            dimension(canvas, Point::new(gap.0, below), Point::new(gap.1, below));
        }
        let said = Point::new(middle, below) + Vec2::new(0.0, 1.3 * letters);
        label(canvas, style, width, said, Anchor::Middle);
    }
}
