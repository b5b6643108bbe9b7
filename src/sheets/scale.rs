//! Where did the cue ball arrive? The scale of the stroke test, and gates to play through.
//!
//! The scale reads millimetres from its middle; left of it is positive, as the stroke test takes
//! readings. A spacer is as long as the gate it sets: the ball and the same room on both sides.
//! The room as an angle is `atan(room / distance)`.

use kurbo::{Point, Rect, Vec2};

use super::page::{Sheet, SheetError};
use super::parts::{AROUND_MM, Style, Table, label, piece, row_mm, table};
use crate::charts::colour;
use crate::charts::svg::{Anchor, Canvas, Stroke as Line};
use crate::charts::text;
use crate::gear::Gear;
use crate::units::{Angle, UnitSystem, speak};

/// Each half of the scale, mm (fits both papers).
pub const HALF_SCALE_MM: i32 = 80;
/// Room on each side of the ball in a gate, mm (assumptions: each twice the one before).
pub const ROOM_MM: [f64; 4] = [3.0, 6.0, 12.0, 24.0];
/// The same on sheets in inches: an eighth, a quarter, half an inch, an inch.
pub const ROOM_OF_INCHES_MM: [f64; 4] = [3.175, 6.35, 12.7, 25.4];
/// Readings to write down (assumption: ten give the spread within a factor of two).
const READINGS: usize = 10;

/// Scale, spacers and room for readings, for a test over `distance_m`.
///
/// # Errors
/// [`SheetError::OutOfRange`] for a distance not between 0.2 m and 5 m.
pub fn scale_sheet(gear: &Gear, distance_m: f64, style: &Style) -> Result<Sheet, SheetError> {
    if !(0.2..=5.0).contains(&distance_m) {
        return Err(SheetError::OutOfRange {
            what: "--distance",
            value: format!("{distance_m} m"),
            need: "from 20cm to 5m",
        });
    }
    let mut sheet = style.sheet(
        format!("Stroke test over {}", style.distance(distance_m)),
        "A scale in millimetres, four spacers for gates, and room for ten readings.",
    );
    sheet.heading("How straight is the stroke?")?;
    let far = style.distance(distance_m);
    sheet.paragraph(&if style.plain {
        format!("Tape the scale flat at the rail. Cue ball {far} away. Roll it at 0, ten times. Which number does it touch?")
    } else {
        format!("Tape the scale flat on the cloth along a rail. Set the cue ball {far} away, in front of 0, and play it at 0, always with the same stroke. Read to the millimetre where its middle arrives; left is plus, right is minus. No object ball, nothing to picture: what scatters is the arm.")
    })?;
    sheet.space(AROUND_MM);
    let (canvas, strip) = sheet.figure(
        "the scale",
        "A scale of 80 mm to the left and to the right of 0, one line a millimetre.",
        24.0,
    )?;
    scale(canvas, strip, style);
    sheet.space(AROUND_MM);
    if !style.plain {
        sheet.paragraph("Spacers: set two balls so far apart that the strip just lies between them, and play the cue ball through. The angle is how far off the line may be.")?;
    } else {
        sheet.paragraph(
            "Gates: two balls, one strip between. Take it away. Roll the cue ball through!",
        )?;
    }
    let rooms = match style.units {
        UnitSystem::Metric => ROOM_MM,
        UnitSystem::Inches => ROOM_OF_INCHES_MM,
    };
    for room_mm in rooms {
        sheet.space(1.5);
        let shows = format!(
            "A strip as long as the ball and {} on each side.",
            room_words(room_mm, style)
        );
        let high = if style.plain { 11.0 } else { 10.0 };
        let (canvas, strip) = sheet.figure("a spacer", shows, high)?;
        spacer(
            canvas,
            strip,
            (1e3 * gear.balls.cue_diameter_m, room_mm),
            distance_m,
            style,
        );
    }
    sheet.space(3.0);
    sheet.paragraph(style.scissors())?;
    readings(&mut sheet, distance_m, style)?;
    Ok(sheet)
}

