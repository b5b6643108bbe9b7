//! Two balls meet: ghost ball, cut angle, throw, and what both do afterwards.
//!
//! Limits: the contact is instantaneous; the object ball's spin from it is left out of its run.
//! Reference: Alciatore, Technical Proof TP A.14 (throw), Colorado State University.

mod aftermath;
mod ghost;
pub(crate) mod lane;
pub(crate) mod near;
mod side_by_side;
mod throw;

pub use aftermath::{Aftermath, Pair, aftermath};
pub use ghost::{Approach, Geometry};
pub(crate) use lane::{Lane, MOST_LANES, Mask};
pub use near::{Near, Sent};
pub(crate) use side_by_side::{Balls, Known, Planar, Pulled, Rub, Rubbing, Target, folds_between};
pub use throw::{Throw, ThrowLaw};
