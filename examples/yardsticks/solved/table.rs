//! Equipment: what the presets took over from print, so that a slip of the pen shows, and how it stands
//! beside other print.

use thincut::gear::{GRAVITY_M_S2, Gear};
use thincut::{Point, Position};

use super::{INCH_M, Solver, pool, preset};

pub(crate) const ALL: &[Solver] = &[
    ("bed-length-9ft", || pool().bed.length_m / INCH_M),
    ("bed-width-9ft", || pool().bed.width_m / INCH_M),
    ("bed-length-8ft-pro", || {
        preset("pool-8ft-pro").bed.length_m / INCH_M
    }),
    ("ball-diameter", || pool().balls.object_diameter_m / INCH_M),
    ("ball-mass", || pool().balls.object_mass_kg * 1e3),
    ("nose-height", || pool().cushion.nose_height_ratio * 100.0),
    ("corner-mouth", || pool().corner.mouth_m / INCH_M),
    ("side-mouth", || pool().side.mouth_m / INCH_M),
    ("corner-shelf", || pool().corner.shelf_m / INCH_M),
    ("side-shelf", || pool().side.shelf_m / INCH_M),
    ("foot-spot", || spot("foot-spot").x / pool().bed.length_m),
    ("head-spot", || spot("head-spot").x / pool().bed.length_m),
    ("snooker-bed-length", || {
        preset("snooker-12ft").bed.length_m * 1e3
    }),
    ("snooker-bed-width", || {
        preset("snooker-12ft").bed.width_m * 1e3
    }),
    ("snooker-ball", || {
        preset("snooker-12ft").balls.object_diameter_m * 1e3
    }),
    ("small-object-ball", || {
        preset("smallball-7ft").balls.object_diameter_m * 1e3
    }),
    ("small-cue-ball", || {
        preset("smallball-7ft").balls.cue_diameter_m * 1e3
    }),
    ("sliding-friction-snooker", || {
        preset("snooker-12ft").cloth.sliding_friction
    }),
    ("rolling-slows-pool", || slowing(&pool())),
    ("rolling-slows-snooker", || slowing(&preset("snooker-12ft"))),
];

fn spot(name: &str) -> Point {
    let gear = pool();
    let place: Position = name.parse().expect("a spot");
    gear.bed
        .locate(place, gear.object_contact_radius_m())
        .expect("on the table")
}

/// Deceleration of a rolling ball, m/s².
fn slowing(gear: &Gear) -> f64 {
    gear.cloth.rolling_friction * GRAVITY_M_S2
}
