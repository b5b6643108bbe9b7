//! Tallies as they really come: `k 4/10`, `L4/10`, `overcut 3`, `thick 2`, counts shot after shot, a page
//! out of a spreadsheet. What is read here is shown before it is recorded.
//!
//! ```text
//! tally = { SHOT ":" | label [ ":" ] | count | misses | "," | ";" }
//! count = MADE ( "/" | "of" | "out of" ) TRIES
//! misses = side COUNT | COUNT side
//! ```
//!
//! A count belongs to the student named last and, without a shot before it, to the next shot of the sheet.

use std::collections::BTreeMap;

use super::attempt::{MissSides, count_problem};
use super::student::check_label;
use super::tally::{TallyRow, tokens};

/// A tally as it was understood.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Jotted {
    /// Counts, in the order they stand there; those without a rung follow each other on the sheet.
    pub rows: Vec<TallyRow>,
    /// Labels that nobody in the log has.
    pub new_students: Vec<String>,
}

impl Jotted {
    fn add(&mut self, more: Self) {
        self.rows.extend(more.rows);
        for label in more.new_students {
            if !self.new_students.contains(&label) {
                self.new_students.push(label);
            }
        }
    }
}

/// A side of misses by any of its names.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Miss {
    Full,
    Thin,
    Short,
    Scratch,
    Unseen,
}

impl Miss {
    fn read(word: &str) -> Option<Self> {
        Some(match word.to_lowercase().as_str() {
            "full" | "fuller" | "thick" | "undercut" | "under" => Self::Full,
            "thin" | "thinner" | "overcut" | "over" => Self::Thin,
            "short" => Self::Short,
            "scratch" | "scratched" | "in-off" => Self::Scratch,
            "unseen" | "?" => Self::Unseen,
            _ => return None,
        })
    }

    /// `f2`, `t1`: a letter and its count in one.
    fn with_count(word: &str) -> Option<(Self, u32)> {
        let miss = match word.chars().next()? {
            'f' => Self::Full,
            't' => Self::Thin,
            _ => return None,
        };
        Some((miss, number(word.get(1..)?)?))
    }

    fn slot(self, sides: &mut MissSides) -> &mut u32 {
        match self {
            Self::Full => &mut sides.full,
            Self::Thin => &mut sides.thin,
            Self::Short => &mut sides.short,
            Self::Scratch => &mut sides.scratch,
            Self::Unseen => &mut sides.not_seen,
        }
    }
}

fn number(text: &str) -> Option<u32> {
    let is = !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    is.then(|| text.parse().ok()).flatten()
}

/// Reads a tally as it was jotted down; `None` where it cannot be understood even so, or where its counts
/// cannot be.
#[must_use]
pub fn read_jotted(line: &str, students: &[&str]) -> Option<Jotted> {
    let words: Vec<&str> = tokens(line).iter().map(|t| t.text()).collect();
    let mut reader = Reader {
        words: &words,
        students,
        rung: None,
        student: None,
        found: Jotted::default(),
    };
    while !reader.words.is_empty() {
        reader.next()?;
    }
    let found = reader.found;
    let fits = |row: &TallyRow| {
        count_problem(row.tries, row.made, &row.misses.unwrap_or_default()).is_none()
    };
    let twice = |k: usize| {
        let row = &found.rows[k];
        row.rung.is_some()
            && found.rows[..k]
                .iter()
                .any(|r| r.rung == row.rung && r.student == row.student)
    };
    let good =
        !found.rows.is_empty() && found.rows.iter().all(fits) && !(0..found.rows.len()).any(twice);
    good.then_some(found)
}

struct Reader<'a> {
    words: &'a [&'a str],
    students: &'a [&'a str],
    rung: Option<usize>,
    student: Option<String>,
    found: Jotted,
}

