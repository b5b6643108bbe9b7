//! How often a shot goes in for somebody.
//!
//! | question | file |
//! |---|---|
//! | how far does this player's aim spread? | [`aim_error`], and which are assumed: [`level`] |
//! | what if tries do not tell its parts? | [`ratios`] |
//! | how often does a window of directions catch it? | [`caught`] |
//! | and over the speeds of the stroke? | [`paced`] |
//! | over how jaws and rails may bounce? | [`range`] |
//! | how often does this player make this shot? | [`shot`] |
//! | why is it hard? | [`factors`] |

pub mod aim_error;
pub mod caught;
pub mod factors;
pub mod level;
pub mod normal;
pub mod paced;
pub mod range;
pub mod ratios;
pub mod shot;

pub use caught::{BestAim, EqualStraight, best_aim, chance, equal_straight, in_ten};
