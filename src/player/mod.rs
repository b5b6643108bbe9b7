//! The player: how often a shot goes in for somebody, and what practice says about them.
//!
//! | question | room |
//! |---|---|
//! | how often does this player make this shot, and why is it hard? | [`mod@chance`], with the player from [`request`] |
//! | what spread explains these tries? | [`fit`] |
//! | which input does most harm? | [`mod@budget`] |
//! | is it progress or luck, the arm or the eyes, and which shots would tell most? | [`skill`] |
//!
//! Only [`mod@chance`] solves anything: elsewhere a window comes in as plain intervals of cue-ball
//! direction, in radians relative to the aim, counter-clockwise positive.
//!
//! The model is one Normal error of the cue ball's direction per try, independent between
//! tries. Fatigue, nerves and learning within a session are outside it.

pub mod budget;
pub mod chance;
pub mod fault;
pub mod fit;
pub mod request;
pub mod skill;

pub use budget::{monte_carlo, propagate, spreads};
pub use chance::{aim_error, factors, level, normal, paced, range, shot};
pub use fit::{aim_fit, aim_model, goodness, observation, profile, proportion, regression};
pub use skill::{probe, split, stroke_test, verdict};

pub use aim_error::{AimError, Scatter};
pub use aim_fit::{AimFit, FitOutcome};
pub use chance::{chance, in_ten};
pub use fault::PlayerError;
pub use level::Level;
pub use observation::{Misses, Observation};
pub use paced::{Aimed, Paced, left_open, side_spread_rad};
pub use range::{Ranged, range_is_said, ranged};
pub use request::{Player, PlayerRequest, PlayerRequestError};
pub use shot::{ShotChance, Straights, chance_of_solution, makes, shot_chance};