impl Reader<'_> {
    fn word(&self, ahead: usize) -> Option<&str> {
        self.words.get(ahead).copied()
    }

    fn past(&mut self, words: usize) {
        self.words = &self.words[words..];
    }

    /// One part of the tally.
    fn next(&mut self) -> Option<()> {
        let first = self.word(0)?;
        if matches!(first, "," | ";") {
            self.past(1);
            return Some(());
        }
        if let (Some(rung), Some(":")) = (number(first), self.word(1)) {
            self.rung = Some(usize::try_from(rung).ok().filter(|n| *n > 0)?);
            self.past(2);
            return Some(());
        }
        if let Some(used) = self.count() {
            self.past(used);
            return Some(());
        }
        if let Some(used) = self.misses() {
            self.past(used);
            return Some(());
        }
        self.label()
    }

    /// `6/10`, `6 of 10`, `6 out of 10`; how many words it took.
    fn count(&mut self) -> Option<usize> {
        let made = number(self.word(0)?)?;
        let at = match (self.word(1)?, self.word(2)?) {
            ("/" | "of", _) => 2,
            ("out", "of") => 3,
            _ => return None,
        };
        let tries = number(self.word(at)?)?;
        let student = self.student.clone()?;
        self.row(student, made, tries);
        Some(at + 1)
    }

    /// One more row of what was read.
    fn row(&mut self, student: String, made: u32, tries: u32) {
        self.found.rows.push(TallyRow {
            rung: self.rung,
            student,
            made,
            tries,
            misses: None,
        });
    }

    /// `thick 2`, `2 thick`, `t2`; how many words it took.
    fn misses(&mut self) -> Option<usize> {
        let first = self.word(0)?;
        let second = self.word(1);
        let before = Miss::read(first).zip(second.and_then(number));
        let after = number(first).and_then(|n| Some((Miss::read(second?)?, n)));
        let joined = if self.known(first).is_none() {
            Miss::with_count(first)
        } else {
            None
        };
        let ((miss, count), used) = match (before, after, joined) {
            (Some(found), _, _) | (None, Some(found), _) => (found, 2),
            (None, None, Some(found)) => (found, 1),
            (None, None, None) => return None,
        };
        let row = self.found.rows.last_mut()?;
        *miss.slot(row.misses.get_or_insert_default()) += count;
        Some(used)
    }

    /// The student of that label, whatever its case where that leaves only one.
    fn known(&self, word: &str) -> Option<String> {
        if self.students.contains(&word) {
            return Some(word.to_owned());
        }
        let mut alike = self
            .students
            .iter()
            .filter(|s| s.to_lowercase() == word.to_lowercase());
        match (alike.next(), alike.next()) {
            (Some(one), None) => Some((*one).to_owned()),
            _ => None,
        }
    }

    /// A label, perhaps with its count stuck to it, or one that is new.
    fn label(&mut self) -> Option<()> {
        let word = self.word(0)?.to_owned();
        let then = self.word(1).map(str::to_owned);
        if let Some(label) = self.known(&word) {
            self.student = Some(label);
            self.past(1 + usize::from(then.as_deref() == Some(":")));
            return Some(());
        }
        // `L4/10`: the count begins within the word.
        let digits = word.find(|c: char| c.is_ascii_digit()).filter(|at| *at > 0);
        if let (Some(at), Some("/" | "of")) = (digits, then.as_deref()) {
            let (label, made) = word.split_at(at);
            let (made, tries) = (number(made)?, number(self.word(2)?)?);
            let student = self.known(label).or_else(|| self.new_label(label))?;
            self.student = Some(student.clone());
            self.row(student, made, tries);
            self.past(3);
            return Some(());
        }
        // Only what counts follow is taken for a label.
        let follows = then.as_deref() == Some(":") || then.as_deref().and_then(number).is_some();
        if !follows {
            return None;
        }
        self.student = Some(self.new_label(&word)?);
        self.past(1 + usize::from(then.as_deref() == Some(":")));
        Some(())
    }

    /// A label for somebody new, if it can be one: with a letter to begin with, and no word for a miss.
    fn new_label(&mut self, label: &str) -> Option<String> {
        let may_be = check_label(label).is_ok()
            && label.starts_with(char::is_alphabetic)
            && Miss::read(label).is_none();
        if !may_be {
            return None;
        }
        if !self.found.new_students.iter().any(|l| l == label) {
            self.found.new_students.push(label.to_owned());
        }
        Some(label.to_owned())
    }
}

