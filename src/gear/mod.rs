//! The equipment: bed, balls, cloth, cushions, pockets.
//!
//! Everything here is in SI and already validated when it comes out of [`Gear::load`];
//! files and flags carry quantities with units. A file names a `base` (a preset or another file)
//! and what differs from it; overrides come last; the whole is checked once ([`Gear::check`]).
//!
//! Pockets are given by kind, `[pocket.corner]` and `[pocket.side]`; what one of the six has
//! otherwise stands in a section of its own, `[pocket.foot-left]`. Limits: one cue ball, equal object
//! balls; both jaws of a pocket alike. Values, sources and marks stand beside each value in `presets/*.toml`.

mod check;
mod equipment;
mod keys;
mod layers;
mod load;
mod origin;
mod presets;
mod spoken;
mod text;

pub use equipment::{
    BallContact, Balls, Bed, BounceReach, Cloth, Cushion, GRAVITY_M_S2, Gear, Lines, Marks,
    MeasuredBounce, POCKETS, PocketChanges, PocketSpec,
};
pub use load::{DEFAULT_PRESET, MeasuredValue};
pub use origin::{GearRow, LoadedGear, Origin};
pub use presets::Preset;
pub use spoken::{is_changed_from, spoken_gear, the_spoken_gear};
