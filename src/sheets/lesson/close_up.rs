//! The margin of one shot at true size: two blocks with the gap that the cue ball's middle has at the
//! ghost ball, too full on one side and too thin on the other.

use kurbo::{Point, Rect, Vec2};

use crate::draw::canvas::{Anchor, Canvas, Paint};
use crate::draw::colour;
use crate::draw::tags::Tag;
use crate::draw::text::{self, Weight};
use crate::gear::Gear;
use crate::sheets::diagram::Placed;
use crate::sheets::drill::Drill;
use crate::sheets::fault::BookletError;
use crate::sheets::page::Sheet;
use crate::sheets::parts::{Style, block, block_height, dimension, label};
use crate::sheets::words::lesson as words;
use crate::window::{AimWindow, Part};

/// The margin of one shot at true size.
pub(super) struct CloseUp {
    /// Margin to the left and to the right of the shooter, mm.
    room_mm: (f64, f64),
    /// Too full lies on the left.
    fuller_left: bool,
    /// How the ball goes in within it.
    how: Part,
}

/// Height of the blocks, mm.
const BLOCK_MM: f64 = 42.0;
/// Least width of a block, mm.
const LEAST_MM: f64 = 16.0;

impl CloseUp {
    /// The untouched part, or the widest that there is.
    pub(super) fn new(window: &AimWindow) -> Option<Self> {
        let (how, part) = window.best_part()?;
        let (low, high) = part.interval_rad();
        let at = |angle: f64| 1e3 * window.aim.travel_m * angle.tan();
        Some(Self {
            room_mm: (at(high), -at(low)),
            // Cut to the left, the object ball lies left of the aim: a fuller hit goes there.
            fuller_left: window.cut_rad >= 0.0,
            how,
        })
    }

    fn gap_mm(&self) -> f64 {
        self.room_mm.0 + self.room_mm.1
    }

    /// Width that blocks, gap and words take, mm.
    fn width_mm(&self, style: &Style) -> f64 {
        let said = [words::TOO_FULL, words::TOO_THIN];
        let wide = said.map(|w| text::width(w, style.label_mm(), Weight::Regular));
        self.gap_mm() + 2.0 * wide.into_iter().fold(LEAST_MM, f64::max) + 6.0
    }

    /// The shot on the table and what to look at on the left, the margin at true size on the right.
    pub(super) fn print(
        &self,
        sheet: &mut Sheet,
        drill: &Drill,
        gear: &Gear,
        style: &Style,
    ) -> Result<(), BookletError> {
        let width = style.small(1e-3 * self.gap_mm());
        let title = words::true_size(&drill.name, style);
        let strip_words = words::strip(&width, self.how, style);
        let right_mm = self.width_mm(style);
        let column_mm = sheet.room().width() - right_mm - 5.0;
        let size = style.body_mm();
        let table_mm = 0.56 * column_mm;
        let text_mm = block_height(&strip_words, size, column_mm);
        let own_mm = BLOCK_MM + 3.0 * style.label_mm() + 4.0;
        let high = own_mm.max(table_mm + 4.0 + text_mm);
        sheet.heading_with(&title, high)?;
        let (canvas, strip) = sheet.figure("the margin at true size", drill.alt(), high)?;
        let table = Rect::from_origin_size(strip.origin(), (column_mm, table_mm));
        let places = drill.places();
        Placed::new(gear, places)?.draw(canvas, gear, table, style);
        let place = Rect::new(strip.x0, table.y1 + 4.0, table.x1, strip.y1);
        block(canvas, &strip_words, size, place)?;
        canvas.part(Tag::Figure(words::strip_shows(&width)));
        let area = Rect::new(strip.x1 - right_mm, strip.y0, strip.x1, strip.y0 + own_mm);
        self.draw(canvas, area, &width, style);
        Ok(())
    }

    fn draw(&self, canvas: &mut Canvas, area: Rect, width: &str, style: &Style) {
        let letters = style.label_mm();
        let (top, middle) = (area.y0 + 1.5 * letters, area.center().x);
        let half = 0.5 * self.gap_mm();
        let paint = Paint::fill(colour::SOFT_INK);
        let gap = (middle - half, middle + half);
        canvas.open_group(&[("class", "margin")]);
        canvas.rect(Rect::new(area.x0, top, gap.0, top + BLOCK_MM), &paint);
        canvas.rect(Rect::new(gap.1, top, area.x1, top + BLOCK_MM), &paint);
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
        let below = top + BLOCK_MM + 2.0;
        if self.gap_mm() > 4.0 {
            dimension(canvas, Point::new(gap.0, below), Point::new(gap.1, below));
        }
        let said = Point::new(middle, below) + Vec2::new(0.0, 1.3 * letters);
        label(canvas, style, width, said, Anchor::Middle);
    }
}
