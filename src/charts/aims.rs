//! Ways of aiming in pictures: bias against cut over the shaded window, and where each way works
//! over cut and distance.

use kurbo::{Point, Rect};

use super::colour::{self, BLUE, Rgb, VERMILLION};
use super::plot::{Axis, Frame, Room};
use super::render::Size;
use super::svg::{Anchor, Canvas, Paint, Stroke, Text};
use super::text::{self, Weight};
use super::theme::{Board, Caption, Theme};
use super::{ChartError, Picture};
use crate::aims::{BiasPoint, WorksCell};

/// One way's bias over cuts.
#[derive(Debug, Clone, PartialEq)]
pub struct BiasPanel {
    /// The way.
    pub name: String,
    /// By rising cut.
    pub points: Vec<BiasPoint>,
}

/// One way's map of cut and distance.
#[derive(Debug, Clone, PartialEq)]
pub struct WorksPanel {
    /// The way.
    pub name: String,
    /// Distance by distance, each by rising cut.
    pub cells: Vec<WorksCell>,
}

/// Shades of the window, light to strong: drops at all, untouched.
const SHADES: [f64; 2] = [0.80, 0.55];
/// The axis of bias reaches this many times the widest edge of the window (assumption: far enough
/// to see where a way leaves it).
const TIMES_WINDOW: f64 = 3.0;

/// Panels of equal size with room for a key below.
struct Panels {
    cells: Vec<Rect>,
    key: Rect,
    columns: usize,
}

impl Panels {
    fn new(body: Rect, theme: &Theme, count: usize) -> Self {
        let key_height = 2.2 * theme.label;
        let columns = match count {
            0..=1 => 1,
            2..=4 => 2,
            5..=9 => 3,
            _ => 4,
        };
        let rows = count.div_ceil(columns).max(1);
        let share = |n: usize| f64::from(u32::try_from(n).unwrap_or(1));
        let (w, h) = (
            body.width() / share(columns),
            (body.height() - key_height) / share(rows),
        );
        let cells = (0..count)
            .map(|k| {
                let at = Point::new(
                    body.x0 + w * share(k % columns),
                    body.y0 + h * share(k / columns),
                );
                Rect::from_origin_size(at, (w - 0.8 * theme.label, h - 0.4 * theme.label))
            })
            .collect();
        Self {
            cells,
            key: Rect::new(body.x0, body.y1 - key_height, body.x1, body.y1),
            columns,
        }
    }

    /// The theme for words inside panels.
    fn theme(&self, theme: &Theme) -> Theme {
        let shrink = if self.columns > 2 { 0.8 } else { 0.9 };
        Theme {
            label: shrink * theme.label,
            tick: shrink * theme.tick,
            ..*theme
        }
    }

    /// A frame below the panel's name; axis titles stand in the key line.
    fn frame(
        &self,
        canvas: &mut Canvas,
        theme: &Theme,
        (k, name): (usize, &str),
        (x, y): (Axis, Axis),
    ) -> Result<Frame, ChartError> {
        let cell = self.cells.get(k).copied().unwrap_or(self.key);
        let at = Point::new(cell.x0, cell.y0 + theme.label);
        canvas.text(&Text::new(name, at, theme.label).bold());
        let body = Rect::new(cell.x0, cell.y0 + 1.3 * theme.label, cell.x1, cell.y1);
        let frame = Frame::fit(theme, body, x, y, Room::default())?;
        frame.draw(canvas, theme)?;
        Ok(frame)
    }

    /// Swatches with words, left to right, and the meaning of the axes after them.
    fn key(&self, canvas: &mut Canvas, theme: &Theme, parts: &[(Rgb, &str)], axes: &str) {
        let (size, middle) = (theme.tick, self.key.center().y);
        let mut x = self.key.x0;
        for (fill, words) in parts {
            let box_ = Rect::new(x, middle - 0.5 * size, x + 1.6 * size, middle + 0.5 * size);
            let edge = Stroke::new(colour::SOFT_INK, theme.hair);
            canvas.rect(box_, &Paint::fill(*fill).edged(edge));
            x += 2.1 * size;
            canvas.text(&Text::new(words, Point::new(x, middle), size).centred());
            x += text::width(words, size, Weight::Regular) + 1.5 * size;
        }
        let at = Point::new(self.key.x1, middle);
        let words = Text::new(axes, at, size)
            .anchor(Anchor::End)
            .centred()
            .colour(colour::SOFT_INK);
        canvas.text(&words);
    }
}

