//! Windows of an earlier edition of the solver, solved once again.
//!
//! Rows say which edition solved them. What an earlier one solved, or nobody knows who, is solved
//! again before a fit reads it: shot by shot, since a log has far fewer shots than rows, and a few
//! thousand rows in each transaction, so that another program waits for no longer than for an
//! import. Each row goes over whole (windows, sums, edition), so a run that is cut off half-way is
//! taken up by the next, and two at once share the work. Before the first row that moves the log is
//! copied into its backups, and the windows it had stay in a table of their own.
//!
//! What cannot be solved again keeps its windows: a shot on a gear file that is not there (it is
//! looked for again next time), and one of which other balls took a part that no row tells.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use rayon::prelude::*;
use rusqlite::types::ToSqlOutput;
use rusqlite::{Transaction, TransactionBehavior, params, params_from_iter};

use super::attempt::Attempt;
use super::backup;
use super::cells::{Counts, SOLVED, cell, row_sum, shot_sum, solved_cells, to_cells};
use super::error::LogError;
use super::handle::Log;
use super::known::known;
use super::rows::{column_list, read_cells, stored, width};
use super::since::Since;
use super::solver::solve_entered;
use super::windows::{Allowed, EARLIER, EDITION, Room, Windows};

/// Windows that no solver can find from the row alone.
const AS_ENTERED: i64 = 0;

/// Shots solved at a time.
const SHOTS: i64 = 256;

/// Rows rewritten in one transaction: less than a second's work. Assumption.
const ROWS: usize = 5000;

/// Numbers nearer than this, degrees or millimetres, are the same window: edges are found to 1e-8°.
const SAME: f64 = 1e-6;

/// The aim past other balls is at the middle of what they leave of the pocket: a cut so far from that
/// of the shot alone, which no edition of the solver changed, tells of them, degrees. Assumption.
const PAST_DEG: f64 = 0.01;

/// How a student's spread moved.
#[derive(Debug, Clone, PartialEq)]
pub struct FitMoved {
    /// Whose.
    pub student: String,
    /// Factor on a club player's spread with the earlier windows; `None` where there was no fit.
    pub before: Option<f64>,
    /// With those of now.
    pub after: Option<f64>,
}

/// What came of solving again.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SolvedAgain {
    /// Shots that were solved again.
    pub shots: usize,
    /// Those of them whose windows are others now.
    pub moved: usize,
    /// Shots that keep their windows because other balls took part of them.
    pub past_balls: usize,
    /// Shots that could not be solved here, and why the first could not.
    pub unsolved: usize,
    /// The first reason.
    pub why: Option<String>,
    /// Copy of the log as it was, where something moved.
    pub backup: Option<PathBuf>,
    /// Whether it stays: a log that cannot be written is solved again in a copy that nobody keeps.
    pub stays: bool,
    /// Students with tries at shots that moved.
    pub fits: Vec<FitMoved>,
}

/// Told how many rows were gone through, of how many.
pub type Progress<'a> = &'a mut dyn FnMut(u64, u64);

/// What solving a shot again says.
enum Outcome {
    /// As it was.
    Same,
    /// Other windows.
    Moved(Option<Box<Windows>>),
    /// Other balls stood there.
    PastBalls,
    /// Not here.
    Unsolved(String),
}

impl Log {
    /// Opens a log for reading what fits rest on: windows of an earlier edition are solved again
    /// first, in the log where it can be written to and copied, else in a copy.
    ///
    /// # Errors
    /// As [`Log::open_reading`].
    pub fn open_solved(
        path: &Path,
        progress: Progress<'_>,
    ) -> Result<(Self, SolvedAgain), LogError> {
        let log = Self::open_reading(path)?;
        if !log.has_earlier()? {
            return Ok((log, SolvedAgain::default()));
        }
        match Self::open_existing(path).and_then(|mut log| log.solve_again(progress)) {
            Ok(done) => Ok((Self::open_reading(path)?, done)),
            // What keeps it from being written is no reason not to read it.
            Err(_) => log.solved_elsewhere(progress),
        }
    }

