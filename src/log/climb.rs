//! How students stand on a ladder while it is played: series of tries against the mark that passes a rung.
//!
//! A series is as many tries in a row, of one day, as the mark asks for. Enough makes pass the rung at once,
//! since the tries that are left cannot take them away; a full series without them ends, and the next try
//! begins another. A passed rung stays passed.

use std::collections::BTreeMap;

use super::attempt::Attempt;
use super::sheet::{PassMark, Sheet};

/// A student at a rung.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AtRung {
    /// Label.
    pub student: String,
    /// Rung, from 1.
    pub rung: u32,
    /// The series under way, if it is of that day: makes and tries.
    pub series: Score,
    /// The last one that ended without passing, on that day.
    pub ended: Option<Score>,
    /// The first one that passed, on any day.
    pub passed: Option<Score>,
}

/// Makes of tries.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Score {
    /// Makes.
    pub made: u32,
    /// Tries.
    pub tries: u32,
}

/// A series while it is counted, and the day it is of.
#[derive(Debug, Default)]
struct Counting {
    day: String,
    series: Score,
    ended: Option<Score>,
    passed: Option<Score>,
}

impl Counting {
    fn count(&mut self, mark: PassMark, attempt: &Attempt) {
        let day = attempt.when.day();
        if self.day != day {
            self.day = day.to_owned();
            self.series = Score::default();
            self.ended = None;
        }
        self.series.made += attempt.made;
        self.series.tries += attempt.tries;
        let Score { made, tries } = self.series;
        // Of a tally longer than a series nobody knows the order: what is surely in one counts.
        if made.saturating_sub(tries.saturating_sub(mark.tries)) >= mark.makes {
            self.passed.get_or_insert(self.series);
            self.series = Score::default();
            self.ended = None;
        } else if tries >= mark.tries {
            self.ended = Some(self.series);
            self.series = Score::default();
        }
    }
}

/// How everybody stands on a sheet on a day, from all tries at it in the order they were recorded.
#[must_use]
pub fn at_rungs(sheet: &Sheet, attempts: &[Attempt], day: &str) -> Vec<AtRung> {
    let marks: BTreeMap<u32, PassMark> = sheet
        .numbered()
        .filter_map(|(number, rung)| Some((u32::try_from(number).ok()?, rung.pass?)))
        .collect();
    let mut all: BTreeMap<(&str, u32), Counting> = BTreeMap::new();
    for attempt in attempts {
        let Some((rung, mark)) = attempt.rung.and_then(|r| Some((r, *marks.get(&r)?))) else {
            continue;
        };
        let counting = all.entry((&attempt.student, rung)).or_default();
        counting.count(mark, attempt);
    }
    all.into_iter()
        .map(|((student, rung), counted)| {
            let today = counted.day == day;
            AtRung {
                student: student.to_owned(),
                rung,
                series: if today {
                    counted.series
                } else {
                    Score::default()
                },
                ended: counted.ended.filter(|_| today),
                passed: counted.passed,
            }
        })
        .collect()
}
