//! How far off each way of aiming is: bias against cut over the shaded window.

use super::chart::Found;
use super::fault::ChartError;
use super::panels::{Panel, Panels, empty, steps};
use super::words::ways as words;
use crate::aims::BiasPoint;
use crate::draw::canvas::{Canvas, Stroke};
use crate::draw::colour::{self, BLUE, Rgb};
use crate::draw::plot::{Axis, Frame};
use crate::draw::theme::{Board, Caption};
use crate::draw::{DrawError, Picture, Size};

/// As listed.
pub const CHART: Found = Found {
    name: "aims-bias",
    question: "How far off is each aiming method?",
};

/// One way's bias over cuts.
#[derive(Debug, Clone, PartialEq)]
pub struct BiasPanel {
    /// The way.
    pub name: String,
    /// By rising cut.
    pub points: Vec<BiasPoint>,
}

/// Shades of the window, light to strong: drops at all, untouched.
const SHADES: [f64; 2] = [0.80, 0.55];
/// The axis of bias reaches this many times the widest edge of the window (assumption: far enough
/// to see where a way leaves it).
const TIMES_WINDOW: f64 = 3.0;

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
        return Err(empty(caption, words::NO_CUT).into());
    }
    let reach = (TIMES_WINDOW * edge).ceil();
    let mut board = Board::new(size, caption);
    board.need(240.0, 180.0)?;
    let places = Panels::new(board.body, &board.theme, panels.len());
    let theme = places.theme(&board.theme);
    for (k, panel) in panels.iter().enumerate() {
        let own = Panel {
            number: k,
            name: &panel.name,
            x: Axis::linear("", from, to).with_ticks(steps(20.0, from, to)),
            y: Axis::linear("", -reach, reach),
        };
        let canvas = &mut board.canvas;
        let frame = places.frame(canvas, &theme, &own)?;
        window(canvas, &frame, &panel.points, SHADES[0], |p| {
            (p.drop_full_mm, p.drop_thin_mm)
        })?;
        window(canvas, &frame, &panel.points, SHADES[1], |p| {
            (p.clean_full_mm, p.clean_thin_mm)
        })?;
        let line = Stroke::new(colour::INK, theme.line);
        let points: Vec<(f64, f64)> = panel
            .points
            .iter()
            .map(|p| (p.cut_deg, p.too_full_mm.unwrap_or(f64::NAN)))
            .collect();
        for piece in clipped(&points, reach) {
            frame.line(canvas, &piece, &line)?;
        }
        canvas.close_group();
    }
    places.key(
        &mut board.canvas,
        &theme,
        &[
            (BLUE.mix(Rgb::WHITE, SHADES[1]), words::UNTOUCHED),
            (BLUE.mix(Rgb::WHITE, SHADES[0]), words::STILL_IN),
        ],
        words::BIAS_AXES,
    );
    Ok(board.finish(caption)?)
}

/// The window between its edges, above for too full, below for too thin.
fn window(
    canvas: &mut Canvas,
    frame: &Frame,
    points: &[BiasPoint],
    shade: f64,
    edges: impl Fn(&BiasPoint) -> (Option<f64>, Option<f64>),
) -> Result<(), DrawError> {
    let known: Vec<(f64, f64, f64)> = points
        .iter()
        .filter_map(|p| match edges(p) {
            (Some(full), Some(thin)) => Some((p.cut_deg, full, -thin)),
            _ => None,
        })
        .collect();
    let above = known.iter().map(|&(x, full, _)| (x, full));
    let below = known.iter().rev().map(|&(x, _, thin)| (x, thin));
    let outline: Vec<(f64, f64)> = above.chain(below).collect();
    frame.area(canvas, &outline, BLUE.mix(Rgb::WHITE, shade), 1.0)
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
