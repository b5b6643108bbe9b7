//! What was asked about one shot besides its rank, as data and in words: risk, best pace, go or
//! play safe.
//!
//! Limits: those of [`super::risk`], [`super::best_pace`] and [`super::break_even`].

use serde::Serialize;

use super::answer::Place;
use super::play::{BestPace, PaceTry, Risk, break_even};
use crate::player::in_ten;
use crate::units::{Angle, speak};

/// Changes of throw and of room below this are not worth saying, degrees (assumption: far below
/// what a starting player's arm spreads).
const WORTH_SAYING_DEG: f64 = 0.05;
/// Gains in chance below this are none (assumption: 1 in 100).
const NO_GAIN: f64 = 0.01;

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

/// All that was asked for about the best shot.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Decision {
    /// With `--risk`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub risk: Option<RiskAnswer>,
    /// With `--best-pace`, for a direct shot.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub best_pace: Option<BestPace>,
    /// With three win chances.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub go_or_safe: Option<GoOrSafe>,
}

/// The decision in sentences, one a line; empty when nothing was asked for.
#[must_use]
pub fn decision_text(decision: &Decision) -> String {
    let mut out = String::new();
    if let Some(r) = &decision.risk {
        out.push_str(&format!(
            "Risk of shot 1, {} simulated tries: made {:.0} %, scratched {:.0} % ({:.0} % with a make), missed {:.0} %.\n",
            r.tries,
            100.0 * r.make,
            100.0 * r.scratch,
            100.0 * r.make_and_scratch,
            100.0 * r.miss
        ));
    }
    if let Some(found) = &decision.best_pace {
        out.push_str(&pace_line(found));
    }
    if let Some(verdict) = &decision.go_or_safe {
        out.push_str(&verdict_line(verdict));
    }
    out
}

fn pace_line(found: &BestPace) -> String {
    let best = &found.best;
    let head = format!(
        "Best pace for shot 1: {:.2} m/s at the pocket, {:.1} in 10",
        best.pace_m_s,
        10.0 * best.chance
    );
    match &found.asked {
        None => format!("{head}.\n"),
        Some(asked) if best.chance - asked.chance < NO_GAIN => {
            format!(
                "{head}: no better than the {:.2} m/s asked for.\n",
                asked.pace_m_s
            )
        }
        Some(asked) => format!(
            "{head} against {:.1} in 10 now{}.\n",
            10.0 * asked.chance,
            lost(asked, best)
        ),
    }
}

/// What the better pace costs elsewhere, from the numbers: more throw, less room at the jaws.
fn lost(asked: &PaceTry, best: &PaceTry) -> String {
    let change = |name: &str, from_rad: f64, to_rad: f64| {
        format!(
            "{name} ({} → {})",
            speak::degrees(Angle::from_deg(from_rad.to_degrees())),
            speak::degrees(Angle::from_deg(to_rad.to_degrees()))
        )
    };
    let worth_rad = WORTH_SAYING_DEG.to_radians();
    let mut parts = Vec::new();
    if best.throw_rad > asked.throw_rad + worth_rad {
        parts.push(change("throw grows", asked.throw_rad, best.throw_rad));
    }
    if best.room_rad < asked.room_rad - worth_rad {
        parts.push(change(
            "room at the jaws shrinks",
            asked.room_rad,
            best.room_rad,
        ));
    }
    if parts.is_empty() {
        String::new()
    } else {
        format!("; what is lost: {}", parts.join(", "))
    }
}

fn verdict_line(verdict: &GoOrSafe) -> String {
    let words = match verdict.break_even {
        None => "a make does not help: play safe".to_owned(),
        Some(needed) if verdict.go => format!(
            "go for it: it pays from {} on, and shot 1 is {}",
            in_ten(needed),
            in_ten(verdict.chance)
        ),
        Some(needed) => format!(
            "play safe: going for it pays from {} on, and shot 1 is {}",
            in_ten(needed),
            in_ten(verdict.chance)
        ),
    };
    format!("Go or safe: {words}.\n")
}
