//! From the plain shot to this one, step by step: what each step keeps of the margin over the player's
//! spread. The steps are the factors of the verdict, so that title, bars and sentence agree.

use super::words::room::NO_PART;
use super::words::why as words;
use super::{Chart, ChartError, Choice, Request};
use crate::answer::{Aims, ShotAnswer, Solving, not_playable_words};
use crate::draw::Picture;
use crate::draw::bars::{BarChart, Row};
use crate::draw::plot::Axis;
use crate::player::Straights;
use crate::player::factors::{Factor, Factors};
use crate::window::no_window_words;

/// A step that changes less than this is none.
const NO_STEP: f64 = 0.005;

/// Why the shot is as hard as it is.
#[derive(Debug, Clone, Copy)]
pub struct WhyChart;

/// One step from the plain shot to this one.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Step {
    /// What changes; none for what the factors leave.
    factor: Option<Factor>,
    /// What it keeps, as a share.
    keeps: f64,
    /// What is left of the plain shot before and after it, as shares.
    before: f64,
    after: f64,
}

/// The steps that change something, in order.
fn steps(factors: &Factors) -> Vec<Step> {
    let named = factors.named().map(|(factor, keeps)| (Some(factor), keeps));
    let all = named.into_iter().chain([(None, factors.rest)]);
    let mut before = 1.0;
    let mut out = Vec::new();
    for (factor, keeps) in all {
        let after = before * keeps;
        if (keeps - 1.0).abs() >= NO_STEP {
            out.push(Step {
                factor,
                keeps,
                before,
                after,
            });
        }
        before = after;
    }
    out
}

impl Chart for WhyChart {
    fn name(&self) -> &'static str {
        "why"
    }

    fn question(&self) -> &'static str {
        "Why is this shot as hard as it is?"
    }

    fn choices(&self) -> &'static [Choice] {
        &[Choice::Player]
    }

    fn draw(&self, request: &Request) -> Result<Picture, ChartError> {
        let (gear, shot) = (&request.gear, request.shot(self.name())?);
        let solution = request.solved(shot)?;
        let fault = |text: String| ChartError::NoRoom(text);
        if let Err(no) = &solution.window {
            return Err(fault(no_window_words(*no).to_owned()));
        }
        let mut answer = ShotAnswer::new(gear, shot, &solution, None);
        if let Some(player) = &request.player {
            let straights = Straights::new(gear, &player.error, &shot.stroke);
            let of = Solving {
                shot,
                solution: &solution,
            };
            let aims = Aims {
                player,
                arm_times: 1.0,
                open_rad: None,
                with_range: false,
            };
            answer = answer.with_aims(gear, &straights, &of, &aims);
        }
        let Some(why) = answer.why.clone() else {
            return Err(fault(NO_PART.to_owned()));
        };
        let drawn = words::Drawn {
            gear,
            shot,
            answer: &answer,
            who: request.player.as_ref().map(|p| p.who.as_str()),
            units: request.units,
        };
        let steps = steps(&why.factors);
        let playable = not_playable_words(&answer, request.units).is_none();
        let plain = Row {
            note: words::PLAIN_NOTE.to_owned(),
            ..Row::new(words::plain(request.units), 100.0)
        };
        let rows = std::iter::once(plain).chain(steps.iter().map(|step| {
            let main = playable && step.factor.is_some_and(|f| why.main.contains(&f));
            Row {
                before: Some(100.0 * step.before),
                note: words::keeps(step.keeps, step.after, main),
                ..Row::new(drawn.step(step.factor), 100.0 * step.after)
            }
        }));
        let most = steps.iter().map(|s| s.after).fold(1.0, f64::max);
        let chart = BarChart {
            caption: drawn.caption(why.product),
            axis: Axis::linear(words::AXIS, 0.0, 105.0 * most),
            rows: rows.collect(),
            parts: Vec::new(),
            compare: String::new(),
        };
        Ok(chart.draw(request.size)?)
    }
}
