//! What was asked about one shot besides its rank, as data: risk, best pace, go or play safe, the leave
//! for a next ball.
//!
//! Limits: those of [`super::risk`], [`super::best_pace`] and [`super::break_even`].

use serde::Serialize;

use super::answer::Place;
use super::leave::{LeaveCell, LeaveMap};
use super::play::{BestPace, Risk, break_even};
use crate::pocket::PocketName;
use crate::window::Hit;

/// Risk as data.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RiskAnswer {
    /// Tries simulated.
    pub tries: u32,
    /// Made, scratch or not.
    pub make: f64,
    /// Scratched, made or not.
    pub scratch: f64,
    /// Made and scratched.
    pub make_and_scratch: f64,
    /// Not made.
    pub miss: f64,
    /// Where the object ball stopped after each miss.
    pub object_stops: Vec<Place>,
}

impl From<&Risk> for RiskAnswer {
    fn from(r: &Risk) -> Self {
        Self {
            tries: r.tries,
            make: r.make,
            scratch: r.scratch,
            make_and_scratch: r.make_and_scratch,
            miss: r.miss,
            object_stops: r.object_stops.iter().map(|&p| p.into()).collect(),
        }
    }
}

/// Whether going for it wins more often than a safety.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct GoOrSafe {
    /// Chance from which going for it pays; `None` when a make does not help.
    pub break_even: Option<f64>,
    /// Chance to make the shot and keep the cue ball.
    pub chance: f64,
    /// Go for it.
    pub go: bool,
}

impl GoOrSafe {
    /// From the chances to win after a make, a miss and a safety.
    #[must_use]
    pub fn new([make, miss, safe]: [f64; 3], chance: f64) -> Self {
        let needed = break_even(make, miss, safe);
        Self {
            break_even: needed,
            chance,
            go: needed.is_some_and(|n| chance >= n),
        }
    }
}

/// What a way of hitting leaves.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RestingAnswer {
    /// Roll, stun or draw.
    pub hit: Hit,
    /// Chance to make this shot and keep the cue ball on the table.
    pub make: f64,
    /// Chance of the next shot after that.
    pub next: Option<f64>,
    /// Where the cue ball comes to lie, each place as likely as the others.
    pub stops: Vec<Place>,
}

/// The leave for a next ball and pocket.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LeaveAnswer {
    /// Next ball.
    pub ball: String,
    /// Its pocket.
    pub pocket: PocketName,
    /// Whether the next ball can drop there at all; without it the rest is empty.
    pub on: bool,
    /// Roll, stun and draw, those that are on.
    pub resting: Vec<RestingAnswer>,
    /// Chance of the next shot over the table, row by row from the right rail.
    pub cells: Vec<LeaveCell>,
}

impl LeaveAnswer {
    /// From a leave map, `None` when the next ball cannot drop there.
    #[must_use]
    pub fn new(ball: &str, pocket: PocketName, map: Option<LeaveMap>) -> Self {
        let on = map.is_some();
        let (areas, cells) = map.map_or_else(Default::default, |m| (m.resting, m.cells));
        let resting = areas.into_iter().map(|area| RestingAnswer {
            hit: area.hit,
            make: area.make,
            next: area.next,
            stops: area.stops.iter().map(|&p| p.into()).collect(),
        });
        Self {
            ball: ball.to_owned(),
            pocket,
            on,
            resting: resting.collect(),
            cells,
        }
    }
}

/// All that was asked for about the best shot.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Decision {
    /// When asked whether to go for it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub risk: Option<RiskAnswer>,
    /// The pace that is best, for a direct shot.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub best_pace: Option<BestPace>,
    /// With three win chances.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub go_or_safe: Option<GoOrSafe>,
    /// Where balls are left, for a direct shot.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub leave: Option<LeaveAnswer>,
}
