//! How far may the tip be off? The poster at true size: the margins of hits and distances with their
//! gaps as wide as they are, on any paper; letters and blocks take what the paper gives.

use kurbo::Rect;

use super::fault::{SheetError, ShotSheetError};
use super::page::Sheet;
use super::parts::{Style, bold, bold_height};
use super::words::why_thin as words;
use crate::charts::margins::{Asked, MarginTable};
use crate::charts::poster::{self, Gaps, Look};
use crate::draw::tags::Tag;
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
fn print(
    sheet: &mut Sheet,
    gear: &Gear,
    table: &MarginTable,
    style: &Style,
) -> Result<(), SheetError> {
    sheet.heading(&words::title(table, style))?;
    sheet.paragraph(&words::how_to_read(table, style))?;
    sheet.space(2.0);
    let below = [words::halves(table), words::held(table, gear, style)];
    let room = sheet.room();
    let letters_mm = (LETTERS * room.width()).max(style.label_mm().min(widest_mm(room)));
    let below_mm = paragraphs_mm(sheet, &below);
    let high = (sheet.left_mm() - below_mm - 3.0).max(LOW * room.width());
    draw(
        sheet,
        table,
        style,
        Drawn {
            high_mm: high,
            letters_mm,
        },
    )?;
    sheet.space(3.0);
    paragraphs(sheet, &below)
}

/// Lowest height of the table on a page that says something else as well, mm: rows of a word and a block.
const LOW_MM: f64 = 50.0;

/// Height of [`print_low`] at least, mm.
pub(super) fn least_mm(sheet: &Sheet, gear: &Gear, table: &MarginTable, style: &Style) -> f64 {
    let below = paragraphs_mm(sheet, &[words::held(table, gear, style)]);
    title_mm(sheet, &words::title(table, style)) + LOW_MM + 1.0 + below
}

/// The poster on what is left of a page on which there is little: its finding, the gaps, what is assumed.
pub(super) fn print_low(
    sheet: &mut Sheet,
    gear: &Gear,
    table: &MarginTable,
    style: &Style,
) -> Result<(), SheetError> {
    let below = [words::held(table, gear, style)];
    let title = words::title(table, style);
    let title_mm = title_mm(sheet, &title);
    let high_mm = sheet.left_mm() - title_mm - paragraphs_mm(sheet, &below) - 1.1;
    let size = sheet.body_mm();
    let (canvas, strip) = sheet.reserve("the finding", title_mm)?;
    canvas.part(Tag::Heading(2));
    bold(canvas, &style.speech().said(&title), size, strip);
    let letters_mm = style.label_mm();
    draw(
        sheet,
        table,
        style,
        Drawn {
            high_mm,
            letters_mm,
        },
    )?;
    sheet.space(1.0);
    paragraphs(sheet, &below)
}

/// Height of a finding in the letters of the text, mm.
fn title_mm(sheet: &Sheet, title: &str) -> f64 {
    bold_height(title, sheet.body_mm(), sheet.room().width()) + 1.0
}

/// How large the table is drawn.
struct Drawn {
    high_mm: f64,
    letters_mm: f64,
}

fn draw(
    sheet: &mut Sheet,
    table: &MarginTable,
    style: &Style,
    drawn: Drawn,
) -> Result<(), SheetError> {
    let desc = words::desc(table);
    let (canvas, strip) = sheet.figure("the table of margins", desc, drawn.high_mm)?;
    let look = Look {
        mm: 1.0,
        letters: drawn.letters_mm,
        hair: 0.3,
        plain: style.plain,
    };
    poster::draw(canvas, strip, &Gaps::of(table), &look);
    Ok(())
}

fn paragraphs_mm(sheet: &Sheet, lines: &[String]) -> f64 {
    lines.iter().map(|line| sheet.paragraph_mm(line)).sum()
}

fn paragraphs(sheet: &mut Sheet, lines: &[String]) -> Result<(), SheetError> {
    for line in lines.iter().filter(|line| !line.is_empty()) {
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
