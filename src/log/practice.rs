//! From the rows of a log to what the fit wants, and to two periods to compare.
//!
//! A fit needs no rows: tries of one student at the same shot on the same day are added up as they
//! are read, from an index that holds what is counted and no more. So a log of a million rows takes
//! the room of its shots and days.

use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

use rusqlite::Row;

use super::attempt::{Attempt, ShotEntered};
use super::cells::{Counts, shot_sum, to_cells};
use super::error::LogError;
use super::handle::Log;
use super::store::Filter;
use super::when::When;
use super::windows::Windows;
use crate::player::{Misses, Observation};
use crate::units::Side;

/// A shot that somebody tried.
#[derive(Debug, Clone, PartialEq)]
pub struct ShotTried {
    /// As it was entered.
    pub entered: ShotEntered,
    /// Which way it cuts.
    pub cut: Side,
    /// The windows it had.
    pub windows: Option<Windows>,
}

/// Tries at one shot on one day, added up.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tried {
    /// Which of the shots.
    pub shot: usize,
    /// The day.
    pub day: Arc<str>,
    /// Tries.
    pub tries: u64,
    /// Makes.
    pub made: u64,
    /// Misses too full and too thin, where sides were noted: tries with and without are kept apart.
    pub sides: Option<(u64, u64)>,
    /// Where the first of its rows stands: sums come in the order of the rows.
    first: i64,
}

/// What one student tried.
#[derive(Debug, Clone, PartialEq)]
pub struct Practice {
    shots: Arc<[ShotTried]>,
    tried: Vec<Tried>,
}

impl ShotTried {
    fn of(attempt: &Attempt) -> Self {
        Self {
            entered: attempt.shot.clone(),
            cut: attempt.cut,
            windows: attempt.windows.clone(),
        }
    }

    /// Tries at it as the fit wants them; `None` without a window. Misses whose side was not noted
    /// count as misses of no side.
    #[must_use]
    pub fn observation(&self, tried: &Tried) -> Option<Observation> {
        let windows = self.windows.as_ref().filter(|w| !w.allowed.is_empty())?;
        let missed = tried.tries.saturating_sub(tried.made);
        Some(Observation {
            cut_told: self.entered.tells_cut(),
            tries: tried.tries,
            made: tried.made,
            sides: tried.sides.map(|(full, thin)| Misses {
                full,
                thin,
                other: missed.saturating_sub(full + thin),
            }),
            ..windows.observation(self.cut)
        })
    }
}

/// What is added to tries.
struct Counted {
    tries: u64,
    made: u64,
    sides: Option<(u64, u64)>,
}

impl Tried {
    fn none(shot: usize, day: Arc<str>, noted: bool, first: i64) -> Self {
        Self {
            shot,
            day,
            tries: 0,
            made: 0,
            sides: noted.then_some((0, 0)),
            first,
        }
    }

    fn add(&mut self, more: Counted) {
        self.tries += more.tries;
        self.made += more.made;
        if let (Some(sum), Some(sides)) = (&mut self.sides, more.sides) {
            sum.0 += sides.0;
            sum.1 += sides.1;
        }
    }
}

impl Practice {
    /// Of one student's rows at hand.
    #[must_use]
    pub fn of(attempts: &[Attempt]) -> Self {
        let mut shots: Vec<ShotTried> = Vec::new();
        let mut known: HashMap<i64, usize> = HashMap::new();
        let mut places: HashMap<(usize, &str, bool), usize> = HashMap::new();
        let mut tried: Vec<Tried> = Vec::new();
        for (first, attempt) in (0_i64..).zip(attempts) {
            let shot = *known
                .entry(shot_sum(&to_cells(attempt)))
                .or_insert_with(|| {
                    shots.push(ShotTried::of(attempt));
                    shots.len() - 1
                });
            let day = attempt.when.day();
            let noted = attempt.misses.is_some();
            let at = *places.entry((shot, day, noted)).or_insert_with(|| {
                tried.push(Tried::none(shot, day.into(), noted, first));
                tried.len() - 1
            });
            let sides = attempt.misses;
            tried[at].add(Counted {
                tries: u64::from(attempt.tries),
                made: u64::from(attempt.made),
                sides: sides.map(|m| (u64::from(m.full), u64::from(m.thin))),
            });
        }
        Self {
            shots: shots.into(),
            tried,
        }
    }

