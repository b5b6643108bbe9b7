//! Draws gaps by hit and distance: columns of hits as the player sees them, rows of distances to scale,
//! in each cell two blocks with the gap between them at life size.

use kurbo::{Point, Rect, Vec2};

use super::margins::{Cell, HITS, Leads, MarginTable};
use super::words::why_thin as words;
use crate::draw::canvas::{Anchor, Canvas, Paint, Stroke, Text};
use crate::draw::colour::{self, Rgb};
use crate::draw::hatch::hatch;
use crate::draw::text::{self, Weight};
use crate::units::UnitSystem;

/// A row: its distance and its cells, one a hit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct RowOf<'a> {
    pub(crate) far_m: f64,
    pub(crate) cells: &'a [Cell; 5],
}

/// What is drawn.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Gaps<'a> {
    pub(crate) leads: Leads,
    pub(crate) rows: Vec<RowOf<'a>>,
    pub(crate) units: UnitSystem,
}

/// How cells are set: their words' height, and whether gap and makes stand below each other.
#[derive(Debug, Clone, Copy)]
struct Setting<'a> {
    look: &'a Look,
    units: UnitSystem,
    stacked: bool,
    size: f64,
}

/// How it is drawn.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Look {
    /// User units a millimetre of the gaps.
    pub(crate) mm: f64,
    /// Height of the letters, user units.
    pub(crate) letters: f64,
    /// Width of thin lines, user units.
    pub(crate) hair: f64,
    /// For children and beginners.
    pub(crate) plain: bool,
}

impl<'a> Gaps<'a> {
    /// Of a table of margins.
    pub(crate) fn of(table: &'a MarginTable) -> Self {
        let rows = table.aparts_m.into_iter().zip(&table.cells);
        Self {
            leads: Leads::ToObject,
            rows: rows.map(|(far_m, cells)| RowOf { far_m, cells }).collect(),
            units: table.units,
        }
    }
}

impl Look {
    fn gap(&self, gap_m: f64, units: UnitSystem) -> String {
        if self.plain {
            words::plain_gap(gap_m, units)
        } else {
            words::gap(gap_m, units)
        }
    }

    /// Height of small letters, user units; plain letters are all large.
    fn small(&self) -> f64 {
        if self.plain {
            self.letters
        } else {
            0.8 * self.letters
        }
    }

    fn far(&self, far_m: f64, units: UnitSystem) -> String {
        if self.plain {
            words::plain_apart(far_m, units)
        } else {
            words::apart(far_m, units)
        }
    }
}

/// Share of the width for the distances (for the eye).
const SIDE: f64 = 0.17;
/// Words beside each other are never set smaller than this share of their size.
const LEAST_SHRUNK: f64 = 0.84;
/// A block is never narrower than this share of its column, or its gap has none.
const LEAST_BLOCK: f64 = 0.06;

/// Draws it into a place.
pub(crate) fn draw(canvas: &mut Canvas, area: Rect, gaps: &Gaps<'_>, look: &Look) {
    let letters = look.letters;
    let side = SIDE * area.width();
    #[expect(clippy::cast_precision_loss, reason = "five columns")]
    let wide = (area.width() - side) / HITS.len() as f64;
    let head = head_high(area, wide, letters);
    #[expect(clippy::cast_precision_loss, reason = "a few rows")]
    let high = (area.height() - head) / gaps.rows.len().max(1) as f64;
    let column = |k: usize, y0: f64, y1: f64| {
        #[expect(clippy::cast_precision_loss, reason = "five columns")]
        let x = area.x0 + side + k as f64 * wide;
        Rect::new(x, y0, x + wide, y1)
    };
    let top = Rect::new(area.x0, area.y0, area.x0 + side, area.y0 + head);
    canvas.open_group(&[("class", "hits")]);
    heading(canvas, top, words::leads(gaps.leads, look.plain), look);
    for (k, hit) in HITS.into_iter().enumerate() {
        hit_seen(canvas, column(k, area.y0, area.y0 + head), hit, look);
    }
    canvas.close_group();
    let setting = Setting::of(gaps, 0.91 * wide, look);
    for (r, row) in gaps.rows.iter().enumerate() {
        #[expect(clippy::cast_precision_loss, reason = "a few rows")]
        let y0 = area.y0 + head + r as f64 * high;
        let rule = Stroke::new(colour::GRID, look.hair);
        canvas.line(Point::new(area.x0, y0), Point::new(area.x1, y0), &rule);
        let place = Rect::new(area.x0, y0, area.x0 + side, y0 + high);
        distance(canvas, place, gaps, row.far_m, look);
        for (k, cell) in row.cells.iter().enumerate() {
            let place = column(k, y0, y0 + high).inset((-0.045 * wide, 0.0));
            setting.cell(canvas, place, *cell);
        }
    }
}

