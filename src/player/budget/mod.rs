//! Which input of a shot does most harm?
//!
//! [`inputs`] weighs them with what [`spreads`] assumes; [`propagate`] adds up linearly and
//! [`monte_carlo`] draws.

pub mod inputs;
pub mod monte_carlo;
pub mod propagate;
pub mod spreads;

pub(crate) use inputs::aside;
pub use inputs::{Budget, BudgetRow, Disturbed, PIVOT_M, Practise, Sent, Source, budget};
