//! The factors of a window as steps from the pocket's opening down to the room left.

use super::{Chart, ChartError, Request};
use crate::draw::Picture;
use crate::draw::bars::{BarChart, Row};
use crate::draw::plot::Axis;
use crate::draw::theme::Caption;
use crate::gear::Gear;
use crate::units::{Length, Side, UnitSystem, speak};
use crate::window::{AbstractShot, Shot, Solution, Why, no_window_words, solve, why};

/// Why the window is as narrow as it is.
#[derive(Debug, Clone, Copy)]
pub struct WhyChart;

fn factors(solution: Solution) -> Result<(Why, f64), ChartError> {
    let fault = |text: String| ChartError::NoRoom(text);
    let window = solution
        .window
        .map_err(|no| fault(no_window_words(no).to_owned()))?;
    let none = || fault("no part can be hit".to_owned());
    let factors = why(&window).ok_or_else(none)?;
    let part = match factors.of {
        "clean" => window.clean,
        "direct" => window.direct,
        _ => window.drop,
    };
    Ok((factors, part.ok_or_else(none)?.total_rad()))
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

const NAMES: [&str; 4] = [
    "the pocket opens",
    "after the distance",
    "after the cut",
    "after throw",
];

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
        let rows: Vec<Row> = (0..NAMES.len())
            .map(|k| Row {
                before: k.checked_sub(1).map(|j| own[j]),
                compare: other.map(|o| o[k]),
                note: if k == 0 {
                    format!("{:.2}°", own[k])
                } else {
                    format!("× {:.3} = {:.3}°", by[k], own[k])
                },
                ..Row::new(NAMES[k], own[k])
            })
            .collect();
        let all = own.into_iter().chain(other.into_iter().flatten());
        let (least, most) = all.fold((f64::INFINITY, 0.0_f64), |(l, m), v| (l.min(v), m.max(v)));
        let distance = |m: f64| speak::distance(Length::from_m(m), UnitSystem::Metric);
        let what = match factors.of {
            "clean" => "untouched",
            "direct" => "off the jaws",
            _ => "off the rail",
        };
        let chart = BarChart {
            caption: Caption {
                title: format!(
                    "Why {:.2}° in all: what each step leaves of the pocket",
                    exact_rad.to_degrees()
                ),
                subtitle: format!(
                    "{} pocket, {} between the balls, {} to it; {what}; {}",
                    super::scene::kind_word(shot.frame.kind),
                    distance(shot.apart_m()),
                    distance(shot.object.to_vec2().hypot()),
                    gear.spoken()
                ),
                footer: "The factors multiply to the first order; the title has the exact window."
                    .to_owned(),
                desc: "Bars from the pocket's opening through distance, cut and throw to the window, in degrees on a logarithmic axis.".to_owned(),
            },
            axis: Axis::log("degrees in all (log scale)", 0.6 * least, 1.3 * most),
            rows,
            parts: Vec::new(),
            compare: if other.is_some() {
                "straight and square in at the same distances".to_owned()
            } else {
                String::new()
            },
        };
        Ok(chart.draw(request.size)?)
    }
}