fn scale(canvas: &mut Canvas, strip: Rect, style: &Style) {
    let half = f64::from(HALF_SCALE_MM);
    let middle = Point::new(strip.center().x, strip.y0);
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
            0 => (16.0, 0.4),
            m if m % 10 == 0 => (9.0, 0.3),
            m if m % 5 == 0 => (6.5, 0.2),
            _ => (4.0, 0.15),
        };
        let top = middle + Vec2::new(f64::from(-mm), 0.0);
        let stroke = Line::new(colour::INK, wide);
        canvas.line(top, top + Vec2::new(0.0, long), &stroke);
        if mm % if style.plain { 20 } else { 10 } == 0 {
            let words = match mm {
                0 => "0".to_owned(),
                m if m > 0 && !style.plain => format!("+{m}"),
                m if style.plain => m.abs().to_string(),
                m => format!("−{}", m.abs()),
            };
            let down = if mm == 0 { 17.0 } else { 10.0 };
            let at = top + Vec2::new(0.0, down + 0.75 * style.label_mm());
            label(canvas, style, &words, at, Anchor::Middle);
        }
    }
    canvas.close_group();
    // Above the cut line by what letters reach below their base.
    let base = strip.y1 - 1.0 - text::DESCENT_EM * style.label_mm();
    let (left, right) = (
        Point::new(edge.x0 + 3.0, base),
        Point::new(edge.x1 - 3.0, base),
    );
    label(canvas, style, "left, in mm", left, Anchor::Start);
    label(canvas, style, "right", right, Anchor::End);
}

fn spacer(
    canvas: &mut Canvas,
    strip: Rect,
    (ball_mm, room_mm): (f64, f64),
    distance_m: f64,
    style: &Style,
) {
    let long = ball_mm + 2.0 * room_mm;
    let edge = Rect::new(strip.x0, strip.y0, strip.x0 + long, strip.y1);
    canvas.open_group(&[("class", "spacer")]);
    let stroke = Line::new(colour::INK, 0.2);
    canvas.rect(edge, &crate::charts::svg::Paint::line(stroke));
    canvas.close_group();
    let base = edge.center().y + 0.36 * style.label_mm();
    let words = format!("{} each side", room_words(room_mm, style));
    label(
        canvas,
        style,
        &words,
        Point::new(edge.x0 + 2.0, base),
        Anchor::Start,
    );
    if !style.plain {
        let angle = Angle::from_rad((1e-3 * room_mm / distance_m).atan());
        let words = format!(
            "within {} over {}",
            speak::degrees(angle),
            style.distance(distance_m)
        );
        label(
            canvas,
            style,
            &words,
            Point::new(edge.x1 + 3.0, base),
            Anchor::Start,
        );
    }
}

/// The room of a gate: whole millimetres, or a fraction of an inch.
fn room_words(room_mm: f64, style: &Style) -> String {
    let exact = Style {
        plain: true,
        ..*style
    };
    exact.measure(1e-3 * room_mm)
}

fn readings(sheet: &mut Sheet, distance_m: f64, style: &Style) -> Result<(), SheetError> {
    let numbers: Vec<String> = (1..=READINGS).map(|i| i.to_string()).collect();
    let columns: Vec<f64> = (0_u8..10).map(|i| f64::from(i) / 10.0).collect();
    let empty = vec![vec![String::new(); READINGS]];
    sheet.space(3.0);
    let heading = if style.plain {
        "Write the ten numbers here"
    } else {
        "The ten readings, in mm"
    };
    let how = (!style.plain).then(|| {
        format!(
            "Under the number of each try its sign and its millimetres. What they say of the arm: thincut skill STUDENT --stroke \"4,-2,7,…\" --stroke-distance {}m",
            (1e3 * distance_m).round() / 1e3
        )
    });
    let above = how.as_ref().map_or(0.0, |words| sheet.paragraph_mm(words));
    sheet.heading_with(heading, above + 2.0 * row_mm(style))?;
    if let Some(words) = how {
        sheet.paragraph(&words)?;
    }
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
