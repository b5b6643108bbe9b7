//! The factors of a window as steps from the pocket's opening down to the room left.

use super::words::room::NO_PART;
use super::words::why as words;
use super::{Chart, ChartError, Request};
use crate::draw::Picture;
use crate::draw::bars::{BarChart, Row};
use crate::draw::plot::Axis;
use crate::gear::Gear;
use crate::units::Side;
use crate::window::{AbstractShot, Shot, Solution, Why, no_window_words, part_words, solve, why};

/// Why the window is as narrow as it is.
#[derive(Debug, Clone, Copy)]
pub struct WhyChart;

fn factors(solution: Solution) -> Result<(Why, f64), ChartError> {
    let fault = |text: String| ChartError::NoRoom(text);
    let window = solution
        .window
        .map_err(|no| fault(no_window_words(no).to_owned()))?;
    let none = || fault(NO_PART.to_owned());
    let factors = why(&window).ok_or_else(none)?;
    let (_, part) = window.best_part().ok_or_else(none)?;
    Ok((factors, part.total_rad()))
}

/// The same distances, straight and square in.
fn straight(gear: &Gear, shot: &Shot) -> Option<Shot> {
    let straight = AbstractShot {
        kind: shot.frame.kind,
        cut_rad: 0.0,
        cut_side: Side::Left,
        apart_m: shot.apart_m(),
        to_pocket_m: shot.object.to_vec2().hypot(),
        approach_rad: 0.0,
    };
    Shot::from_angles(gear, &straight, shot.stroke).ok()
}

/// What is left after each factor, degrees.
fn steps(why: &Why) -> [f64; 4] {
    let opening = why.pocket_opening_rad.to_degrees();
    let distance = opening * why.distance_factor;
    let cut = distance * why.cut_factor;
    [opening, distance, cut, cut * why.throw_factor]
}

impl Chart for WhyChart {
    fn name(&self) -> &'static str {
        "why"
    }

    fn question(&self) -> &'static str {
        "Why is there so little room?"
    }

    fn draw(&self, request: &Request) -> Result<Picture, ChartError> {
        let (gear, shot) = (&request.gear, request.shot(self.name())?);
        let (factors, exact_rad) = factors(request.solved(shot)?)?;
        let own = steps(&factors);
        let other = straight(gear, shot).and_then(|s| self::factors(solve(gear, &s).ok()?).ok());
        let other = other.map(|(w, _)| steps(&w));
        let by = [
            1.0,
            factors.distance_factor,
            factors.cut_factor,
            factors.throw_factor,
        ];
        let rows: Vec<Row> = (0..words::STEPS.len())
            .map(|k| Row {
                before: k.checked_sub(1).map(|j| own[j]),
                compare: other.map(|o| o[k]),
                note: words::left((k > 0).then_some(by[k]), own[k]),
                ..Row::new(words::STEPS[k], own[k])
            })
            .collect();
        let all = own.into_iter().chain(other.into_iter().flatten());
        let (least, most) = all.fold((f64::INFINITY, 0.0_f64), |(l, m), v| (l.min(v), m.max(v)));
        let what = part_words(factors.of);
        let chart = BarChart {
            caption: words::caption(gear, shot, what, exact_rad),
            axis: Axis::log(words::AXIS, 0.6 * least, 1.3 * most),
            rows,
            parts: Vec::new(),
            compare: if other.is_some() {
                words::STRAIGHT.to_owned()
            } else {
                String::new()
            },
        };
        Ok(chart.draw(request.size)?)
    }
}
