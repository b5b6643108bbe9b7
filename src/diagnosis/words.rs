//! A diagnosis in words: the main thing in one sentence, its drill in one.

use super::kind::Kind;
use super::period::{Chosen, Period};
use super::shared::Shared;
use super::verdict::{Cause, Diagnosis, Drill, Finding, Main};
use crate::player::observation::Recorded;
use crate::speech::{Speech, named};
use crate::units::Side;

/// "thin cuts", "shots into the left foot corner".
#[must_use]
pub fn kind_words(kind: Kind, speech: impl Into<Speech>) -> String {
    let speech = speech.into();
    let nouns = speech.nouns();
    match kind {
        Kind::ThinCuts => "thin cuts".to_owned(),
        Kind::Long => "long shots".to_owned(),
        Kind::Close => "cuts with the balls close together".to_owned(),
        Kind::AlongTheRail => format!("shots along the {}", nouns.rail),
        Kind::SidePocket => nouns.side_pockets.to_owned(),
        Kind::LeftCuts => "cuts to the left".to_owned(),
        Kind::RightCuts => "cuts to the right".to_owned(),
        Kind::Pocket(pocket) => format!("shots into the {}", speech.pocket(pocket)),
    }
}

/// "since 2025-11-04 (better since then)", where a period has a first day.
#[must_use]
pub fn since_words(period: &Period) -> Option<String> {
    let since = period.since.as_ref()?;
    Some(match period.chosen {
        Chosen::Better => format!("since {since}, better since then"),
        Chosen::Worse => format!("since {since}, worse since then"),
        Chosen::Asked | Chosen::All => format!("since {since}"),
    })
}

/// The main thing in one sentence: the same for whoever asks.
#[must_use]
pub fn main_line(diagnosis: &Diagnosis, speech: impl Into<Speech>) -> String {
    let (speech, student) = (speech.into(), &diagnosis.student);
    let since = diagnosis.period.since.as_deref().unwrap_or_default();
    match diagnosis.main {
        Main::TooFew(more) => {
            format!(
                "What costs {student} most cannot be told yet: {more} more attempts are needed."
            )
        }
        Main::AllMade => format!("{student} made everything: harder shots would tell more."),
        Main::AllMissed => format!("{student} missed everything: easier shots would tell more."),
        Main::Cause(_) => diagnosis
            .found
            .first()
            .map(|found| cause_line(&Who::one(student), found, speech))
            .unwrap_or_default(),
        Main::Better => format!("{student} is better since {since}, and nothing else stands out."),
        Main::Worse => format!("{student} is worse since {since}, and nothing else stands out."),
        Main::Luck => format!(
            "The log shows no weakness of {student} beyond luck in {} attempts.",
            diagnosis.attempts
        ),
        Main::CannotTell => cannot_tell(diagnosis, speech),
    }
}

/// Who has a cause: one student, or several.
struct Who {
    names: String,
    /// The ending of the verb.
    s: &'static str,
}

impl Who {
    fn one(student: &str) -> Self {
        Self {
            names: student.to_owned(),
            s: "s",
        }
    }

    fn several(names: &[String]) -> Self {
        Self {
            names: named(names),
            s: if names.len() == 1 { "s" } else { "" },
        }
    }
}

fn cause_line(who: &Who, found: &Finding, speech: Speech) -> String {
    let nouns = speech.nouns();
    let Who { names, s } = who;
    let (seen, of) = (found.seen, found.of);
    let sided = |how: &str, side: &str| {
        format!("{names} {how}: of {of} misses whose side was noted {seen} {side}, more than luck.")
    };
    match found.cause {
        Cause::Full => sided(&format!("hit{s} too full (undercut{s})"), "were too full"),
        Cause::Thin => sided(&format!("hit{s} too thin (overcut{s})"), "were too thin"),
        Cause::Left => sided(
            &format!("pull{s} left, on cuts to either side"),
            "went left",
        ),
        Cause::Right => sided(
            &format!("pull{s} right, on cuts to either side"),
            "went right",
        ),
        Cause::Stroke => format!(
            "{names} lose{s} most to the stroke, so most of all on long shots: more than luck in {of} attempts."
        ),
        Cause::Sighting => format!(
            "{names} lose{s} most to sighting, so most of all on shots from close by: more than luck in {of} attempts."
        ),
        Cause::Weak(kind) => {
            let most = format!(
                "{names} lose{s} most on {}: {} {seen} of {of}",
                kind_words(kind, speech),
                nouns.made
            );
            match found.expected {
                Some(expected) => {
                    format!("{most}, where the other shots promise {expected:.0}; more than luck.")
                }
                None => format!("{most}, more than luck."),
            }
        }
    }
}

/// What a group has in common, in a sentence or two: of one student it is [`main_line`].
#[must_use]
pub fn shared_line(shared: &Shared, speech: impl Into<Speech>) -> String {
    let speech = speech.into();
    let (with, without) = (&shared.with, named(&shared.without));
    let said = match with.as_slice() {
        [] => {
            return format!(
                "The log shows no weakness of {without} beyond luck in {} attempts.",
                shared.attempts
            );
        }
        [one] => main_line(one, speech),
        _ => {
            let names: Vec<String> = with.iter().map(|d| d.student.clone()).collect();
            let found: Vec<&Finding> = with.iter().filter_map(|d| d.found.first()).collect();
            together(&found)
                .map(|all| cause_line(&Who::several(&names), &all, speech))
                .unwrap_or_default()
        }
    };
    if without.is_empty() {
        return said;
    }
    format!("{said} The log does not say it of {without}.")
}