    /// Solves windows of an earlier edition again.
    ///
    /// # Errors
    /// [`LogError::Backup`] when no copy can be made, [`LogError::Damaged`], and the faults of
    /// writing. What was solved until then stays.
    pub fn solve_again(&mut self, progress: Progress<'_>) -> Result<SolvedAgain, LogError> {
        if !self.has_earlier()? {
            return Ok(SolvedAgain::default());
        }
        let mut run = Run::new(self, true)?;
        run.all(progress)?;
        run.finish()
    }

    /// In a copy without a name, as SQLite's answer to an empty one.
    fn solved_elsewhere(self, progress: Progress<'_>) -> Result<(Self, SolvedAgain), LogError> {
        let connection =
            backup::copy(&self.connection, Path::new("")).map_err(|e| self.fault(&e))?;
        let copy = Self {
            connection,
            path: self.path,
        };
        let mut run = Run::new(&copy, false)?;
        run.all(progress)?;
        let done = run.finish()?;
        copy.set("query_only", "ON")?;
        Ok((copy, done))
    }

    /// Whether rows wait to be solved again.
    ///
    /// # Errors
    /// The faults of reading.
    pub fn has_earlier(&self) -> Result<bool, LogError> {
        self.connection
            .query_row(
                "SELECT EXISTS (SELECT 1 FROM attempt WHERE edition = 1)",
                [],
                |row| row.get(0),
            )
            .map_err(|e| self.fault(&e))
    }

    /// Factor on a club player's spread, where there is a fit.
    fn spread_of(&self, label: &str) -> Option<f64> {
        let practice = self.practice(label, None).ok()?;
        known(label, &practice, &Since::Everything)
            .ok()
            .map(|known| known.fit.scale.value)
    }
}

/// One go through a log.
struct Run<'a> {
    log: &'a Log,
    done: SolvedAgain,
    all: u64,
    gone: u64,
    /// Spreads before the first change, by student.
    before: Option<BTreeMap<String, Option<f64>>>,
}

impl<'a> Run<'a> {
    fn new(log: &'a Log, stays: bool) -> Result<Self, LogError> {
        let all: i64 = log
            .connection
            .query_row(
                "SELECT count(*) FROM attempt WHERE edition = 1",
                [],
                |row| row.get(0),
            )
            .map_err(|e| log.fault(&e))?;
        Ok(Self {
            log,
            done: SolvedAgain {
                stays,
                ..SolvedAgain::default()
            },
            all: all.unsigned_abs(),
            gone: 0,
            before: None,
        })
    }

    fn all(&mut self, progress: Progress<'_>) -> Result<(), LogError> {
        progress(0, self.all);
        let mut last = i64::MIN;
        loop {
            let sums = self.next_shots(last)?;
            let Some(end) = sums.last() else {
                return Ok(());
            };
            last = *end;
            let tried = sums
                .into_iter()
                .filter_map(|sum| Some((sum, self.one_of(sum)?)));
            let tried: Vec<(i64, Attempt)> = tried.collect();
            let solved: Vec<(i64, Attempt, Outcome)> = tried
                .into_par_iter()
                .map(|(sum, attempt)| {
                    let outcome = solve(&attempt);
                    (sum, attempt, outcome)
                })
                .collect();
            for (sum, attempt, outcome) in solved {
                self.take(sum, &attempt, outcome)?;
                progress(self.gone, self.all);
            }
        }
    }

    /// The next shots with rows to solve again, in the order of their sums.
    fn next_shots(&self, after: i64) -> Result<Vec<i64>, LogError> {
        let read = || {
            self.log
                .connection
                .prepare_cached(
                    "SELECT DISTINCT shot FROM attempt WHERE edition = 1 AND shot > ?1 ORDER BY shot LIMIT ?2",
                )?
                .query_map([after, SHOTS], |row| row.get(0))?
                .collect::<rusqlite::Result<Vec<i64>>>()
        };
        read().map_err(|e| self.log.fault(&e))
    }

    /// A row of a shot; none where it is not as it was recorded, which reading it will say.
    fn one_of(&self, sum: i64) -> Option<Attempt> {
        let first =
            "attempt.number = (SELECT min(number) FROM attempt WHERE edition = 1 AND shot = ?1)";
        let rows = self.log.select(first, vec![sum.into()]).ok()?;
        rows.into_iter()
            .next()
            .filter(|row| shot_sum(&to_cells(row)) == sum)
    }