    /// The shots.
    #[must_use]
    pub fn shots(&self) -> &[ShotTried] {
        &self.shots
    }

    /// What was made of them day by day, in the order first recorded.
    #[must_use]
    pub fn tried(&self) -> &[Tried] {
        &self.tried
    }

    /// All tries, those at shots without a window too.
    #[must_use]
    pub fn tries(&self) -> u64 {
        self.tried.iter().map(|t| t.tries).sum()
    }

    /// First and last day.
    #[must_use]
    pub fn days(&self) -> Option<(String, String)> {
        let days = || self.tried.iter().map(|t| &*t.day);
        days()
            .min()
            .zip(days().max())
            .map(|(a, b)| (a.to_owned(), b.to_owned()))
    }

    /// What has a window, as the fit wants it, each shot once (twice where sides were noted for some
    /// of its tries), and the number of tries left out.
    #[must_use]
    pub fn observations(&self) -> (Vec<Observation>, u64) {
        self.add_up(self.tried.iter())
    }

    fn add_up<'a>(&self, tried: impl Iterator<Item = &'a Tried>) -> (Vec<Observation>, u64) {
        let mut sums: Vec<Tried> = Vec::new();
        let mut places: HashMap<(usize, bool), usize> = HashMap::new();
        for part in tried {
            let noted = part.sides.is_some();
            let at = *places.entry((part.shot, noted)).or_insert_with(|| {
                sums.push(Tried::none(
                    part.shot,
                    Arc::clone(&part.day),
                    noted,
                    part.first,
                ));
                sums.len() - 1
            });
            sums[at].add(Counted {
                tries: part.tries,
                made: part.made,
                sides: part.sides,
            });
        }
        let mut used = Vec::with_capacity(sums.len());
        let mut left_out = 0;
        for sum in &sums {
            match self.shots[sum.shot].observation(sum) {
                Some(observation) => used.push(observation),
                None => left_out += sum.tries,
            }
        }
        (used, left_out)
    }

    /// Each day's observations, in the order of the days.
    #[must_use]
    pub fn by_day(&self) -> Vec<(String, Vec<Observation>)> {
        let mut days: BTreeMap<&str, Vec<&Tried>> = BTreeMap::new();
        for part in &self.tried {
            days.entry(&part.day).or_default().push(part);
        }
        days.into_iter()
            .map(|(day, parts)| (day.to_owned(), self.add_up(parts.into_iter()).0))
            .collect()
    }

    /// Of these days.
    #[must_use]
    pub fn within(&self, of: impl Fn(&str) -> bool) -> Self {
        Self {
            shots: Arc::clone(&self.shots),
            tried: self.tried.iter().filter(|t| of(&t.day)).cloned().collect(),
        }
    }
}

/// One student's practice in two periods.
#[derive(Debug, Clone, PartialEq)]
pub struct Periods {
    /// Before.
    pub earlier: Practice,
    /// From that day on.
    pub later: Practice,
    /// First day of the later period; `None` when everything was played on one day.
    pub since: Option<String>,
    /// First and last day of all, where there are any.
    pub days: Option<(String, String)>,
}

impl Periods {
    /// Parts practice at a day: the one given, or the middle one of the days played on, so that the
    /// later half of the evenings stands against the earlier half.
    #[must_use]
    pub fn new(practice: &Practice, since: Option<&str>) -> Self {
        let mut days: Vec<&str> = practice.tried.iter().map(|t| &*t.day).collect();
        days.sort_unstable();
        days.dedup();
        let since = match since {
            Some(day) => Some(day.to_owned()),
            None if days.len() > 1 => days.get(days.len() / 2).map(|day| (*day).to_owned()),
            None => None,
        };
        let is_later = |day: &str| since.as_deref().is_none_or(|first| day >= first);
        Self {
            earlier: practice.within(|day| !is_later(day)),
            later: practice.within(is_later),
            days: practice.days(),
            since,
        }
    }

    /// Both periods together, the earlier one first.
    #[must_use]
    pub fn all(&self) -> Practice {
        let (earlier, later) = (&self.earlier, &self.later);
        Practice {
            shots: Arc::clone(&later.shots),
            tried: earlier.tried.iter().chain(&later.tried).cloned().collect(),
        }
    }
}

