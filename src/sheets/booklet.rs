//! Which drills to set up, and what was made? Booklets of ladders and marks sheets.
//!
//! Each shot is a diagram of the table to scale, the places in words and diamonds, what passes and
//! boxes for the tries. Shots are read from the answers of [`crate::ladder`], so a booklet prints
//! what was computed, or an edited file of it.

use kurbo::{Point, Rect, Vec2};

use super::page::{Sheet, SheetError};
use super::parts::{Style, block, block_height};
use crate::charts::colour;
use crate::charts::svg::{Anchor, Canvas, Paint, Stroke as Line, Text};
use crate::charts::table::{self as picture, BallLook, Lie, View};
use crate::charts::text;
use crate::error::UnitError;
use crate::gear::Gear;
use crate::ladder::{LadderAnswer, MarksAnswer, RungAnswer};
use crate::pocket::PocketName;
use crate::units::{Position, UnitSystem};

/// Width and height of a rung's diagram, mm (the table's two to one, and its rails).
const DIAGRAM_MM: (f64, f64) = (88.0, 50.0);
/// A score box, mm.
const BOX_MM: f64 = 6.5;
/// Most letters of a student's label in a table.
const LONGEST_LABEL: usize = 24;

/// A booklet that cannot be printed.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum BookletError {
    /// Made for other equipment.
    #[error("this was drawn up for {was}, not for {now}; print it with --gear {was}")]
    Gear {
        /// In the file.
        was: String,
        /// The gear to print with.
        now: String,
    },
    /// A place.
    #[error("{0}")]
    Place(#[from] UnitError),
    /// A pocket.
    #[error("{0}")]
    Pocket(String),
    /// The paper.
    #[error(transparent)]
    Sheet(#[from] SheetError),
}

/// A ladder, with the code under which the practice log knows it.
///
/// # Errors
/// [`BookletError`].
pub fn ladder_sheet(
    gear: &Gear,
    ladder: &LadderAnswer,
    code: Option<&str>,
    style: &Style,
) -> Result<Sheet, BookletError> {
    same_gear(gear, &ladder.gear)?;
    let topic = ladder.practise.replace('-', " ");
    let mut sheet = style.sheet(
        format!("Ladder: {topic}"),
        "A ladder of shots, each with a diagram, places in words and boxes for the tries.",
    );
    if ladder.rungs.is_empty() {
        return Err(SheetError::Empty("ladder".to_owned()).into());
    }
    sheet.heading(&format!("A ladder: {topic}"))?;
    sheet.paragraph(&if style.plain {
        "Start at rung 1. Try each shot once for each box. Tick what goes in. Enough ticks? Go up!".to_owned()
    } else {
        format!(
            "For a {}, on {}. Play each rung as often as it has boxes, tick what goes in, and go up when it is passed. In the diagrams the head is left; diamonds count from the head rail, then from the right rail.",
            ladder.player, ladder.gear
        )
    })?;
    code_line(&mut sheet, code, "\"3: A 6/10\"", style)?;
    for rung in &ladder.rungs {
        sheet.space(4.0);
        shot(&mut sheet, gear, rung, style)?;
    }
    Ok(sheet)
}

fn same_gear(gear: &Gear, was: &str) -> Result<(), BookletError> {
    if gear.name == was {
        return Ok(());
    }
    Err(BookletError::Gear {
        was: was.to_owned(),
        now: gear.name.clone(),
    })
}

fn code_line(
    sheet: &mut Sheet,
    code: Option<&str>,
    tally: &str,
    style: &Style,
) -> Result<(), SheetError> {
    match (code, style.plain) {
        (Some(code), true) => sheet.paragraph(&format!("Code: {code}")),
        (Some(code), false) => sheet.paragraph(&format!(
            "Code of this sheet: {code}. For the practice log: thincut log enter {code} {tally}"
        )),
        (None, _) => Ok(()),
    }
}

/// One rung: the diagram left; words and boxes right.
fn shot(
    sheet: &mut Sheet,
    gear: &Gear,
    rung: &RungAnswer,
    style: &Style,
) -> Result<(), BookletError> {
    let words = rung_words(rung, style);
    let size = style.body_mm();
    let column = sheet.room().width() - DIAGRAM_MM.0 - 5.0;
    let boxes = boxes_mm(rung.pass.tries, column);
    let text_mm = 1.5 * text::LINE_EM * size + block_height(&words, size, column);
    let height = (text_mm + 2.0 + boxes).max(DIAGRAM_MM.1);
    let (canvas, strip) = sheet.reserve("a rung", height)?;
    let diagram = Rect::from_origin_size(strip.origin(), DIAGRAM_MM);
    let lie = Placed::new(gear, (&rung.cue, &rung.object, &rung.pocket))?;
    lie.draw(canvas, gear, diagram);
    let left = strip.x0 + DIAGRAM_MM.0 + 5.0;
    let head = format!("Rung {}", rung.rung);
    let base = Point::new(left, strip.y0 + text::ASCENT_EM * 1.2 * size);
    canvas.text(&Text::new(&head, base, 1.2 * size).bold());
    let top = strip.y0 + 1.5 * text::LINE_EM * size;
    let end = block(
        canvas,
        &words,
        size,
        Rect::new(left, top, strip.x1, strip.y1),
    )?;
    score_boxes(canvas, Point::new(left, end + 2.0), rung.pass.tries, column);
    Ok(())
}

fn rung_words(rung: &RungAnswer, style: &Style) -> String {
    let pass = format!("{} of {} pass", rung.pass.makes, rung.pass.tries);
    if style.plain {
        return format!(
            "Grey ball: {}.\nWhite ball: {}.\n{pass}.",
            rung.object_words, rung.cue_words
        );
    }
    let cut = if rung.cut_side == "straight" {
        "straight".to_owned()
    } else {
        format!("{:.0}° to the {}", rung.cut_deg, rung.cut_side)
    };
    format!(
        "Object ball {}: {}.\nCue ball {}: {}.\n{}, {cut}; {:.1} in 10.\n{pass}.",
        rung.object, rung.object_words, rung.cue, rung.cue_words, rung.pocket, rung.makes_in_ten
    )
}

fn per_row(width_mm: f64) -> u32 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a few tens at most"
    )]
    let n = (width_mm / (BOX_MM + 1.0)).floor().max(1.0) as u32;
    // Rows of ten or five are counted at a glance.
    if n >= 10 { 10 } else { 5.min(n) }
}

