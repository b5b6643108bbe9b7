//! Tallies as they are jotted down at the table: `K 6/10, L 4/10 thin 3`, with the rung first when
//! a sheet has several: `3: K 6/10, L 4/10; 4: K 2/10`.
//!
//! ```text
//! tally  = group { ";" group }
//! group  = [ RUNG ":" ] item { "," item }
//! item   = STUDENT MADE "/" TRIES { side COUNT }
//! side   = "full" | "thick" | "thin" | "short" | "scratch" | "in-off" | "unseen"
//! ```

use std::fmt;

use super::attempt::{MissSides, count_problem};
use crate::field::Hint;
use crate::shown::{MOST_QUOTED, nearest, quoted};

/// One student's part of a tally.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TallyRow {
    /// The rung, from 1, if one was named.
    pub rung: Option<usize>,
    /// The student's label, as in the list of students.
    pub student: String,
    /// Makes.
    pub made: u32,
    /// Tries.
    pub tries: u32,
    /// Misses by side, if any were noted.
    pub misses: Option<MissSides>,
}

/// A tally that cannot be read: shows it back and points to the fault.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TallyError {
    /// The tally as given.
    pub line: String,
    /// Where the fault begins, characters from 0.
    pub column: usize,
    /// How many characters it covers, at least 1.
    pub width: usize,
    /// What is wrong, and what would do.
    pub problem: String,
}

impl fmt::Display for TallyError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // Of a long line the part with the fault, a little of what is before it too.
        let from = if self.line.chars().nth(MOST_QUOTED).is_some() {
            self.column.saturating_sub(MOST_QUOTED / 4)
        } else {
            0
        };
        let column = self.column - from;
        let width = self.width.min(MOST_QUOTED.saturating_sub(column)).max(1);
        // A line end within the tally would part the marks from what they point to.
        let shown: String = self
            .line
            .chars()
            .skip(from)
            .take(MOST_QUOTED)
            .map(|c| if c.is_control() { ' ' } else { c })
            .collect();
        writeln!(f, "{}", self.problem)?;
        writeln!(f, "  {shown}")?;
        write!(f, "  {}{}", " ".repeat(column), "^".repeat(width))
    }
}

impl std::error::Error for TallyError {}

/// A word or mark of a tally, with its place in bytes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Token<'a> {
    text: &'a str,
    at: usize,
}

impl<'a> Token<'a> {
    /// As it stands there.
    pub(super) fn text(self) -> &'a str {
        self.text
    }
}

/// Reads a tally of these students.
///
/// # Errors
/// [`TallyError`], the first fault from the left.
pub fn read_tally(line: &str, students: &[&str]) -> Result<Vec<TallyRow>, TallyError> {
    let mut reader = Reader {
        line,
        tokens: tokens(line),
        next: 0,
        students,
    };
    let mut rows: Vec<TallyRow> = Vec::new();
    let mut rung = reader.rung()?;
    loop {
        let (row, at) = reader.item(rung)?;
        if rows
            .iter()
            .any(|r| r.rung == row.rung && r.student == row.student)
        {
            let problem = format!("{} stands here twice: give one count", row.student);
            return Err(reader.fault(at, problem));
        }
        rows.push(row);
        match reader.take() {
            None => return Ok(rows),
            Some(t) if t.text == "," => {}
            Some(t) if t.text == ";" => rung = reader.rung()?,
            Some(t) => {
                let problem = format!(
                    "\"{}\" is not understood: write full, thin, short, scratch or unseen with a count, or a comma before the next student",
                    quoted(t.text)
                );
                return Err(reader.fault(t, problem));
            }
        }
    }
}

/// Words and the marks `, ; :`; a slash joins its numbers even with blanks round it.
pub(super) fn tokens(line: &str) -> Vec<Token<'_>> {
    let mut found = Vec::new();
    let mut start = None;
    for (at, c) in line.char_indices() {
        let mark = matches!(c, ',' | ';' | ':' | '/');
        if (mark || c.is_whitespace())
            && let Some(from) = start.take()
        {
            found.push(Token {
                text: &line[from..at],
                at: from,
            });
        }
        if mark {
            found.push(Token {
                text: &line[at..at + c.len_utf8()],
                at,
            });
        } else if !c.is_whitespace() && start.is_none() {
            start = Some(at);
        }
    }
    if let Some(from) = start {
        found.push(Token {
            text: &line[from..],
            at: from,
        });
    }
    found
}

struct Reader<'a> {
    line: &'a str,
    tokens: Vec<Token<'a>>,
    next: usize,
    students: &'a [&'a str],
}

