//! What is said of a cue ball struck off its middle, with nothing but one object ball round it.

use kurbo::Point;
use serde::Serialize;

use crate::gear::Gear;
use crate::stroke::{Arrival, FootMark, Stick, Struck, feet, reach, roam};

/// A foot, m: the ball is looked at after each.
const FOOT_M: f64 = 0.3048;
/// At most so many feet are told; a ball that runs farther is told of at these and where it rests.
const MOST_FEET: u32 = 8;

/// The stroke as it was asked for.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StickAnswer {
    /// Horizontal speed of the cue ball off the tip.
    pub speed_m_s: f64,
    /// Where the tip strikes, right of the middle.
    pub across_mm: f64,
    /// Above the middle.
    pub height_mm: f64,
    /// Elevation of the stick.
    pub elevation_deg: f64,
    /// Pivot length, from the ball's middle.
    pub pivot_mm: f64,
}

/// The ball after so much way along the stick's line.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FootAnswer {
    /// Along the stick's line.
    pub along_mm: f64,
    /// Left of it.
    pub left_mm: f64,
    /// Direction of travel off the stick's line, counter-clockwise.
    pub direction_deg: f64,
    /// Speed.
    pub speed_m_s: f64,
    /// Roll ratio: 1 rolls, 0 is stun.
    pub roll: f64,
    /// Side ratio, right positive.
    pub side_w: f64,
}

/// All of it. Angles are off the stick's line, counter-clockwise (left) positive.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StrikeAnswer {
    /// Table whose balls and cloth it is.
    pub gear: String,
    /// The stroke.
    pub stick: StickAnswer,
    /// Direction off the tip.
    pub squirt_deg: f64,
    /// Direction in which it rolls in the end.
    pub final_deg: f64,
    /// What the path curves after the tip.
    pub curve_deg: f64,
    /// Where it begins to roll, along the stick's line; 0 from the tip on.
    pub rolls_after_mm: f64,
    /// The ball after each foot.
    pub feet: Vec<FootAnswer>,
    /// Whether it meets the object ball; `null` without one.
    pub met: Option<bool>,
    /// Direction of travel at the contact.
    pub arrive_deg: Option<f64>,
    /// Signed cut there, positive when the object ball lies left of the way.
    pub cut_deg: Option<f64>,
    /// Direction of the object ball, throw included.
    pub object_deg: Option<f64>,
    /// Speed of the cue ball at the contact.
    pub speed_m_s: Option<f64>,
    /// Its roll ratio there.
    pub roll: Option<f64>,
    /// Its side ratio there, right positive.
    pub side_w: Option<f64>,
    /// Speed of the object ball.
    pub object_speed_m_s: Option<f64>,
}

impl StrikeAnswer {
    /// Follows the stroke along +x from the origin; `object` is the object ball's place (m), if there
    /// is one. `None` on a cloth on which the ball never stops.
    #[must_use]
    pub fn new(gear: &Gear, stick: &Stick, object: Option<Point>) -> Option<Self> {
        let run = roam(gear, stick, Point::ORIGIN, 0.0)?;
        let squirt = stick.squirt_rad(gear.cue_radius_m());
        let leaves = squirt.tan() / stick.elevation_rad.cos();
        let last = run.legs.last()?.start.v;
        let (start_rad, final_rad) = (leaves.atan(), last.y.atan2(last.x));
        let marks: Vec<f64> = (1..=MOST_FEET).map(|k| f64::from(k) * FOOT_M).collect();
        let struck = object.map(|at| reach(gear, stick, Point::ORIGIN, at, 0.0));
        let met = struck.as_ref().map(Option::is_some);
        let struck: Option<Struck> = struck.flatten();
        let until_m = struck.map_or(f64::INFINITY, |s| s.arrival.at.x);
        let feet = feet(gear, stick, Point::ORIGIN, 0.0, &marks)
            .iter()
            .filter(|m| m.along_m < until_m)
            .map(foot)
            .collect();
        let of = |value: fn(&Struck) -> f64| struck.as_ref().map(value);
        Some(Self {
            gear: gear.name.clone(),
            stick: StickAnswer {
                speed_m_s: stick.speed_m_s,
                across_mm: 1e3 * stick.across_m,
                height_mm: 1e3 * stick.height_m,
                elevation_deg: stick.elevation_rad.to_degrees(),
                pivot_mm: 1e3 * stick.pivot_m,
            },
            squirt_deg: start_rad.to_degrees(),
            final_deg: final_rad.to_degrees(),
            curve_deg: (final_rad - start_rad).to_degrees(),
            rolls_after_mm: 1e3 * run.rolls_from.map_or(0.0, |p| p.x),
            feet,
            met,
            arrive_deg: of(|s| s.arrival.direction_rad.to_degrees()),
            cut_deg: of(|s| s.cut_rad.to_degrees()),
            object_deg: of(|s| s.object_rad.to_degrees()),
            speed_m_s: of(|s| s.arrival.speed_m_s),
            roll: of(|s| s.arrival.roll),
            side_w: of(|s| s.arrival.side_right),
            object_speed_m_s: of(|s| s.object_speed_m_s),
        })
    }
}

fn foot(mark: &FootMark) -> FootAnswer {
    let Arrival {
        direction_rad,
        speed_m_s,
        roll,
        side_right,
        ..
    } = mark.arrival;
    FootAnswer {
        along_mm: 1e3 * mark.along_m,
        left_mm: 1e3 * mark.left_m,
        direction_deg: direction_rad.to_degrees(),
        speed_m_s,
        roll,
        side_w: side_right,
    }
}
