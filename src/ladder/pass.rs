//! When a student has a rung: makes out of tries by the exact binomial.
//!
//! A rung of chance p counts as climbed when the makes would come to somebody whose chance is
//! `margin` lower only rarely: with p₀ = p − margin, the least k with
//! `P(X ≥ k | N, p₀) ≤ 1 − confidence`. Somebody whose chance is p itself gets there with
//! probability `P(X ≥ k | N, p)`, which is stated beside it: ten tries cannot tell more.
//! Reference: Clopper & Pearson, Biometrika 26 (1934), 404 (the same tails).

use crate::field::Field;
use serde::{Deserialize, Serialize};

use super::error::LadderError;

/// The rule. All three numbers are assumptions.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct PassRule {
    /// Tries a rung.
    pub tries: u32,
    /// How sure to be, 0 to 1.
    pub confidence: f64,
    /// How much lower the chance of the player to be ruled out is.
    pub margin: f64,
}

impl Default for PassRule {
    /// Ten tries, 4 in 5, two makes in ten.
    fn default() -> Self {
        Self {
            tries: 10,
            confidence: 0.8,
            margin: 0.2,
        }
    }
}

/// Least chance of the player to be ruled out: somebody without any has nothing to be ruled out.
const LEAST_CHANCE: f64 = 0.02;
/// More tries than this in a sitting are questioned (assumption: an hour and a half at the table).
pub const QUESTIONED_TRIES: u32 = 200;
/// Most tries of a rung (assumption: beyond it nobody practises, they suffer).
const MOST_TRIES: u32 = 1000;

/// What passes a rung.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Pass {
    /// Makes needed.
    pub makes: u32,
    /// Out of these tries.
    pub tries: u32,
    /// Makes in ten of the player that is ruled out.
    pub ruled_out_in_ten: f64,
    /// How often that player would pass by luck, 0 to 1.
    pub by_luck: f64,
    /// How often a student whose chance is the rung's passes, 0 to 1.
    pub passes: f64,
}

/// A chance as makes in ten, without the dust of binary fractions: 0.3 is 3, not 3.0000000000000004.
#[must_use]
pub fn makes_in_ten(chance: f64) -> f64 {
    (1e10 * chance).round() / 1e9
}

/// `P(X ≥ k)` for n tries of chance p: the exact sum `Σ C(n,i) pⁱ (1−p)ⁿ⁻ⁱ`, smallest terms first.
#[must_use]
pub fn at_least(makes: u32, tries: u32, chance: f64) -> f64 {
    if makes == 0 {
        return 1.0;
    }
    if makes > tries || chance <= 0.0 {
        return 0.0;
    }
    if chance >= 1.0 {
        return 1.0;
    }
    let (n, p) = (f64::from(tries), chance);
    // ln C(n,i) + i ln p + (n−i) ln(1−p)
    let ln_term = |i: f64| {
        statrs::function::factorial::ln_binomial(u64::from(tries), whole(i))
            + i * p.ln()
            + (n - i) * (-p).ln_1p()
    };
    let mut terms: Vec<f64> = (makes..=tries)
        .map(|i| ln_term(f64::from(i)).exp())
        .collect();
    terms.sort_by(f64::total_cmp);
    terms.iter().sum::<f64>().min(1.0)
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a count of tries, exact in f64"
)]
fn whole(x: f64) -> u64 {
    x as u64
}

impl PassRule {
    /// Checks the numbers.
    ///
    /// # Errors
    /// [`LadderError`] naming the option.
    pub fn new(tries: u32, confidence: f64, margin: f64) -> Result<Self, LadderError> {
        let range = |ok: bool, option, value: String, choices| {
            if ok {
                Ok(())
            } else {
                Err(LadderError::Word {
                    option,
                    value,
                    choices,
                })
            }
        };
        range(
            (1..=MOST_TRIES).contains(&tries),
            Field::Tries,
            tries.to_string(),
            "whole numbers from 1 to 1000",
        )?;
        range(
            (0.5..1.0).contains(&confidence),
            Field::Confidence,
            format!("{}", 10.0 * makes_in_ten(confidence)),
            "percentages from 50 to below 100",
        )?;
        range(
            margin > 0.0 && margin < 1.0,
            Field::WeakerBy,
            format!("{}", makes_in_ten(margin)),
            "makes in ten above 0 and below 10",
        )?;
        Ok(Self {
            tries,
            confidence,
            margin,
        })
    }

