//! What sheets say, a file for each sheet. Letters and units are the style's, and so is to whom it is
//! said.

pub(super) mod card;
pub(super) mod cue;
pub(super) mod cut;
pub(super) mod drill;
pub(super) mod game;
pub(super) mod hand_out;
pub(super) mod jaws;
pub(super) mod ladder;
pub(crate) mod lesson;
pub(super) mod margin_strip;
pub(super) mod marks;
pub(super) mod pocket;
pub(super) mod readings;
pub(crate) mod scale;
pub(crate) mod why_thin;