fn radius(area: Rect, wide: f64) -> f64 {
    (0.17 * wide).min(0.065 * area.height())
}

fn head_high(area: Rect, wide: f64, letters: f64) -> f64 {
    2.0 * radius(area, wide) + 3.3 * letters
}

/// What the distances are, at the foot of the corner.
fn heading(canvas: &mut Canvas, place: Rect, said: &str, look: &Look) {
    let (letters, size) = (look.letters, look.small());
    let lines = text::wrap(said, size, Weight::Regular, place.width() - 0.5 * letters);
    let mut base = place.y1 - 0.75 * letters;
    for line in lines.iter().rev() {
        let at = Point::new(place.x0, base);
        canvas.text(&Text::new(line, at, size).colour(colour::SOFT_INK));
        base -= text::LINE_EM * size;
    }
}

/// The object ball with the cue ball in front of it, as it covers it when they meet.
fn hit_seen(canvas: &mut Canvas, place: Rect, hit: f64, look: &Look) {
    let letters = look.letters;
    let r = 0.5 * (place.height() - 3.3 * letters);
    let at = Point::new(place.center().x, place.y0 + r + 0.1 * letters);
    let off = Vec2::new((1.0 - hit) * r, 0.0);
    let rim = Stroke::new(colour::INK, (0.07 * r).max(0.5 * look.hair));
    canvas.open_group(&[("class", "hit"), ("data-hit", &hit.to_string())]);
    canvas.circle(
        at + off,
        r,
        &Paint::fill(colour::OBJECT_BALL).edged(rim.clone()),
    );
    canvas.circle(
        at - off,
        r,
        &Paint::fill(Rgb::WHITE).see_through(0.86).edged(rim),
    );
    canvas.close_group();
    let middle = place.center().x;
    let name = Point::new(middle, at.y + r + 1.15 * letters);
    let said = words::hit(hit);
    canvas.text(
        &Text::new(&said, name, letters)
            .bold()
            .anchor(Anchor::Middle),
    );
    if look.plain {
        return;
    }
    let cut = words::cut(hit);
    let below = Point::new(middle, name.y + 1.15 * letters);
    canvas.text(
        &Text::new(&cut, below, 0.8 * letters)
            .anchor(Anchor::Middle)
            .colour(colour::SOFT_INK),
    );
}

/// A row's distance, with a bar to scale between a ball and what it leads to, which are not.
fn distance(canvas: &mut Canvas, row: Rect, gaps: &Gaps<'_>, far_m: f64, look: &Look) {
    let letters = look.letters;
    let longest_m = gaps.rows.iter().map(|row| row.far_m).fold(0.0, f64::max);
    let share = far_m / longest_m;
    let said = look.far(far_m, gaps.units);
    let middle = row.y0 + 0.42 * row.height();
    canvas.text(&Text::new(&said, Point::new(row.x0, middle), 1.15 * letters).bold());
    let r = 0.3 * letters;
    let y = middle + 0.95 * letters;
    let all = row.width() - 4.0 * r - 0.5 * letters;
    let from = Point::new(row.x0 + r, y);
    let to = from + Vec2::new(all * share, 0.0);
    let (first, last) = match gaps.leads {
        Leads::ToObject => (Rgb::WHITE, colour::OBJECT_BALL),
        Leads::ToPocket => (colour::OBJECT_BALL, colour::INK),
    };
    canvas.open_group(&[("class", "apart"), ("data-apart-m", &far_m.to_string())]);
    canvas.line(from, to, &Stroke::new(colour::SOFT_INK, 1.6 * look.hair));
    let rim = Stroke::new(colour::INK, 0.7 * look.hair);
    canvas.circle(from, r, &Paint::fill(first).edged(rim.clone()));
    canvas.circle(to, r, &Paint::fill(last).edged(rim));
    canvas.close_group();
}