    /// Chance of the player to be ruled out.
    #[must_use]
    pub fn ruled_out(&self, chance: f64) -> f64 {
        (chance - self.margin).max(LEAST_CHANCE)
    }

    /// Makes that pass a rung of this chance in `tries` tries; `None` when even all would not.
    #[must_use]
    pub fn pass_in(&self, chance: f64, tries: u32) -> Option<Pass> {
        let p0 = self.ruled_out(chance);
        let luck = 1.0 - self.confidence;
        let makes = (1..=tries).find(|&k| at_least(k, tries, p0) <= luck + 1e-12)?;
        Some(Pass {
            makes,
            tries,
            ruled_out_in_ten: 10.0 * p0,
            by_luck: at_least(makes, tries, p0),
            passes: at_least(makes, tries, chance),
        })
    }

    /// Makes that pass a rung of this chance.
    ///
    /// # Errors
    /// [`LadderError::TooFewTries`] when even all makes would not show it.
    pub fn pass(&self, chance: f64) -> Result<Pass, LadderError> {
        self.pass_in(chance, self.tries)
            .ok_or_else(|| LadderError::TooFewTries {
                tries: self.tries,
                confidence_percent: 10.0 * makes_in_ten(self.confidence),
                need: (1..=MOST_TRIES)
                    .find(|&n| self.pass_in(chance, n).is_some())
                    .unwrap_or(MOST_TRIES),
            })
    }
}

/// What was made at a rung.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RungResult {
    /// The rung's chance for this student.
    pub chance: f64,
    /// Makes.
    pub made: u32,
    /// Tries; 0 where it has not been tried.
    pub tries: u32,
}

/// How a rung stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Standing {
    /// Not tried.
    Untried,
    /// The student has it.
    Passed,
    /// So few makes that the rung's own chance is ruled out.
    TooHard,
    /// Neither yet.
    Open,
}

/// What to try next.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Next {
    /// This rung, counted from 0, for the first time or after the last was passed.
    Up(usize),
    /// The same rung again: neither passed nor too hard.
    Again(usize),
    /// One rung down for now.
    Down(usize),
    /// Even the first rung is too hard.
    Easier,
    /// Every rung is passed.
    Done,
}

impl PassRule {
    /// How one result stands.
    #[must_use]
    pub fn standing(&self, result: &RungResult) -> Standing {
        if result.tries == 0 {
            return Standing::Untried;
        }
        let passed = self
            .pass_in(result.chance, result.tries)
            .is_some_and(|p| result.made >= p.makes);
        // P(X ≤ made) = 1 − P(X ≥ made + 1)
        let as_few = 1.0 - at_least(result.made + 1, result.tries, result.chance);
        if passed {
            Standing::Passed
        } else if as_few <= 1.0 - self.confidence {
            Standing::TooHard
        } else {
            Standing::Open
        }
    }

    /// What to try after these results, rung 1 first.
    #[must_use]
    pub fn next(&self, results: &[RungResult]) -> Next {
        let standings: Vec<Standing> = results.iter().map(|r| self.standing(r)).collect();
        // above the hardest rung passed, easier ones count as passed
        let start = standings
            .iter()
            .rposition(|s| *s == Standing::Passed)
            .map_or(0, |k| k + 1);
        match standings.get(start) {
            None => Next::Done,
            Some(Standing::TooHard) => start.checked_sub(1).map_or(Next::Easier, Next::Down),
            Some(Standing::Untried) => Next::Up(start),
            Some(_) => Next::Again(start),
        }
    }
}