fn boxes_mm(tries: u32, width_mm: f64) -> f64 {
    f64::from(tries.div_ceil(per_row(width_mm))) * (BOX_MM + 1.0)
}

fn score_boxes(canvas: &mut Canvas, at: Point, tries: u32, width_mm: f64) {
    let n = per_row(width_mm);
    for k in 0..tries {
        let step = Vec2::new(f64::from(k % n), f64::from(k / n)) * (BOX_MM + 1.0);
        let edge = Rect::from_origin_size(at + step, (BOX_MM, BOX_MM));
        canvas.rect(edge, &Paint::line(Line::new(colour::INK, 0.25)));
    }
}

/// A shot on the bed, m.
struct Placed {
    cue: Point,
    object: Point,
    pocket: PocketName,
}

impl Placed {
    fn new(gear: &Gear, (cue, object, pocket): (&str, &str, &str)) -> Result<Self, BookletError> {
        let place = |text: &str, rho: f64| -> Result<Point, UnitError> {
            gear.bed.locate(text.parse::<Position>()?, rho)
        };
        Ok(Self {
            cue: place(cue, gear.cue_contact_radius_m())?,
            object: place(object, gear.object_contact_radius_m())?,
            pocket: pocket.parse().map_err(BookletError::Pocket)?,
        })
    }

    fn draw(&self, canvas: &mut Canvas, gear: &Gear, room: Rect) {
        let view = View::whole(gear, room, Lie::Wide);
        picture::furniture(canvas, gear, &view, 0.15);
        let hair = Line::new(colour::SOFT_INK, 0.25);
        let mouth = self.pocket.frame(gear).mouth_middle;
        picture::path(canvas, &view, &[self.object, mouth], &hair);
        let way = (mouth - self.object).normalize() * gear.contact_distance_m();
        let dashed = hair.dashed(&[4.0, 3.0]);
        picture::path(canvas, &view, &[self.cue, self.object - way], &dashed);
        let (cue, object) = (gear.cue_radius_m(), gear.object_radius_m());
        picture::ball(canvas, &view, self.object, object, BallLook::Other);
        picture::ball(canvas, &view, self.cue, cue, BallLook::Cue);
    }
}

/// A marks sheet: one diagram with every mark, a line and boxes for each student.
///
/// # Errors
/// [`BookletError`].
pub fn marks_sheet(
    gear: &Gear,
    marks: &MarksAnswer,
    code: Option<&str>,
    style: &Style,
) -> Result<Sheet, BookletError> {
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
            "Object ball: {}. Stretch a string from it to {}. Put the cue ball on your mark.",
            marks.object_words, marks.string_words
        )
    } else {
        format!(
            "Object ball {}: {}. Into the pocket {}. Stretch a string from the object ball's middle to {} ({}), and set the cue ball on it at your own mark: about {:.1} in 10 for everybody.",
            marks.object,
            marks.object_words,
            marks.pocket,
            marks.string_words,
            marks.string_to,
            marks.asked_in_ten
        )
    };
    sheet.paragraph(&places)?;
    code_line(&mut sheet, code, "\"A 6/10, B 4/10\"", style)?;
    sheet.space(2.0);
    let wide = sheet.room().width();
    let (canvas, strip) =
        sheet.reserve("the diagram", if style.plain { 0.46 } else { 0.55 } * wide)?;
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
        if mark.student.chars().count() > LONGEST_LABEL {
            return Err(SheetError::TooLong {
                what: "the label",
                text: mark.student.clone(),
                most: LONGEST_LABEL,
            });
        }
        let (canvas, strip) = sheet.reserve("a student's line", BOX_MM + 3.0)?;
        let base = strip.y0 + 0.5 * BOX_MM + 0.36 * size;
        let words = format!("{}: {}", mark.student, tape(mark.distance_mm, style));
        canvas.text(&Text::new(&words, Point::new(strip.x0, base), size));
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
