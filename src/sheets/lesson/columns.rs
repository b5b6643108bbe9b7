//! The diagrams of a lesson: two columns a page, a part in a column of its own, its shots below each other.

use std::ops::Range;

use kurbo::{Point, Rect};

use super::close_up::CloseUp;
use crate::draw::canvas::Canvas;
use crate::draw::tags::Tag;
use crate::gear::Gear;
use crate::sheets::diagram::{Around, Placed, table_mm};
use crate::sheets::drill::{BOX_MM, Drill, SMALL_BOX_MM};
use crate::sheets::fault::{BookletError, SheetError};
use crate::sheets::page::Sheet;
use crate::sheets::parts::{Style, block, block_height, bold, bold_height};
use crate::sheets::words::lesson as words;

/// Between two columns, mm.
pub(super) const APART_MM: f64 = 6.0;
/// Lowest diagram for which a part is set in one column, mm.
const LOW_MM: f64 = 26.0;
/// Lowest diagram at all, mm.
const LOWEST_MM: f64 = 20.0;
/// Below a diagram, and above boxes, mm.
const CLOSE_MM: f64 = 1.5;
/// Below a shot, mm.
const BELOW_MM: f64 = 3.5;
/// Headings of parts against body text.
const HEADING: f64 = 1.25;

/// The width of a column, mm.
pub(super) fn column_mm(sheet: &Sheet) -> f64 {
    0.5 * (sheet.room().width() - APART_MM)
}

/// How shots are set one below or beside the other.
pub(super) struct Setting<'a> {
    pub(super) gear: &'a Gear,
    /// Of the words.
    pub(super) style: &'a Style,
    /// Height of the letters, mm.
    pub(super) size_mm: f64,
    pub(super) width_mm: f64,
    /// To take home: in plain words, without boxes, and in large letters without what passes.
    pub(super) home: bool,
}

impl Setting<'_> {
    /// Height of a diagram as wide as the column, mm.
    pub(super) fn full_mm(&self) -> f64 {
        table_mm(self.gear, self.width_mm, self.around(f64::INFINITY))
    }

    fn around(&self, diagram_mm: f64) -> Option<Around> {
        Around::counted(self.gear, self.style, diagram_mm)
    }

    fn boxes_mm(&self, drill: &Drill) -> f64 {
        match drill.boxes_mm(self.style, self.width_mm, box_mm(drill)) {
            high if !self.home && high > 0.0 => CLOSE_MM + high,
            _ => 0.0,
        }
    }

    fn title(&self, drill: &Drill) -> String {
        if self.home && self.style.plain {
            drill.name.clone()
        } else {
            drill.title()
        }
    }

    fn below(&self, drill: &Drill) -> Result<String, BookletError> {
        let plain = Style {
            plain: true,
            ..*self.style
        };
        drill.below(self.gear, if self.home { &plain } else { self.style })
    }

    /// Height of a shot without its diagram, mm.
    pub(super) fn words_mm(&self, drill: &Drill) -> Result<f64, BookletError> {
        let below = self.below(drill)?;
        Ok(bold_height(&self.title(drill), self.size_mm, self.width_mm)
            + CLOSE_MM
            + block_height(&below, self.size_mm, self.width_mm)
            + self.boxes_mm(drill)
            + BELOW_MM)
    }

    /// A shot with a diagram so high, from the top left of its place; returns where it ends.
    pub(super) fn draw(
        &self,
        canvas: &mut Canvas,
        drill: &Drill,
        at: Point,
        diagram_mm: f64,
    ) -> Result<f64, BookletError> {
        let across = |y: f64, high: f64| Rect::new(at.x, y, at.x + self.width_mm, y + high);
        canvas.part(Tag::Heading(3));
        let y = bold(canvas, &self.title(drill), self.size_mm, across(at.y, 0.0));
        canvas.part(Tag::Figure(drill.alt()));
        let placed = Placed::new(self.gear, drill.places())?;
        let room = across(y, diagram_mm);
        placed.draw_large(canvas, self.gear, room, self.around(diagram_mm));
        let words = self.below(drill)?;
        let high = block_height(&words, self.size_mm, self.width_mm);
        let end = block(
            canvas,
            &words,
            self.size_mm,
            across(room.y1 + CLOSE_MM, high),
        )?;
        if !self.home {
            let room = across(end + CLOSE_MM, 0.0);
            drill.tick(canvas, room, self.style, box_mm(drill));
        }
        Ok(end + self.boxes_mm(drill) + BELOW_MM)
    }
}

/// Boxes of several students stand beside each other where they are small.
fn box_mm(drill: &Drill) -> f64 {
    if drill.boxes.len() > 1 {
        SMALL_BOX_MM
    } else {
        BOX_MM
    }
}

