//! What lies in the way, as directions taken out of a set.
//!
//! A direction is tried by following the ball, so that whatever shape the way has, a ball in it
//! blocks; edges are bisected. The closed-form edges, tangents to the other balls widened by the
//! contact distance, are looked at on both sides, so that no gap between two balls is missed.

use kurbo::{Point, Vec2};

use crate::directions::{Directions, Span};

/// Accuracy of an edge, rad.
pub(crate) const EDGE_RAD: f64 = 1e-9;
/// Samples stand this far beside a closed-form edge, rad.
const BESIDE_RAD: f64 = 2e-9;

/// The spans of directions on which `look` gives the same answer; `None` is left out.
///
/// `stations` are sorted; between two of them with different answers the gap is halved to
/// `accuracy_rad`. A change that reverts between two stations is missed.
pub(crate) fn spans_of<T: Copy + PartialEq>(
    stations: &[f64],
    accuracy_rad: f64,
    look: &impl Fn(f64) -> Option<T>,
) -> Vec<Span<T>> {
    let mut collector = Collector {
        spans: Vec::new(),
        open: None,
    };
    let Some((&first, rest)) = stations.split_first() else {
        return Vec::new();
    };
    let mut before = (first, look(first));
    collector.reach(first, before.1);
    for &at in rest {
        let now = (at, look(at));
        refine(before, now, accuracy_rad, look, &mut collector);
        before = now;
    }
    collector.reach(before.0, None);
    collector.spans
}

struct Collector<T> {
    spans: Vec<Span<T>>,
    open: Option<(f64, T)>,
}

impl<T: Copy + PartialEq> Collector<T> {
    /// From `at` on, the answer is `tag`.
    fn reach(&mut self, at: f64, tag: Option<T>) {
        if self.open.map(|(_, t)| t) == tag {
            return;
        }
        if let Some((from_rad, tag)) = self.open.take() {
            self.spans.push(Span {
                from_rad,
                to_rad: at,
                tag,
            });
        }
        self.open = tag.map(|t| (at, t));
    }
}

fn refine<T: Copy + PartialEq>(
    lo: (f64, Option<T>),
    hi: (f64, Option<T>),
    accuracy_rad: f64,
    look: &impl Fn(f64) -> Option<T>,
    out: &mut Collector<T>,
) {
    if lo.1 == hi.1 {
        return;
    }
    let middle = 0.5 * (lo.0 + hi.0);
    if hi.0 - lo.0 <= accuracy_rad {
        out.reach(middle, hi.1);
        return;
    }
    let found = (middle, look(middle));
    refine(lo, found, accuracy_rad, look, out);
    refine(found, hi, accuracy_rad, look, out);
}

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

#[cfg(test)]
mod tests {
    use super::spans_of;

    #[test]
    fn spans_between_stations_are_halved_to_the_edge() {
        let spans = spans_of(&[0.0, 1.0, 2.0], 1e-9, &|x: f64| {
            (x > 0.3 && x < 1.7).then_some(())
        });
        assert_eq!(spans.len(), 1);
        assert!((spans[0].from_rad - 0.3).abs() < 1e-9 && (spans[0].to_rad - 1.7).abs() < 1e-9);
    }
}
