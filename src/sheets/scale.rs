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
use crate::draw::canvas::{Anchor, Canvas, Stroke as Line};
use crate::draw::colour;
use crate::draw::text;
use crate::field::{Field, Hint};
use crate::gear::Gear;
use crate::units::{Angle, UnitSystem, speak};

/// Each half of the scale, mm (fits both papers).
pub const HALF_SCALE_MM: i32 = 80;
/// Room on each side of the ball in a gate, mm (assumptions: each twice the one before).
pub const ROOM_MM: [f64; 4] = [3.0, 6.0, 12.0, 24.0];
/// The same on sheets in inches: an eighth, a quarter, half an inch, an inch.
pub const ROOM_OF_INCHES_MM: [f64; 4] = [3.175, 6.35, 12.7, 25.4];
/// Depth of the scale, mm: less than the top of any rail.
const SCALE_MM: f64 = 24.0;
/// Readings to write down (assumption: ten give the spread within a factor of two).
const READINGS: usize = 10;

/// Scale, spacers and room for readings, for a test over `distance_m`.
///
/// # Errors
/// [`SheetError::OutOfRange`] for a distance not between 0.2 m and 5 m.
pub fn scale_sheet(gear: &Gear, distance_m: f64, style: &Style) -> Result<Sheet, SheetError> {
    if !(0.2..=5.0).contains(&distance_m) {
        return Err(SheetError::OutOfRange {
            what: Field::Distance,
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
        format!("Tape the scale onto a rail, flat, its marks at the nose: the edge the balls touch. Front of the cue ball {far} from the nose. Roll it at 0, ten times. Look from above: which mark does it touch? L is left, R is right.")
    } else {
        format!("Cut the scale out and tape it flat on top of a rail: the edge with the marks along the nose, which is the edge the ball touches, and + on the left as you shoot. Set the cue ball in front of 0, its front {far} from the nose, and play it at 0, always with the same stroke. Read from above, to the millimetre, at which mark it touches the nose; left is plus, right is minus. No object ball, nothing to picture: what scatters is the arm.")
    })?;
    sheet.space(AROUND_MM);
    let (canvas, strip) = sheet.figure(
        "the scale",
        "A scale of 80 mm to the left and to the right of 0, one line a millimetre, all from its lower edge, which goes to the nose of the rail.",
        SCALE_MM,
    )?;
    scale(canvas, strip, style);
    sheet.space(AROUND_MM);
    if !style.plain {
        sheet.paragraph(&format!("Spacers for gates: {far} in front of the cue ball, middle to middle, set two balls side by side across its way, so far apart that, seen from above, the strip just fills the gap between them. Take it away and play the cue ball through. The angle is how far off the line may be."))?;
    } else {
        sheet.paragraph(&format!(
            "Gates: {far} away set two balls, one strip between. Take it away. Roll the cue ball through!"
        ))?;
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
            let words = match mm {
                0 => "0".to_owned(),
                m if style.plain => format!("{}{}", if m > 0 { "L" } else { "R" }, m.abs()),
                m if m > 0 => format!("+{m}"),
                m => format!("−{}", m.abs()),
            };
            let up = Vec2::new(0.0, if mm == 0 { 14.0 } else { 10.0 });
            label(canvas, style, &words, at - up, Anchor::Middle);
        }
    }
    canvas.close_group();
    let base = strip.y0 + 1.0 + text::ASCENT_EM * style.label_mm();
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
    canvas.rect(edge, &crate::draw::canvas::Paint::line(stroke));
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
    let how = if style.plain {
        "L or R first. For the coach: L is plus, R is minus.".to_owned()
    } else {
        format!(
            "Under the number of each try its sign and its millimetres.{}",
            Hint::ReadStroke {
                distance: &typed(distance_m, style.units)
            }
        )
    };
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

/// A distance as an option takes it, in the sheet's own units: `1.5m`, `3ft`, `39.37in`.
pub(crate) fn typed(m: f64, units: UnitSystem) -> String {
    let rounded = |x: f64, digits: f64| (digits * x).round() / digits;
    let feet = rounded(m / 0.3048, 1e3);
    match units {
        UnitSystem::Metric => format!("{}m", rounded(m, 1e3)),
        // Halves are what a person measures.
        UnitSystem::Inches if (2.0 * feet).fract().abs() < 1e-9 => format!("{feet}ft"),
        UnitSystem::Inches => format!("{}in", rounded(m / 0.0254, 1e2)),
    }
}
