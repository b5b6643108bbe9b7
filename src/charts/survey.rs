//! The two charts of a survey: room against the cut, and the map over cut and distance.

use super::contour::Grid as MapGrid;
use super::heat::{HeatMap, Levels};
use super::lines::{Band, Line, LineChart};
use super::plot::Axis;
use super::render::Size;
use super::theme::Caption;
use super::{ChartError, Picture};
use crate::gear::Gear;
use crate::survey::{Grid, Row, survey};
use crate::units::{Angle, Length, speak};
use crate::window::{AimWindow, ShotError, Window};

/// Lines that can be told apart.
const MOST_LINES: usize = 5;
/// Cuts and distances of the map.
const MAP_CUTS: u32 = 81;
const MAP_DISTANCES: u32 = 48;
/// Steps of the map, degrees each side.
const MAP_LEVELS_DEG: [f64; 9] = [0.01, 0.02, 0.05, 0.1, 0.15, 0.2, 0.3, 0.5, 1.0];
/// Feet in a metre (exact: 0.3048 m a foot).
const FOOT_M: f64 = 0.3048;

/// A survey chart that cannot be drawn.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum SurveyChartError {
    /// A shot of the grid.
    #[error(transparent)]
    Shot(#[from] ShotError),
    /// The drawing.
    #[error(transparent)]
    Chart(#[from] ChartError),
}

/// Half of a window's width in degrees, NaN where there is none.
fn each_deg(row: &Row, pick: fn(&AimWindow) -> Option<Window>) -> f64 {
    let part = row.window.as_ref().ok().and_then(pick);
    part.map_or(f64::NAN, |w| 0.5 * w.total_rad().to_degrees())
}

/// The rows of a grid in memory.
fn rows(gear: &Gear, grid: &Grid) -> Result<Vec<Row>, ShotError> {
    let mut out = Vec::new();
    survey(gear, grid, |row| -> Result<(), ShotError> {
        out.push(row.clone());
        Ok(())
    })?;
    Ok(out)
}

/// The distance to the pocket that stands for a grid: the middle one.
fn middle(values: &[f64]) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    sorted.get(sorted.len() / 2).copied().unwrap_or(f64::NAN)
}

/// At most five distances between the balls, the nearest and the farthest among them.
fn some_of(values: &[f64]) -> Vec<f64> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    sorted.dedup();
    let last = sorted.len().saturating_sub(1);
    if last < MOST_LINES {
        return sorted;
    }
    (0..MOST_LINES)
        .map(|k| sorted[(k * last + (MOST_LINES - 1) / 2) / (MOST_LINES - 1)])
        .collect()
}

fn subtitle(gear: &Gear, grid: &Grid, to_pocket_m: f64) -> String {
    let square = if grid.approach_rad.abs() < 1e-9 {
        "square in".to_owned()
    } else {
        format!(
            "{} off square",
            speak::degrees(Angle::from_rad(grid.approach_rad.abs()))
        )
    };
    format!(
        "{} pocket, {square}, {} to the pocket; {}",
        if grid.kind.name() == "corner" {
            "Corner"
        } else {
            "Side"
        },
        speak::feet(Length::from_m(to_pocket_m)),
        gear.name
    )
}

fn footer(grid: &Grid) -> String {
    let s = &grid.stroke;
    format!(
        "Half the window of cue-ball directions. Assumed: {} m/s at the pocket, roll {}, standard bounce of jaws and rails.",
        s.pace_m_s, s.roll
    )
}

/// Room each side against the cut, one line a distance: the line is untouched, the shade above it
/// what still goes in off the jaws.
///
/// # Errors
/// [`SurveyChartError`]: fewer than two cuts, or no shot that goes.
pub fn by_cut(gear: &Gear, grid: &Grid, size: Size) -> Result<Picture, SurveyChartError> {
    let to_pocket_m = middle(&grid.to_pockets_m);
    let aparts_m = some_of(&grid.aparts_m);
    let mut cuts_rad = grid.cuts_rad.clone();
    cuts_rad.sort_by(f64::total_cmp);
    let (low, high) = ends(&cuts_rad, "cut")?;
    let own = Grid {
        cuts_rad,
        aparts_m: aparts_m.clone(),
        to_pockets_m: vec![to_pocket_m],
        player: None,
        ..grid.clone()
    };
    let rows = rows(gear, &own)?;
    let columns: Vec<&[Row]> = rows.chunks(own.cuts_rad.len()).collect();
    let (lines, bands) = series(&aparts_m, &columns);
    let values = lines
        .iter()
        .flat_map(|l| &l.points)
        .map(|p| p.1)
        .filter(|v| v.is_finite());
    let most = bands
        .iter()
        .flat_map(|b| &b.points)
        .map(|p| p.2)
        .fold(0.0, f64::max);
    let least = values.fold(f64::INFINITY, f64::min);
    let chart = LineChart {
        caption: Caption {
            title: title(&lines, low, high),
            subtitle: format!(
                "{}. Line: untouched. Shade: still in off the jaws",
                subtitle(gear, grid, to_pocket_m)
            ),
            footer: footer(grid),
            desc: format!(
                "Room each side in degrees against the cut angle from {low:.0} to {high:.0} degrees, one line for each of {} distances between the balls.",
                lines.len()
            ),
        },
        x: Axis::linear("cut angle (degrees)", low, high),
        y: Axis::log(
            "room each side (degrees, log scale)",
            floor_125(least),
            ceil_125(most),
        ),
        lines,
        bands,
        marks: Vec::new(),
    };
    Ok(chart.draw(size)?)
}