fn empty(caption: &Caption, why: &'static str) -> ChartError {
    ChartError::Empty {
        what: caption.title.clone(),
        why,
    }
}

/// Bias against cut, one panel a way, over the shaded window.
///
/// # Errors
/// [`ChartError`]: nothing to draw, no room.
pub fn bias(caption: &Caption, panels: &[BiasPanel], size: Size) -> Result<Picture, ChartError> {
    let all = || panels.iter().flat_map(|p| &p.points);
    let edge = all()
        .flat_map(|p| [p.drop_full_mm, p.drop_thin_mm])
        .flatten()
        .fold(0.0, f64::max);
    let (from, to) = range(all().map(|p| p.cut_deg));
    if !(edge > 0.0 && to > from) {
        return Err(empty(caption, "no cut of the list drops"));
    }
    let reach = (TIMES_WINDOW * edge).ceil();
    let mut board = Board::new(size, caption);
    board.need(240.0, 180.0)?;
    let places = Panels::new(board.body, &board.theme, panels.len());
    let theme = places.theme(&board.theme);
    for (k, panel) in panels.iter().enumerate() {
        let axes = (
            Axis::linear("", from, to).with_ticks(steps(20.0, from, to)),
            Axis::linear("", -reach, reach),
        );
        let canvas = &mut board.canvas;
        let frame = places.frame(canvas, &theme, (k, &panel.name), axes)?;
        window(canvas, &frame, &panel.points, SHADES[0], |p| {
            (p.drop_full_mm, p.drop_thin_mm)
        });
        window(canvas, &frame, &panel.points, SHADES[1], |p| {
            (p.clean_full_mm, p.clean_thin_mm)
        });
        let line = Stroke::new(colour::INK, theme.line);
        let points: Vec<(f64, f64)> = panel
            .points
            .iter()
            .map(|p| (p.cut_deg, p.too_full_mm.unwrap_or(f64::NAN)))
            .collect();
        for piece in clipped(&points, reach) {
            let piece: Vec<Point> = piece.iter().map(|&(x, y)| frame.at(x, y)).collect();
            canvas.polyline(&piece, &line);
        }
        canvas.close_group();
    }
    places.key(
        &mut board.canvas,
        &theme,
        &[
            (BLUE.mix(Rgb::WHITE, SHADES[1]), "goes in untouched"),
            (BLUE.mix(Rgb::WHITE, SHADES[0]), "still goes in"),
        ],
        "across: cut (°); up: too full, down: too thin at the ghost ball (mm)",
    );
    board.finish(caption)
}

/// The window between its edges, above for too full, below for too thin.
fn window(
    canvas: &mut Canvas,
    frame: &Frame,
    points: &[BiasPoint],
    shade: f64,
    edges: impl Fn(&BiasPoint) -> (Option<f64>, Option<f64>),
) {
    let known: Vec<(f64, f64, f64)> = points
        .iter()
        .filter_map(|p| match edges(p) {
            (Some(full), Some(thin)) => Some((p.cut_deg, full, -thin)),
            _ => None,
        })
        .collect();
    let above = known.iter().map(|&(x, full, _)| frame.at(x, full));
    let below = known.iter().rev().map(|&(x, _, thin)| frame.at(x, thin));
    let outline: Vec<Point> = above.chain(below).collect();
    if outline.len() > 2 {
        canvas.polygon(&outline, &Paint::fill(BLUE.mix(Rgb::WHITE, shade)));
    }
}

/// The pieces of a line between −`reach` and `reach`, cut where it crosses them.
fn clipped(points: &[(f64, f64)], reach: f64) -> Vec<Vec<(f64, f64)>> {
    let mut out: Vec<Vec<(f64, f64)>> = Vec::new();
    let mut open = false;
    for pair in points.windows(2) {
        let [(x0, y0), (x1, y1)] = [pair[0], pair[1]];
        let rise = y1 - y0;
        // shares of the way at which the limits are crossed; NaN compares false throughout
        let (lo, hi) = if rise.abs() > 0.0 {
            let (a, b) = ((-reach - y0) / rise, (reach - y0) / rise);
            (a.min(b).max(0.0), a.max(b).min(1.0))
        } else if y0.abs() <= reach {
            (0.0, 1.0)
        } else {
            (1.0, 0.0)
        };
        if !(lo <= hi && y0.is_finite() && y1.is_finite()) {
            open = false;
            continue;
        }
        let at = |t: f64| (x0 + t * (x1 - x0), y0 + t * rise);
        if !open || lo > 0.0 {
            out.push(vec![at(lo)]);
        }
        if let Some(piece) = out.last_mut() {
            piece.push(at(hi));
        }
        open = hi >= 1.0;
    }
    out
}

