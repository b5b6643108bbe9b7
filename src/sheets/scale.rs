//! Where did the cue ball arrive? The scale of the stroke test, and gates to play through.
//!
//! The scale lies on the rail, its marks at the nose, so that they end where the ball touches: from
//! above the ball hides none of it. It reads millimetres from its middle; left of it is positive, as
//! the stroke test takes readings. From the front of the ball to the nose is what its middle travels.
//! A spacer is as long as the gate it sets: the ball and the same room on both sides.
//! The room as an angle is `atan(room / distance)`.

use kurbo::{Point, Rect, Vec2};

use super::fault::SheetError;
use super::page::Sheet;
use super::parts::{AROUND_MM, Style, Table, label, piece, row_mm, table};
use super::words::cut::care;
use super::words::scale as words;
use crate::draw::canvas::{Anchor, Canvas, Stroke as Line};
use crate::draw::colour;
use crate::draw::text;
use crate::field::Field;
use crate::gear::Gear;
use crate::speech::Caution;
use crate::units::UnitSystem;

/// Each half of the scale, mm (fits both papers).
pub const HALF_SCALE_MM: i32 = 80;
/// Room on each side of the ball in a gate, mm (assumptions: each twice the one before).
pub const ROOM_MM: [f64; 4] = [3.0, 6.0, 12.0, 24.0];
/// The same on sheets in inches: an eighth, a quarter, half an inch, an inch.
pub const ROOM_OF_INCHES_MM: [f64; 4] = [3.175, 6.35, 12.7, 25.4];
/// Depth of the scale, mm: less than the top of any rail.
pub(super) const SCALE_MM: f64 = 24.0;
/// Readings to write down (assumption: ten give the spread within a factor of two).
const READINGS: usize = 10;

/// Scale, spacers and room for readings, for a test over `distance_m`.
///
/// # Errors
/// [`SheetError::OutOfRange`] for a distance not between 0.2 m and 5 m.
pub fn scale_sheet(gear: &Gear, distance_m: f64, style: &Style) -> Result<Sheet, SheetError> {
    style.printed_on(gear, |style| laid_out(gear, distance_m, style))
}

fn laid_out(gear: &Gear, distance_m: f64, style: &Style) -> Result<Sheet, SheetError> {
    if !(0.2..=5.0).contains(&distance_m) {
        return Err(SheetError::OutOfRange {
            what: Field::Distance,
            value: format!("{distance_m} m"),
            need: "from 20cm to 5m",
        });
    }
    let mut sheet = style.sheet(words::title(distance_m, style), words::ABOUT);
    sheet.heading(words::QUESTION)?;
    sheet.paragraph(&words::how_to_read(distance_m, style))?;
    sheet.space(AROUND_MM);
    let (canvas, strip) = sheet.figure("the scale", words::SCALE_SHOWS, SCALE_MM)?;
    scale(canvas, strip, style);
    sheet.space(AROUND_MM);
    sheet.paragraph(&words::gates(distance_m, style))?;
    let rooms = match style.units {
        UnitSystem::Metric => ROOM_MM,
        UnitSystem::Inches => ROOM_OF_INCHES_MM,
    };
    for room_mm in rooms {
        sheet.space(1.5);
        let high = if style.plain { 11.0 } else { 10.0 };
        let (canvas, strip) =
            sheet.figure("a spacer", words::spacer_shows(room_mm, style), high)?;
        spacer(
            canvas,
            strip,
            1e3 * gear.balls.cue_diameter_m,
            Gate {
                room_mm,
                distance_m,
            },
            style,
        );
    }
    sheet.space(3.0);
    sheet.paragraph(&care(
        &[Caution::Scissors, Caution::Body, Caution::Rail],
        style,
    ))?;
    readings(&mut sheet, distance_m, style)?;
    Ok(sheet)
}

pub(super) fn scale(canvas: &mut Canvas, strip: Rect, style: &Style) {
    let half = f64::from(HALF_SCALE_MM);
    // The shooter looks up the page: the marks end at the lower edge, where the ball comes from.
    let middle = Point::new(strip.center().x, strip.y1);
    let edge = Rect::new(
        middle.x - half - 5.0,
        strip.y0,
        middle.x + half + 5.0,
        strip.y1,
    );
    piece(canvas, edge);
    canvas.open_group(&[("class", "scale")]);
    for mm in -HALF_SCALE_MM..=HALF_SCALE_MM {
        let (long, wide) = match mm {
            0 => (13.0, 0.4),
            m if m % 10 == 0 => (9.0, 0.3),
            m if m % 5 == 0 => (6.5, 0.2),
            _ => (4.0, 0.15),
        };
        let at = middle + Vec2::new(f64::from(-mm), 0.0);
        let stroke = Line::new(colour::INK, wide);
        canvas.line(at, at - Vec2::new(0.0, long), &stroke);
        // Large letters at the ends would lie across the cut.
        let said = if style.plain {
            mm % 20 == 0 && mm.abs() < HALF_SCALE_MM
        } else {
            mm % 10 == 0
        };
        if said {
            let said = words::mark(mm, style);
            let up = Vec2::new(0.0, if mm == 0 { 14.0 } else { 10.0 });
            label(canvas, style, &said, at - up, Anchor::Middle);
        }
    }
    canvas.close_group();
    let base = strip.y0 + 1.0 + text::ASCENT_EM * style.label_mm();
    let (left, right) = (
        Point::new(edge.x0 + 3.0, base),
        Point::new(edge.x1 - 3.0, base),
    );
    label(canvas, style, words::LEFT, left, Anchor::Start);
    label(canvas, style, words::RIGHT, right, Anchor::End);
}

/// Room on each side of the ball, and how far away.
struct Gate {
    room_mm: f64,
    distance_m: f64,
}

fn spacer(canvas: &mut Canvas, strip: Rect, ball_mm: f64, gate: Gate, style: &Style) {
    let Gate {
        room_mm,
        distance_m,
    } = gate;
    let long = ball_mm + 2.0 * room_mm;
    let edge = Rect::new(strip.x0, strip.y0, strip.x0 + long, strip.y1);
    canvas.open_group(&[("class", "spacer")]);
    let stroke = Line::new(colour::INK, 0.2);
    canvas.rect(edge, &crate::draw::canvas::Paint::line(stroke));
    canvas.close_group();
    let base = edge.center().y + 0.36 * style.label_mm();
    let beside = words::each_side(room_mm, style);
    label(
        canvas,
        style,
        &beside,
        Point::new(edge.x0 + 2.0, base),
        Anchor::Start,
    );
    if !style.plain {
        let within = words::within(room_mm, distance_m, style);
        label(
            canvas,
            style,
            &within,
            Point::new(edge.x1 + 3.0, base),
            Anchor::Start,
        );
    }
}

fn readings(sheet: &mut Sheet, distance_m: f64, style: &Style) -> Result<(), SheetError> {
    let numbers: Vec<String> = (1..=READINGS).map(|i| i.to_string()).collect();
    let columns: Vec<f64> = (0_u8..10).map(|i| f64::from(i) / 10.0).collect();
    let empty = vec![vec![String::new(); READINGS]];
    sheet.space(3.0);
    let heading = words::readings(style);
    let how = words::how_to_write(distance_m, style);
    sheet.heading_with(heading, sheet.paragraph_mm(&how) + 2.0 * row_mm(style))?;
    sheet.paragraph(&how)?;
    table(
        sheet,
        style,
        &Table {
            columns: &columns,
            head: &numbers,
            rows: &empty,
        },
    )
}
