//! An error budget in words: what to practise first, then what each input does.

use crate::answer::budget::BudgetAnswer;
use crate::diagnosis::diagnosis_lines;
use crate::gear::Gear;
use crate::player::budget::{BudgetRow, Practise, Source, aside};
use crate::speech::Speech;
use crate::units::{Angle, Length, speak};
use crate::window::Solved;

/// The advice of a source: what to do, and the change that was simulated.
fn advice(source: Source) -> (&'static str, &'static str) {
    match source {
        Source::Arm => ("Practise a straight stroke", "half its spread"),
        Source::Picture => ("Practise sighting the ghost ball", "half its spread"),
        Source::Tip => (
            "Practise meeting the cue ball where you mean to",
            "half the spread of the tip",
        ),
        Source::Speed => ("Practise the speed of the stroke", "half its spread"),
        Source::Balls => ("Keep the balls equally clean", "half as much difference"),
        Source::Lean => ("Take the steady error out of the aim", "none"),
    }
}

/// What an input is called.
#[must_use]
pub fn budget_label(source: Source) -> &'static str {
    match source {
        Source::Arm => "stroke",
        Source::Picture => "sighting of the ghost ball",
        Source::Tip => "tip on the cue ball",
        Source::Speed => "speed",
        Source::Balls => "clean or chalky balls",
        Source::Lean => "steady error",
    }
}

/// A rate of makes: `4.2 in 10`, or what is honest near the ends.
#[must_use]
pub fn to_a_tenth(rate: f64) -> String {
    let text = format!("{:.1} in 10", 10.0 * rate);
    match text.as_str() {
        "0.0 in 10" => "fewer than 1 in 200".to_owned(),
        "10.0 in 10" => "more than 199 in 200".to_owned(),
        _ => text,
    }
}

/// Whether side makes more of the stroke's spread than the arm.
fn mostly_side(answer: &BudgetAnswer) -> bool {
    let mut rows = answer.budget.inputs.iter();
    let stroke = rows.find(|row| row.source == Source::Arm);
    stroke.zip(answer.side_adds_deg).is_some_and(|(row, side)| {
        // They add as squares.
        2.0 * side * side > row.standard_uncertainty * row.standard_uncertainty
    })
}

/// The one thing to practise and what it gains: of a student first what costs most in all that was
/// practised, with its drill, and then what tells on this shot.
#[must_use]
pub fn budget_headline(answer: &BudgetAnswer, speech: impl Into<Speech>) -> String {
    let Some(diagnosis) = &answer.diagnosis else {
        return budget_of_shot(answer);
    };
    let mut lines = diagnosis_lines(diagnosis, speech);
    lines.push(format!(
        "On this shot: {}",
        first_small(&budget_of_shot(answer))
    ));
    lines.join("\n")
}

/// The one thing that tells on this shot and what it gains.
#[must_use]
pub fn budget_of_shot(answer: &BudgetAnswer) -> String {
    let (budget, who) = (&answer.budget, &answer.player);
    let makes = budget.makes;
    let untold = if budget.told_apart {
        ""
    } else {
        " The log cannot tell stroke from sighting yet: tries with the balls near and far apart would."
    };
    let headline = match &budget.practise {
        Some(p) => {
            let (what, change) = if p.source == Source::Arm && mostly_side(answer) {
                (
                    "Leave the side spin off, or learn how far it squirts and swerves",
                    "half that spread",
                )
            } else {
                advice(p.source)
            };
            match tie(answer, p) {
                // What the simulation cannot tell apart is not ranked.
                Some(other) => format!(
                    "{what}, or {}: either gains about as much, {} become {} ({who}).",
                    first_small(advice(other).0),
                    to_a_tenth(makes),
                    to_a_tenth(p.makes)
                ),
                None => format!(
                    "{what}: with {change}, {} become {} ({who}).",
                    to_a_tenth(makes),
                    to_a_tenth(p.makes)
                ),
            }
        }
        None if !budget.told_apart => format!("Made {} ({who}).", to_a_tenth(makes)),
        None => format!(
            "Made {} ({who}), and nothing here gains more than the simulation can tell.",
            to_a_tenth(makes)
        ),
    };
    headline + untold
}

/// Another input that gains as much as the one to practise, within what the simulation can tell.
fn tie(answer: &BudgetAnswer, best: &Practise) -> Option<Source> {
    let budget = &answer.budget;
    let others = budget.inputs.iter().filter(|row| row.source != best.source);
    let next = others.max_by(|a, b| a.makes_if_halved.total_cmp(&b.makes_if_halved))?;
    (best.makes - next.makes_if_halved < 2.0 * budget.makes_error).then_some(next.source)
}

/// With a small first letter, as after a comma.
fn first_small(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_lowercase().chain(letters).collect()
    })
}

