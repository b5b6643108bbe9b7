//! One shot, a mark on a string for each student: a diagram, a line and boxes each, the turns.

use super::booklet::{Code, code_line, same_gear};
use super::drill::{BOX_MM, pitch_mm, score_boxes};
use super::fault::{BookletError, SheetError};
use super::game::Game;
use super::page::Sheet;
use super::parts::Style;
use super::words::cut::care;
use super::words::drill::boxes;
use super::words::ladder::coded;
use super::words::marks as words;
use crate::draw::canvas::Text;
use crate::draw::tags::Tag;
use crate::draw::text::{self, Weight};
use crate::gear::Gear;
use crate::ladder::{MarksAnswer, Turn};
use crate::speech::MARKS;
use kurbo::Point;

/// Most letters of a student's label in a table.
pub(super) const LONGEST_LABEL: usize = 24;

/// A marks sheet: one diagram with every mark, a line and boxes for each student. Whether the practice
/// log knows its code cannot be seen from an answer.
///
/// # Errors
/// [`BookletError`].
pub fn marks_sheet(gear: &Gear, marks: &MarksAnswer, style: &Style) -> Result<Sheet, BookletError> {
    style.printed_on(gear, |style| answered(gear, marks, false, style))
}

/// The same where the practice log keeps the marks under their code.
///
/// # Errors
/// [`BookletError`].
pub fn kept_marks_sheet(
    gear: &Gear,
    marks: &MarksAnswer,
    style: &Style,
) -> Result<Sheet, BookletError> {
    style.printed_on(gear, |style| answered(gear, marks, true, style))
}

fn answered(
    gear: &Gear,
    marks: &MarksAnswer,
    kept: bool,
    style: &Style,
) -> Result<Sheet, BookletError> {
    same_gear(gear, &marks.gear)?;
    if marks.marks.is_empty() {
        return Err(SheetError::Empty("marks".to_owned()).into());
    }
    let game = Game::of_answer(gear, marks)?;
    let code = marks.code.as_deref().map(|text| Code { text, kept });
    game_sheet(gear, &game, code, &marks.rotation, style)
}

/// The sheet of a game, with its code in the practice log and the turns.
pub(super) fn game_sheet(
    gear: &Gear,
    game: &Game,
    code: Option<Code<'_>>,
    turns: &[Turn],
    style: &Style,
) -> Result<Sheet, BookletError> {
    let known = coded(words::TITLE, code.map(|c| c.text));
    let mut sheet = style.sheet(known.clone(), words::ABOUT);
    sheet.size_matters(false);
    sheet.run_head(known);
    sheet.heading(words::HEADING)?;
    sheet.paragraph(&game.set_up(gear, style))?;
    code_line(&mut sheet, code, &game.tally(), style)?;
    sheet.paragraph(words::how_to_find(style))?;
    sheet.paragraph(&care(MARKS, style))?;
    sheet.space(2.0);
    let turns: Vec<String> = turns.iter().map(words::turn).collect();
    let usual = game.high_mm(&sheet, style);
    // A little smaller where that keeps all of it on one page, or the lines at least.
    let lines = sheet.left_mm() - 4.0 - lines_mm(&sheet, game, style) - 0.1;
    let fitting = [lines - turns_mm(&sheet, &turns), lines];
    let high = fitting
        .into_iter()
        .find(|left| *left >= SMALLEST * usual)
        .map_or(usual, |left| left.min(usual));
    game.draw(&mut sheet, gear, style, high)?;
    sheet.space(4.0);
    scores(&mut sheet, game, style)?;
    print_turns(&mut sheet, &turns)?;
    Ok(sheet)
}

/// The diagram is made no smaller than this share of its usual height.
pub(super) const SMALLEST: f64 = 0.6;

/// Height of the students' lines with the words above them, mm; at most that of three, since more may
/// go on over the page.
pub(super) fn scores_mm(sheet: &Sheet, game: &Game, style: &Style) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "three at most")]
    let lines = game.marks.len().min(3) as f64;
    4.0 + sheet.paragraph_mm(words::along(style)) + lines * line_mm(1, 10)
}

/// The words beside the boxes, and how many boxes fit a row beside the longest of them.
fn lines(sheet: &Sheet, game: &Game, style: &Style) -> (Vec<String>, u32) {
    let lines: Vec<String> = game.marks.iter().map(|m| m.line(game, style)).collect();
    let widest = lines
        .iter()
        .map(|w| text::width(w, style.body_mm(), Weight::Regular))
        .fold(0.0, f64::max);
    let room_mm = sheet.room().width() - widest - 4.0;
    let fits = |count: u32| f64::from(count) * pitch_mm(BOX_MM) <= room_mm;
    let most = game.marks.iter().map(|m| m.tries).max().unwrap_or(0);
    // One row where the words leave room for it, else rows of ten or of five.
    let row = match most {
        1.. if fits(most) => most,
        _ if fits(10) => 10,
        _ => 5,
    };
    (lines, row)
}

/// Height of a line with so many boxes in such rows, mm.
fn line_mm(tries: u32, row: u32) -> f64 {
    f64::from(tries.div_ceil(row).max(1)) * pitch_mm(BOX_MM) + 2.0
}

/// Height of all the lines with the words above them, mm.
pub(super) fn lines_mm(sheet: &Sheet, game: &Game, style: &Style) -> f64 {
    let (_, row) = lines(sheet, game, style);
    let all: f64 = game.marks.iter().map(|m| line_mm(m.tries, row)).sum();
    sheet.paragraph_mm(words::along(style)) + all
}

/// A line for each student: how far along the string, and boxes.
pub(super) fn scores(sheet: &mut Sheet, game: &Game, style: &Style) -> Result<(), SheetError> {
    let size = style.body_mm();
    let (lines, row) = lines(sheet, game, style);
    sheet.keep(scores_mm(sheet, game, style) - 4.0);
    sheet.paragraph(words::along(style))?;
    for (mark, line) in game.marks.iter().zip(&lines) {
        fits(&mark.student)?;
        let (canvas, strip) = sheet.reserve("a student's line", line_mm(mark.tries, row))?;
        canvas.part(Tag::Paragraph);
        let base = strip.y0 + 0.5 * BOX_MM + 0.36 * size;
        canvas.text(&Text::new(line, Point::new(strip.x0, base), size));
        canvas.part(Tag::Figure(boxes(mark.tries, "")));
        let wide = f64::from(row) * pitch_mm(BOX_MM);
        let at = Point::new(strip.x1 - wide, strip.y0);
        score_boxes(canvas, at, mark.tries, row);
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

/// Height of the turns, mm.
pub(super) fn turns_mm(sheet: &Sheet, lines: &[String]) -> f64 {
    if lines.is_empty() {
        return 0.0;
    }
    3.0 + sheet.heading_mm(words::TURNS) + sheet.paragraph_mm(&lines.join("\n"))
}

/// The turns, on one page where they fit one.
pub(super) fn print_turns(sheet: &mut Sheet, lines: &[String]) -> Result<(), SheetError> {
    if lines.is_empty() {
        return Ok(());
    }
    sheet.keep(turns_mm(sheet, lines));
    sheet.space(3.0);
    sheet.heading(words::TURNS)?;
    sheet.paragraph(&lines.join("\n"))
}