/// A part of a lesson with its shots.
pub(super) struct Section<'a> {
    pub(super) heading: String,
    /// What stands between the heading and the shots.
    pub(super) intro: Vec<String>,
    pub(super) shots: Vec<&'a Drill>,
}

/// Shots of a section that stand in one column.
#[derive(Clone)]
struct Piece {
    section: usize,
    shots: Range<usize>,
}

/// How high the columns are: below the legend on the first page, and on the others, mm.
#[derive(Clone, Copy)]
struct Rooms {
    first_mm: f64,
    other_mm: f64,
}

impl Rooms {
    fn of(self, column: usize) -> f64 {
        if column < 2 {
            self.first_mm
        } else {
            self.other_mm
        }
    }
}

/// All sections, and how they are set.
pub(super) struct Columns<'a> {
    pub(super) setting: Setting<'a>,
    pub(super) sections: &'a [Section<'a>],
    /// How to read the diagrams.
    pub(super) legend: &'a str,
    /// A margin at true size, for a column of the first page that has room for it.
    pub(super) close_up: Option<CloseUp>,
}

/// Columns as they are filled, and how high the diagrams of each page are.
struct Filled {
    columns: Vec<Vec<Piece>>,
    diagrams_mm: Vec<f64>,
    /// The column with the close-up.
    close_up: Option<usize>,
}

