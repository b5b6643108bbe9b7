//! The map of the room over cut and distance, with contour lines that carry their value.

use super::slice::Slice;
use super::words::grid::{self as words, Takes};
use super::words::room;
use super::{Chart, ChartError, Choice, Over, Request, RoomUnit, Subject};
use crate::draw::contour::Grid as MapGrid;
use crate::draw::heat::{HeatMap, Levels};
use crate::draw::plot::Axis;
use crate::draw::theme::Caption;
use crate::draw::{DrawError, Picture};

/// Cuts and distances solved.
const CUTS: u32 = 81;
const DISTANCES: u32 = 48;
/// Steps, each side.
const LEVELS_DEG: [f64; 12] = [
    0.005, 0.01, 0.02, 0.05, 0.1, 0.15, 0.2, 0.3, 0.5, 1.0, 2.0, 5.0,
];
const LEVELS_MM: [f64; 11] = [0.1, 0.2, 0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 6.0, 10.0];
/// The farthest of two distances held against each other is at least so many times the nearest.
const ENOUGH_REACH: f64 = 1.5;
/// Feet in a metre (exact: 0.3048 m a foot).
const FOOT_M: f64 = 0.3048;

/// Room over cut and distance.
#[derive(Debug, Clone, Copy)]
pub struct GridChart;

impl Chart for GridChart {
    fn name(&self) -> &'static str {
        "grid"
    }

    fn question(&self) -> &'static str {
        "Which takes the margin, the cut or the distance?"
    }

    fn subject(&self) -> Subject {
        Subject::Grid
    }

    fn choices(&self) -> &'static [Choice] {
        &[Choice::Room, Choice::Over, Choice::LogDistance]
    }

    fn draw(&self, request: &Request) -> Result<Picture, ChartError> {
        let slice = Slice::of(request, self.name())?;
        let options = &request.options;
        let unit = options.room.unwrap_or(RoomUnit::Degrees);
        let (low, high) = slice.cut_ends_deg();
        let (near_m, far_m) = slice.distance_ends_m()?;
        let (near, far) = (near_m / FOOT_M, far_m / FOOT_M);
        let distance = words::distance(options.over, options.log_distance);
        let distance = if options.log_distance {
            Axis::log(distance, near, far)
        } else {
            Axis::linear(distance, near, far)
        };
        let cuts_deg = Axis::linear("", low, high).steps(CUTS);
        let feet = distance.steps(DISTANCES);
        let values = values(&slice, unit, &cuts_deg, &feet)?;
        let takes = takes(&values, &cuts_deg, &feet);
        let some_blank = values.iter().any(|v| v.is_nan());
        let empty = |_| DrawError::Empty {
            what: words::MAP.to_owned(),
            why: words::EMPTY,
        };
        let grid = MapGrid::new(cuts_deg, feet, values).map_err(empty)?;
        let levels = match unit {
            RoomUnit::Degrees => &LEVELS_DEG[..],
            RoomUnit::Mm => &LEVELS_MM[..],
        };
        let chart = HeatMap {
            caption: Caption {
                title: words::title(takes.as_ref()),
                subtitle: words::subtitle(&slice.subtitle()),
                footer: format!(
                    "{}{}",
                    if some_blank { words::HATCHED } else { "" },
                    slice.footer()
                ),
                desc: words::desc(unit, options.over, [low, high], [near, far]),
            },
            x: Axis::linear(room::CUT, low, high),
            y: distance,
            levels: Levels {
                at: grid
                    .range()
                    .map_or_else(|| levels.to_vec(), |(low, high)| within(levels, low, high)),
                title: room::each_side(unit).to_owned(),
                mark: room::mark(unit),
            },
            grid,
            mark: this_shot(request, near, far),
        };
        Ok(chart.draw(slice.size())?)
    }
}

/// This shot, when the map reaches it.
fn this_shot(request: &Request, near: f64, far: f64) -> Option<(f64, f64, String)> {
    let (shot, window) = request.marked()?;
    let own_m = match request.options.over {
        Over::Apart => shot.apart_m(),
        Over::ToPocket => shot.object.to_vec2().hypot(),
    };
    let feet = own_m / FOOT_M;
    let cut_deg = window.cut_rad.abs().to_degrees();
    (near..=far)
        .contains(&feet)
        .then(|| (cut_deg, feet, room::THIS_SHOT.to_owned()))
}

/// Row by row: all cuts at the first distance first.
fn values(
    slice: &Slice<'_>,
    unit: RoomUnit,
    cuts_deg: &[f64],
    feet: &[f64],
) -> Result<Vec<f64>, ChartError> {
    let cuts_rad: Vec<f64> = cuts_deg.iter().map(|d| d.to_radians()).collect();
    let distances_m: Vec<f64> = feet.iter().map(|f| f * FOOT_M).collect();
    let rows = slice.rows(&cuts_rad, &distances_m)?;
    Ok(rows
        .iter()
        .map(|r| unit.each_side(r, |w| w.direct))
        .collect())
}

/// The levels that the values reach, one at least.
fn within(levels: &[f64], low: f64, high: f64) -> Vec<f64> {
    let inside = levels.iter().copied().filter(|l| *l > low && *l < high);
    let inside: Vec<f64> = inside.collect();
    if inside.is_empty() {
        let nearest = |l: &f64| (l / low).ln().abs();
        let nearest = levels
            .iter()
            .copied()
            .min_by(|a, b| nearest(a).total_cmp(&nearest(b)));
        return nearest.into_iter().collect();
    }
    inside
}

/// What distance takes of the fullest cut's margin, and what the thinnest cut takes of the nearest
/// shot's: of those that can be played.
fn takes(values: &[f64], cuts_deg: &[f64], feet: &[f64]) -> Option<Takes> {
    let row = values.get(..cuts_deg.len())?;
    let (first, easy) = row.iter().enumerate().find(|(_, v)| v.is_finite())?;
    let (last, thin) = row.iter().enumerate().rfind(|(_, v)| v.is_finite())?;
    let reach = |column: usize| {
        let down = values.iter().skip(column).step_by(cuts_deg.len());
        down.enumerate().rfind(|(_, v)| v.is_finite())
    };
    let near_m = feet.first()? * FOOT_M;
    // The fullest cut, unless the table has hardly any distance for it; then the one with most.
    let has_reach = |column: usize| {
        reach(column).is_some_and(|(k, _)| feet[k] * FOOT_M >= ENOUGH_REACH * near_m)
    };
    let column = if has_reach(first) {
        first
    } else {
        let known = (first..=last).filter(|column| row[*column].is_finite());
        known
            .rev()
            .max_by_key(|column| reach(*column).map(|(k, _)| k))?
    };
    let (away, far) = reach(column)?;
    let (distance, cut) = (row[column] / far, easy / thin);
    let known = distance.is_finite() && cut.is_finite() && distance >= 1.0 && cut >= 1.0;
    known.then_some(Takes {
        near_m,
        far_m: feet.get(away)? * FOOT_M,
        at_deg: *cuts_deg.get(column)?,
        distance,
        full_deg: *cuts_deg.get(first)?,
        cut_deg: *cuts_deg.get(last)?,
        cut,
    })
}
