//! How far may the tip be off? The poster at true size: the margins of hits and distances with their
//! gaps as wide as they are, on any paper; letters and blocks take what the paper gives.

use kurbo::Rect;

use super::fault::{SheetError, ShotSheetError};
use super::page::Sheet;
use super::parts::Style;
use super::words::why_thin as words;
use crate::charts::margins::{Asked, MarginTable};
use crate::charts::poster::{self, Gaps, Look};
use crate::draw::text::{self, Weight};
use crate::gear::Gear;

/// Letters of the table against the width of the page (for the eye).
const LETTERS: f64 = 0.021;
/// Lowest height of the table against the width of the page (for the eye).
const LOW: f64 = 0.7;

/// The poster of a table and a player on one page.
///
/// # Errors
/// [`ShotSheetError`].
pub fn why_thin_sheet(gear: &Gear, asked: &Asked, style: &Style) -> Result<Sheet, ShotSheetError> {
    style.printed_on(gear, |style| laid_out(gear, asked, style))
}

fn laid_out(gear: &Gear, asked: &Asked, style: &Style) -> Result<Sheet, ShotSheetError> {
    let table = MarginTable::new(gear, asked)?;
    if table.ends_m().is_none() {
        return Err(ShotSheetError::NoGap);
    }
    let mut sheet = style.sheet(words::title(&table, style), words::desc(&table));
    print(&mut sheet, gear, &table, style)?;
    Ok(sheet)
}

/// The poster on what is left of a page.
pub(super) fn print(
    sheet: &mut Sheet,
    gear: &Gear,
    table: &MarginTable,
    style: &Style,
) -> Result<(), SheetError> {
    sheet.heading(&words::title(table, style))?;
    sheet.paragraph(&words::how_to_read(table, style))?;
    sheet.space(2.0);
    let below = [words::halves(table), words::held(table, gear, style)];
    let below_mm: f64 = below.iter().map(|line| sheet.paragraph_mm(line)).sum();
    let room = sheet.room();
    let high = (sheet.left_mm() - below_mm - 3.0).max(LOW * room.width());
    let (canvas, strip) = sheet.figure("the table of margins", words::desc(table), high)?;
    let look = Look {
        mm: 1.0,
        letters: (LETTERS * room.width()).max(style.label_mm().min(widest_mm(room))),
        hair: 0.3,
        plain: style.plain,
    };
    poster::draw(canvas, strip, &Gaps::of(table), &look);
    sheet.space(3.0);
    for line in below.iter().filter(|line| !line.is_empty()) {
        sheet.paragraph(line)?;
    }
    Ok(())
}

/// The largest letters with which a column's words still stand in it, mm.
fn widest_mm(room: Rect) -> f64 {
    // Five columns beside the distances; the widest words that no cell shrinks are the hits'.
    let column = 0.75 * room.width() / 5.0;
    column / text::width("full ball", 1.0, Weight::Bold)
}