impl Columns<'_> {
    fn heading(&self, piece: &Piece) -> String {
        let heading = &self.sections[piece.section].heading;
        if piece.shots.start == 0 {
            heading.clone()
        } else {
            words::goes_on(heading)
        }
    }

    /// Height of a piece without its diagrams, mm.
    fn words_mm(&self, piece: &Piece) -> Result<f64, BookletError> {
        let section = &self.sections[piece.section];
        let (size, width) = (self.setting.size_mm, self.setting.width_mm);
        let mut high = bold_height(&self.heading(piece), HEADING * size, width) + CLOSE_MM;
        for line in &section.intro {
            high += block_height(line, size, width) + CLOSE_MM;
        }
        for drill in &section.shots[piece.shots.clone()] {
            high += self.setting.words_mm(drill)?;
        }
        Ok(high)
    }

    /// Height of pieces with diagrams so high, mm.
    fn high_mm(&self, pieces: &[Piece], diagram_mm: f64) -> Result<f64, BookletError> {
        let words: Result<Vec<f64>, BookletError> =
            pieces.iter().map(|p| self.words_mm(p)).collect();
        let words: f64 = words?.into_iter().sum();
        Ok(words + count(pieces) * diagram_mm)
    }

    /// Sections to columns: each in one where it fits, two in one where both do with large diagrams.
    fn columns(&self, rooms: Rooms) -> Result<Vec<Vec<Piece>>, BookletError> {
        let mut columns: Vec<Vec<Piece>> = Vec::new();
        for (k, section) in self.sections.iter().enumerate() {
            let all = Piece {
                section: k,
                shots: 0..section.shots.len(),
            };
            if let Some(last) = columns.last_mut() {
                let mut both = last.clone();
                both.push(all.clone());
                let high = self.high_mm(&both, self.setting.full_mm())?;
                if high <= rooms.of(columns.len() - 1) {
                    columns.pop();
                    columns.push(both);
                    continue;
                }
            }
            let fits = |piece: &Piece, column: usize| -> Result<bool, BookletError> {
                Ok(self.high_mm(std::slice::from_ref(piece), LOW_MM)? <= rooms.of(column))
            };
            if fits(&all, columns.len())? {
                columns.push(vec![all]);
                continue;
            }
            // On a page of its own where it takes two columns.
            if columns.len() % 2 == 1 {
                columns.push(Vec::new());
            }
            let mut most = section.shots.len();
            while most > 1 {
                let piece = Piece {
                    section: k,
                    shots: 0..most,
                };
                if fits(&piece, columns.len())? {
                    break;
                }
                most -= 1;
            }
            let parts = section.shots.len().div_ceil(most.max(1));
            let each = section.shots.len().div_ceil(parts.max(1)).max(1);
            for from in (0..section.shots.len()).step_by(each) {
                columns.push(vec![Piece {
                    section: k,
                    shots: from..(from + each).min(section.shots.len()),
                }]);
            }
        }
        Ok(columns)
    }

    /// The columns with diagrams as high as both of a page allow.
    fn filled(&self, rooms: Rooms) -> Result<Filled, BookletError> {
        let columns = self.columns(rooms)?;
        let mut diagrams_mm = Vec::new();
        for (page, pair) in columns.chunks(2).enumerate() {
            let mut diagram_mm = self.setting.full_mm();
            for pieces in pair.iter().filter(|p| !p.is_empty()) {
                let left = rooms.of(2 * page) - self.high_mm(pieces, 0.0)?;
                diagram_mm = diagram_mm.min(left / count(pieces).max(1.0));
            }
            diagrams_mm.push(diagram_mm);
        }
        let mut close_up = None;
        if let (Some(close), Some(diagram_mm)) = (&self.close_up, diagrams_mm.first()) {
            let high = close.high_mm(self.setting.style, self.setting.width_mm);
            for (k, pieces) in columns.iter().enumerate().take(2) {
                let left = rooms.first_mm - self.high_mm(pieces, *diagram_mm)?;
                if close_up.is_none() && left >= high {
                    close_up = Some(k);
                }
            }
        }
        Ok(Filled {
            columns,
            diagrams_mm,
            close_up,
        })
    }

    /// The rooms with check bars on the first page, or without.
    fn rooms(&self, sheet: &mut Sheet, sized: bool) -> Result<Rooms, SheetError> {
        sheet.size_matters(sized);
        let mut trial = sheet.next_page();
        trial.paragraph(self.legend)?;
        sheet.size_matters(false);
        Ok(Rooms {
            first_mm: trial.left_mm() - SLACK_MM,
            other_mm: sheet.page_mm() - SLACK_MM,
        })
    }

    /// On pages of their own.
    pub(super) fn print(&self, sheet: &mut Sheet) -> Result<(), BookletError> {
        // Bars take room: they are there only where something has its true size, and take no page.
        let with = self.filled(self.rooms(sheet, true)?)?;
        let without = self.filled(self.rooms(sheet, false)?)?;
        let sized = with.close_up.is_some() && with.columns.len() <= without.columns.len();
        let mut filled = if sized { with } else { without };
        if !sized {
            filled.close_up = None;
        }
        if filled.diagrams_mm.iter().any(|high| *high < LOWEST_MM) {
            return Err(self.too_high(sheet, &filled).into());
        }
        let pages = filled.columns.chunks(2).zip(&filled.diagrams_mm);
        for (page, (pair, diagram_mm)) in pages.enumerate() {
            sheet.size_matters(sized && page == 0);
            sheet.break_page();
            if page == 0 {
                sheet.paragraph(self.legend)?;
            }
            let high = sheet.left_mm() - 0.5 * SLACK_MM;
            let (canvas, strip) = sheet.reserve("two columns of shots", high)?;
            for (side, pieces) in pair.iter().enumerate() {
                let right = if side == 0 { 0.0 } else { 1.0 };
                let x = strip.x0 + right * (self.setting.width_mm + APART_MM);
                let place = Rect::new(x, strip.y0, x + self.setting.width_mm, strip.y1);
                let end = self.draw(canvas, pieces, place, *diagram_mm)?;
                let close = self.close_up.as_ref();
                if let Some(close) = close.filter(|_| filled.close_up == Some(2 * page + side)) {
                    let place = Rect::new(place.x0, end, place.x1, place.y1);
                    close.print(canvas, place, self.setting.style)?;
                }
            }
        }
        sheet.size_matters(false);
        Ok(())
    }

    /// What stands in one column; returns where it ends.
    fn draw(
        &self,
        canvas: &mut Canvas,
        pieces: &[Piece],
        place: Rect,
        diagram_mm: f64,
    ) -> Result<f64, BookletError> {
        let (size, mut at) = (self.setting.size_mm, place.origin());
        let across = |y: f64| Rect::new(place.x0, y, place.x1, place.y1);
        for piece in pieces {
            let section = &self.sections[piece.section];
            canvas.part(Tag::Heading(2));
            at.y = bold(canvas, &self.heading(piece), HEADING * size, across(at.y)) + CLOSE_MM;
            for line in &section.intro {
                at.y = block(canvas, line, size, across(at.y))? + CLOSE_MM;
            }
            for drill in &section.shots[piece.shots.clone()] {
                at = Point::new(at.x, self.setting.draw(canvas, drill, at, diagram_mm)?);
            }
        }
        Ok(at.y)
    }

    fn too_high(&self, sheet: &Sheet, filled: &Filled) -> SheetError {
        let lowest = filled.diagrams_mm.iter().copied().fold(LOWEST_MM, f64::min);
        let over = count(&filled.columns.concat()) * (LOWEST_MM - lowest);
        let room = sheet.room();
        SheetError::TooLarge {
            what: "a shot with its boxes".to_owned(),
            width_mm: self.setting.width_mm,
            height_mm: room.height() + over,
            room_width_mm: self.setting.width_mm,
            room_height_mm: room.height(),
        }
    }
}

/// What rounding may take of a page, mm.
const SLACK_MM: f64 = 0.2;

#[expect(clippy::cast_precision_loss, reason = "a few shots")]
fn count(pieces: &[Piece]) -> f64 {
    pieces.iter().map(|p| p.shots.len()).sum::<usize>() as f64
}
