//! The error budget of one player on one shot, with what is needed to repeat it.

use rand::SeedableRng;
use rand_pcg::Pcg64;
use serde::Serialize;

use crate::columns::Columns;
use crate::diagnosis::Diagnosis;
use crate::gear::Gear;
use crate::player::budget::{Budget, BudgetRow, Disturbed, Source, budget};
use crate::player::spreads::SpreadsRequest;
use crate::player::{Level, Player, PlayerRequestError, side_spread_rad};
use crate::window::Solved;

/// A budget as data.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct BudgetAnswer {
    /// Who aims.
    pub player: String,
    /// Inputs whose spread nobody gave.
    pub assumed: Vec<Source>,
    /// What side adds to the stroke's spread, in which it is counted, degrees; null without side.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub side_adds_deg: Option<f64>,
    /// Simulated shots.
    pub trials: u32,
    /// Seed of the simulation.
    pub seed: u64,
    /// What costs the student most in all that was practised, where a student of the log aims.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub diagnosis: Option<Diagnosis>,
    /// The budget.
    #[serde(flatten)]
    pub budget: Budget,
}

/// How many simulated shots, and where the random numbers start.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Trials {
    /// Shots.
    pub count: u32,
    /// Seed.
    pub seed: u64,
}

/// Nobody named: a club player, marked as assumed.
#[must_use]
pub fn or_club(player: Option<Player>) -> Player {
    player.unwrap_or_else(|| Player {
        error: Level::Club.aim_error(),
        who: Level::Club.spoken(),
        assumed: true,
    })
}

impl BudgetAnswer {
    /// Columns of its table: those of an input.
    #[must_use]
    pub fn columns() -> Columns {
        Columns::of::<BudgetRow>().called("source", "input")
    }

    /// Solves it.
    ///
    /// # Errors
    /// [`PlayerRequestError`] naming the option.
    pub fn new(
        gear: &Gear,
        solved: Solved<'_>,
        player: &Player,
        wishes: &SpreadsRequest,
        trials: Trials,
    ) -> Result<Self, PlayerRequestError> {
        let spreads = wishes.spreads(&player.error)?;
        let disturbed = Disturbed::new(gear, solved, player.error.bias_rad);
        let mut rng = Pcg64::seed_from_u64(trials.seed);
        let count = trials.count as usize;
        let side_rad = side_spread_rad(gear, solved.window, &player.error.scatter);
        let error = player
            .error
            .with_added(side_rad, solved.window.cue_speed_m_s);
        let mut budget = budget(&disturbed, &error, &spreads, count, &mut rng)?;
        let aim = player.assumed;
        let [tip, speed, balls] = wishes.assumed();
        let assumed = Source::SCATTERING
            .into_iter()
            .zip([aim, aim, tip, speed, balls])
            .filter_map(|(source, assumed)| assumed.then_some(source))
            .collect::<Vec<_>>();
        for row in &mut budget.inputs {
            row.assumed = assumed.contains(&row.source);
        }
        Ok(Self {
            player: player.who.clone(),
            assumed,
            side_adds_deg: (side_rad > 0.0).then(|| side_rad.to_degrees()),
            trials: trials.count,
            seed: trials.seed,
            diagnosis: None,
            budget,
        })
    }

    /// With what costs the student most in all that was practised. A steady error that this does not name
    /// is no advice for one shot either.
    #[must_use]
    pub fn with_diagnosis(mut self, diagnosis: Option<Diagnosis>) -> Self {
        let unnamed = diagnosis
            .as_ref()
            .is_some_and(|d| !d.names_a_steady_error());
        let practise = &mut self.budget.practise;
        if unnamed && practise.as_ref().is_some_and(|p| p.source == Source::Lean) {
            *practise = None;
        }
        self.diagnosis = diagnosis;
        self
    }
}