    fn take(&mut self, sum: i64, attempt: &Attempt, outcome: Outcome) -> Result<(), LogError> {
        match outcome {
            Outcome::Unsolved(why) => {
                self.done.unsolved += 1;
                self.done.why.get_or_insert(why);
            }
            Outcome::PastBalls => {
                self.done.past_balls += 1;
                self.mark(sum, AS_ENTERED)?;
            }
            Outcome::Same => {
                self.done.shots += 1;
                self.mark(sum, EDITION)?;
            }
            Outcome::Moved(windows) => {
                self.done.shots += 1;
                self.done.moved += 1;
                self.before_a_change()?;
                self.rewrite(sum, attempt, windows.map(|w| *w))?;
            }
        }
        Ok(())
    }

    /// A copy of the log, and the fits as they were.
    fn before_a_change(&mut self) -> Result<(), LogError> {
        if self.before.is_some() {
            return Ok(());
        }
        if self.done.stays {
            self.done.backup = Some(self.log.back_up_before_solving(EARLIER)?);
        }
        let read = || {
            self.log
                .connection
                .prepare(
                    "SELECT label FROM student WHERE id IN (SELECT student_id FROM attempt WHERE edition = 1) ORDER BY label",
                )?
                .query_map([], |row| row.get(0))?
                .collect::<rusqlite::Result<Vec<String>>>()
        };
        let labels = read().map_err(|e| self.log.fault(&e))?;
        let fits = labels.into_iter().map(|label| {
            let spread = self.log.spread_of(&label);
            (label, spread)
        });
        self.before = Some(fits.collect());
        Ok(())
    }

    fn mark(&mut self, sum: i64, edition: i64) -> Result<(), LogError> {
        let marked = self
            .log
            .connection
            .prepare_cached("UPDATE attempt SET edition = ?2 WHERE edition = 1 AND shot = ?1")
            .and_then(|mut q| q.execute([sum, edition]))
            .map_err(|e| self.log.fault(&e))?;
        self.gone += marked as u64;
        Ok(())
    }

    /// All rows of a shot, some at a time.
    fn rewrite(
        &mut self,
        sum: i64,
        attempt: &Attempt,
        windows: Option<Windows>,
    ) -> Result<(), LogError> {
        let cells = to_cells(&Attempt {
            windows,
            ..attempt.clone()
        });
        loop {
            let fault = |e: rusqlite::Error| self.log.fault(&e);
            let change =
                Transaction::new_unchecked(&self.log.connection, TransactionBehavior::Immediate)
                    .map_err(fault)?;
            keep_windows(&change, sum, attempt, shot_sum(&cells)).map_err(fault)?;
            let rows = rewrite_some(&change, sum, &cells).map_err(fault)?;
            change.commit().map_err(fault)?;
            self.gone += rows as u64;
            if rows < ROWS {
                return Ok(());
            }
        }
    }

    fn finish(mut self) -> Result<SolvedAgain, LogError> {
        let before = self.before.unwrap_or_default();
        for (student, before) in before {
            let after = self.log.spread_of(&student);
            self.done.fits.push(FitMoved {
                student,
                before,
                after,
            });
        }
        Ok(self.done)
    }
}

/// Solves the shot of a row again.
fn solve(attempt: &Attempt) -> Outcome {
    let solved = match solve_entered(&attempt.shot) {
        Ok(solved) => solved.windows,
        Err(fault) => return Outcome::Unsolved(fault.to_string()),
    };
    if attempt.sheet.is_some()
        && let (Some(was), Some(is)) = (&attempt.windows, &solved)
        && (was.cut_deg - is.cut_deg).abs() > PAST_DEG
    {
        return Outcome::PastBalls;
    }
    let same = match (&attempt.windows, &solved) {
        (Some(was), Some(is)) => are_same(was, is),
        (None, None) => true,
        _ => false,
    };
    if same {
        Outcome::Same
    } else {
        Outcome::Moved(solved.map(Box::new))
    }
}

