//! One shot to set up and to play: a diagram left; places, what passes and boxes right.

use kurbo::{Point, Rect, Vec2};

use super::diagram::Placed;
use super::fault::BookletError;
use super::page::Sheet;
use super::parts::{Style, block, block_height};
use super::words::drill as words;
use crate::draw::canvas::{Canvas, Paint, Stroke as Line, Text};
use crate::draw::colour;
use crate::draw::tags::Tag;
use crate::draw::text;
use crate::gear::Gear;
use crate::ladder::RungAnswer;
use crate::request::Places;
use crate::speech::{by_diamonds, first_large};
use crate::units::Position;
use crate::window::Solution;

/// Width and height of a diagram, mm (the table's two to one, and its rails).
const DIAGRAM_MM: (f64, f64) = (88.0, 50.0);
/// A score box, mm.
pub(super) const BOX_MM: f64 = 6.5;
/// One of several students in a column, mm.
pub(super) const SMALL_BOX_MM: f64 = 4.8;

/// From a box to the next, mm.
pub(super) fn pitch_mm(box_mm: f64) -> f64 {
    box_mm * (1.0 + 1.0 / BOX_MM)
}

/// A shot to print.
#[derive(Debug, Clone, PartialEq)]
pub struct Drill {
    /// Its heading: `Rung 3`.
    pub name: String,
    /// Cue ball, as `cue` takes it.
    pub cue: String,
    /// Object ball.
    pub object: String,
    /// Pocket.
    pub pocket: String,
    /// The cue ball's place in words.
    pub cue_words: String,
    /// The object ball's place in words.
    pub object_words: String,
    /// Makes in ten.
    pub makes_in_ten: f64,
    /// Throw-free cut in degrees, and `left`, `right` or `straight`.
    pub cut: (f64, String),
    /// What is awkward about the stance, where somebody said how the player stands.
    pub awkward: Vec<String>,
    /// What passes it, or how often to play it where nobody counts.
    pub pass: Option<String>,
    /// Who ticks how many boxes; one entry without a name for a single student, none where nobody
    /// counts.
    pub boxes: Vec<(String, u32)>,
}

impl From<&RungAnswer> for Drill {
    fn from(rung: &RungAnswer) -> Self {
        Self {
            name: words::rung(rung.rung),
            cue: rung.cue.clone(),
            object: rung.object.clone(),
            pocket: rung.pocket.clone(),
            cue_words: rung.cue_words.clone(),
            object_words: rung.object_words.clone(),
            makes_in_ten: rung.makes_of_ten(),
            cut: (rung.cut_deg, rung.cut_side.clone()),
            awkward: rung.awkward.clone(),
            pass: Some(words::passes(rung.pass.makes, rung.pass.tries)),
            boxes: vec![(String::new(), rung.pass.tries)],
        }
    }
}

impl Drill {
    /// Throw-free cut of a solved shot in degrees and its side, as a drill holds it.
    pub(super) fn cut_of(solution: &Solution) -> (f64, String) {
        let cut_deg = solution
            .window
            .as_ref()
            .map_or(0.0, |w| w.cut_rad.to_degrees());
        // Half a degree is said as straight.
        let side = match cut_deg {
            c if c.abs() < 0.5 => "straight",
            c if c > 0.0 => "left",
            _ => "right",
        };
        (cut_deg.abs(), side.to_owned())
    }

    /// What stands beside its diagram.
    fn beside(&self, gear: &Gear, style: &Style) -> Result<String, BookletError> {
        let place = |text: &str| text.parse::<Position>();
        let (cue, object) = (place(&self.cue)?, place(&self.object)?);
        let bed = &gear.bed;
        let mut lines = if style.plain {
            words::plain_lines(object, cue, &self.pocket, bed, style)
        } else {
            let cut = words::cut(self.cut.0, &self.cut.1);
            vec![
                words::ball(words::OBJECT_BALL, object, &self.object_words, bed),
                words::ball(words::CUE_BALL, cue, &self.cue_words, bed),
                words::pocket(&self.pocket, &cut, self.makes_in_ten),
            ]
        };
        if !style.plain && !self.awkward.is_empty() {
            lines.push(format!("{}.", self.awkward.join(", ")));
        }
        lines.extend(self.pass.as_ref().map(|p| format!("{}.", first_large(p))));
        Ok(lines.join("\n"))
    }

    /// Its heading with what passes it, where something does.
    pub(super) fn title(&self) -> String {
        match &self.pass {
            Some(pass) => format!("{}: {pass}", self.name),
            None => self.name.clone(),
        }
    }

