//! The path of a cue ball struck off its middle, against the stick's line.

use kurbo::Point;

use super::ChartError;
use crate::draw::lines::{Line, LineChart, Mark};
use crate::draw::plot::Axis;
use crate::draw::theme::Caption;
use crate::draw::{DrawError, Picture, Size};
use crate::gear::Gear;
use crate::stroke::{Stick, feet, reach, roam};
use crate::units::{Angle, Length, UnitSystem, speak};

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
        what: "stroke".to_owned(),
        why: "the ball never stops on this cloth",
    };
    let run = roam(gear, stick, Point::ORIGIN, 0.0).ok_or_else(nothing)?;
    let struck = object.and_then(|at| reach(gear, stick, (Point::ORIGIN, at), 0.0));
    let far_m = struck.map_or(run.rest.x, |s| s.arrival.at.x).min(LONGEST_M);
    let along: Vec<f64> = (0..=POINTS)
        .map(|k| far_m * 0.999 * f64::from(k) / f64::from(POINTS))
        .collect();
    let marks = feet(gear, stick, (Point::ORIGIN, 0.0), &along);
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
            text: "rolls from here".to_owned(),
            line: 0,
        });
    }
    if struck.is_some() {
        at.push(Mark {
            at: last,
            text: "meets the object ball".to_owned(),
            line: 0,
        });
    }
    let chart = LineChart {
        caption: caption(gear, stick, far_m, last.1),
        x: Axis::linear("along the stick's line (cm)", 0.0, 100.0 * far_m),
        y: Axis::linear("left of the stick's line (mm), right negative", least, most),
        lines: vec![
            Line {
                name: "cue ball".to_owned(),
                points: path,
            },
            Line {
                name: "stick's line".to_owned(),
                points: vec![(0.0, 0.0), (100.0 * far_m, 0.0)],
            },
        ],
        bands: Vec::new(),
        marks: at,
    };
    Ok(chart.draw(size)?)
}

/// The question and its numbers: `left_mm` of the stick's line after `far_m` along it.
fn caption(gear: &Gear, stick: &Stick, far_m: f64, left_mm: f64) -> Caption {
    let squirt = Angle::from_rad(stick.squirt_rad(gear.cue_radius_m()).abs());
    Caption {
        title: "Where does the cue ball go when it is struck off its middle?".to_owned(),
        subtitle: format!(
            "{:.1} mm right and {:.1} mm high, {:.2} m/s off the tip, stick {} up: squirt {}, and {:.1} mm {} of the stick's line after {}",
            1e3 * stick.across_m,
            1e3 * stick.height_m,
            stick.speed_m_s,
            speak::degrees(Angle::from_rad(stick.elevation_rad)),
            speak::degrees(squirt),
            left_mm.abs(),
            if left_mm >= 0.0 { "left" } else { "right" },
            speak::distance(Length::from_m(far_m), UnitSystem::Metric),
        ),
        footer: format!(
            "Across is drawn much wider than along. Pivot {:.0} mm from the ball's middle; {}.",
            1e3 * stick.pivot_m,
            gear.spoken()
        ),
        desc: "Path of the cue ball's middle against the line of the stick, in millimetres left of it over centimetres along it.".to_owned(),
    }
}