/// One line a distance, untouched, and the shade up to what goes in off the jaws.
fn series(aparts_m: &[f64], columns: &[&[Row]]) -> (Vec<Line>, Vec<Band>) {
    let clean = |w: &AimWindow| w.clean;
    let direct = |w: &AimWindow| w.direct;
    let lines: Vec<Line> = aparts_m
        .iter()
        .zip(columns)
        .map(|(apart, column)| Line {
            name: format!("{} apart", speak::feet(Length::from_m(*apart))),
            points: column
                .iter()
                .map(|r| (r.cut_rad.to_degrees(), each_deg(r, clean)))
                .collect(),
        })
        .collect();
    let bands: Vec<Band> = columns
        .iter()
        .enumerate()
        .map(|(line, column)| Band {
            name: format!("off the jaws, {}", lines[line].name),
            points: column
                .iter()
                .map(|r| {
                    (
                        r.cut_rad.to_degrees(),
                        each_deg(r, clean),
                        each_deg(r, direct),
                    )
                })
                .filter(|p| p.1.is_finite() && p.2.is_finite())
                .collect(),
            line,
        })
        .collect();
    (lines, bands)
}

/// The finding, in numbers of the chart.
fn title(lines: &[Line], low: f64, high: f64) -> String {
    let value = |line: Option<&Line>, first: bool| {
        let points = &line?.points;
        let at = if first { points.first() } else { points.last() };
        at.map(|p| p.1).filter(|v| v.is_finite())
    };
    match (value(lines.first(), true), value(lines.last(), false)) {
        (Some(easy), Some(hard)) if hard > 0.0 && lines.len() > 1 => {
            let end = |line: Option<&Line>| {
                line.map_or("", |l| l.name.trim_end_matches(" apart"))
                    .to_owned()
            };
            let (near, far) = (end(lines.first()), end(lines.last()));
            let cut = if low.abs() < 0.5 {
                "straight".to_owned()
            } else {
                format!("at {low:.0}°")
            };
            format!(
                "Room each side: {easy:.2}° {cut} at {near}, {hard:.3}° at {high:.0}° and {far}"
            )
        }
        _ => "How much room does a cut leave?".to_owned(),
    }
}

/// First and last of sorted values, two at least.
fn ends(sorted: &[f64], what: &str) -> Result<(f64, f64), ChartError> {
    match (sorted.first(), sorted.last()) {
        (Some(a), Some(b)) if a < b => Ok((a.to_degrees(), b.to_degrees())),
        _ => Err(ChartError::Empty {
            what: format!("the chart over {what}s"),
            why: "it needs at least two different values on its axis",
        }),
    }
}

/// The map over cut and distance between the balls.
///
/// # Errors
/// [`SurveyChartError`]: fewer than two cuts or distances, or no shot that goes.
pub fn map(gear: &Gear, grid: &Grid, size: Size) -> Result<Picture, SurveyChartError> {
    let to_pocket_m = middle(&grid.to_pockets_m);
    let mut cuts_rad = grid.cuts_rad.clone();
    cuts_rad.sort_by(f64::total_cmp);
    let (low, high) = ends(&cuts_rad, "cut")?;
    let mut aparts_m = grid.aparts_m.clone();
    aparts_m.sort_by(f64::total_cmp);
    ends(&aparts_m, "distance")?;
    let (near, far) = (aparts_m[0] / FOOT_M, aparts_m[aparts_m.len() - 1] / FOOT_M);
    let steps = |from: f64, to: f64, count: u32| -> Vec<f64> {
        (0..count)
            .map(|k| from + (to - from) * f64::from(k) / f64::from(count - 1))
            .collect()
    };
    let (cuts_deg, feet) = (steps(low, high, MAP_CUTS), steps(near, far, MAP_DISTANCES));
    let own = Grid {
        cuts_rad: cuts_deg.iter().map(|d| d.to_radians()).collect(),
        aparts_m: feet.iter().map(|f| f * FOOT_M).collect(),
        to_pockets_m: vec![to_pocket_m],
        player: None,
        ..grid.clone()
    };
    let values = rows(gear, &own)?
        .iter()
        .map(|r| each_deg(r, |w| w.direct))
        .collect();
    let empty = |_| ChartError::Empty {
        what: "the map".to_owned(),
        why: "its grid has no values",
    };
    let chart = HeatMap {
        caption: Caption {
            title: "Distance eats the room first, thin cuts take the rest".to_owned(),
            subtitle: format!(
                "{}. Untouched or off the jaws",
                subtitle(gear, grid, to_pocket_m)
            ),
            footer: footer(grid),
            desc: format!(
                "Map of the room each side in degrees over cut angles from {low:.0} to {high:.0} degrees and {near:.1} to {far:.1} feet between the balls."
            ),
        },
        x: Axis::linear("cut angle (degrees)", low, high),
        y: Axis::linear("cue ball to object ball (ft)", near, far),
        grid: MapGrid::new(cuts_deg, feet, values).map_err(empty)?,
        levels: Levels {
            at: MAP_LEVELS_DEG.to_vec(),
            title: "room each side (degrees)".to_owned(),
        },
    };
    Ok(chart.draw(size)?)
}

/// The next 1, 2 or 5 times a power of ten at or below, and at or above.
fn floor_125(value: f64) -> f64 {
    let decade = 10_f64.powf(value.log10().floor());
    [5.0, 2.0, 1.0]
        .into_iter()
        .map(|m| m * decade)
        .find(|v| *v <= value)
        .unwrap_or(decade)
}

fn ceil_125(value: f64) -> f64 {
    let decade = 10_f64.powf(value.log10().floor());
    [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|m| m * decade)
        .find(|v| *v >= value)
        .unwrap_or(10.0 * decade)
}