    /// What stands below its diagram in a column: places by numbers where the diagram has them, and on plain
    /// sheets; pocket, cut and chance.
    pub(super) fn below(&self, gear: &Gear, style: &Style) -> Result<String, BookletError> {
        let place = |text: &str| text.parse::<Position>();
        let (cue, object) = (place(&self.cue)?, place(&self.object)?);
        let bed = &gear.bed;
        if style.plain {
            let object = bed.locate(object, gear.object_contact_radius_m())?;
            let cue = bed.locate(cue, gear.cue_contact_radius_m())?;
            return Ok(words::plain_numbers(object, cue, &self.pocket, bed, style));
        }
        let cut = words::cut(self.cut.0, &self.cut.1);
        let mut lines = if by_diamonds(bed, style.speech()) {
            vec![words::numbers(object, cue, bed)]
        } else {
            vec![
                words::ball(words::OBJECT_BALL, object, &self.object_words, bed),
                words::ball(words::CUE_BALL, cue, &self.cue_words, bed),
            ]
        };
        lines.push(words::pocket(&self.pocket, &cut, self.makes_in_ten));
        Ok(lines.join("\n"))
    }

    /// Its places as typed.
    pub(super) fn places(&self) -> Places<'_> {
        Places {
            cue: &self.cue,
            object: &self.object,
            pocket: &self.pocket,
        }
    }

    /// What the diagram shows.
    pub(super) fn alt(&self) -> String {
        words::shows(&self.cue_words, &self.object_words, &self.pocket)
    }

    /// How the boxes lie on a width.
    fn grid(&self, style: &Style, width_mm: f64, box_mm: f64) -> Grid {
        let name_mm = name_mm(&self.boxes, style);
        let row = per_row(width_mm - name_mm, box_mm);
        let most = self
            .boxes
            .iter()
            .map(|(_, tries)| *tries)
            .max()
            .unwrap_or(0);
        let cell_mm = name_mm + f64::from(most) * pitch_mm(box_mm) + 4.0;
        let count = self.boxes.len();
        let mut columns = 1;
        // Students with few boxes stand beside each other.
        if most <= row {
            let fit = ((width_mm + 4.0) / cell_mm).floor();
            while columns < count && f64::from(u32::try_from(columns + 1).unwrap_or(0)) <= fit {
                columns += 1;
            }
        }
        Grid {
            box_mm,
            name_mm,
            row,
            cell_mm,
            down: count.div_ceil(columns).max(1),
        }
    }

    /// Height of the boxes, mm.
    pub(super) fn boxes_mm(&self, style: &Style, width_mm: f64, box_mm: f64) -> f64 {
        let grid = self.grid(style, width_mm, box_mm);
        self.boxes
            .iter()
            .take(grid.down)
            .map(|(_, tries)| grid.high_mm(*tries))
            .sum()
    }

    /// Where its words and boxes go on a strip so wide.
    fn layout(&self, width_mm: f64, gear: &Gear, style: &Style) -> Result<Layout, BookletError> {
        let words = self.beside(gear, style)?;
        let size = style.body_mm();
        let column_mm = width_mm - DIAGRAM_MM.0 - 5.0;
        let head_mm = 1.5 * text::LINE_EM * size;
        let text_mm = head_mm + block_height(&words, size, column_mm);
        // Boxes stand below the words, or below the diagram where that is shorter.
        let beside = (text_mm + 2.0 + self.boxes_mm(style, column_mm, BOX_MM)).max(DIAGRAM_MM.1);
        let below = (DIAGRAM_MM.1 + 3.0 + self.boxes_mm(style, DIAGRAM_MM.0, BOX_MM)).max(text_mm);
        Ok(Layout {
            words,
            head_mm,
            beside: beside <= below,
            height_mm: beside.min(below),
        })
    }

    /// Height it takes on a sheet, mm.
    ///
    /// # Errors
    /// [`BookletError::Place`].
    pub(super) fn height_mm(
        &self,
        sheet: &Sheet,
        gear: &Gear,
        style: &Style,
    ) -> Result<f64, BookletError> {
        Ok(self.layout(sheet.room().width(), gear, style)?.height_mm)
    }

    /// Adds it to a sheet; never split over two pages.
    ///
    /// # Errors
    /// [`BookletError`].
    pub(super) fn print(
        &self,
        sheet: &mut Sheet,
        gear: &Gear,
        style: &Style,
        obstacles: &[&str],
    ) -> Result<(), BookletError> {
        let size = style.body_mm();
        let layout = self.layout(sheet.room().width(), gear, style)?;
        let (canvas, strip) = sheet.reserve("a shot with its boxes", layout.height_mm)?;
        let across = strip.x0 + DIAGRAM_MM.0 + 5.0;
        canvas.part(Tag::Heading(2));
        let base = Point::new(across, strip.y0 + text::ASCENT_EM * 1.2 * size);
        canvas.text(&Text::new(&self.name, base, 1.2 * size).bold());
        canvas.part(Tag::Figure(self.alt()));
        let diagram = Rect::from_origin_size(strip.origin(), DIAGRAM_MM);
        let places = self.places();
        let placed = Placed::new(gear, places)?.among(gear, obstacles)?;
        placed.draw(canvas, gear, diagram, style);
        let place = Rect::new(across, strip.y0 + layout.head_mm, strip.x1, strip.y1);
        let end = block(canvas, &layout.words, size, place)?;
        let room = if layout.beside {
            Rect::new(across, end + 2.0, strip.x1, strip.y1)
        } else {
            Rect::new(strip.x0, diagram.y1 + 3.0, diagram.x1, strip.y1)
        };
        self.tick(canvas, room, style, BOX_MM);
        Ok(())
    }

    /// The boxes, a line or more for each student.
    pub(super) fn tick(&self, canvas: &mut Canvas, room: Rect, style: &Style, box_mm: f64) {
        let size = style.body_mm();
        let grid = self.grid(style, room.width(), box_mm);
        let mut at = room.origin();
        for (k, (name, tries)) in self.boxes.iter().enumerate() {
            if k > 0 && k % grid.down == 0 {
                at = Point::new(at.x + grid.cell_mm, room.y0);
            }
            canvas.part(Tag::Figure(words::boxes(*tries, name)));
            let base = at + Vec2::new(0.0, 0.5 * box_mm + 0.36 * size);
            canvas.text(&Text::new(name, base, size));
            let row = Row {
                tries: *tries,
                most: grid.row,
                box_mm,
            };
            row.draw(canvas, at + Vec2::new(grid.name_mm, 0.0));
            at.y += grid.high_mm(*tries);
        }
    }
}

