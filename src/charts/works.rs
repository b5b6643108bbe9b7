//! At which cuts and distances each way of aiming works.

use super::chart::Found;
use super::fault::ChartError;
use super::panels::{Panel, Panels, empty, middle, steps};
use super::words::ways as words;
use crate::aims::WorksCell;
use crate::draw::canvas::Paint;
use crate::draw::colour::{BLUE, GRID, Rgb};
use crate::draw::plot::Axis;
use crate::draw::theme::{Board, Caption};
use crate::draw::{Picture, Size};

/// As listed.
pub const CHART: Found = Found {
    name: "aims-works",
    question: "At which cuts and distances does each aiming method work?",
};

/// One way's map of cut and distance.
#[derive(Debug, Clone, PartialEq)]
pub struct WorksPanel {
    /// The way.
    pub name: String,
    /// Distance by distance, each by rising cut.
    pub cells: Vec<WorksCell>,
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
        return Err(empty(caption, words::TOO_FEW).into());
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
        let own = Panel {
            number: k,
            name: &panel.name,
            x: Axis::linear("", cuts[0] - 0.5 * step, last + 0.5 * step)
                .with_ticks(steps(20.0, cuts[0], last)),
            y: Axis::linear("", 0.0, count).with_ticks(ticks.clone()),
        };
        let canvas = &mut board.canvas;
        let frame = places.frame(canvas, &theme, &own)?;
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
            let from = (first.cut_deg - 0.5 * step, y - 0.46);
            let to = (end.cut_deg + 0.5 * step, y + 0.46);
            frame.bar(canvas, [from, to], &Paint::fill(fill))?;
        }
        canvas.close_group();
    }
    places.key(&mut board.canvas, &theme, &fates(), words::WORKS_AXES);
    Ok(board.finish(caption)?)
}

/// Lightness falls with what is better, so grey print keeps the order; a miss is vermillion and pale.
fn fill_of(status: &str) -> Option<Rgb> {
    match status {
        "clean" => Some(BLUE),
        "direct" => Some(BLUE.mix(Rgb::WHITE, 0.45)),
        "drop" => Some(BLUE.mix(Rgb::WHITE, 0.72)),
        "no" => Some(GRID),
        _ => None,
    }
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
        ("clean", "clean"),
        ("direct", "off the jaws"),
        ("drop", "off the rail"),
        ("no", "misses"),
    ]
    .into_iter()
    .filter_map(|(status, said)| fill_of(status).map(|f| (f, said)))
    .collect()
}
