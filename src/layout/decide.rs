//! What was asked about one shot besides its rank, as data and in words: risk, best pace, go or
//! play safe, the leave for a next ball.
//!
//! Limits: those of [`super::risk`], [`super::best_pace`] and [`super::break_even`].

use serde::Serialize;

use super::answer::Place;
use super::leave::{LeaveCell, LeaveMap, RestingArea};
use super::play::{BestPace, PaceTry, Risk, break_even};
use crate::answer::pace_words;
use crate::player::in_ten;
use crate::pocket::PocketName;
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

/// What a way of hitting leaves.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RestingAnswer {
    /// `roll`, `stun` or `draw`.
    pub hit: &'static str,
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
    pub pocket: &'static str,
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
            hit: area.hit.name(),
            make: area.make,
            next: area.next,
            stops: area.stops.iter().map(|&p| p.into()).collect(),
        });
        Self {
            ball: ball.to_owned(),
            pocket: pocket.name(),
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
    if let Some(leave) = &decision.leave {
        out.push_str(&leave_line(leave));
    }
    out
}

fn pace_line(found: &BestPace) -> String {
    let best = &found.best;
    let head = format!(
        "Best pace for shot 1, with ±10 % of speed and clean or chalky balls counted (assumed): {}, {:.1} in 10",
        pace_words(best.pace_m_s, Some(best.stroke_lengths)),
        10.0 * best.chance
    );
    let (than, lost) = match &found.asked {
        None => (String::new(), String::new()),
        Some(asked) if best.chance - asked.chance < NO_GAIN => (
            format!(": no better than the {:.2} m/s asked for", asked.pace_m_s),
            String::new(),
        ),
        Some(asked) => (
            format!(" against {:.1} in 10 now", 10.0 * asked.chance),
            lost(asked, best),
        ),
    };
    let softer = found.asked.is_none_or(|a| best.pace_m_s < a.pace_m_s);
    let uncounted = if softer && !than.starts_with(':') {
        " Not counted, and against a soft stroke: where it leaves the cue ball, a table that rolls off."
    } else {
        ""
    };
    format!("{head}{than}{lost}.{uncounted}\n")
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
    if best.short_share > asked.short_share + NO_GAIN {
        parts.push(format!(
            "{:.0} in 100 die before the pocket",
            100.0 * best.short_share
        ));
    }
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
    let needs = verdict.break_even.map(|needed| {
        if needed >= 1.0 {
            return "never pays, since a sure make wins less than a safety".to_owned();
        }
        let (pays, is) = (in_ten(needed), in_ten(verdict.chance));
        if pays == is {
            let percent = |x: f64| format!("{:.1} in 100", 100.0 * x);
            format!(
                "pays from {} on, and shot 1 is {}: close",
                percent(needed),
                percent(verdict.chance)
            )
        } else {
            format!("pays from {pays} on, and shot 1 is {is}")
        }
    });
    let words = match needs {
        None => "a make does not help: play safe".to_owned(),
        Some(words) if verdict.go => format!("go for it: it {words}"),
        Some(words) => format!("play safe: going for it {words}"),
    };
    format!("Go or safe: {words}.\n")
}

/// "Stun leaves you 6 in 10, roll 8 in 10, draw 5 in 10": best first.
#[must_use]
pub fn leave_words(resting: &[RestingArea]) -> String {
    let mut ways: Vec<(&str, f64)> = resting
        .iter()
        .filter_map(|area| Some((area.hit.name(), area.next?)))
        .collect();
    ways.sort_by(|a, b| b.1.total_cmp(&a.1));
    let mut words: Vec<String> = ways
        .iter()
        .map(|(hit, next)| format!("{hit} {}", in_ten(*next)))
        .collect();
    match (words.first_mut(), ways.first()) {
        (Some(first), Some((hit, next))) => {
            let mut name = (*hit).to_owned();
            if let Some(letter) = name.get_mut(..1) {
                letter.make_ascii_uppercase();
            }
            *first = format!("{name} leaves you {}", in_ten(*next));
        }
        _ => return "No way of hitting makes this shot".to_owned(),
    }
    words.join(", ")
}

fn leave_line(leave: &LeaveAnswer) -> String {
    let head = format!(
        "For the {} into the {} pocket next",
        leave.ball, leave.pocket
    );
    if !leave.on {
        return format!("{head}: it cannot drop there.\n");
    }
    let ways: Vec<String> = leave
        .resting
        .iter()
        .map(|way| match way.next {
            Some(next) => format!(
                "{} leaves you {} (this shot kept: {})",
                way.hit,
                in_ten(next),
                in_ten(way.make)
            ),
            None => format!("{} leaves nothing", way.hit),
        })
        .collect();
    if ways.is_empty() {
        format!("{head}: no way of hitting makes this shot.\n")
    } else {
        format!("{head}: {}.\n", ways.join("; "))
    }
}
