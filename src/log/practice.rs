//! From the rows of a log to what the fit wants, and to two periods to compare.

use std::collections::BTreeMap;

use super::attempt::Attempt;
use super::when::When;
use crate::player::Observation;

/// The rows that have a window, as the fit wants them, and the number of tries left out.
#[must_use]
pub fn observations(attempts: &[Attempt]) -> (Vec<Observation>, u64) {
    let mut used = Vec::with_capacity(attempts.len());
    let mut left_out = 0;
    for attempt in attempts {
        match attempt.observation() {
            Some(observation) => used.push(observation),
            None => left_out += u64::from(attempt.tries),
        }
    }
    (used, left_out)
}

/// Rows of one student in two periods.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Periods {
    /// Before.
    pub earlier: Vec<Attempt>,
    /// From that day on.
    pub later: Vec<Attempt>,
    /// First day of the later period; `None` when everything was played on one day.
    pub since: Option<String>,
    /// First and last day of all, where there are any.
    pub days: Option<(String, String)>,
}

impl Periods {
    /// Parts rows at a day: the one given, or the middle one of the days played on, so that the
    /// later half of the evenings stands against the earlier half.
    #[must_use]
    pub fn new(attempts: Vec<Attempt>, since: Option<&When>) -> Self {
        let mut days: Vec<String> = attempts.iter().map(|a| a.when.day().to_owned()).collect();
        days.sort_unstable();
        days.dedup();
        let ends = days.first().cloned().zip(days.last().cloned());
        let since = match since {
            Some(when) => Some(when.day().to_owned()),
            None if days.len() > 1 => days.get(days.len() / 2).cloned(),
            None => None,
        };
        let (later, earlier) = attempts
            .into_iter()
            .partition(|a| since.as_deref().is_none_or(|day| a.when.day() >= day));
        Self {
            earlier,
            later,
            since,
            days: ends,
        }
    }

    /// Both periods together, earlier rows first.
    #[must_use]
    pub fn all(&self) -> Vec<Attempt> {
        self.earlier.iter().chain(&self.later).cloned().collect()
    }
}

/// The rows of each day, in the order of the days.
#[must_use]
pub fn by_day(attempts: &[Attempt]) -> Vec<(String, Vec<Attempt>)> {
    let mut days: BTreeMap<String, Vec<Attempt>> = BTreeMap::new();
    for attempt in attempts {
        days.entry(attempt.when.day().to_owned())
            .or_default()
            .push(attempt.clone());
    }
    days.into_iter().collect()
}
