//! A fair race: makes that the weaker of two players gets ahead on the same shot.
//!
//! Both try in turn until one has the makes to win; the lag decides who begins. A player of chance p
//! who needs r makes is there after t tries with probability `P(X ≥ r | t, p)`, so the chance to win
//! is the exact sum over tries, and no draw of random numbers is needed.

use crate::field::Field;
use serde::{Deserialize, Serialize};

use super::error::LadderError;
use super::pass::at_least;

/// Most makes to win (assumption: a long evening).
const LONGEST_RACE: u32 = 50;
/// Tries after which a race counts as decided either way: what is left is below a millionth.
const MOST_TRIES: u32 = 20_000;
/// What is left undecided when the sum stops.
const UNDECIDED: f64 = 1e-9;

/// A fair race.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Spot {
    /// Makes to win.
    pub race: u32,
    /// Makes the weaker player starts with.
    pub start: u32,
    /// Chance of the weaker player to win so, 0 to 1.
    pub weaker_wins: f64,
    /// Without any start.
    pub level_wins: f64,
}

/// Who tries a shot in a race.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Racer {
    /// To make it.
    pub chance: f64,
    /// Makes still needed to win.
    pub needs: u32,
}

/// Chance that racer `a` is there before racer `b`, trying in turn; half of the races begin with each.
#[must_use]
pub fn wins(a: Racer, b: Racer) -> f64 {
    if a.needs == 0 {
        return 1.0;
    }
    if b.needs == 0 {
        return 0.0;
    }
    let mut total = 0.0;
    let (mut a_before, mut b_before) = (0.0, 0.0);
    for t in 1..=MOST_TRIES {
        let a_now = at_least(a.needs, t, a.chance);
        let b_now = at_least(b.needs, t, b.chance);
        // A gets there with try t: B must not be there after t−1 tries when A began, after t when B did.
        total += (a_now - a_before) * (1.0 - 0.5 * (b_before + b_now));
        if (1.0 - a_now) * (1.0 - b_now) < UNDECIDED {
            break;
        }
        (a_before, b_before) = (a_now, b_now);
    }
    total
}

/// The start that makes a race to `race` makes fairest between chances `weaker` and `stronger`.
///
/// # Errors
/// [`LadderError::Word`] for a race that is too long, [`LadderError::NoGame`] for a player who never
/// makes the shot.
pub fn spot(weaker: f64, stronger: f64, race: u32) -> Result<Spot, LadderError> {
    if !(1..=LONGEST_RACE).contains(&race) {
        return Err(LadderError::Word {
            option: Field::Race,
            value: race.to_string(),
            choices: "whole numbers from 1 to 50",
        });
    }
    // a shot made less than once in a hundred tries is no game
    if weaker < 0.01 {
        return Err(LadderError::NoGame {
            makes: 10.0 * weaker,
        });
    }
    let with = |start: u32| {
        let ahead = Racer {
            chance: weaker,
            needs: race - start,
        };
        let behind = Racer {
            chance: stronger,
            needs: race,
        };
        wins(ahead, behind)
    };
    let level_wins = with(0);
    let mut best = (0, level_wins);
    for start in 1..race {
        let chance = with(start);
        if (chance - 0.5).abs() < (best.1 - 0.5_f64).abs() {
            best = (start, chance);
        }
    }
    Ok(Spot {
        race,
        start: best.0,
        weaker_wins: best.1,
        level_wins,
    })
}