impl<'a> Reader<'a> {
    fn peek(&self, ahead: usize) -> Option<Token<'a>> {
        self.tokens.get(self.next + ahead).copied()
    }

    fn take(&mut self) -> Option<Token<'a>> {
        let token = self.peek(0);
        self.next += usize::from(token.is_some());
        token
    }

    fn fault(&self, token: Token<'_>, problem: String) -> TallyError {
        TallyError {
            line: self.line.to_owned(),
            column: self.line[..token.at].chars().count(),
            width: token.text.chars().count().max(1),
            problem,
        }
    }

    /// The fault of a token that is wrong or not there.
    fn expected(&self, found: Option<Token<'_>>, wanted: &str) -> TallyError {
        match found {
            Some(t) => self.fault(t, format!("\"{}\" is not {wanted}", quoted(t.text))),
            None => {
                let at = self.line.trim_end().len();
                self.fault(
                    Token { text: "", at },
                    format!("the tally ends where {wanted} should follow"),
                )
            }
        }
    }

    /// `3:`, if there.
    fn rung(&mut self) -> Result<Option<usize>, TallyError> {
        if self.peek(1).is_none_or(|t| t.text != ":") {
            return Ok(None);
        }
        let token = self.take();
        self.take();
        token
            .and_then(|t| t.text.parse().ok())
            .filter(|n| *n > 0)
            .map(Some)
            .ok_or_else(|| self.expected(token, "the number of a rung, such as 3"))
    }

    fn count(&mut self, wanted: &str) -> Result<u32, TallyError> {
        let token = self.take();
        token
            .filter(|t| t.text.bytes().all(|b| b.is_ascii_digit()))
            .and_then(|t| t.text.parse().ok())
            .ok_or_else(|| self.expected(token, wanted))
    }

    /// One student's item and the student's token.
    fn item(&mut self, rung: Option<usize>) -> Result<(TallyRow, Token<'a>), TallyError> {
        let name = self.take();
        let named = name
            .filter(|t| !matches!(t.text, "," | ";" | ":" | "/"))
            .ok_or_else(|| self.expected(name, "a student's label"))?;
        let student = self.student(named)?;
        let first = self.peek(0);
        let made = self.count("a count such as 6/10")?;
        let slash = self.take();
        if slash.is_none_or(|t| t.text != "/") {
            return Err(self.expected(slash, "a slash and the tries, such as 6/10"));
        }
        let tries = self.count("the number of tries, such as 10 in 6/10")?;
        let last = self.peek(0).map_or(self.line.len(), |t| t.at);
        let misses = self.sides()?;
        let end = self.peek(0).map_or(self.line.len(), |t| t.at);
        if let Some(problem) = count_problem(tries, made, &misses.unwrap_or_default()) {
            // Point at the counts, or at the sides when it is they that do not fit.
            let fits = count_problem(tries, made, &MissSides::default()).is_none();
            let at = first.map_or(0, |t| t.at);
            let (from, to) = if fits { (last, end) } else { (at, last) };
            let text = self.line[from..to].trim_end();
            return Err(self.fault(Token { text, at: from }, problem));
        }
        let row = TallyRow {
            rung,
            student,
            made,
            tries,
            misses,
        };
        Ok((row, named))
    }

    fn student(&self, token: Token<'_>) -> Result<String, TallyError> {
        if let Some(known) = self.students.iter().find(|s| **s == token.text) {
            return Ok((*known).to_owned());
        }
        let label = quoted(token.text);
        let hint = match nearest(token.text, self.students.iter().copied()) {
            Some(near) => format!("did you mean {near}?"),
            None if self.students.is_empty() => {
                format!("add one first{}", Hint::SetStudent { label: &label })
            }
            None => format!("students are {}", self.students.join(", ")),
        };
        Err(self.fault(token, format!("no student is called {label}: {hint}")))
    }

    fn sides(&mut self) -> Result<Option<MissSides>, TallyError> {
        let mut sides = MissSides::default();
        let mut seen: Vec<&str> = Vec::new();
        while let Some(token) = self.peek(0) {
            let slot = match token.text {
                "full" | "thick" => &mut sides.full,
                "thin" => &mut sides.thin,
                "short" => &mut sides.short,
                "scratch" | "in-off" => &mut sides.scratch,
                "unseen" => &mut sides.not_seen,
                _ => break,
            };
            if seen.contains(&token.text) {
                let problem = format!("{} stands here twice: give one count", token.text);
                return Err(self.fault(token, problem));
            }
            seen.push(token.text);
            self.take();
            *slot = self.count("a count of misses, such as 3")?;
        }
        Ok((!seen.is_empty()).then_some(sides))
    }
}