impl Log {
    /// What a student tried, from a day or instant on, added up by shot and day.
    ///
    /// # Errors
    /// [`LogError::UnknownStudent`], [`LogError::Damaged`] when what is counted does not match its
    /// checksum, and the faults of reading.
    pub fn practice(&self, label: &str, since: Option<&When>) -> Result<Practice, LogError> {
        self.at_one_moment(|log| {
            let Sums {
                mut tried, shots, ..
            } = log.count(label, since)?;
            tried.sort_by_key(|t| t.first);
            let shots = shots.iter().map(|(sum, first)| {
                let rows = log.select("attempt.number = ?1", vec![(*first).into()])?;
                match rows.as_slice() {
                    [row] if shot_sum(&to_cells(row)) == *sum => Ok(ShotTried::of(row)),
                    _ => Err(log.miscounted(*first)),
                }
            });
            Ok(Practice {
                shots: shots.collect::<Result<_, LogError>>()?,
                tried,
            })
        })
    }

    /// Adds up what the index says, row by row.
    fn count(&self, label: &str, since: Option<&When>) -> Result<Sums, LogError> {
        let filter = Filter {
            student: Some(label.to_owned()),
            since: since.cloned(),
            ..Filter::default()
        };
        let (condition, values) = self.condition(&filter)?;
        let fault = |e: rusqlite::Error| self.fault(&e);
        let mut query = self
            .connection
            .prepare_cached(&counting_sql(&condition))
            .map_err(fault)?;
        let mut rows = query
            .query(rusqlite::params_from_iter(values))
            .map_err(fault)?;
        let mut sums = Sums::default();
        while let Some(row) = rows.next().map_err(fault)? {
            let counted = sums.row(label, row).map_err(fault)?;
            counted.map_err(|number| self.miscounted(number))?;
        }
        Ok(sums)
    }

    fn miscounted(&self, number: i64) -> LogError {
        self.damaged(format!("row number {number} does not match its checksum"))
    }
}

/// Practice as far as it is added up.
#[derive(Default)]
struct Sums {
    tried: Vec<Tried>,
    /// Each shot's checksum, and the number of its first row.
    shots: Vec<(i64, i64)>,
    known: HashMap<i64, usize>,
    day: Arc<str>,
    /// Rows of one shot on one day come together: that shot, and its sums without and with sides.
    open: (i64, [Option<usize>; 2]),
}

impl Sums {
    /// Adds a row of [`counting_sql`]; the inner error is the number of one that nobody wrote.
    fn row(&mut self, label: &str, row: &Row<'_>) -> rusqlite::Result<Result<(), i64>> {
        let (day, shot, number) = (row.get_ref(0)?, row.get(1)?, row.get(7)?);
        let (full, thin): (Option<i64>, Option<i64>) = (row.get(4)?, row.get(5)?);
        let counts = Counts {
            tries: row.get(2)?,
            made: row.get(3)?,
            sides: full.zip(thin),
        };
        let Ok(day) = day.as_str() else {
            return Ok(Err(number));
        };
        if counts.sum(label, day, shot) != row.get::<_, i64>(6)? {
            return Ok(Err(number));
        }
        if *day != *self.day || self.open.0 != shot {
            self.open = (shot, [None; 2]);
        }
        if *day != *self.day {
            self.day = day.into();
        }
        self.add(shot, number, counts);
        Ok(Ok(()))
    }

    fn add(&mut self, sum: i64, number: i64, counts: Counts) {
        let shot = *self.known.entry(sum).or_insert_with(|| {
            self.shots.push((sum, number));
            self.shots.len() - 1
        });
        let first = &mut self.shots[shot].1;
        *first = number.min(*first);
        let noted = counts.sides.is_some();
        let at = *self.open.1[usize::from(noted)].get_or_insert_with(|| {
            let day = Arc::clone(&self.day);
            self.tried.push(Tried::none(shot, day, noted, number));
            self.tried.len() - 1
        });
        let tried = &mut self.tried[at];
        tried.first = number.min(tried.first);
        // The table holds no negative counts.
        let sides = counts
            .sides
            .map(|(full, thin)| (full.unsigned_abs(), thin.unsigned_abs()));
        tried.add(Counted {
            tries: counts.tries.unsigned_abs(),
            made: counts.made.unsigned_abs(),
            sides,
        });
    }
}

/// Read from the index alone, in its order.
pub(crate) fn counting_sql(condition: &str) -> String {
    format!(
        "SELECT day, shot, tries, made, \"full\", thin, counted, number FROM attempt WHERE {condition} ORDER BY day, shot"
    )
}
