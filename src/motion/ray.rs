//! The first thing on a straight way, whatever the speed.

use kurbo::{Point, Vec2};

use super::feature::{Feature, Shape};
use super::meet::straight_distance;

/// A ball running along a rail it touches does not meet it: sine of the angle below which that
/// is so (rounding of directions).
const ALONG: f64 = 1e-12;

/// The first feature met on a straight way from `from` along the unit vector `direction`, with
/// the distance (m) to it.
///
/// Friction, speed and spin play no part: this is what lies in the way, not whether the ball
/// gets there.
#[must_use]
pub fn straight_hit(features: &[Feature], from: Point, direction: Vec2) -> Option<(f64, usize)> {
    let mut best: Option<(f64, usize)> = None;
    for (index, feature) in features.iter().enumerate() {
        if let Shape::Line { normal, .. } = feature.shape
            && -direction.dot(normal) < ALONG
        {
            continue;
        }
        if let Some(s) = straight_distance(from, direction, feature, false)
            && best.is_none_or(|(so_far, _)| s < so_far)
        {
            best = Some((s, index));
        }
    }
    best
}
