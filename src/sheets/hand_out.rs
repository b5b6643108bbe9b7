//! A shot to take along, or several: the table with the balls, who makes it how often, where the balls
//! lie in words, and a code that opens the shot on a page.

use kurbo::{Point, Rect};

use super::diagram::Placed;
use super::fault::SheetError;
use super::page::Sheet;
use super::parts::{Style, block, block_height};
use super::words::hand_out as words;
use crate::draw::canvas::{Paint, Text};
use crate::draw::colour;
use crate::draw::tags::Tag;
use crate::gear::Gear;
use crate::layout::Layout;
use crate::pocket::PocketName;

/// Shots on one hand-out at most.
pub const MOST_SHOTS: usize = 40;
/// A code to scan is this wide, mm (assumption: read from half a metre).
const CODE_MM: f64 = 26.0;
/// White round it, in its own squares (published: ISO/IEC 18004, quiet zone of four).
const QUIET: f64 = 4.0;
/// The picture of one among several takes this share of the width.
const PICTURE_SHARE: f64 = 0.52;
/// Height of a picture of the table, as a share of its width.
const SHAPE: f64 = 0.56;
/// The number of a single shot, mm.
const NUMBER_MM: f64 = 11.0;

/// A code to scan, row by row; true is dark.
pub type Squares = Vec<Vec<bool>>;

/// One shot to hand out.
#[derive(Debug, Clone)]
pub struct Handed {
    /// What it is called.
    pub name: String,
    /// The table.
    pub gear: Gear,
    /// Cue ball and balls, the object ball first.
    pub layout: Layout,
    /// The pocket.
    pub pocket: PocketName,
    /// Who makes it, such as `A club player makes it`; empty where it is a margin.
    pub who: String,
    /// How often: `4 in 10`.
    pub number: String,
    /// What is to be added to the number.
    pub adds: String,
    /// What else is said of the shot, a sentence each.
    pub lines: Vec<String>,
    /// A code that opens it.
    pub code: Option<Squares>,
}

impl Handed {
    /// Where everything lies, in the words of its table.
    fn set_up(&self, style: &Style) -> String {
        words::set_up(&self.gear, &self.layout, self.pocket, style)
    }

    /// The number with who and what it is of.
    fn sentence(&self) -> String {
        words::sentence(&self.who, &self.number, &self.adds)
    }

    fn draw(&self, canvas: &mut crate::draw::canvas::Canvas, place: Rect, style: &Style) {
        let object = self.layout.balls.first().map_or(self.layout.cue, |b| b.at);
        let others: Vec<Point> = self.layout.balls.iter().skip(1).map(|b| b.at).collect();
        let placed = Placed {
            cue: self.layout.cue,
            object,
            pocket: self.pocket,
            others,
        };
        placed.draw(canvas, &self.gear, place, style);
    }
}

/// One shot on a page, or several below each other.
///
/// # Errors
/// [`SheetError`]: no shot, or a name that no page is wide enough for.
pub fn hand_out(title: &str, shots: &[Handed], style: &Style) -> Result<Sheet, SheetError> {
    let Some(first) = shots.first() else {
        return Err(SheetError::Empty(title.to_owned()));
    };
    let mut sheet = style.printed_on(&first.gear, |style| -> Result<Sheet, SheetError> {
        let mut sheet = style.sheet(title, words::ABOUT);
        sheet.size_matters(false);
        sheet.run_head(title);
        sheet.heading(title)?;
        Ok(sheet)
    })?;
    // Each in the words of its own table.
    for (k, shot) in shots.iter().enumerate() {
        style.printed_on(&shot.gear, |style| match shots {
            [_] => alone(&mut sheet, shot, style),
            _ => among(&mut sheet, k + 1, shot, style),
        })?;
    }
    Ok(sheet)
}