/// How boxes of several students lie: names, boxes in rows, students in columns.
struct Grid {
    box_mm: f64,
    name_mm: f64,
    /// Boxes a row.
    row: u32,
    /// Width of a student's name and boxes with the space to the next, mm.
    cell_mm: f64,
    /// Students below each other.
    down: usize,
}

impl Grid {
    fn high_mm(&self, tries: u32) -> f64 {
        f64::from(tries.div_ceil(self.row)) * pitch_mm(self.box_mm)
    }
}

/// How a shot lies on its strip.
struct Layout {
    words: String,
    head_mm: f64,
    /// Boxes below the words, else below the diagram.
    beside: bool,
    height_mm: f64,
}

/// Space above a shot, mm.
const ABOVE_MM: f64 = 4.0;

/// Shots to print one below the other, and the balls in the way of each.
#[derive(Clone, Copy)]
pub(super) struct Drills<'a> {
    pub(super) shots: &'a [&'a Drill],
    /// Nothing follows them on their page.
    pub(super) last: bool,
    pub(super) obstacles: &'a [&'a str],
}

/// Prints shots one below the other. Where `last` and nothing follows them on their page, the last
/// two stay together, so that no page has one shot only.
///
/// # Errors
/// [`BookletError`].
pub(super) fn print_all(
    sheet: &mut Sheet,
    gear: &Gear,
    all: &Drills<'_>,
    style: &Style,
) -> Result<(), BookletError> {
    let Drills {
        shots,
        last,
        obstacles,
    } = *all;
    let heights = shots
        .iter()
        .map(|shot| Ok(ABOVE_MM + shot.height_mm(sheet, gear, style)?))
        .collect::<Result<Vec<f64>, BookletError>>()?;
    for (k, shot) in shots.iter().enumerate() {
        let next = heights.get(k + 1).filter(|_| last && k + 2 == shots.len());
        sheet.keep(heights[k] + next.unwrap_or(&0.0));
        sheet.space(ABOVE_MM);
        shot.print(sheet, gear, style, obstacles)?;
    }
    Ok(())
}

/// Width of the column of names, mm.
fn name_mm(all: &[(String, u32)], style: &Style) -> f64 {
    let widest = all
        .iter()
        .map(|(name, _)| text::width(name, style.body_mm(), text::Weight::Regular))
        .fold(0.0, f64::max);
    if widest > 0.0 { widest + 3.0 } else { 0.0 }
}

fn per_row(width_mm: f64, box_mm: f64) -> u32 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a few tens at most"
    )]
    let n = (width_mm / pitch_mm(box_mm)).floor().max(1.0) as u32;
    // Rows of ten or five are counted at a glance.
    if n >= 10 { 10 } else { 5.min(n) }
}

/// Boxes for so many tries, so many a row.
pub(super) fn score_boxes(canvas: &mut Canvas, at: Point, tries: u32, row: u32) {
    let all = Row {
        tries,
        most: row,
        box_mm: BOX_MM,
    };
    all.draw(canvas, at);
}

/// Boxes for so many tries.
struct Row {
    tries: u32,
    /// Most beside each other.
    most: u32,
    box_mm: f64,
}

impl Row {
    fn draw(&self, canvas: &mut Canvas, at: Point) {
        for k in 0..self.tries {
            let (across, down) = (k % self.most, k / self.most);
            let step = Vec2::new(f64::from(across), f64::from(down)) * pitch_mm(self.box_mm);
            let edge = Rect::from_origin_size(at + step, (self.box_mm, self.box_mm));
            canvas.rect(edge, &Paint::line(Line::new(colour::INK, 0.25)));
        }
    }
}
