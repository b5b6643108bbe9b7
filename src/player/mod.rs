//! The player: how often a shot goes in for somebody, and what practice says about them.
//!
//! | question | module |
//! |---|---|
//! | how far does this player's aim spread? | [`error`] |
//! | how often does a window of directions catch it? | [`mod@chance`] |
//! | how often does this player make this shot? | [`shot`], with the player from [`request`] |
//! | which input does most harm? | [`mod@budget`], with [`spreads`]; built on [`propagate`], [`monte_carlo`] |
//! | what spread explains these tries? | [`observation`], [`aim_model`], [`aim_fit`], built on [`fit`] and [`profile`] |
//! | is it progress or luck? | [`skill`] |
//! | is it the arm or the eyes? | [`stroke`], [`split`] |
//! | which shots would tell most? | [`probe`] |
//!
//! Only [`shot`] solves anything: elsewhere a window comes in as plain intervals of cue-ball
//! direction, in radians relative to the aim, counter-clockwise positive.
//!
//! The model is one Normal error of the cue ball's direction per try, independent between
//! tries. Fatigue, nerves and learning within a session are outside it.

pub mod aim_fit;
pub mod aim_model;
pub mod budget;
pub mod chance;
pub mod error;
pub mod factors;
pub mod fault;
pub mod fit;
pub mod goodness;
pub mod level;
pub mod monte_carlo;
pub mod normal;
pub mod observation;
mod outcomes;
pub mod paced;
pub mod probe;
pub mod profile;
pub mod propagate;
pub mod proportion;
pub mod range;
pub mod regression;
pub mod request;
pub mod shot;
pub mod skill;
pub mod split;
pub mod spreads;
pub mod stroke;
pub mod verdict;

pub use aim_fit::{AimFit, FitOutcome};
pub use chance::{chance, in_ten};
pub use error::{AimError, Level};
pub use fault::PlayerError;
pub use observation::{Misses, Observation};
pub use request::{Player, PlayerRequest, PlayerRequestError};
pub use shot::{
    ShotChance, Straights, awkward_chance, awkward_chance_by, chance_of, chance_of_solution, makes,
    shot_chance,
};
