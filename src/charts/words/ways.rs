//! What the charts of aiming methods say beside their captions.

/// Where no cut drops.
pub(crate) const NO_CUT: &str = "no cut of the list drops";
/// Where no setting makes the shot.
pub(crate) const NO_SETTING: &str = "no setting makes the shot";
/// Where there is too little to map.
pub(crate) const TOO_FEW: &str = "it needs at least two cuts and one distance";
/// The strong shade of a window.
pub(crate) const UNTOUCHED: &str = "goes in clean";
/// The light one.
pub(crate) const STILL_IN: &str = "still goes in";
/// The axes of bias.
pub(crate) const BIAS_AXES: &str =
    "across: cut (°); up: too full, down: too thin at the ghost ball (mm)";
/// The axes of the map of what works.
pub(crate) const WORKS_AXES: &str = "across: cut (°); up: distance between the balls";
/// Over the cue ball's half of what moves the aim.
pub(crate) const CUE_BALL: &str = "The cue ball's line";
/// Over the stick's.
pub(crate) const STICK: &str = "The stick's line";
/// Along both.
pub(crate) const THINNER: &str = "← fuller, thinner → (mm)";
