//! What the charts of a student and of a budget say.

use crate::answer::{
    BudgetAnswer, SkillAnswer, budget_label, budget_of_shot, skill_verdict, to_a_tenth,
};
use crate::draw::theme::Caption;
use crate::player::budget::Source;

/// Along the days.
pub(crate) const DAY: &str = "day (month-day)";
/// Its line.
pub(crate) const SPREAD: &str = "spread";
/// Its shade.
pub(crate) const SHADE: &str = "95 in 100";
/// Along predictions.
pub(crate) const PREDICTED: &str = "predicted makes in 10";
/// Along what was made.
pub(crate) const MADE: &str = "made in 10";
/// The line on which they agree.
pub(crate) const AGREE: &str = "as predicted";
/// Along the bars of a budget.
pub(crate) const DUE: &str =
    "spread of the object ball's direction from each cause alone (degrees; beside it its share)";

/// The tries and the days they come from.
fn days(answer: &SkillAnswer) -> String {
    answer.days.as_ref().map_or_else(String::new, |(from, to)| {
        format!("{} tries, {from} to {to}", answer.tries)
    })
}

/// Whose spread is 1: that of all evenings, or of those of the period.
fn one(answer: &SkillAnswer) -> String {
    let since = answer.diagnosis.period.since.as_ref();
    since.map_or_else(
        || "all evenings".to_owned(),
        |day| format!("all evenings since {day}"),
    )
}

/// Beside the spreads.
pub(crate) fn spread_axis(answer: &SkillAnswer) -> String {
    format!("spread ({} = 1)", one(answer))
}

/// Round the chart of evenings.
pub(crate) fn evenings(answer: &SkillAnswer) -> Caption {
    let told = answer
        .by_day
        .iter()
        .filter_map(|d| Some(format!("{}: {:.2}.", d.day, d.spread?.value)));
    Caption {
        title: skill_verdict(answer).trim_end_matches('.').to_owned(),
        subtitle: format!(
            "Spread of the aim evening by evening, {} tries",
            answer.by_day.iter().map(|d| d.tries).sum::<u64>()
        ),
        footer: format!(
            "1 is the spread of {} together; below it is steadier. Shaded: 95 in 100.",
            one(answer)
        ),
        desc: told.collect::<Vec<_>>().join(" "),
    }
}

/// Round the chart of predictions.
pub(crate) fn predictions(answer: &SkillAnswer) -> Caption {
    let bands = &answer.report.bands;
    let hold = bands.iter().filter(|b| b.holds()).count();
    let told = bands.iter().map(|b| {
        format!(
            "Predicted {:.1} in 10, made {:.1} in 10.",
            10.0 * b.predicted,
            10.0 * b.observed
        )
    });
    Caption {
        title: format!(
            "Predictions for {} fit in {hold} of {} bands of difficulty",
            answer.student,
            bands.len()
        ),
        subtitle: days(answer),
        footer: "Upright lines: 95 in 100 (Wilson). The predictions come from a fit to these same tries."
            .to_owned(),
        desc: told.collect::<Vec<_>>().join(" "),
    }
}

/// Beside a band of predictions.
pub(crate) fn tries(count: u64) -> String {
    format!("{count} tries")
}

/// Round the chart of a budget; the shot in words.
pub(crate) fn budget(answer: &BudgetAnswer, held: &str) -> Caption {
    let each = answer.budget.inputs.iter().map(|row| {
        format!(
            "{} {:.2} degrees",
            budget_label(row.source),
            row.contribution_deg
        )
    });
    Caption {
        title: budget_of_shot(answer).trim_end_matches('.').to_owned(),
        subtitle: held.to_owned(),
        footer: answer.assumed_words(),
        desc: format!(
            "How far each input sends the object ball off: {}.",
            each.collect::<Vec<_>>().join(", ")
        ),
    }
}

/// An input's share, and what halving it gives.
pub(crate) fn share(share: f64, makes_if_halved: f64) -> String {
    format!(
        "{:.0} %; if halved {}",
        100.0 * share,
        to_a_tenth(makes_if_halved)
    )
}

/// An input.
pub(crate) fn input(source: Source) -> &'static str {
    budget_label(source)
}
