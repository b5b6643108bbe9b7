//! Which attempts a verdict rests on: those since a day that was asked for, else those since the change
//! that the log shows, else all.

use serde::Serialize;

use super::kind::Try;
use crate::player::aim_fit::{FitOutcome, fit_aim};
use crate::player::fault::PlayerError;
use crate::player::skill::comparing;
use crate::player::verdict::{Compared, SAME_WITHIN, lean_change, spread_change};
use crate::player::{AimError, Observation};

/// How often luck may show a change where there is none. Assumption.
const BY_LUCK: f64 = 0.02;
/// Most days looked at as the first of the new period: of more, those that part the attempts evenly.
/// Assumption.
const MOST_DAYS: usize = 24;
/// Fewest attempts since a change, so that something can be said of them. Assumption.
const FEWEST_SINCE: u64 = 40;

/// Why these attempts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Chosen {
    /// No change was found: all of them.
    All,
    /// The first day was asked for.
    Asked,
    /// Since then the student is better.
    Better,
    /// Since then the student is worse.
    Worse,
}

/// A period of a student.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct Period {
    /// Its first day; `None` for everything.
    pub since: Option<String>,
    /// Why.
    pub chosen: Chosen,
}

impl Period {
    /// Everything.
    pub const ALL: Self = Self {
        since: None,
        chosen: Chosen::All,
    };

    /// From a day that was asked for.
    #[must_use]
    pub fn asked(day: &str) -> Self {
        Self {
            since: Some(day.to_owned()),
            chosen: Chosen::Asked,
        }
    }

    /// Whether a day belongs to it.
    #[must_use]
    pub fn holds(&self, day: &str) -> bool {
        self.since.as_deref().is_none_or(|since| day >= since)
    }
}

/// Observations of those days that are wanted.
pub(super) fn of_days(tries: &[Try], wanted: impl Fn(&str) -> bool) -> Vec<Observation> {
    let days = tries.iter().filter(|t| wanted(&t.day));
    days.map(|t| t.observation.clone()).collect()
}

pub(super) fn count(tries: &[Observation]) -> u64 {
    tries.iter().map(|o| o.tries).sum()
}

/// The period since the change of the spread or of a steady error that the log shows most clearly, by more
/// than luck; all where it shows none.
///
/// # Errors
/// [`PlayerError::BadObservation`] for a row that cannot be used, and the faults of fitting.
pub fn period(tries: &[Try], reference: AimError) -> Result<Period, PlayerError> {
    let days = first_days(tries);
    if days.is_empty() {
        return Ok(Period::ALL);
    }
    let all = of_days(tries, |_| true);
    let outcome = match fit_aim(&all, reference) {
        Ok(FitOutcome::Fitted(fit)) => FitOutcome::Fitted(fit),
        Ok(_) | Err(PlayerError::Flat { .. } | PlayerError::NoMaximum { .. }) => {
            return Ok(Period::ALL);
        }
        Err(fault) => return Err(fault),
    };
    let player = Compared::on(&all, comparing(&outcome, reference))?;
    let mut best: Option<(f64, Period)> = None;
    let mut asked = 0.0;
    for day in &days {
        let before = of_days(tries, |d| d < *day);
        let since = of_days(tries, |d| d >= *day);
        let made: u64 = since.iter().map(|o| o.made).sum();
        if count(&since) < FEWEST_SINCE || made == 0 || made == count(&since) {
            continue;
        }
        for change in [
            spread_change(&before, &since, player)?,
            lean_change(&before, &since, player)?,
        ] {
            let Some(change) = change else {
                continue;
            };
            asked += 1.0;
            let matters = change.ln_ratio.abs() > SAME_WITHIN.ln();
            if matters && best.as_ref().is_none_or(|(p, _)| change.test.p_value < *p) {
                let found = Period {
                    since: Some((*day).to_owned()),
                    chosen: if change.ln_ratio < 0.0 {
                        Chosen::Better
                    } else {
                        Chosen::Worse
                    },
                };
                best = Some((change.test.p_value, found));
            }
        }
    }
    Ok(best
        .filter(|(p, _)| asked * p < BY_LUCK)
        .map_or(Period::ALL, |(_, found)| found))
}

/// Days that could be the first after a change: all but the first of all, thinned out.
fn first_days(tries: &[Try]) -> Vec<&str> {
    let mut days: Vec<(&str, u64)> = tries
        .iter()
        .map(|t| (&*t.day, t.observation.tries))
        .collect();
    days.sort_unstable();
    let all: u64 = days.iter().map(|(_, tries)| tries).sum();
    let step = all / MOST_DAYS as u64;
    let (mut found, mut gone, mut next) = (Vec::new(), 0, 0);
    let mut last = days.first().map(|(day, _)| *day);
    for (day, tries) in days {
        if last != Some(day) {
            last = Some(day);
            if gone >= next {
                found.push(day);
                next = gone + step;
            }
        }
        gone += tries;
    }
    found
}
