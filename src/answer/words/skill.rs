//! What practice says of a student, in words: one verdict, then the cause.

use super::skill_stats::stats_text;
use crate::answer::skill::SkillAnswer;
use crate::diagnosis::{Chosen, Diagnosis, diagnosis_lines};
use crate::field::Hint;
use crate::player::aim_error::Larger;
use crate::player::aim_fit::{AimFit, Bias, Estimate, FitOutcome};
use crate::player::in_ten;
use crate::player::skill::Band;
use crate::player::split::{Growth, Share, Split};
use crate::player::stroke_test::StrokeReport;
use crate::player::verdict::{Comparison, Verdict};
use crate::speech::{STROKE_TEST, Speech, cautions, first_large};
use crate::units::{Angle, Length, UnitSystem, speak};

/// The answer for people; `stats` adds what only a statistician asks for.
#[must_use]
pub fn skill_text(answer: &SkillAnswer, stats: bool, speech: impl Into<Speech>) -> String {
    let speech = speech.into();
    let mut lines = vec![skill_verdict(answer)];
    if let FitOutcome::Fitted(fit) = &answer.report.outcome {
        lines.extend(diagnosis_lines(&answer.diagnosis, speech));
        lines.push(cause(answer, fit, speech));
        lines.extend(fit.wild_share.as_ref().map(wild));
        lines.extend(lean(&fit.bias, &answer.diagnosis));
        lines.push(trust(answer));
    }
    if let Some(stroke) = &answer.stroke {
        lines.push(stroke_line(stroke));
        lines.push(format!(
            "Take care: {}",
            cautions(STROKE_TEST, speech.plain)
        ));
    }
    if answer.left_out > 0 {
        lines.push(format!(
            "{} tries at shots without a window are left out.",
            answer.left_out
        ));
    }
    if stats {
        lines.push(stats_text(answer));
    }
    if !answer.tell_me_more.is_empty() {
        lines.push(probes(answer));
    }
    lines.join("\n") + "\n"
}

/// One line: better, same, cannot tell.
#[must_use]
pub fn skill_verdict(answer: &SkillAnswer) -> String {
    let (student, level) = (&answer.student, &answer.level);
    let bound = |scale: Option<f64>, side: &str| {
        scale.map_or(String::new(), |s| {
            format!(
                " the spread is {side} {s:.2} times a {level} player's (95 in 100; level assumed);"
            )
        })
    };
    match &answer.report.outcome {
        FitOutcome::TooFew { tries, needed } => format!(
            "{student}: cannot tell yet: {} recorded, {} more needed for a first estimate.",
            count(*tries),
            needed - tries
        ),
        FitOutcome::AllMade {
            tries,
            scale_at_most,
        } => format!(
            "{student}: cannot tell: all {} went in;{} harder shots would tell{}.",
            count(*tries),
            bound(*scale_at_most, "at most"),
            Hint::TellMore
        ),
        FitOutcome::AllMissed {
            tries,
            scale_at_least,
        } => format!(
            "{student}: cannot tell: all {} missed;{} easier shots would tell{}.",
            count(*tries),
            bound(*scale_at_least, "at least"),
            Hint::TellMore
        ),
        FitOutcome::Fitted(fit) => match &answer.report.trend {
            Some(trend) => trend_line(answer, trend),
            None => {
                let one_day = answer.days.as_ref().is_none_or(|(from, to)| from == to);
                let why = match &answer.since {
                    Some(since) if !one_day => format!("nothing before {since} to compare with"),
                    _ => "one day, so nothing to compare with yet".to_owned(),
                };
                format!(
                    "{student}: made {} of {}; {why}.",
                    fit.made,
                    count(fit.tries)
                )
            }
        },
    }
}

