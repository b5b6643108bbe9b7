//! Two balls meet: ghost ball, cut angle, throw, and what both do afterwards.
//!
//! Limits: the contact is instantaneous; the object ball's spin from it is left out of its run.
//! Reference: Alciatore, Technical Proof TP A.14 (throw), Colorado State University.

mod aftermath;
mod ghost;
pub(crate) mod near;
mod throw;

pub use aftermath::{Aftermath, Pair, aftermath};
pub use ghost::{Approach, Geometry};
pub use near::{Near, Sent};
pub use throw::{Throw, ThrowLaw};
