//! What the page opens on: a half-ball shot, and strokes in lengths of the table.

use std::f64::consts::FRAC_PI_6;

use kurbo::{Point, Vec2};
use schemars::JsonSchema;
use serde::Serialize;

use crate::gear::{GRAVITY_M_S2, Gear};
use crate::pocket::PocketName;
use crate::request::{PlacesRequest, ShotRequest};
use crate::units::speak;
use crate::window::solve;

/// Object ball of the opening shot in diamonds, a little towards the pocket from the foot spot.
const OBJECT_DIAMONDS: [f64; 2] = [6.0, 2.6];
/// Cue ball to ghost ball of the opening shot, in diamonds along the table.
const TRAVEL_DIAMONDS: f64 = 3.0;
/// Table lengths to spare that are offered (assumption: soft to firm).
const SPARE_LENGTHS: [f64; 5] = [0.25, 0.5, 1.0, 2.0, 4.0];

/// A stroke to choose.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Pace {
    /// As `pace` takes it.
    pub pace: String,
    /// `2 lengths to spare`: lengths of the table the ball would roll on past the mouth.
    pub words: String,
}

/// A half-ball shot into the far left corner of this table.
#[must_use]
pub fn start_shot(gear: &Gear) -> ShotRequest {
    let (dx, dy) = (gear.bed.length_m / 8.0, gear.bed.width_m / 4.0);
    let object = Point::new(OBJECT_DIAMONDS[0] * dx, OBJECT_DIAMONDS[1] * dy);
    let line = PocketName::FootLeft.frame(gear).mouth_middle - object;
    let ghost = object - line.normalize() * gear.contact_distance_m();
    let place = |p: Point| format!("{:.3},{:.3}", p.x / dx, p.y / dy);
    let with_cut = |cut_rad: f64| {
        let cue = ghost - Vec2::from_angle(line.atan2() - cut_rad) * (TRAVEL_DIAMONDS * dx);
        ShotRequest {
            places: PlacesRequest {
                cue: Some(place(cue)),
                object: Some(place(object)),
                pocket: Some(PocketName::FootLeft.name().to_owned()),
                ..PlacesRequest::default()
            },
            ..ShotRequest::default()
        }
    };
    // A half-ball hit is a cut of asin(1 − ½) = 30°; on a left cut the ball leaves left of the aim.
    let first = with_cut(FRAC_PI_6);
    // The target is not quite the middle of the pocket: turn by what the solved cut is off.
    let solved = first.shot(gear).ok().and_then(|s| solve(gear, &s).ok());
    match solved.and_then(|s| s.window.ok()) {
        Some(window) => with_cut(2.0 * FRAC_PI_6 - window.cut_rad.abs()),
        None => first,
    }
}

/// Strokes named by how far the object ball would roll on past the mouth.
#[must_use]
pub fn paces(gear: &Gear) -> Vec<Pace> {
    SPARE_LENGTHS
        .into_iter()
        .map(|lengths| {
            // pace² = 2 μ_r g s
            let spare_m = lengths * gear.bed.length_m;
            let pace = (2.0 * gear.cloth.rolling_friction * GRAVITY_M_S2 * spare_m).sqrt();
            let plural = if lengths > 1.0 { "s" } else { "" };
            Pace {
                pace: format!("{}m/s", (pace * 20.0).round() / 20.0),
                words: format!("{} length{plural} to spare", speak::diamonds(lengths)),
            }
        })
        .collect()
}