fn trend_line(answer: &SkillAnswer, trend: &Comparison) -> String {
    let student = &answer.student;
    let since = answer.since.as_deref().unwrap_or("then");
    let ratio = trend.ratio.as_ref().map_or(String::new(), |r| {
        format!(": the spread is {}", of_before(r))
    });
    let (before, after) = (trend.first_tries, trend.second_tries);
    // Where nobody asked since when, the day was looked for, and a day is found by luck sooner than a change.
    let perhaps = |how: &str| {
        format!(
            "{student}: perhaps {how} since {since}{ratio}; among all the days it could have changed on, no more than luck."
        )
    };
    let course = match (answer.diagnosis.period.chosen, trend.verdict) {
        (Chosen::Better, _) => Verdict::Better,
        (Chosen::Worse, _) => Verdict::Worse,
        (Chosen::All, Verdict::Better) => return perhaps("better"),
        (Chosen::All, Verdict::Worse) => return perhaps("worse"),
        (_, verdict) => verdict,
    };
    match course {
        Verdict::Better => {
            format!("{student}: better since {since}, by more than luck{ratio}.")
        }
        Verdict::Worse => {
            format!("{student}: worse since {since}, by more than luck{ratio}.")
        }
        Verdict::Same => format!("{student}: the same since {since} as before{ratio}."),
        Verdict::CannotTell { more: Some(more) } => format!(
            "{student}: cannot tell whether better or worse since {since} ({before} tries before, {after} since){ratio}; about {more} more tries would show a change of a fifth."
        ),
        Verdict::CannotTell { more: None } => format!(
            "{student}: cannot tell whether better or worse since {since} ({before} tries before, {after} since){ratio}; what was tried before cannot show a change of a fifth, however many follow."
        ),
    }
}

/// `0.64 of what it was (0.55 to 0.75, 95 in 100)`.
fn of_before(ratio: &Estimate) -> String {
    format!(
        "{:.2} of what it was{}",
        ratio.value,
        ends(ratio, 1.0, 2, "")
    )
}

/// ` (0.55 to 0.75, 95 in 100)` in a unit; an open end is said.
fn ends(estimate: &Estimate, per: f64, decimals: usize, unit: &str) -> String {
    let at = |x: f64| format!("{:.decimals$}", x * per);
    match (estimate.low, estimate.high) {
        (Some(low), Some(high)) => format!(" ({} to {}{unit}, 95 in 100)", at(low), at(high)),
        (None, Some(high)) => format!(" (at most {}{unit}, 95 in 100)", at(high)),
        (Some(low), None) => format!(" (at least {}{unit}, 95 in 100)", at(low)),
        (None, None) => String::new(),
    }
}

fn arm(estimate: &Estimate) -> String {
    let deg = 1f64.to_degrees();
    format!(
        "±{}{}",
        speak::degrees(Angle::from_rad(estimate.value)),
        ends(estimate, deg, 2, "°")
    )
}

fn picture(estimate: &Estimate, speech: Speech) -> String {
    let (per, decimals, unit) = match speech.units {
        UnitSystem::Metric => (1e3, 1, " mm"),
        UnitSystem::Inches => (1e3 / 25.4, 2, " in"),
    };
    format!(
        "±{}{}",
        speak::small_length(Length::from_m(estimate.value), speech),
        ends(estimate, per, decimals, unit)
    )
}

/// The stroke or the sighting.
fn cause(answer: &SkillAnswer, fit: &AimFit, speech: Speech) -> String {
    if let Some(split) = &answer.split {
        return split_line(split, speech);
    }
    let larger = fit.larger_a_metre_away().map(|larger| match larger {
        Larger::Arm => "stroke errors outweigh sighting errors",
        Larger::Picture => "sighting errors outweigh stroke errors",
    });
    match (&fit.parts, larger) {
        (Some(parts), larger) => format!(
            "{}: stroke {}, sighting {} at the ghost ball.",
            larger.map_or_else(
                || "These attempts cannot tell whether stroke or sighting is worse at one metre"
                    .to_owned(),
                |larger| format!("At one metre {larger}")
            ),
            arm(&parts.arm_rad),
            picture(&parts.picture_m, speech)
        ),
        (None, larger) => format!(
            "Stroke and sighting together scatter {:.2} times as much as a {} player's{}, level assumed; {}",
            fit.scale.value,
            answer.level,
            ends(&fit.scale, 1.0, 2, ""),
            larger.map_or_else(
                || format!(
                    "these attempts cannot tell one from the other, a stroke test can{}.",
                    Hint::TestStroke
                ),
                |larger| format!("at one metre {larger}.")
            ),
        ),
    }
}

