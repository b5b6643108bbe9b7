//! Sheets: the rungs of a ladder or the marks of a group, kept under the code printed on them, so
//! that a tally from the table needs no shot typed again.

use rusqlite::{OptionalExtension, TransactionBehavior, params};
use serde::{Deserialize, Serialize};

use super::attempt::{Attempt, MOST_TRIES, ShotEntered};
use super::cells::checksum;
use super::code::{CODE_CHARS, make_code, read_code};
use super::error::LogError;
use super::handle::Log;
use super::solver::{SolveError, solve_entered};
use super::student::check_label;
use super::tally::TallyRow;
use super::when::When;
use super::windows::{EDITION, Windows};
use crate::shown::quoted;
use crate::units::Side;

/// Characters of a code before its check character. Assumption: short enough to type, and of
/// 31⁴ = 923 521 codes two sheets of one coach hardly ever share one, kept in the log or not.
const PAYLOAD: usize = 4;

/// Most rungs of a sheet. Assumption: more do not fit a booklet.
pub const MOST_RUNGS: usize = 200;

/// Before the student's label in the title of a ladder: `stun for student K, from 40 tries`.
pub(super) const FOR_STUDENT: &str = " for student ";

/// What is on a sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
#[serde(rename_all = "lowercase")]
pub enum SheetKind {
    /// Graded shots, every student plays them all.
    Ladder,
    /// One shot, each student from a mark of their own.
    Marks,
    /// Shots of a lesson, among them marks that are one student's only.
    Lesson,
}

/// What passes a shot of a sheet, as it stands on paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct PassMark {
    /// Makes.
    pub makes: u32,
    /// Of so many tries in a row.
    pub tries: u32,
}

impl PassMark {
    /// What is wrong with it, if anything.
    fn problem(self) -> Option<String> {
        let Self { makes, tries } = self;
        (makes == 0 || makes > tries || tries > MOST_TRIES).then(|| {
            format!("pass {makes} of {tries}: makes are 1 to tries, tries at most {MOST_TRIES}")
        })
    }
}

/// One shot of a sheet.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Rung {
    /// Whose mark it is, on a marks sheet or in a lesson.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub student: Option<String>,
    /// The shot.
    pub shot: ShotEntered,
    /// Which way it cuts.
    pub cut: Side,
    /// Its windows.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub windows: Option<Windows>,
    /// What passes it; none of marks, and of ladders that were kept before marks were.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pass: Option<PassMark>,
}

/// A ladder, a marks sheet or a lesson. Its code follows from what is on it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Sheet {
    /// Ladder, marks or lesson.
    pub kind: SheetKind,
    /// A line to know it by.
    pub title: String,
    /// The shots, rung 1 first.
    pub rungs: Vec<Rung>,
    /// Numbers, in order, that no shot has any more: the marks of forgotten students. The others keep
    /// theirs, which stand on paper and in rows of the log.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub gone: Vec<usize>,
}

impl SheetKind {
    /// `ladder`, `marks` or `lesson`.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Ladder => "ladder",
            Self::Marks => "marks",
            Self::Lesson => "lesson",
        }
    }

    /// What each of its shots is called.
    #[must_use]
    pub fn shot_name(self) -> &'static str {
        match self {
            Self::Ladder => "rung",
            Self::Marks => "mark",
            Self::Lesson => "shot",
        }
    }
}

/// A sheet in a list of all.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct Kept {
    /// Its code.
    pub code: String,
    /// Ladder, marks or lesson.
    pub kind: SheetKind,
    /// Its title.
    pub title: String,
    /// How many rungs.
    pub rungs: usize,
}

impl Sheet {
    /// A sheet of these shots, solved; on a marks sheet each with its student.
    ///
    /// # Errors
    /// [`SolveError`].
    pub fn of_shots(
        kind: SheetKind,
        title: String,
        shots: Vec<(Option<String>, ShotEntered)>,
    ) -> Result<Self, SolveError> {
        let mut rungs = Vec::with_capacity(shots.len());
        for (student, shot) in shots {
            let solved = solve_entered(&shot)?;
            rungs.push(Rung {
                student,
                shot,
                cut: solved.cut,
                windows: solved.windows,
                pass: None,
            });
        }
        Ok(Self {
            kind,
            title,
            rungs,
            gone: Vec::new(),
        })
    }

    /// The shots with their numbers, from 1.
    pub fn numbered(&self) -> impl Iterator<Item = (usize, &Rung)> {
        (1..)
            .filter(|number| !self.gone.contains(number))
            .zip(&self.rungs)
    }

    /// The shot of a number.
    #[must_use]
    pub fn rung(&self, number: usize) -> Option<&Rung> {
        self.numbered()
            .find_map(|(k, rung)| (k == number).then_some(rung))
    }

    /// The student a ladder was drawn up for, whom its title names.
    #[must_use]
    pub fn drawn_for(&self) -> Option<&str> {
        let (_, who) = self.title.split_once(FOR_STUDENT)?;
        who.split(',').next()
    }