fn range(values: impl Iterator<Item = f64>) -> (f64, f64) {
    values.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| {
        (a.min(v), b.max(v))
    })
}

/// Where each way works over cut and distance between the balls, one panel a way. `distance` writes
/// a distance (mm) beside its row.
///
/// # Errors
/// [`ChartError`]: nothing to draw, no room.
pub fn works(
    caption: &Caption,
    panels: &[WorksPanel],
    distance: &dyn Fn(f64) -> String,
    size: Size,
) -> Result<Picture, ChartError> {
    let cells = || panels.iter().flat_map(|p| &p.cells);
    let cuts = distinct(cells().map(|c| c.cut_deg));
    let aparts = distinct(cells().map(|c| c.apart_mm));
    let (Some(step), false) = (cuts.get(1).map(|c| c - cuts[0]), aparts.is_empty()) else {
        return Err(empty(
            caption,
            "it needs at least two cuts and one distance",
        ));
    };
    let count = f64::from(u32::try_from(aparts.len()).unwrap_or(1));
    let row_of = |mm: f64| aparts.partition_point(|a| *a < mm);
    let mut board = Board::new(size, caption);
    board.need(240.0, 180.0)?;
    let places = Panels::new(board.body, &board.theme, panels.len());
    let theme = places.theme(&board.theme);
    let ticks: Vec<(f64, String)> = aparts
        .iter()
        .map(|&mm| (middle(row_of(mm)), distance(mm)))
        .collect();
    for (k, panel) in panels.iter().enumerate() {
        let last = cuts.last().copied().unwrap_or(0.0);
        let axes = (
            Axis::linear("", cuts[0] - 0.5 * step, last + 0.5 * step)
                .with_ticks(steps(20.0, cuts[0], last)),
            Axis::linear("", 0.0, count).with_ticks(ticks.clone()),
        );
        let canvas = &mut board.canvas;
        let frame = places.frame(canvas, &theme, (k, &panel.name), axes)?;
        for run in panel
            .cells
            .chunk_by(|a, b| a.status == b.status && a.apart_mm.to_bits() == b.apart_mm.to_bits())
        {
            let ([first, ..], [.., end]) = (run, run) else {
                continue;
            };
            let Some(fill) = fill_of(first.status) else {
                continue;
            };
            let y = middle(row_of(first.apart_mm));
            let a = frame.at(first.cut_deg - 0.5 * step, y - 0.46);
            let b = frame.at(end.cut_deg + 0.5 * step, y + 0.46);
            canvas.rect(Rect::from_points(a, b), &Paint::fill(fill));
        }
        canvas.close_group();
    }
    places.key(
        &mut board.canvas,
        &theme,
        &fates(),
        "across: cut (°); up: distance between the balls",
    );
    board.finish(caption)
}

pub(super) fn middle(row: usize) -> f64 {
    f64::from(u32::try_from(row).unwrap_or(0)) + 0.5
}

/// Lightness falls with what is better, so grey print keeps the order; a miss is vermillion and pale.
fn fill_of(status: &str) -> Option<Rgb> {
    match status {
        "clean" => Some(BLUE),
        "direct" => Some(BLUE.mix(Rgb::WHITE, 0.45)),
        "drop" => Some(BLUE.mix(Rgb::WHITE, 0.72)),
        "no" => Some(VERMILLION.mix(Rgb::WHITE, 0.88)),
        _ => None,
    }
}

/// Ticks at the multiples of `step`.
pub(super) fn steps(step: f64, from: f64, to: f64) -> Vec<(f64, String)> {
    std::iter::successors(Some((from / step).ceil() * step), |v| Some(v + step))
        .take_while(|v| *v <= to + 1e-9)
        .map(|v| (v, text::number(v)))
        .collect()
}

fn distinct(values: impl Iterator<Item = f64>) -> Vec<f64> {
    let mut out: Vec<f64> = values.collect();
    out.sort_by(f64::total_cmp);
    out.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
    out
}

/// What becomes of the ball, best first, for the key.
fn fates() -> Vec<(Rgb, &'static str)> {
    [
        ("clean", "untouched"),
        ("direct", "off the jaws"),
        ("drop", "off the rail"),
        ("no", "misses"),
    ]
    .into_iter()
    .filter_map(|(status, words)| fill_of(status).map(|f| (f, words)))
    .collect()
}
