//! How much margin is there at the ghost ball? A strip at true size: for five hits and three distances to
//! the pocket two blocks with the gap between them that the cue ball's middle has there. It is held
//! beside the ball and read; nothing is laid under a ball.
//!
//! Limits: one stroke, one distance between the balls, straight in. The margin in millimetres at the
//! ghost ball hardly changes with the distance between the balls: the window's angle shrinks as that
//! distance grows. Clean, since that part does not depend on how jaws bounce.

use kurbo::Rect;

use super::fault::ShotSheetError;
use super::page::Sheet;
use super::parts::{AROUND_MM, Style, piece};
use super::words::cut::scissors;
use super::words::margin_strip as words;
use crate::charts::margins::{Leads, Strip};
use crate::charts::poster::{self, Gaps, Look, RowOf};
use crate::gear::Gear;

/// Height of the strip, mm (assumption: three rows whose blocks are easily seen).
const STRIP_MM: f64 = 112.0;
/// Free border inside its edge, mm.
const INSIDE_MM: f64 = 3.0;
/// Least height of its letters, mm.
const LETTERS_MM: f64 = 3.6;

/// The strip of a gear on one page.
///
/// # Errors
/// [`ShotSheetError`].
pub fn margin_strip_sheet(
    gear: &Gear,
    strip: &Strip,
    style: &Style,
) -> Result<Sheet, ShotSheetError> {
    style.printed_on(gear, |style| laid_out(gear, strip, style))
}

fn laid_out(gear: &Gear, strip: &Strip, style: &Style) -> Result<Sheet, ShotSheetError> {
    let cells = strip.cells(gear)?;
    let rows = strip.to_pocket_m.into_iter().zip(&cells);
    let gaps = Gaps {
        leads: Leads::ToPocket,
        rows: rows.map(|(far_m, cells)| RowOf { far_m, cells }).collect(),
        units: style.units,
    };
    if cells.iter().flatten().all(|cell| cell.gap_m().is_none()) {
        return Err(ShotSheetError::NoGap);
    }
    let mut sheet = style.sheet(words::title(gear, strip.kind), words::ABOUT);
    sheet.heading(words::question(style))?;
    sheet.paragraph(words::how_to_read(style))?;
    sheet.space(AROUND_MM);
    let (canvas, edge) = sheet.figure("the margin strip", words::SHOWS, STRIP_MM)?;
    piece(canvas, edge);
    let look = Look {
        mm: 1.0,
        letters: LETTERS_MM.max(style.label_mm()),
        hair: 0.25,
        plain: style.plain,
    };
    let inside: Rect = edge.inset(-INSIDE_MM);
    poster::draw(canvas, inside, &gaps, &look);
    sheet.space(AROUND_MM);
    sheet.paragraph(&words::held(gear, strip, style))?;
    sheet.paragraph(&scissors(style))?;
    Ok(sheet)
}
