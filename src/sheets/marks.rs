//! One shot, a mark on a string for each student: a diagram, a line and boxes each, the turns.

use kurbo::{Point, Rect, Vec2};

use super::booklet::{BookletError, code_line, same_gear};
use super::diagram::Placed;
use super::drill::{BOX_MM, score_boxes};
use super::page::{Sheet, SheetError};
use super::parts::Style;
use crate::charts::colour;
use crate::charts::svg::{Anchor, Canvas, Stroke as Line, Text};
use crate::charts::table::{self as picture, BallLook, Lie, View};
use crate::charts::tags::Tag;
use crate::gear::Gear;
use crate::ladder::MarksAnswer;
use crate::units::UnitSystem;

/// Most letters of a student's label in a table.
pub(super) const LONGEST_LABEL: usize = 24;

/// A marks sheet: one diagram with every mark, a line and boxes for each student.
///
/// # Errors
/// [`BookletError`].
pub fn marks_sheet(gear: &Gear, marks: &MarksAnswer, style: &Style) -> Result<Sheet, BookletError> {
    same_gear(gear, &marks.gear)?;
    let mut sheet = style.sheet(
        "Marks: one shot, equally hard for all",
        "One shot with a mark for each student, and boxes for the tries.",
    );
    if marks.marks.is_empty() {
        return Err(SheetError::Empty("marks".to_owned()).into());
    }
    sheet.heading("One shot, equally hard for all")?;
    let places = if style.plain {
        format!(
            "Object ball: {}. Pocket: {}. Stretch a string from its middle to {}. Cue ball on your mark.",
            marks.object_words, marks.pocket, marks.string_words
        )
    } else {
        format!(
            "Object ball {}: {}. Into the pocket {}. Stretch a string from the object ball's middle to {} ({}), and set the cue ball on it at your own mark, so far from the middle of the object ball: about {:.1} in 10 for everybody.",
            marks.object,
            marks.object_words,
            marks.pocket,
            marks.string_words,
            marks.string_to,
            marks.asked_in_ten
        )
    };
    sheet.paragraph(&places)?;
    code_line(
        &mut sheet,
        marks.code.as_deref(),
        "\"A 6/10, B 4/10\"",
        style,
    )?;
    sheet.space(2.0);
    let wide = sheet.room().width();
    let shows = format!(
        "The table from above, head left: the object ball {}, and on the string to {} a mark for each student.",
        marks.object_words, marks.string_words
    );
    let high = if style.plain { 0.46 } else { 0.55 } * wide;
    let (canvas, strip) = sheet.figure("the diagram", shows, high)?;
    marks_diagram(canvas, gear, marks, (strip, style))?;
    sheet.space(4.0);
    scores(&mut sheet, marks, style)?;
    turns(&mut sheet, marks)?;
    Ok(sheet)
}

fn marks_diagram(
    canvas: &mut Canvas,
    gear: &Gear,
    marks: &MarksAnswer,
    (room, style): (Rect, &Style),
) -> Result<(), BookletError> {
    let view = View::whole(gear, room, Lie::Wide);
    picture::furniture(canvas, gear, &view, 0.2);
    let hair = Line::new(colour::SOFT_INK, 0.25);
    for (k, mark) in marks.marks.iter().enumerate() {
        let lie = Placed::new(gear, (&mark.cue, &marks.object, &marks.pocket))?;
        if k == 0 {
            let mouth = lie.pocket.frame(gear).mouth_middle;
            picture::path(canvas, &view, &[lie.object, mouth], &hair);
            picture::ball(
                canvas,
                &view,
                lie.object,
                gear.object_radius_m(),
                BallLook::Other,
            );
        }
        if k + 1 == marks.marks.len() {
            let dashed = hair.clone().dashed(&[4.0, 3.0]);
            picture::path(canvas, &view, &[lie.object, lie.cue], &dashed);
        }
        picture::ball(canvas, &view, lie.cue, gear.cue_radius_m(), BallLook::Cue);
        // Beside the string, farther off when a neighbour's letter is there already.
        let along = (lie.cue - lie.object).normalize();
        let side = view.direction(Vec2::new(-along.y, along.x));
        for step in [1.1, -1.1, 2.2, -2.2, 3.3, -3.3, 4.4] {
            let at = view.map(lie.cue) + side * (step * style.body_mm());
            let t = Text::new(&mark.student, at, style.body_mm())
                .anchor(Anchor::Middle)
                .bold()
                .centred();
            if canvas.is_free(t.bounds()) {
                canvas.text(&t);
                break;
            }
        }
    }
    Ok(())
}

fn scores(sheet: &mut Sheet, marks: &MarksAnswer, style: &Style) -> Result<(), SheetError> {
    const TRIES: u32 = 10;
    let size = style.body_mm();
    for mark in &marks.marks {
        fits(&mark.student)?;
        let (canvas, strip) = sheet.reserve("a student's line", BOX_MM + 3.0)?;
        canvas.part(Tag::Paragraph);
        let base = strip.y0 + 0.5 * BOX_MM + 0.36 * size;
        let words = format!("{}: {}", mark.student, tape(mark.distance_mm, style));
        canvas.text(&Text::new(&words, Point::new(strip.x0, base), size));
        canvas.part(Tag::Figure(format!("{TRIES} boxes to tick.")));
        let wide = f64::from(TRIES) * (BOX_MM + 1.0);
        score_boxes(
            canvas,
            Point::new(strip.x1 - wide, strip.y0),
            TRIES,
            wide + 0.1,
        );
    }
    Ok(())
}

/// Whether a label fits its column.
pub(super) fn fits(label: &str) -> Result<(), SheetError> {
    if label.chars().count() <= LONGEST_LABEL {
        return Ok(());
    }
    Err(SheetError::TooLong {
        what: "the label",
        text: label.to_owned(),
        most: LONGEST_LABEL,
    })
}

/// As a tape shows it.
fn tape(mm: f64, style: &Style) -> String {
    match (style.units, style.plain) {
        (UnitSystem::Metric, true) => format!("{:.0} cm", 0.1 * mm),
        (UnitSystem::Metric, false) => format!("{:.1} cm", 0.1 * mm),
        (UnitSystem::Inches, true) => format!("{:.0} in", mm / 25.4),
        (UnitSystem::Inches, false) => format!("{:.2} in", (4.0 * mm / 25.4).round() / 4.0),
    }
}

fn turns(sheet: &mut Sheet, marks: &MarksAnswer) -> Result<(), SheetError> {
    if marks.rotation.is_empty() {
        return Ok(());
    }
    sheet.space(3.0);
    sheet.paragraph("Turns: who sets the balls also counts.")?;
    for turn in &marks.rotation {
        let shoots = turn.shoots.iter().enumerate().map(|(k, who)| {
            let sets = turn.sets.get(k).map(|s| format!(" ({s} sets)"));
            format!("table {}: {who}{}", k + 1, sets.unwrap_or_default())
        });
        let mut parts: Vec<String> = shoots.collect();
        if !turn.rests.is_empty() {
            parts.push(format!("rest: {}", turn.rests.join(", ")));
        }
        let (from, to) = (turn.from_min.round(), turn.to_min.round());
        sheet.paragraph(&format!("{from}–{to} min: {}", parts.join("; ")))?;
    }
    Ok(())
}
