//! From the stick to the ball: where the cue ball goes when it is struck off its middle, and what it
//! brings to the contact.
//!
//! A stick is held in a direction and at an elevation; its tip meets the ball right and above of the
//! middle. The impulse leaves the stick's line by the squirt and makes both velocity and spin; the
//! ball slides along a parabola until it rolls, and meets the object ball with what is left.
//!
//! Limits: the slate takes the downward part; hop, vertical squirt and the tip's own radius are left
//! out. Squirt does not depend on speed (R. Shepard, "Everything you always wanted to know about cue
//! ball squirt", 2001; Alciatore, TP A.31, Colorado State University).

mod arrival;
mod inverse;
mod stick;

pub use arrival::{Arrival, FootMark, Roam, Struck, arrives, feet, reach, roam, tip_speed_m_s};
pub use inverse::{CannotArrive, Hold, Needed, Wanted, stick_for, stick_to_object};
pub use stick::{ELEVATION_RAD, MISCUE_SHARE, PIVOT_M, Stick, StickError};
