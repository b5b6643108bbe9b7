//! What a pocket takes against the approach angle, with the shade of what is assumed.

use kurbo::{Point, Vec2};

use super::words::pocket as words;
use super::words::room::{LINES, THIS_SHOT};
use super::{Chart, ChartError, Request, Subject};
use crate::draw::Picture;
use crate::draw::lines::{Band, Line, LineChart, Mark};
use crate::draw::plot::Axis;
use crate::draw::theme::Caption;
use crate::gear::Gear;
use crate::motion::BallBody;
use crate::pocket::{Acceptance, Component, PocketKind, PocketShape, accept};
use crate::units::UnitSystem;
use crate::window::assumed_gears;

/// Approaches drawn, degrees to each side of square.
const MOST_DEG: i32 = 75;
/// Object ball to the mouth where no shot says it, m (common practice: about a third of a table).
const USUAL_M: f64 = 0.8;

/// The approach held against straight in, degrees (for the eye: most of a corner is gone there).
const OFF_DEG: f64 = 40.0;

/// A millimetre in the unit of the axis.
fn of_a_mm(units: UnitSystem) -> f64 {
    match units {
        UnitSystem::Metric => 1.0,
        UnitSystem::Inches => 1.0 / 25.4,
    }
}

/// Effective pocket size.
#[derive(Debug, Clone, Copy)]
pub struct PocketChart;

/// Untouched, with the jaws, with the rail, mm; NaN where a ball cannot lie or does not drop.
fn sizes_mm(
    gear: &Gear,
    kind: PocketKind,
    approach_deg: f64,
    distance_m: f64,
    pace_m_s: f64,
) -> [f64; 3] {
    let body = BallBody::object(gear);
    let shape = PocketShape::new(gear, kind, &body);
    let object = Point::ORIGIN - Vec2::from_angle(approach_deg.to_radians()) * distance_m;
    let accepted = accept(&shape, &gear.cloth, &body, object, pace_m_s);
    let Ok(Ok(a)) = accepted else {
        return [f64::NAN; 3];
    };
    let size =
        |a: &Acceptance, c: Option<Component>| c.map_or(f64::NAN, |c| 1e3 * a.effective_size_m(&c));
    [
        size(&a, a.clean),
        size(&a, a.direct),
        size(&a, Some(a.drop)),
    ]
}

/// From where this shot's object ball comes, on the first line that has room there.
fn this_shot(request: &Request) -> Option<Mark> {
    let (shot, _) = request.marked()?;
    let way = -shot.object.to_vec2();
    let approach_deg = way.atan2().to_degrees();
    let (kind, pace_m_s) = (shot.frame.kind, shot.stroke.pace_m_s);
    let sizes = sizes_mm(&request.gear, kind, approach_deg, way.hypot(), pace_m_s);
    let line = sizes.iter().position(|s| s.is_finite())?;
    (approach_deg.abs() <= f64::from(MOST_DEG)).then(|| Mark {
        at: (approach_deg, of_a_mm(request.units) * sizes[line]),
        text: THIS_SHOT.to_owned(),
        line,
    })
}

impl Chart for PocketChart {
    fn name(&self) -> &'static str {
        "pocket"
    }

    fn question(&self) -> &'static str {
        "How much does the pocket take, from which angle?"
    }

    fn subject(&self) -> Subject {
        Subject::Pocket
    }

    fn draw(&self, request: &Request) -> Result<Picture, ChartError> {
        let shot = request.shot.as_ref();
        let kind = shot.map_or(request.grid.kind, |s| s.frame.kind);
        let distance_m = shot.map_or(USUAL_M, |s| s.object.to_vec2().hypot());
        let stroke = shot.map_or(request.grid.stroke, |s| s.stroke);
        let pace_m_s = stroke.pace_m_s;
        let angles: Vec<f64> = (-MOST_DEG..=MOST_DEG).map(f64::from).collect();
        let solved: Vec<[f64; 3]> = angles
            .iter()
            .map(|a| sizes_mm(&request.gear, kind, *a, distance_m, pace_m_s))
            .collect();
        let times = of_a_mm(request.units);
        let line = |name: &str, k: usize| Line {
            name: name.to_owned(),
            points: angles
                .iter()
                .zip(&solved)
                .map(|(a, s)| (*a, times * s[k]))
                .collect(),
        };
        let lines = vec![line(LINES[0], 0), line(LINES[1], 1), line(LINES[2], 2)];
        let mut bands = vec![assumed(request, kind, &angles, distance_m, pace_m_s)];
        for (_, low, high) in bands.iter_mut().flat_map(|b| &mut b.points) {
            *low *= times;
            *high *= times;
        }
        let clean = angles.iter().position(|a| *a == OFF_DEG);
        let clean = clean.map(|off| words::Clean {
            straight_mm: solved[solved.len() / 2][0],
            off_mm: Some(solved[off][0])
                .filter(|v| v.is_finite())
                .unwrap_or(0.0),
            off_deg: OFF_DEG,
        });
        let clean = clean.filter(|clean| clean.straight_mm.is_finite());
        let comes = words::Comes {
            distance_m,
            pace_m_s,
        };
        let most = lines.iter().flat_map(|l| &l.points).map(|p| p.1);
        let most = most
            .chain(bands[0].points.iter().map(|p| p.2))
            .fold(0.0, f64::max);
        if most <= 0.0 {
            return Err(ChartError::NoRoom(words::NOTHING.to_owned()));
        }
        let chart = LineChart {
            caption: Caption {
                footer: request.footer_without(words::footer(&request.gear)),
                ..words::caption(&request.gear, kind, &comes, clean.as_ref(), request.units)
            },
            x: Axis::linear(words::APPROACH, f64::from(-MOST_DEG), f64::from(MOST_DEG)),
            y: Axis::linear(words::size(request.units), 0.0, 1.08 * most),
            lines,
            bands,
            marks: this_shot(request).into_iter().collect(),
        };
        Ok(chart.draw(request.size)?)
    }
}

/// Least and most with the jaws over the assumed cushions, every third angle.
fn assumed(
    request: &Request,
    kind: PocketKind,
    angles: &[f64],
    distance_m: f64,
    pace_m_s: f64,
) -> Band {
    let gears: Vec<Gear> = assumed_gears(&request.gear);
    let points = angles.iter().step_by(3).map(|a| {
        let sizes = gears
            .iter()
            .map(|g| sizes_mm(g, kind, *a, distance_m, pace_m_s)[1])
            .filter(|v| v.is_finite());
        let (low, high) = sizes.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| {
            (l.min(v), h.max(v))
        });
        (*a, low, high)
    });
    Band {
        name: words::ASSUMED.to_owned(),
        points: points.filter(|p| p.1.is_finite()).collect(),
        line: 1,
    }
}