impl<'a> Setting<'a> {
    /// Size and makes beside each other where that takes little off their letters, else below each other.
    fn of(gaps: &Gaps<'_>, room: f64, look: &'a Look) -> Self {
        let letters = look.letters;
        let share = |both: bool| {
            let cells = gaps.rows.iter().flat_map(|row| row.cells);
            let widths = cells.filter_map(|cell| {
                let Cell::Gap { gap_m, chance } = *cell else {
                    return None;
                };
                let size = text::width(&look.gap(gap_m, gaps.units), letters, Weight::Bold);
                let makes = chance.map_or(0.0, |chance| {
                    text::width(&words::makes(chance), letters, Weight::Regular)
                });
                Some(if both && makes > 0.0 {
                    size + makes + 0.6 * letters
                } else {
                    size.max(makes)
                })
            });
            (room / widths.fold(0.0, f64::max)).min(1.0)
        };
        let stacked = share(true) < LEAST_SHRUNK;
        Self {
            look,
            units: gaps.units,
            stacked,
            size: share(!stacked) * letters,
        }
    }

    /// Two blocks with the gap between them, its size and the makes below.
    fn cell(&self, canvas: &mut Canvas, place: Rect, cell: Cell) {
        let (look, below) = (self.look, self);
        let letters = look.letters;
        let lines = if below.stacked { 2.9 } else { 1.7 };
        let blocks = Rect::new(
            place.x0,
            place.y0 + 0.35 * letters,
            place.x1,
            (place.y1 - lines * letters).max(place.y0 + 0.5 * letters),
        );
        let first = Point::new(place.center().x, place.y1 - (lines - 1.15) * letters);
        let (gap_m, chance) = match cell {
            Cell::Gap { gap_m, chance } => (gap_m, chance),
            Cell::NotClean => {
                let why = words::not_clean(look.plain);
                return closed(canvas, blocks, first, why, look);
            }
            Cell::OffTable => {
                let why = words::off_table(look.plain);
                return closed(canvas, blocks, first, why, look);
            }
        };
        let gap = 1e3 * gap_m * look.mm;
        let middle = blocks.center().x;
        let data = (1e3 * gap_m).to_string();
        canvas.open_group(&[("class", "gap"), ("data-gap-mm", &data)]);
        if 0.5 * (blocks.width() - gap) >= LEAST_BLOCK * blocks.width() {
            let paint = Paint::fill(colour::SOFT_INK);
            let left = Rect::new(blocks.x0, blocks.y0, middle - 0.5 * gap, blocks.y1);
            let right = Rect::new(middle + 0.5 * gap, blocks.y0, blocks.x1, blocks.y1);
            canvas.rect(left, &paint);
            canvas.rect(right, &paint);
        }
        canvas.close_group();
        let said = look.gap(gap_m, self.units);
        let Some(makes) = chance.map(words::makes) else {
            let said = Text::new(&said, first, below.size).bold();
            return canvas.text(&said.anchor(Anchor::Middle));
        };
        let start = Point::new(place.x0, first.y);
        canvas.text(&Text::new(&said, start, below.size).bold());
        let makes = if below.stacked {
            Text::new(&makes, start + Vec2::new(0.0, 1.2 * letters), below.size)
        } else {
            Text::new(&makes, Point::new(place.x1, first.y), below.size).anchor(Anchor::End)
        };
        canvas.text(&makes);
    }
}

/// A cell that nobody can play, and why.
fn closed(canvas: &mut Canvas, blocks: Rect, base: Point, why: &str, look: &Look) {
    canvas.open_group(&[("class", "closed")]);
    let line = Stroke::new(colour::GRID, 1.2 * look.hair);
    hatch(canvas, blocks, 0.55 * look.letters, &line);
    canvas.close_group();
    let size = look.small();
    let size = size * (blocks.width() / text::width(why, size, Weight::Regular)).min(1.0);
    canvas.text(
        &Text::new(why, base, size)
            .anchor(Anchor::Middle)
            .colour(colour::SOFT_INK),
    );
}
