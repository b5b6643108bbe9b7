//! What lies in the way, as directions taken out of a set.
//!
//! A direction is tried by following the ball, so that whatever shape the way has, a ball in it
//! blocks; edges are bisected. The closed-form edges, tangents to the other balls widened by the
//! contact distance, are looked at on both sides, so that no gap between two balls is missed.

use kurbo::{Point, Vec2};

use crate::directions::Directions;
pub(crate) use crate::directions::spans_of;

/// Accuracy of an edge, rad.
pub(crate) const EDGE_RAD: f64 = 1e-9;
/// Samples stand this far beside a closed-form edge, rad.
const BESIDE_RAD: f64 = 2e-9;

/// The part of a set whose directions are `free`. `edges` are closed-form candidates.
pub(crate) fn restrict<T: Copy + PartialEq>(
    set: &Directions<T>,
    edges: &[f64],
    stations_per_span: u32,
    free: &impl Fn(f64) -> bool,
) -> Directions<T> {
    let mut out = Vec::with_capacity(set.spans().len() + 2);
    let mut stations = Vec::with_capacity(64);
    for span in set.spans() {
        let width = span.width_rad();
        if width <= 4.0 * BESIDE_RAD {
            continue;
        }
        // the ends themselves belong to the set, so the look is taken just inside
        let (lo, hi) = (span.from_rad + BESIDE_RAD, span.to_rad - BESIDE_RAD);
        stations.clear();
        let count = stations_per_span.max(1);
        stations.extend((0..=count).map(|k| lo + (hi - lo) * f64::from(k) / f64::from(count)));
        for edge in edges {
            stations.extend(
                [edge - BESIDE_RAD, edge + BESIDE_RAD]
                    .iter()
                    .filter(|a| **a > lo && **a < hi),
            );
        }
        stations.sort_by(f64::total_cmp);
        let kept = spans_of(&stations, EDGE_RAD, &|at| free(at).then_some(span.tag));
        out.extend(kept.into_iter().map(|mut s| {
            if s.from_rad <= lo {
                s.from_rad = span.from_rad;
            }
            if s.to_rad >= hi {
                s.to_rad = span.to_rad;
            }
            s
        }));
    }
    Directions::from_spans(out)
}

/// Directions evenly round the circle, starting at one that gives no answer where there is one, so
/// that no span is cut at the start.
pub(crate) fn circle<T>(count: u32, look: &impl Fn(f64) -> Option<T>) -> Vec<f64> {
    let at = |k: u32| std::f64::consts::TAU * f64::from(k) / f64::from(count);
    let start = (0..count).find(|&k| look(at(k)).is_none()).unwrap_or(0);
    (0..=count).map(|k| at(start + k)).collect()
}

/// The sector of directions in which a ball at `at` stands in the way of one going out from
/// `from`: middle and half-width, rad, and the distance. `sin half = contact/distance`.
pub(crate) fn sector(from: Point, at: Point, contact_m: f64) -> (f64, f64, f64) {
    let d = at - from;
    let far_m = d.hypot();
    (d.atan2(), (contact_m / far_m).min(1.0).asin(), far_m)
}

/// Signed angle from `base_rad` to `to_rad`, in (−π, π].
pub(crate) fn turn_rad(base_rad: f64, to_rad: f64) -> f64 {
    let d = Vec2::from_angle(to_rad - base_rad);
    d.atan2()
}
