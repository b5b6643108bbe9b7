//! Ways of aiming, judged against the aim window: how far off is each, where, and what mends it?
//!
//! A [`Way`] turns a shot into the line that a player who follows it perfectly would send the cue
//! ball along. [`judge`] lays that line over the shot's window, [`bias_by_cut`], [`works_map`] and
//! [`reach`] do so over cuts and distances, and [`moves`] shows what moves the right aim itself.
//! Geometry only: nothing is said about how easily a way is seen or learnt.
//!
//! All ways but `back-of-ball` aim for the middle of the pocket's opening (the target of the window). Positions are in
//! the *sight frame*: the cue ball at the origin, x towards the object ball, y to the left, z up
//! from the cloth; directions are relative to the line cue ball → object ball, counter-clockwise
//! positive. Limits: those of [`crate::window`]; the line is the cue ball's, not the stick's
//! (only [`moves`] speaks of the stick); the cue ball's path is straight (no swerve).

mod answer;
mod back_of_ball;
mod bench;
mod catalogue;
mod chances;
mod contact_point;
mod error;
mod fixed;
mod fractions;
mod ghost_ball;
mod moves;
mod own;
mod parallel_lines;
mod reflection;
mod request;
mod row;
mod scene;
mod shadow;
mod shafts;
mod verdict;
mod way;
mod words;

pub use answer::{ShotAims, Shots, WayAnswer, bench_shot, reach_rows};
pub use back_of_ball::BackOfBall;
pub use bench::{Bench, BiasPoint, CutSpan, Reach, WorksCell, bias_by_cut, reach, works_map};
pub use catalogue::{WayOptions, way_names, ways};
pub use chances::Chances;
pub use contact_point::{ContactPoint, ContactToContact};
pub use error::{AimsError, CannotAim};
pub use fixed::fixed_aims;
pub use fractions::{Fractions, parse_fraction};
pub use ghost_ball::{Allowance, GhostBall};
pub use moves::{MoveRow, Stick, moves};
pub use own::OwnOffsets;
pub use parallel_lines::ParallelLines;
pub use reflection::{BrightSpot, Reflection, bright_spot};
pub use request::WaysRequest;
pub use row::{AimRow, ReachRow, aim_rows, reach_csv};
pub use scene::{Eye, Lamp, Scene};
pub use shadow::{Shadow, shadow_shift};
pub use shafts::{From, Multiples, ShaftWidths, apparent_factor};
pub use verdict::{Drops, Room, Verdict, judge};
pub use way::Way;
pub use words::{Reached, Summary, reach_sentence, room_sentence, verdict_sentence};
