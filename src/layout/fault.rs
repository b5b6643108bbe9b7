//! What may be wrong with a layout, line by line.

use thiserror::Error;

use crate::error::UnitError;

/// More balls than this fit no game (published: 22 in snooker).
pub(super) const MAX_BALLS: usize = 22;

/// Longest name of a ball, characters (assumption: it has to fit beside the ball).
pub(super) const LABEL_CHARS: usize = 24;

/// What is wrong with one line or with the whole.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum LayoutFault {
    /// The first line is something else.
    #[error("the first line must be the header ball,x,y (or ball;x;y), not `{found}`")]
    Header {
        /// What stands there.
        found: String,
    },
    /// Not three values.
    #[error(
        "{count} values; write ball,x,y with decimals after a point (or ball and a spot, such as 8,foot-spot)"
    )]
    Values {
        /// How many there are.
        count: usize,
    },
    /// No label.
    #[error("the ball has no name; write cue or a number or word")]
    NoLabel,
    /// A name that does not fit beside a ball.
    #[error(
        "the ball's name `{label}` will not do; use at most {LABEL_CHARS} characters, none of them a control character"
    )]
    Label {
        /// The name.
        label: String,
    },
    /// The same label twice.
    #[error("{}", twice(label, *first))]
    Duplicate {
        /// The label.
        label: String,
        /// Where it was first.
        first: u64,
    },
    /// A coordinate that cannot be read or is off the table.
    #[error("{column}: {source}")]
    Coordinate {
        /// `x` or `y`.
        column: &'static str,
        /// Why.
        source: UnitError,
    },
    /// In a cushion or past the edge of a pocket.
    #[error(
        "the ball {label} is {by_mm:.1} mm into a {what}; its centre needs {need_mm:.1} mm from a nose (frozen-left, frozen-right, frozen-head or frozen-foot puts it there)"
    )]
    InCushion {
        /// Which ball.
        label: String,
        /// What it overlaps.
        what: &'static str,
        /// By how much.
        by_mm: f64,
        /// Contact radius in plan.
        need_mm: f64,
    },
    /// Already in a pocket.
    #[error(
        "the ball {label} is already over the hole; move it away from the pocket or leave it out"
    )]
    Dropped {
        /// Which ball.
        label: String,
    },
    /// Two balls in one place.
    #[error(
        "the balls {one}{} and {other} overlap: {apart_mm:.1} mm apart, centre to centre, and they need {need_mm:.1} mm",
        on_line(" (", *one_line, "")
    )]
    Overlap {
        /// The first.
        one: String,
        /// Where it is.
        one_line: u64,
        /// The second.
        other: String,
        /// Their distance.
        apart_mm: f64,
        /// What it must be.
        need_mm: f64,
    },
    /// No cue ball.
    #[error("there is no cue ball; add a line such as cue,2,2")]
    NoCue,
    /// No object ball.
    #[error("there is no object ball; add a line such as 1,6,2")]
    NoBalls,
    /// Too many.
    #[error("{count} object balls; at most {MAX_BALLS} fit")]
    TooMany {
        /// How many there are.
        count: usize,
    },
    /// Not CSV.
    #[error("cannot be read as CSV: {message}")]
    Csv {
        /// The reader's words.
        message: String,
    },
}

/// A fault with its line; line 0 is the whole file.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// Line in the file, from 1; 0 for the whole.
    pub line: u64,
    /// What is wrong.
    pub fault: LayoutFault,
}

/// Everything wrong with a layout.
#[derive(Debug, Clone, PartialEq, Error)]
#[error("{}", joined(.problems))]
pub struct LayoutError {
    /// All faults, by line.
    pub problems: Vec<Problem>,
}

/// A name that stands twice, and what would do.
fn twice(label: &str, first: u64) -> String {
    let there = on_line("on ", first, "there");
    if label == "cue" {
        return format!(
            "the cue ball is already {there}, and there is one; take one of the two out, or call the other by its colour or number"
        );
    }
    format!("the ball {label} is already {there}; each ball has its own name")
}

/// A line in words; `else_say` where there is no file.
fn on_line(before: &str, line: u64, else_say: &str) -> String {
    match line {
        0 => else_say.to_owned(),
        line if before.ends_with('(') => format!("{before}line {line})"),
        line => format!("{before}line {line}"),
    }
}

fn joined(problems: &[Problem]) -> String {
    let lines: Vec<String> = problems
        .iter()
        .map(|p| match p.line {
            0 => p.fault.to_string(),
            line => format!("line {line}: {}", p.fault),
        })
        .collect();
    lines.join("\n")
}
