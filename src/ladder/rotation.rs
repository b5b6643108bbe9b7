//! Who is at which table when, so that everybody shoots equally long.

use crate::field::Field;
use serde::{Deserialize, Serialize};

use super::error::LadderError;

/// Longest turn, minutes (assumption: longer, the others lose interest).
const LONGEST_TURN_MIN: f64 = 8.0;
/// Shortest turn that makes sense, minutes (assumption: ten tries of set-up and stroke take as
/// long).
const SHORTEST_TURN_MIN: f64 = 2.0;

/// One turn at all tables.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct Turn {
    /// From the start, minutes.
    pub from_min: f64,
    /// To, minutes.
    pub to_min: f64,
    /// At each table: who shoots.
    pub shoots: Vec<String>,
    /// At each table: who sets the balls and counts; empty when nobody is left.
    pub sets: Vec<String>,
    /// Who rests.
    pub rests: Vec<String>,
}

/// The turns of students at tables in so many minutes.
///
/// Everybody shoots in equally many turns: the number of turns is a multiple of n/gcd(n, tables).
///
/// # Errors
/// [`LadderError`] for no students, no tables, or turns that would be too short.
pub fn rotation(labels: &[String], tables: u32, minutes: u32) -> Result<Vec<Turn>, LadderError> {
    let n = labels.len();
    if n == 0 {
        return Err(LadderError::EmptyGroup);
    }
    if tables == 0 || tables > 100 {
        return Err(LadderError::Word {
            option: Field::PlayingOn,
            value: tables.to_string(),
            choices: "whole numbers from 1 to 100",
        });
    }
    // more tables than students stay empty
    let used = usize::try_from(tables).unwrap_or(n).min(n);
    let once = n / gcd(n, used);
    let length = |turns: usize| f64::from(minutes) / count(turns);
    let mut turns = once;
    while length(turns) > LONGEST_TURN_MIN {
        turns += once;
    }
    if length(turns) < SHORTEST_TURN_MIN {
        return Err(LadderError::TooShort {
            minutes,
            need: format!(
                "{n} students at {used} tables take {once} turns of at least {SHORTEST_TURN_MIN:.0} minutes, {:.0} in all",
                (SHORTEST_TURN_MIN * count(once)).ceil()
            ),
        });
    }
    let who = |k: usize| labels[k % n].clone();
    Ok((0..turns)
        .map(|turn| {
            let first = turn * used;
            // those who shoot next set now, so that they know the shot
            let setters = used.min(n - used);
            Turn {
                from_min: count(turn) * length(turns),
                to_min: count(turn + 1) * length(turns),
                shoots: (0..used).map(|t| who(first + t)).collect(),
                sets: (0..setters).map(|t| who(first + used + t)).collect(),
                rests: (used + setters..n).map(|t| who(first + t)).collect(),
            }
        })
        .collect())
}

fn gcd(a: usize, b: usize) -> usize {
    if b == 0 { a } else { gcd(b, a % b) }
}

#[expect(clippy::cast_precision_loss, reason = "a small count")]
fn count(n: usize) -> f64 {
    n as f64
}