    /// The largest number.
    #[must_use]
    pub fn last_number(&self) -> usize {
        self.numbered().last().map_or(0, |(number, _)| number)
    }

    /// What is wrong with it, if anything.
    #[must_use]
    pub fn problem(&self) -> Option<String> {
        if !(1..=MOST_RUNGS).contains(&self.rungs.len()) {
            let count = self.rungs.len();
            return Some(format!("{count} rungs: a sheet has 1 to {MOST_RUNGS}"));
        }
        let numbers = 1..=MOST_RUNGS - self.rungs.len();
        let in_order = self.gone.is_sorted_by(|a, b| a < b) && self.gone.first() != Some(&0);
        if !self.gone.is_empty()
            && (!in_order || !numbers.contains(&self.gone.len()) || self.kind == SheetKind::Ladder)
        {
            return Some(format!(
                "gone: numbers of marks that are no more, from 1 and in order, at most {MOST_RUNGS} with those that are there"
            ));
        }
        self.numbered().enumerate().find_map(|(k, (number, rung))| {
            let owner = match (&rung.student, self.kind) {
                (Some(label), SheetKind::Marks) => {
                    let twice = self.rungs[..k]
                        .iter()
                        .any(|r| r.student.as_ref() == Some(label));
                    check_label(label)
                        .err()
                        .map(|e| e.to_string())
                        .or_else(|| twice.then(|| format!("{label} has two marks")))
                }
                (None, SheetKind::Marks) => Some("a mark needs its student".to_owned()),
                (Some(label), SheetKind::Ladder) => Some(format!(
                    "a rung of a ladder is everybody's, not only {}'s",
                    quoted(label)
                )),
                (Some(label), SheetKind::Lesson) => check_label(label).err().map(|e| e.to_string()),
                (None, SheetKind::Ladder | SheetKind::Lesson) => None,
            };
            owner
                .or_else(|| rung.shot.problem())
                .or_else(|| rung.windows.as_ref().and_then(Windows::problem))
                .or_else(|| rung.pass.and_then(PassMark::problem))
                .map(|problem| format!("{} {number}: {problem}", self.kind.shot_name()))
        })
    }

    /// The code, which follows from what is on the sheet. A log in which another sheet has it
    /// already gives a longer one.
    ///
    /// # Errors
    /// [`LogError::Sheet`] for a sheet that cannot be.
    pub fn code(&self) -> Result<String, LogError> {
        if let Some(problem) = self.problem() {
            return Err(LogError::Sheet { problem });
        }
        Ok(make_code(checksum([self.body()?.as_str()]), PAYLOAD))
    }

    /// As it is stored. Object keys stand in a fixed order, so equal sheets have equal texts.
    pub(super) fn body(&self) -> Result<String, LogError> {
        serde_json::to_string(self).map_err(|e| LogError::Sheet {
            problem: e.to_string(),
        })
    }

    /// The rung a row of a tally is about, from 1.
    fn rung_of(&self, row: &TallyRow) -> Result<usize, String> {
        let (count, name) = (self.rungs.len(), self.kind.shot_name());
        let last = self.last_number();
        match (self.kind, row.rung) {
            (SheetKind::Marks, None) => self.mark_of(&row.student).ok_or_else(|| {
                let marks: Vec<&str> = self
                    .rungs
                    .iter()
                    .filter_map(|r| r.student.as_deref())
                    .collect();
                format!(
                    "{} has no mark on it: marks are for {}",
                    row.student,
                    marks.join(", ")
                )
            }),
            (SheetKind::Marks, Some(rung)) => {
                Err(format!("it has marks, not rungs: leave \"{rung}:\" out"))
            }
            (_, None) if count == 1 => self.open_to(last, &row.student),
            (_, None) => Err(format!(
                "it has {count} {name}s: say which before the tally, such as \"3: {} {}/{}\"",
                row.student, row.made, row.tries
            )),
            (_, Some(rung)) if self.rung(rung).is_some() => self.open_to(rung, &row.student),
            (_, Some(rung)) if self.gone.contains(&rung) => Err(format!(
                "its {name} {rung} went with a student who was forgotten"
            )),
            (_, Some(rung)) => Err(format!(
                "it has no {name} {rung}: {name}s run from 1 to {last}"
            )),
        }
    }

    /// The number of a student's own shot.
    fn mark_of(&self, student: &str) -> Option<usize> {
        self.numbered()
            .find_map(|(number, rung)| (rung.student.as_deref() == Some(student)).then_some(number))
    }

    /// The number given, unless that shot is a mark of somebody else.
    fn open_to(&self, number: usize, student: &str) -> Result<usize, String> {
        let owner = self.rung(number).and_then(|r| r.student.as_deref());
        let Some(owner) = owner.filter(|owner| *owner != student) else {
            return Ok(number);
        };
        let own = self
            .mark_of(student)
            .map_or(String::new(), |k| format!("; {student}'s is shot {k}"));
        Err(format!("its shot {number} is {owner}'s mark{own}"))
    }

