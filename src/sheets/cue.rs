//! How much does this cue squirt? The pivot-length test: the scale of the stroke test at true size, and
//! room for readings struck right and left of the ball's middle, by the length of the bridge.

use super::fault::SheetError;
use super::page::Sheet;
use super::parts::{AROUND_MM, Style, Table, table};
use super::scale::{SCALE_MM, scale};
use super::words::cue as words;
use super::words::cut::care;
use super::words::scale::SCALE_SHOWS;
use crate::gear::Gear;
use crate::measure::PivotTest;
use crate::speech::Caution;

/// Lengths of the bridge to play with, cm; the last row is for one's own.
const BRIDGES_CM: [u32; 3] = [20, 30, 40];
/// Readings on each side of a row.
const READINGS: usize = 5;

/// The scale and the table of readings.
///
/// # Errors
/// [`SheetError`].
pub fn cue_sheet(gear: &Gear, style: &Style) -> Result<Sheet, SheetError> {
    style.printed_on(gear, |style| laid_out(gear, style))
}

fn laid_out(gear: &Gear, style: &Style) -> Result<Sheet, SheetError> {
    let test = PivotTest::usual(gear);
    let mut sheet = style.sheet(words::TITLE, words::ABOUT);
    sheet.heading(words::QUESTION)?;
    for paragraph in words::how(&test, style) {
        sheet.paragraph(&paragraph)?;
    }
    sheet.space(AROUND_MM);
    let (canvas, strip) = sheet.figure("the scale", SCALE_SHOWS, SCALE_MM)?;
    scale(canvas, strip, style);
    sheet.space(AROUND_MM);
    sheet.paragraph(&care(
        &[Caution::Scissors, Caution::Body, Caution::Rail],
        style,
    ))?;
    sheet.space(2.0);
    sheet.heading_with(words::READINGS, 40.0)?;
    let numbers = |side: &'static str| (1..=READINGS).map(move |k| format!("{side}{k}"));
    let head: Vec<String> = std::iter::once(words::BRIDGE.to_owned())
        .chain(numbers("R"))
        .chain(numbers("L"))
        .collect();
    let rows: Vec<Vec<String>> = BRIDGES_CM
        .iter()
        .map(|cm| vec![words::bridge(*cm, style)])
        .chain([Vec::new()])
        .collect();
    let columns: Vec<f64> = std::iter::once(0.0)
        .chain((0_u8..10).map(|k| 0.18 + 0.082 * f64::from(k)))
        .collect();
    table(
        &mut sheet,
        style,
        &Table {
            columns: &columns,
            head: &head,
            rows: &rows,
        },
    )?;
    let then = words::then();
    if !style.plain && !then.is_empty() {
        sheet.space(2.0);
        sheet.paragraph(&then)?;
    }
    Ok(sheet)
}