fn spread(row: &BudgetRow, speech: Speech) -> String {
    match row.source {
        Source::Arm | Source::Lean => format!(
            "±{}",
            speak::degrees(Angle::from_deg(row.standard_uncertainty))
        ),
        Source::Picture | Source::Tip => format!(
            "±{}",
            speak::small_length(Length::from_mm(row.standard_uncertainty), speech)
        ),
        Source::Speed | Source::Balls => format!("±{:.0} %", 100.0 * row.standard_uncertainty),
    }
}

/// The budget for people. `assumed` names inputs whose spread is an assumption.
#[must_use]
pub fn budget_text(answer: &BudgetAnswer, speech: impl Into<Speech>) -> String {
    let speech = speech.into();
    let BudgetAnswer {
        budget, assumed, ..
    } = answer;
    let mut out = budget_headline(answer, speech);
    out.push_str("\n\n");
    out.push_str(&format!(
        "  {:<25} {:>9}  {:>12}  {:>6}  {}\n",
        "", "spread", "object ball", "share", "if halved"
    ));
    for row in &budget.inputs {
        out.push_str(&format!(
            "  {:<25} {:>9}  {:>12}  {:>6}  {}{}\n",
            budget_label(row.source),
            spread(row, speech),
            format!("±{:.2}°", row.contribution_deg),
            format!("{:.0} %", 100.0 * row.share),
            to_a_tenth(row.makes_if_halved),
            if assumed.contains(&row.source) {
                ", spread assumed"
            } else {
                ""
            }
        ));
    }
    out.push_str(&in_sum(answer));
    out
}

/// What all inputs come to together.
fn in_sum(answer: &BudgetAnswer) -> String {
    let budget = &answer.budget;
    let mut out = String::new();
    out.push_str(&format!(
        "\nAdded up, two object balls in three leave within ±{:.1}°; simulated, 95 in 100 leave between {} and {} of the middle.\n",
        budget.linear_deg,
        aside(budget.drawn_deg.symmetric_95.0),
        aside(budget.drawn_deg.symmetric_95.1),
    ));
    if budget.off_target_deg.abs() >= LEAN_SAID_DEG {
        out.push_str(&format!(
            "The steady error alone sends it {} of the middle.\n",
            aside(budget.off_target_deg)
        ));
    }
    out.push_str(&format!(
        "Made {} in {} simulated shots, give or take {:.1} in 100; with stroke, sighting and steady error alone {}.\n",
        to_a_tenth(budget.makes),
        budget.drawn_deg.trials,
        200.0 * budget.makes_error,
        to_a_tenth(budget.makes_by_aim_alone)
    ));
    // Where a turning table costs little it is not worth a line.
    if budget.makes_by_aim_alone - budget.makes_if_it_turns >= TURNS_SAID {
        out.push_str(&format!(
            "On a table or with a ball that rolls off by up to a tenth of an inch by the object ball: {}.\n",
            to_a_tenth(budget.makes_if_it_turns)
        ));
    }
    if let Some(side) = answer.side_adds_deg {
        out.push_str(&format!(
            "The stroke's spread holds ±{} that side spin adds: how far the cue ball squirts and swerves is judged, not seen.\n",
            speak::degrees(Angle::from_deg(side))
        ));
    }
    if budget.missed_ball > 0.0 {
        out.push_str(&format!(
            "{} of them miss the object ball.\n",
            percent(budget.missed_ball)
        ));
    }
    if let Some(warning) = &budget.agreement.warning {
        out.push_str(&format!("Note: {warning}.\n"));
    }
    out
}

/// Roll-off that costs less than this goes unsaid, chance (assumption).
const TURNS_SAID: f64 = 0.02;
/// Leans below this move the object ball by less than anyone sees, degrees (assumption).
const LEAN_SAID_DEG: f64 = 0.1;

fn percent(share: f64) -> String {
    match 100.0 * share {
        p if p < 0.1 => "Fewer than 0.1 %".to_owned(),
        p if p < 10.0 => format!("{p:.1} %"),
        p => format!("{p:.0} %"),
    }
}

impl BudgetAnswer {
    /// What is assumed, in words.
    #[must_use]
    pub fn assumed_words(&self) -> String {
        let names: Vec<&str> = self.assumed.iter().map(|s| budget_label(*s)).collect();
        if names.is_empty() {
            "Spreads as given.".to_owned()
        } else {
            format!("Spreads assumed: {}.", names.join(", "))
        }
    }
}

/// The shot of a budget in a few words.
#[must_use]
pub fn held_words(gear: &Gear, solved: Solved<'_>, speech: impl Into<Speech>) -> String {
    let speech = speech.into();
    let far = |m| speak::distance(Length::from_m(m), speech);
    format!(
        "{} cut, {} between the balls, {} to the pocket, {}",
        speak::degrees(Angle::from_rad(solved.window.cut_rad.abs())),
        far(solved.window.approach.apart_m),
        far(solved.acceptance.distance_m),
        gear.spoken()
    )
}
