//! The whole bed: which directions of an object ball placed on a table drop in a pocket.
//!
//! Every nose line runs from jaw to jaw, and all six pockets take balls. A direction counts while the
//! ball touches only the two rails that meet at its pocket (a long one with its half past the side
//! pocket; a side pocket: the long rail it lies in) and jaws and facings, whichever pocket they belong to; what drops elsewhere is a miss.
//!
//! The order of work: each leg of a path is first held against the pocket's own seven features; only a
//! leg that may leave what they enclose is held against the rest. Results are those of asking every
//! feature on every leg.
//!
//! Limits: those of [`crate::pocket`], but for the endless rails. What a ball does off another
//! pocket's jaws is looked into within ±atan(0.52 m/ℓ) of the centre-pocket line; farther off such a
//! drop is nobody's aim and counts as a miss where it is narrower than a sample.

pub(crate) mod course;

pub use course::Bed;
pub(crate) use course::BedCourse;