/// One cause of several students, what was seen of each added up.
fn together(found: &[&Finding]) -> Option<Finding> {
    let first = **found.first()?;
    let expected: Option<f64> = found.iter().map(|f| f.expected).sum();
    Some(Finding {
        of: found.iter().map(|f| f.of).sum(),
        seen: found.iter().map(|f| f.seen).sum(),
        expected,
        ..first
    })
}

/// What it may be, without saying that it is.
fn cannot_tell(diagnosis: &Diagnosis, speech: Speech) -> String {
    let student = &diagnosis.student;
    let known = format!(
        "What costs {student} most, {} attempts cannot tell yet",
        diagnosis.attempts
    );
    let lead = diagnosis
        .nearest
        .filter(|f| f.more.is_some_and(|more| more > 0));
    let lead = lead.map(|f| match f.cause {
        Cause::Full => "too full a hit".to_owned(),
        Cause::Thin => "too thin a hit".to_owned(),
        Cause::Left => "a pull to the left".to_owned(),
        Cause::Right => "a pull to the right".to_owned(),
        Cause::Stroke => "the stroke".to_owned(),
        Cause::Sighting => "the sighting".to_owned(),
        Cause::Weak(kind) => kind_words(kind, speech),
    });
    match (lead, diagnosis.more) {
        (Some(lead), Some(more)) => {
            format!(
                "{known}; if anything {lead}, and about {} more would show it.",
                round(more)
            )
        }
        (None, Some(more)) if more > 0 => format!("{known}; about {} more would.", round(more)),
        _ => format!("{known}."),
    }
}

/// To two digits: a forecast is no better.
fn round(more: u64) -> u64 {
    let mut unit = 1;
    while more / unit >= 100 {
        unit *= 10;
    }
    more.div_ceil(unit) * unit
}

/// The drill in one sentence (common practice of the trade, no source).
fn drill_line(diagnosis: &Diagnosis, speech: Speech) -> String {
    let nouns = speech.nouns();
    match diagnosis.drill {
        Drill::AimThinner => {
            "Drill: half-ball cuts, ten to each side; aim thinner until too full and too thin come out even.".to_owned()
        }
        Drill::AimFuller => {
            "Drill: half-ball cuts, ten to each side; aim fuller until too full and too thin come out even.".to_owned()
        }
        Drill::CueStraight => {
            "Drill: ten straight shots, the cue left where it ends; it should still point along the line."
                .to_owned()
        }
        Drill::StraightStroke => of_kind(Kind::Long, speech),
        Drill::FindGhostBall => of_kind(Kind::Close, speech),
        Drill::Of(kind) => of_kind(kind, speech),
        Drill::Harder => {
            "Drill: go on as since then, with shots a little harder than before.".to_owned()
        }
        Drill::Easier => "Drill: straight shots from close by, until half of them go in.".to_owned(),
        Drill::LookAtStance => {
            "Drill: ten straight shots to look at stance, grip and cue: what is new since then?".to_owned()
        }
        Drill::NoteSides => {
            "Drill: mixed shots, ten each, and write down of every miss whether it was too full or too thin."
                .to_owned()
        }
        Drill::EvenShots => format!(
            "Drill: mixed shots that go in about half the time, ten each; such {} and misses tell most.",
            nouns.makes
        ),
    }
}

fn of_kind(kind: Kind, speech: Speech) -> String {
    let nouns = speech.nouns();
    match kind {
        Kind::ThinCuts => {
            "Drill: one thin cut, ten times to each side; stand behind the line of the ghost ball before you bend down."
                .to_owned()
        }
        Kind::Long => {
            "Drill: ten straight shots over the length of the table; send the cue straight through and leave it there."
                .to_owned()
        }
        Kind::Close => {
            "Drill: ten cuts with the balls a hand apart; find the ghost ball before you bend down.".to_owned()
        }
        Kind::AlongTheRail => format!(
            "Drill: object ball {} the {rail}, ten times, softly; {rail} and ball together.",
            nouns.frozen_to,
            rail = nouns.rail
        ),
        Kind::SidePocket => format!(
            "Drill: ten into a {} from straight out, then ten from a little to the side, softly.",
            nouns.side_pocket
        ),
        Kind::LeftCuts | Kind::RightCuts => {
            let side = if kind == Kind::LeftCuts {
                Side::Left
            } else {
                Side::Right
            };
            format!(
                "Drill: the same cut to the left and to the right in turn, ten each, until as many go in to the {}.",
                side.name()
            )
        }
        Kind::Pocket(pocket) => format!(
            "Drill: one shot into the {}, ten times, and the same into another; what do you see differently?",
            speech.pocket(pocket)
        ),
    }
}

/// The main thing, its drill, and what was not recorded.
#[must_use]
pub fn diagnosis_lines(diagnosis: &Diagnosis, speech: impl Into<Speech>) -> Vec<String> {
    let speech = speech.into();
    let mut lines = vec![main_line(diagnosis, speech), drill_line(diagnosis, speech)];
    let unsaid = match (diagnosis.recorded, diagnosis.main) {
        (_, Main::TooFew(_) | Main::AllMade | Main::AllMissed) => None,
        (Recorded::Nothing, _) => {
            Some("No sides of misses were noted, so too full and too thin cannot be told apart.")
        }
        (Recorded::FullThin, _) => Some(
            "A pull to the left or right shows only where misses are noted on cuts to the left and on cuts to the right.",
        ),
        (Recorded::LeftRight, _) => None,
    };
    lines.extend(unsaid.map(str::to_owned));
    lines
}