/// Reads a page out of a spreadsheet: a row a student, a column a shot, tabs between them. The first row may
/// number the shots, with the tries of each in brackets (`3 (10)`), so that a cell needs no more than makes.
/// `None` where it is no such page; the number of a row that cannot be read, from 1, where one is.
#[must_use]
pub fn read_page(text: &str, students: &[&str]) -> Option<Result<Jotted, usize>> {
    let lines: Vec<&str> = text.lines().filter(|l| !l.trim().is_empty()).collect();
    if !lines.first()?.trim_start_matches('\t').contains('\t') && !lines.first()?.starts_with('\t')
    {
        return None;
    }
    let columns = header(lines[0]);
    let mut found = Jotted::default();
    for (k, line) in lines
        .iter()
        .enumerate()
        .skip(usize::from(columns.is_some()))
    {
        let read = match &columns {
            None => read_jotted(line, students),
            Some(columns) => read_row(line, columns, students),
        };
        match read {
            Some(row) => found.add(row),
            None => return Some(Err(k + 1)),
        }
    }
    Some(if found.rows.is_empty() {
        Err(lines.len())
    } else {
        Ok(found)
    })
}

/// A column of a page: the shot, and the tries where all have as many.
struct Column {
    shot: usize,
    tries: Option<u32>,
}

/// The shots that a first row numbers; `None` where it holds counts.
fn header(line: &str) -> Option<Vec<Option<Column>>> {
    let numbers = |cell: &str| -> Vec<u32> {
        cell.split(|c: char| !c.is_ascii_digit())
            .filter_map(number)
            .collect()
    };
    let cells: Vec<&str> = line.split('\t').skip(1).collect();
    if cells.iter().any(|c| c.contains('/') && !c.contains('(')) {
        return None;
    }
    let columns: Vec<Option<Column>> = cells
        .iter()
        .map(|cell| {
            let found = numbers(cell);
            let shot = usize::try_from(*found.first()?).ok().filter(|n| *n > 0)?;
            Some(Column {
                shot,
                tries: found.get(1).copied(),
            })
        })
        .collect();
    columns.iter().any(Option::is_some).then_some(columns)
}

fn read_row(line: &str, columns: &[Option<Column>], students: &[&str]) -> Option<Jotted> {
    let mut cells = line.split('\t').map(str::trim);
    let label = cells.next().filter(|l| !l.is_empty())?;
    let mut found = Jotted::default();
    for (cell, column) in cells.zip(columns).filter(|(cell, _)| !cell.is_empty()) {
        let column = column.as_ref()?;
        let count = match (number(cell), column.tries) {
            (Some(made), Some(tries)) => format!("{made}/{tries}"),
            _ => cell.to_owned(),
        };
        found.add(read_jotted(
            &format!("{}: {label} {count}", column.shot),
            students,
        )?);
    }
    (!found.rows.is_empty()).then_some(found)
}

/// A count that belongs to no shot of a sheet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unplaced {
    /// Whose.
    pub student: String,
    /// How many counts of theirs have no shot.
    pub counts: usize,
    /// How many shots of the sheet are open.
    pub open: usize,
}

/// Gives counts without a shot the shots of a sheet in their order, from the first on that the student has
/// not played that day. `played` says which somebody has.
///
/// # Errors
/// [`Unplaced`] where there are more counts than shots left.
pub fn place(
    rows: Vec<TallyRow>,
    shots: usize,
    played: impl Fn(&str, usize) -> bool,
) -> Result<Vec<TallyRow>, Unplaced> {
    let mut counts: BTreeMap<String, usize> = BTreeMap::new();
    for row in rows.iter().filter(|r| r.rung.is_none()) {
        *counts.entry(row.student.clone()).or_default() += 1;
    }
    let mut next: BTreeMap<String, usize> = BTreeMap::new();
    rows.into_iter()
        .map(|row| {
            if row.rung.is_some() || shots == 1 && counts.get(&row.student) == Some(&1) {
                return Ok(row);
            }
            let all = counts.get(&row.student).copied().unwrap_or_default();
            let from = next.get(&row.student).copied().unwrap_or(1);
            // All shots in one go are all of them, whatever was played before.
            let free = (from..=shots).find(|n| all == shots || !played(&row.student, *n));
            let Some(rung) = free else {
                let open = (1..=shots).filter(|n| !played(&row.student, *n)).count();
                return Err(Unplaced {
                    student: row.student,
                    counts: all,
                    open,
                });
            };
            next.insert(row.student.clone(), rung + 1);
            Ok(TallyRow {
                rung: Some(rung),
                ..row
            })
        })
        .collect()
}