    /// A tally's rows as attempts at the rungs of this sheet.
    ///
    /// # Errors
    /// [`LogError::Tally`] for a rung that is not there, or a student without a mark.
    pub fn attempts(
        &self,
        code: &str,
        rows: &[TallyRow],
        when: &When,
        session: Option<&str>,
    ) -> Result<Vec<Attempt>, LogError> {
        rows.iter()
            .map(|row| {
                let fault = |problem| LogError::Tally {
                    code: code.to_owned(),
                    problem,
                };
                let number = self.rung_of(row).map_err(fault)?;
                let rung = self
                    .rung(number)
                    .ok_or_else(|| fault(format!("it has no shot {number}")))?;
                Ok(Attempt {
                    id: None,
                    student: row.student.clone(),
                    when: when.clone(),
                    session: session.map(str::to_owned),
                    sheet: Some(code.to_owned()),
                    rung: u32::try_from(number).ok(),
                    shot: rung.shot.clone(),
                    cut: rung.cut,
                    tries: row.tries,
                    made: row.made,
                    misses: row.misses,
                    windows: rung.windows.clone(),
                    note: None,
                })
            })
            .collect()
    }
}

impl Log {
    /// Keeps a sheet and gives its code. The same sheet gets the same code again, in any log where
    /// no other sheet had it first.
    ///
    /// # Errors
    /// [`LogError::Sheet`] for a sheet that cannot be, and the faults of writing.
    pub fn save_sheet(&mut self, sheet: &Sheet) -> Result<String, LogError> {
        if let Some(problem) = sheet.problem() {
            return Err(LogError::Sheet { problem });
        }
        let body = sheet.body()?;
        let number = checksum([body.as_str()]);
        let path = self.path.clone();
        let fault = |e: rusqlite::Error| LogError::from_sqlite(&path, &e);
        let change = self
            .connection
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .map_err(fault)?;
        for payload in PAYLOAD..CODE_CHARS.1 {
            let code = make_code(number, payload);
            let kept: Option<String> = change
                .query_row("SELECT body FROM sheet WHERE code = ?1", [&code], |row| {
                    row.get(0)
                })
                .optional()
                .map_err(fault)?;
            match kept {
                Some(other) if other != body => {}
                Some(_) => return Ok(code),
                None => {
                    change
                        .execute(
                            "INSERT INTO sheet (code, kind, body, checksum, edition) VALUES (?1, ?2, ?3, ?4, ?5)",
                            params![code, sheet.kind.name(), body, body_sum(&code, &body), EDITION],
                        )
                        .map_err(fault)?;
                    change.commit().map_err(fault)?;
                    return Ok(code);
                }
            }
        }
        Err(LogError::Sheet {
            problem: "every code for it is taken: change its title".to_owned(),
        })
    }

    /// The sheet of a code, typed by a person: in any case, check character verified.
    ///
    /// # Errors
    /// [`LogError::Code`], [`LogError::UnknownSheet`], and the faults of reading.
    pub fn find_sheet(&self, code: &str) -> Result<(String, Sheet), LogError> {
        let code = read_code(code)?;
        let stored: Option<(String, i64)> = self
            .connection
            .query_row(
                "SELECT body, checksum FROM sheet WHERE code = ?1",
                [&code],
                |row| Ok((row.get(0)?, row.get(1)?)),
            )
            .optional()
            .map_err(|e| self.fault(&e))?;
        let Some((body, sum)) = stored else {
            return Err(LogError::UnknownSheet { code });
        };
        self.check_body(&code, &body, sum)?;
        let sheet =
            serde_json::from_str(&body).map_err(|e| self.damaged(format!("sheet {code}: {e}")))?;
        Ok((code, sheet))
    }

    /// All sheets kept, the newest first.
    ///
    /// # Errors
    /// [`LogError::Damaged`] and the faults of reading.
    pub fn sheets(&self) -> Result<Vec<Kept>, LogError> {
        let read = || {
            self.connection
                .prepare_cached("SELECT code FROM sheet ORDER BY rowid DESC")?
                .query_map([], |row| row.get(0))?
                .collect::<rusqlite::Result<Vec<String>>>()
        };
        let codes = read().map_err(|e| self.fault(&e))?;
        codes
            .iter()
            .map(|code| {
                let (code, sheet) = self.find_sheet(code)?;
                Ok(Kept {
                    code,
                    kind: sheet.kind,
                    rungs: sheet.rungs.len(),
                    title: sheet.title,
                })
            })
            .collect()
    }

    /// What nobody wrote is not handed on.
    pub(super) fn check_body(&self, code: &str, body: &str, sum: i64) -> Result<(), LogError> {
        if body_sum(code, body) == sum {
            Ok(())
        } else {
            Err(self.damaged(format!("sheet {code} does not match its checksum")))
        }
    }
}

/// Checksum of a stored sheet.
pub(super) fn body_sum(code: &str, body: &str) -> i64 {
    checksum([code, body]).cast_signed()
}
