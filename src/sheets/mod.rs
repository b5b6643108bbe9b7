//! Printables at true size.
//!
//! | sheet | module |
//! |---|---|
//! | how far the tip may be off, by hit and distance, at life size | [`why_thin`] |
//! | how much margin there is at the ghost ball, by hit and distance | [`margin_strip`] |
//! | the scale and the gate of the stroke test | [`scale`] |
//! | how much a cue squirts: the pivot-length test | [`cue`] |
//! | the outline of a pocket, to lay on a real one | [`pocket`] |
//! | readings of your own table: where to measure, boxes, gauges | [`readings`] |
//! | how jaws bounce: the ramp, marks for the mouth, boxes | [`jaws`] |
//! | chances or room on a card for the pocket of a shirt | [`card`] |
//! | drills to set up, and boxes to tick | [`booklet`], [`kept`], [`drill`] |
//! | a shot to take along, or several | [`hand_out`] |
//! | one shot, a mark for each student | [`marks`], [`kept`] |
//! | everything for a lesson | [`lesson`] |
//!
//! A sheet is drawn from a gear, never from a picture: what is printed is what is computed.

pub mod booklet;
pub mod card;
pub mod cue;
mod diagram;
pub mod drill;
mod fault;
pub(crate) mod game;
pub mod hand_out;
pub mod jaws;
#[cfg(feature = "log")]
pub mod kept;
pub mod lesson;
pub mod margin_strip;
pub mod marks;
pub mod page;
pub(crate) mod parts;
pub mod pocket;
pub mod readings;
pub mod scale;
pub mod why_thin;
pub(crate) mod words;

pub use fault::{BookletError, SheetError, ShotSheetError};
pub use page::Sheet;
pub use parts::Style;
