//! Ten balls, as many filled as go in: a chart for those who do not read charts.

use kurbo::Point;

use crate::draw::canvas::{Paint, Stroke, Text};
use crate::draw::colour::{self, Rgb};
use crate::sheets::fault::SheetError;
use crate::sheets::page::Sheet;
use crate::sheets::parts::{Style, of_ten};
use crate::sheets::words::lesson::ten_balls;

/// Height of a row, mm.
pub(super) const TENS_MM: f64 = 8.5;

/// A row of ten balls for each name and chance.
pub(super) fn tens(
    sheet: &mut Sheet,
    style: &Style,
    rows: &[(String, f64)],
) -> Result<(), SheetError> {
    const PITCH_MM: f64 = 9.0;
    let size = style.body_mm();
    for (name, chance) in rows {
        let made = of_ten(*chance);
        let shows = ten_balls(name, made);
        let (canvas, strip) = sheet.figure("a row of balls", shows, TENS_MM)?;
        let middle = strip.center().y;
        canvas.text(&Text::new(name, Point::new(strip.x0, middle), size).centred());
        for k in 0..10_u8 {
            let x = strip.x1 - PITCH_MM * (9.5 - f64::from(k));
            let inside = if f64::from(k) < made {
                colour::BLUE
            } else {
                Rgb::WHITE
            };
            let paint = Paint::fill(inside).edged(Stroke::new(colour::INK, 0.3));
            canvas.circle(Point::new(x, middle), 3.6, &paint);
        }
    }
    Ok(())
}