/// Misses that no steady player makes.
fn wild(share: &Estimate) -> String {
    format!(
        "Some strokes go wild, about {} in 100{}: there are more bad misses than one spread explains, and the spread above leaves them out.",
        (100.0 * share.value).round().max(1.0),
        ends(share, 100.0, 0, " in 100")
    )
}

fn split_line(split: &Split, speech: Speech) -> String {
    let said = |s: &Share| {
        format!(
            "{:.0} % ({:.0} to {:.0})",
            100.0 * s.value,
            100.0 * s.interval.low,
            100.0 * s.interval.high
        )
    };
    let parts = [
        ("sighting", &split.eyes),
        ("stroke", &split.arm),
        ("speed", &split.speed),
    ];
    // Mostly only where the interval says so.
    let mostly = parts
        .iter()
        .find(|(_, share)| share.interval.low > 0.5)
        .map_or("Nothing alone".to_owned(), |(name, _)| {
            format!("Mostly the {name}")
        });
    let growth = match split.growth {
        Growth::Assumed(_) => "its growth assumed",
        Growth::Measured(_) => "measured",
    };
    format!(
        "{mostly}: of the aim's error on the misses sighting is {}, stroke {}, speed {}, {growth}. Sighting {} at the ghost ball, stroke {}.",
        said(&split.eyes),
        said(&split.arm),
        said(&split.speed),
        picture(&split.picture_m, speech),
        arm(&split.arm_rad)
    )
}

/// Whether an interval leaves out nought.
fn away_from_0(estimate: &Estimate) -> bool {
    estimate.low.is_some_and(|low| low > 0.0) || estimate.high.is_some_and(|high| high < 0.0)
}

/// How large the steady error is that the diagnosis names; it names none that luck explains.
fn lean(bias: &Bias, diagnosis: &Diagnosis) -> Option<String> {
    let deg = 1f64.to_degrees();
    let size = |e: &Estimate, turned: f64| {
        let shown = if turned < 0.0 {
            Estimate {
                value: -e.value,
                low: e.high.map(|x| -x),
                high: e.low.map(|x| -x),
                ..*e
            }
        } else {
            *e
        };
        format!(
            "{}{}",
            speak::degrees(Angle::from_rad(shown.value)),
            ends(&shown, deg, 2, "°")
        )
    };
    Some(match bias {
        Bias::Unknown => return None,
        Bias::NotTold => {
            "Nearly all misses are on one side: a steady error and a wide spread look alike here."
                .to_owned()
        }
        _ if !diagnosis.names_a_steady_error() => "No steady error beyond luck.".to_owned(),
        Bias::Fullness(e) => {
            let how = if e.value > 0.0 { "full" } else { "thin" };
            format!("Hits too {how} by {}.", size(e, e.value.signum()))
        }
        Bias::Common(e) => {
            let side = if e.value > 0.0 { "left" } else { "right" };
            format!("Pulls {side} by {}.", size(e, e.value.signum()))
        }
        Bias::ByCut { left, right } => {
            // Turned left is fuller on a left cut, thinner on a right cut.
            let one = |e: &Estimate, fuller: f64, cut: &str| {
                if !away_from_0(e) {
                    return format!("no steady error on {cut} cuts");
                }
                let how = if e.value * fuller > 0.0 {
                    "full"
                } else {
                    "thin"
                };
                format!(
                    "hits too {how} on {cut} cuts by {}",
                    size(e, e.value.signum())
                )
            };
            format!(
                "{}; {}.",
                first_large(&one(left, 1.0, "left")),
                one(right, -1.0, "right")
            )
        }
    })
}