/// Whether windows are the same but for rounding.
fn are_same(was: &Windows, is: &Windows) -> bool {
    let near = |a: f64, b: f64| (a - b).abs() <= SAME;
    let room = |a: Option<Room>, b: Option<Room>| match (a, b) {
        (Some(a), Some(b)) => near(a.thick_deg, b.thick_deg) && near(a.thin_deg, b.thin_deg),
        (None, None) => true,
        _ => false,
    };
    let part = |a: &Allowed, b: &Allowed| {
        a.how == b.how && near(a.from_deg, b.from_deg) && near(a.to_deg, b.to_deg)
    };
    room(was.clean, is.clean)
        && room(was.direct, is.direct)
        && room(was.drop, is.drop)
        && near(was.cue_travel_mm, is.cue_travel_mm)
        && near(was.cut_deg, is.cut_deg)
        && near(was.cue_speed_m_s, is.cue_speed_m_s)
        && was.allowed.len() == is.allowed.len()
        && was.allowed.iter().zip(&is.allowed).all(|(a, b)| part(a, b))
}

/// The windows that a shot had, beside the log's rows.
fn keep_windows(
    change: &Transaction<'_>,
    was: i64,
    attempt: &Attempt,
    now: i64,
) -> rusqlite::Result<()> {
    let cells = to_cells(attempt);
    let windows: BTreeMap<&str, &str> = solved_cells()
        .iter()
        .map(|(name, _)| (*name, cell(&cells, name)))
        .collect();
    // Texts by name are always JSON.
    let windows = serde_json::to_string(&windows).unwrap_or_default();
    let shot = serde_json::to_string(&attempt.shot).unwrap_or_default();
    change.execute(
        "INSERT OR IGNORE INTO windows_before (was, edition, now, solved, shot, windows) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
        params![was, EARLIER, now, EDITION, shot, windows],
    )?;
    Ok(())
}

/// Puts the windows of `solved` into at most [`ROWS`] rows of a shot, and says how many there were.
fn rewrite_some(change: &Transaction<'_>, sum: i64, solved: &[String]) -> rusqlite::Result<usize> {
    let sql = format!(
        "SELECT {}, checksum, number, day FROM attempt JOIN student ON student.id = student_id \
         WHERE edition = 1 AND shot = ?1 LIMIT {ROWS}",
        column_list(Some("student.label"))
    );
    let rows = change
        .prepare_cached(&sql)?
        .query_map([sum], |row| {
            let (cells, sum) = read_cells(row)?;
            let number: i64 = row.get(width() + 1)?;
            let day: String = row.get(width() + 2)?;
            Ok((cells, sum, number, day))
        })?
        .collect::<rusqlite::Result<Vec<_>>>()?;
    let names: Vec<String> = solved_cells()
        .iter()
        .enumerate()
        .map(|(k, (name, _))| format!("\"{name}\" = ?{}", k + 5))
        .collect();
    let sql = format!(
        "UPDATE attempt SET edition = {EDITION}, checksum = ?2, shot = ?3, counted = ?4, {} WHERE number = ?1",
        names.join(", ")
    );
    let mut write = change.prepare_cached(&sql)?;
    let mut leave = change.prepare_cached("UPDATE attempt SET edition = ?2 WHERE number = ?1")?;
    let count = rows.len();
    for (mut cells, known, number, day) in rows {
        // A row that was damaged before stays known as damaged.
        if row_sum(&cells) != known {
            leave.execute([number, AS_ENTERED])?;
            continue;
        }
        cells[SOLVED].clone_from_slice(&solved[SOLVED]);
        let shot = shot_sum(&cells);
        let counted = Counts::of(&cells).sum(&cells[1], &day, shot);
        let mut values: Vec<ToSqlOutput<'_>> = vec![
            number.into(),
            row_sum(&cells).into(),
            shot.into(),
            counted.into(),
        ];
        let own = solved_cells().iter().zip(&cells[SOLVED]);
        values.extend(own.map(|((_, kind), cell)| stored(*kind, cell)));
        write.execute(params_from_iter(values))?;
    }
    Ok(count)
}
