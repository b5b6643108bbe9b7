//! Who a level is, by a shot anybody can set up; and which level is nearest to what somebody made.

use serde::Serialize;
use statrs::distribution::{Binomial, DiscreteCDF};

use crate::gear::Gear;
use crate::player::{Level, chance_of_solution};
use crate::units::{Angle, Length};
use crate::window::{AbstractShot, Shot, ShotError, Stroke, solve};

/// A straight shot that tells levels apart: from so far to so far into a corner pocket, 1 m/s.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TestShot {
    /// Between the balls, and from the object ball to the pocket.
    pub each: Length,
}

impl TestShot {
    /// Two feet and two feet: for whoever starts, up to a club player.
    pub const SHORT_FT: f64 = 2.0;
    /// Four feet and four feet: for better players, who make nearly all of the short ones.
    pub const LONG_FT: f64 = 4.0;

    /// So many feet and so many feet.
    #[must_use]
    pub fn of_ft(ft: f64) -> Self {
        Self {
            each: Length::from_ft(ft),
        }
    }

    /// How often a level makes it on a table.
    ///
    /// # Errors
    /// [`ShotError`] for a table too small for it.
    pub fn chance(self, gear: &Gear, level: Level) -> Result<f64, ShotError> {
        let asked = AbstractShot::new(Angle::from_deg(0.0), self.each, self.each);
        let shot = Shot::from_angles(gear, &asked, Stroke::default())?;
        let solution = solve(gear, &shot)?;
        Ok(chance_of_solution(
            gear,
            &shot,
            &solution,
            &level.aim_error(),
        ))
    }
}

/// A level with its chances.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LevelRow {
    /// The level.
    pub level: Level,
    /// Straight, two feet and two feet.
    pub short: f64,
    /// Straight, four feet and four feet.
    pub long: f64,
    /// Whether what was made fits it: a player of that level makes so few or so many at least once in twenty.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fits: Option<bool>,
}

impl LevelRow {
    /// A level on a table.
    ///
    /// # Errors
    /// [`ShotError`] for a table too small for the shots.
    pub fn of(gear: &Gear, level: Level) -> Result<Self, ShotError> {
        Ok(Self {
            level,
            short: TestShot::of_ft(TestShot::SHORT_FT).chance(gear, level)?,
            long: TestShot::of_ft(TestShot::LONG_FT).chance(gear, level)?,
            fits: None,
        })
    }
}

/// Makes of tries.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Made {
    /// Made.
    pub made: u32,
    /// Of so many.
    pub of: u32,
}

/// Who the levels are; with makes, the nearest.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LevelAnswer {
    /// The table.
    pub gear: String,
    /// All levels, widest spread first.
    pub levels: Vec<LevelRow>,
    /// What was made.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub made: Option<Made>,
    /// On the shot of four feet rather than of two.
    pub on_the_long: bool,
    /// The level under which that is likeliest.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub nearest: Option<Level>,
}

/// Rarer than this on both sides together does not fit (assumption: once in twenty).
const RARE: f64 = 0.05;

impl LevelAnswer {
    /// The levels on a table, and the nearest to what was made.
    ///
    /// # Errors
    /// [`ShotError`] for a table too small for the shots.
    pub fn new(gear: &Gear, made: Option<Made>, on_the_long: bool) -> Result<Self, ShotError> {
        let row = |level: Level| {
            let row = LevelRow::of(gear, level)?;
            let chance = if on_the_long { row.long } else { row.short };
            let fits = made.map(|made| fits(made, chance));
            Ok(LevelRow { fits, ..row })
        };
        let levels: Vec<LevelRow> = Level::ALL
            .into_iter()
            .map(row)
            .collect::<Result<_, ShotError>>()?;
        let nearest = made.and_then(|made| {
            let likely = |row: &LevelRow| {
                log_likelihood(made, if on_the_long { row.long } else { row.short })
            };
            let best = levels
                .iter()
                .max_by(|a, b| likely(a).total_cmp(&likely(b)))?;
            Some(best.level)
        });
        Ok(Self {
            gear: gear.name.clone(),
            levels,
            made,
            on_the_long,
            nearest,
        })
    }
}

/// Chances are never quite 0 or 1: somebody talks.
const SURE: f64 = 1e-3;

/// Of so many makes, without the count of orders, which is the same for all.
fn log_likelihood(made: Made, chance: f64) -> f64 {
    let p = chance.clamp(SURE, 1.0 - SURE);
    let (made, missed) = (f64::from(made.made), f64::from(made.of - made.made));
    made * p.ln() + missed * (1.0 - p).ln()
}

/// Whether so few or so many come at least once in twenty, both sides counted.
fn fits(made: Made, chance: f64) -> bool {
    let p = chance.clamp(SURE, 1.0 - SURE);
    Binomial::new(p, u64::from(made.of)).is_ok_and(|b| {
        let at_most = b.cdf(u64::from(made.made));
        let at_least = match made.made.checked_sub(1) {
            Some(fewer) => 1.0 - b.cdf(u64::from(fewer)),
            None => 1.0,
        };
        2.0 * at_most.min(at_least) >= RARE
    })
}