/// How far the numbers can be trusted.
fn trust(answer: &SkillAnswer) -> String {
    let days = answer.days.as_ref().map_or(String::new(), |(from, to)| {
        if from == to {
            format!(" on {from}")
        } else {
            format!(", {from} to {to}")
        }
    });
    let since = match answer.diagnosis.period.chosen {
        Chosen::Better | Chosen::Worse => ", since the change",
        Chosen::All | Chosen::Asked => "",
    };
    format!(
        "Based on {} ({} made){days}{since}; {}.",
        attempts(answer.tries),
        answer.made,
        fits(&answer.report.bands)
    )
}

/// Predicted chances below the first count as hard, from the second on as easy (assumptions).
const HARD_TO_EASY: [f64; 2] = [0.4, 0.6];

/// Which shots the predictions fit.
fn fits(bands: &[Band]) -> String {
    let name = |band: &&Band| match band.predicted {
        p if p < HARD_TO_EASY[0] => "hard",
        p if p < HARD_TO_EASY[1] => "middle",
        _ => "easy",
    };
    let (mut held, mut not) = (Vec::new(), Vec::new());
    for kind in ["easy", "middle", "hard"] {
        let mut of = bands.iter().filter(|b| name(b) == kind).peekable();
        if of.peek().is_some() {
            if of.all(Band::holds) {
                held.push(kind);
            } else {
                not.push(kind);
            }
        }
    }
    let said = |names: &[&str]| match names {
        [] => String::new(),
        [one] => format!("{one} shots"),
        [most @ .., last] => format!("{} and {last} shots", most.join(", ")),
    };
    match (held.as_slice(), not.as_slice()) {
        ([], []) => "too few to check the estimate with".to_owned(),
        (_, []) => format!("the estimate holds for {}", said(&held)),
        ([], _) => format!("the estimate does not hold for {}", said(&not)),
        _ => format!(
            "the estimate holds for {}, not for {}",
            said(&held),
            said(&not)
        ),
    }
}

fn attempts(tries: u64) -> String {
    match tries {
        1 => "1 attempt".to_owned(),
        n => format!("{n} attempts"),
    }
}

fn stroke_line(stroke: &StrokeReport) -> String {
    let deg = 1f64.to_degrees();
    let side = if stroke.alignment_rad.value > 0.0 {
        "left"
    } else {
        "right"
    };
    let line = if stroke.off_line {
        format!(
            "lined up {} to the {side}, by more than luck",
            speak::degrees(Angle::from_rad(stroke.alignment_rad.value.abs()))
        )
    } else {
        "lined up straight as far as these readings can tell".to_owned()
    };
    format!(
        "Stroke test, {} readings: the stroke scatters ±{}{}, {line}.",
        stroke.readings,
        speak::degrees(Angle::from_rad(stroke.spread_rad.value)),
        ends(&stroke.spread_rad, deg, 2, "°")
    )
}

fn probes(answer: &SkillAnswer) -> String {
    let mut text =
        "Shots that would tell most (10 tries each; put the makes where M stands):".to_owned();
    for (k, p) in answer.tell_me_more.iter().enumerate() {
        let record = Hint::Record {
            student: &answer.student,
            cue: &p.cue,
            object: &p.object,
            pocket: &p.pocket,
        }
        .to_string();
        text.push_str(&format!(
            "\n {}. {}° cut to the {}, {} expected: ",
            k + 1,
            p.cut_deg.round(),
            p.cut_side,
            in_ten(p.chance),
        ));
        text.push_str(&if record.is_empty() {
            format!("cue ball {}, object ball {}, {}", p.cue, p.object, p.pocket)
        } else {
            record
        });
    }
    text
}

fn count(tries: u64) -> String {
    match tries {
        0 => "no tries".to_owned(),
        1 => "1 try".to_owned(),
        n => format!("{n} tries"),
    }
}
