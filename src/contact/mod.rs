//! Two balls meet: ghost ball, cut angle, throw, and what both do afterwards.
//!
//! Limits: the contact is instantaneous; the part of the rubbing impulse along the tangent is left
//! out of the object ball's speed (below 0.5 %); its spin from the contact is left out of its run.
//! Reference: Alciatore, Technical Proof TP A.14 (throw), Colorado State University.

mod aftermath;
mod ghost;
mod near;
mod throw;

pub use aftermath::{Aftermath, Pair, aftermath};
pub use ghost::{Approach, Geometry};
pub use near::{Near, Sent};
pub use throw::{Throw, ThrowLaw};