fn alone(sheet: &mut Sheet, shot: &Handed, style: &Style) -> Result<(), SheetError> {
    let width = sheet.room().width();
    if shot.who.is_empty() {
        sheet.paragraph(&shot.sentence())?;
    } else {
        sheet.paragraph(&shot.who)?;
        let (canvas, strip) = sheet.reserve("the number", 1.25 * NUMBER_MM)?;
        canvas.part(Tag::Paragraph);
        let at = Point::new(strip.x0, strip.y0 + NUMBER_MM);
        canvas.text(&Text::new(&shot.number, at, NUMBER_MM).bold());
        sheet.paragraph(&shot.adds)?;
    }
    sheet.space(2.0);
    let set_up = shot.set_up(style);
    let (canvas, strip) = sheet.figure("the shot", set_up.clone(), SHAPE * width)?;
    shot.draw(canvas, strip, style);
    sheet.space(3.0);
    sheet.paragraph(&set_up)?;
    for line in &shot.lines {
        sheet.paragraph(line)?;
    }
    if let Some(code) = &shot.code {
        sheet.space(3.0);
        let (canvas, strip) = sheet.figure("the code", words::OPENS, CODE_MM)?;
        squares(canvas, code, Point::new(strip.x0, strip.y0));
        let beside = Rect::new(strip.x0 + CODE_MM + 4.0, strip.y0 + 4.0, strip.x1, strip.y1);
        block(canvas, words::OPENS, style.body_mm(), beside)?;
    }
    Ok(())
}

fn among(sheet: &mut Sheet, k: usize, shot: &Handed, style: &Style) -> Result<(), SheetError> {
    let room = sheet.room();
    let wide = PICTURE_SHARE * room.width();
    let left = room.width() - wide - 5.0;
    let beside = left - shot.code.as_ref().map_or(0.0, |_| CODE_MM + 2.0);
    let texts = [format!("{k}. {}", shot.name), shot.sentence()];
    let set_up = shot.set_up(style);
    let size = style.body_mm();
    let heads: f64 = texts
        .iter()
        .map(|t| block_height(t, size, beside) + 1.0)
        .sum();
    let below = block_height(&set_up, size, left);
    let code = if shot.code.is_some() { CODE_MM } else { 0.0 };
    let high = (SHAPE * wide).max(heads.max(code) + 1.0 + below);
    let (canvas, strip) = sheet.figure("a shot", set_up.clone(), high + 5.0)?;
    shot.draw(
        canvas,
        Rect::new(strip.x0, strip.y0, strip.x0 + wide, strip.y0 + SHAPE * wide),
        style,
    );
    let x = strip.x0 + wide + 5.0;
    let mut y = strip.y0;
    for text in &texts {
        y = block(canvas, text, size, Rect::new(x, y, x + beside, strip.y1))? + 1.0;
    }
    if let Some(code) = &shot.code {
        canvas.part(Tag::Figure(words::OPENS.to_owned()));
        squares(canvas, code, Point::new(strip.x1 - CODE_MM, strip.y0));
        y = y.max(strip.y0 + CODE_MM + 1.0);
    }
    block(canvas, &set_up, size, Rect::new(x, y, strip.x1, strip.y1))?;
    Ok(())
}

/// Draws a code with its quiet zone, so wide in all.
fn squares(canvas: &mut crate::draw::canvas::Canvas, code: &Squares, at: Point) {
    #[expect(clippy::cast_precision_loss, reason = "177 squares at most")]
    let count = code.len() as f64 + 2.0 * QUIET;
    let side = CODE_MM / count;
    let dark = Paint::fill(colour::INK);
    for (r, row) in code.iter().enumerate() {
        // Neighbours are one piece: no hair of white between them.
        let mut c = 0;
        while c < row.len() {
            let run = row[c..].iter().take_while(|on| **on).count();
            if run > 0 {
                #[expect(clippy::cast_precision_loss, reason = "177 squares at most")]
                let [x, y, w] = [c as f64, r as f64, run as f64];
                let (x0, y0) = (at.x + side * (x + QUIET), at.y + side * (y + QUIET));
                canvas.rect(Rect::new(x0, y0, x0 + side * w, y0 + 1.02 * side), &dark);
            }
            c += run.max(1);
        }
    }
}
