//! The path of a cue ball struck off its middle, against the stick's line.

use kurbo::Point;

use super::ChartError;
use super::words::stroke as words;
use crate::draw::lines::{Line, LineChart, Mark};
use crate::draw::plot::Axis;
use crate::draw::{DrawError, Picture, Size};
use crate::gear::Gear;
use crate::stroke::{Stick, feet, reach, roam};

/// Points along the path.
const POINTS: u32 = 120;
/// Longest stretch drawn, m: a table's length.
const LONGEST_M: f64 = 2.5;
/// Room above and below the path, as a share of its spread, and the least spread, mm.
const ROOM: f64 = 0.15;
const LEAST_MM: f64 = 4.0;

/// Where the ball's middle goes: across in millimetres, many times wider than along.
///
/// # Errors
/// [`ChartError`] without room.
pub fn stroke_chart(
    gear: &Gear,
    stick: &Stick,
    object: Option<Point>,
    size: Size,
) -> Result<Picture, ChartError> {
    let nothing = || DrawError::Empty {
        what: words::CHART.to_owned(),
        why: words::EMPTY,
    };
    let run = roam(gear, stick, Point::ORIGIN, 0.0).ok_or_else(nothing)?;
    let struck = object.and_then(|at| reach(gear, stick, Point::ORIGIN, at, 0.0));
    let far_m = struck.map_or(run.rest.x, |s| s.arrival.at.x).min(LONGEST_M);
    let along: Vec<f64> = (0..=POINTS)
        .map(|k| far_m * 0.999 * f64::from(k) / f64::from(POINTS))
        .collect();
    let marks = feet(gear, stick, Point::ORIGIN, 0.0, &along);
    let path: Vec<(f64, f64)> = marks
        .iter()
        .map(|m| (100.0 * m.along_m, 1e3 * m.left_m))
        .collect();
    let (mut least, mut most) = path
        .iter()
        .fold((0.0_f64, 0.0_f64), |(l, h), p| (l.min(p.1), h.max(p.1)));
    let spread = (most - least).max(LEAST_MM);
    least -= ROOM * spread;
    most += ROOM * spread;
    let last = path.last().copied().unwrap_or_default();
    let mut at = Vec::new();
    if let Some(p) = run.rolls_from.filter(|p| p.x < far_m) {
        at.push(Mark {
            at: (100.0 * p.x, 1e3 * p.y),
            text: words::ROLLS.to_owned(),
            line: 0,
        });
    }
    if struck.is_some() {
        at.push(Mark {
            at: last,
            text: words::MEETS.to_owned(),
            line: 0,
        });
    }
    let chart = LineChart {
        caption: words::caption(gear, stick, far_m, last.1),
        x: Axis::linear(words::ALONG, 0.0, 100.0 * far_m),
        y: Axis::linear(words::ACROSS, least, most),
        lines: vec![
            Line {
                name: words::CUE_BALL.to_owned(),
                points: path,
            },
            Line {
                name: words::STICK.to_owned(),
                points: vec![(0.0, 0.0), (100.0 * far_m, 0.0)],
            },
        ],
        bands: Vec::new(),
        marks: at,
    };
    Ok(chart.draw(size)?)
}
