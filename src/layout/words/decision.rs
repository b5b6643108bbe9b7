//! What was asked about one shot besides its rank, in words.

use crate::answer::pace_words;
use crate::layout::decide::{Decision, GoOrSafe, LeaveAnswer};
use crate::layout::leave::RestingArea;
use crate::layout::play::{BestPace, PaceTry};
use crate::player::in_ten;
use crate::speech::{Speech, first_large};
use crate::units::{Angle, speak};
use crate::window::hit_word;

/// Changes of throw and of room below this are not worth saying, degrees (assumption: far below
/// what a starting player's arm spreads).
const WORTH_SAYING_DEG: f64 = 0.05;
/// Gains in chance below this are none (assumption: 1 in 100).
const NO_GAIN: f64 = 0.01;

/// The decision in sentences, one a line; empty when nothing was asked for.
#[must_use]
pub fn decision_text(decision: &Decision, speech: impl Into<Speech>) -> String {
    let speech = speech.into();
    let mut out = String::new();
    if let Some(r) = &decision.risk {
        out.push_str(&format!(
            "Risk of shot 1, {} simulated tries: {} {:.0} %, {} {:.0} % ({:.0} % with a {}), missed {:.0} %.\n",
            r.tries,
            speech.nouns().made,
            100.0 * r.make,
            speech.pick("scratched", "in-off"),
            100.0 * r.scratch,
            100.0 * r.make_and_scratch,
            speech.nouns().make,
            100.0 * r.miss
        ));
    }
    if let Some(found) = &decision.best_pace {
        out.push_str(&pace_line(found));
    }
    if let Some(verdict) = &decision.go_or_safe {
        out.push_str(&verdict_line(verdict, speech));
    }
    if let Some(leave) = &decision.leave {
        out.push_str(&leave_line(leave, speech));
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
            "margin at the jaws shrinks",
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

fn verdict_line(verdict: &GoOrSafe, speech: Speech) -> String {
    let make = speech.nouns().make;
    let needs = verdict.break_even.map(|needed| {
        if needed >= 1.0 {
            return format!("never pays, since a sure {make} wins less than a safety");
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
        None => format!("a {make} does not help: play safe"),
        Some(words) if verdict.go => format!("go for it: it {words}"),
        Some(words) => format!("play safe: going for it {words}"),
    };
    format!("Go or safe: {words}.\n")
}

/// "Stun leaves you 6 in 10, roll 8 in 10, draw 5 in 10": best first.
#[must_use]
pub fn leave_words(resting: &[RestingArea], speech: impl Into<Speech>) -> String {
    let speech = speech.into();
    let mut ways: Vec<(&str, f64)> = resting
        .iter()
        .filter_map(|area| Some((hit_word(area.hit, speech), area.next?)))
        .collect();
    ways.sort_by(|a, b| b.1.total_cmp(&a.1));
    let mut words: Vec<String> = ways
        .iter()
        .map(|(hit, next)| format!("{hit} {}", in_ten(*next)))
        .collect();
    match (words.first_mut(), ways.first()) {
        (Some(first), Some((hit, next))) => {
            *first = format!("{} leaves you {}", first_large(hit), in_ten(*next));
        }
        _ => return format!("No stroke {} this shot", speech.nouns().makes_it),
    }
    words.join(", ")
}

fn leave_line(leave: &LeaveAnswer, speech: Speech) -> String {
    let head = format!(
        "For the {} into the {} pocket next",
        leave.ball,
        speech.pocket_name(leave.pocket)
    );
    if !leave.on {
        return format!("{head}: it cannot drop there.\n");
    }
    let ways: Vec<String> = leave
        .resting
        .iter()
        .map(|way| {
            let hit = hit_word(way.hit, speech);
            match way.next {
                Some(next) => format!(
                    "{hit} leaves you {} (this shot kept: {})",
                    in_ten(next),
                    in_ten(way.make)
                ),
                None => format!("{hit} leaves nothing"),
            }
        })
        .collect();
    if ways.is_empty() {
        format!("{head}: no stroke {} this shot.\n", speech.nouns().makes_it)
    } else {
        format!("{head}: {}.\n", ways.join("; "))
    }
}
