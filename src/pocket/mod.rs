//! Which directions of an object ball drop.
//!
//! Everything happens in the *pocket frame*: origin at the middle of the mouth, x along the pocket's
//! axis into the pocket, y to the left. Limits: rails are endless, the ball starts sliding without
//! spin (spin it takes from the contact with the cue ball is left out), other pockets and
//! balls do not exist here.

pub(crate) mod acceptance;
mod full_bed;
mod parts;
mod shape;

pub use acceptance::{AcceptanceError, Grain, accept};
pub(crate) use acceptance::{
    Alone, Course, accept_alone, accepted, accepted_at_speed, check_pace, drops_on, drops_rolling,
};
pub use full_bed::FullBed;
pub use parts::{Acceptance, Component, How, NoAcceptance, Piece};
pub use shape::{PocketFrame, PocketKind, PocketName, PocketShape};
