//! Pieces of finding what a ball meets: the form of a leg, a straight way to one feature, a fall to zero.

use kurbo::{Point, Vec2};

use super::feature::{Feature, Shape};
use super::leg::Leg;

/// Sine of the angle below which velocity and slip count as one line (a straight slide): the
/// path then strays from a straight line by less than 1e-12 m over the longest bed.
pub(super) const STRAIGHT: f64 = 1e-13;
/// Two contacts closer than this in time are one, and the jaw wins, s.
pub(super) const SAME_TIME_S: f64 = 1e-13;

/// When a ball held against a line passes its end.
pub(super) fn runs_off(feature: &Feature, leg: &Leg) -> Option<f64> {
    let Shape::Line {
        start,
        along,
        length_m,
        ..
    } = feature.shape
    else {
        return None;
    };
    let s0 = (leg.start.at - start).dot(along);
    let (v, a) = (leg.start.v.dot(along), leg.acceleration.dot(along));
    let to_start = falls_to_zero(s0, v, a);
    let to_end = if length_m.is_finite() {
        falls_to_zero(length_m - s0, -v, -a)
    } else {
        None
    };
    let first = match (to_start, to_end) {
        (Some(x), Some(y)) => Some(x.min(y)),
        (x, y) => x.or(y),
    };
    first.filter(|&t| t <= leg.duration_s)
}

/// First `t ≥ 0` at which `g + b t + ½ a t²` falls through zero, starting at `g ≥ 0`, or below
/// zero on the way up (`b > 0`, `a < 0`).
pub(super) fn falls_to_zero(g: f64, b: f64, a: f64) -> Option<f64> {
    let disc = b * b - 2.0 * a * g;
    if disc < 0.0 {
        return None;
    }
    let root = disc.sqrt();
    if b < 0.0 {
        Some(2.0 * g / (root - b))
    } else if a < 0.0 {
        Some((b + root) / -a)
    } else {
        None
    }
}

/// A leg's path: straight (solved by distance) or a parabola (solved by time).
pub(super) enum PathForm {
    Straight {
        direction: Vec2,
        speed: f64,
        brake: f64,
        reach: f64,
    },
    Parabola,
}

impl PathForm {
    #[inline(always)]
    pub(super) fn of(leg: &Leg) -> Self {
        let (v, a) = (leg.start.v, leg.acceleration);
        let (cross, speed2) = (v.cross(a), v.hypot2());
        if speed2 > 0.0 && cross * cross <= STRAIGHT * STRAIGHT * speed2 * a.hypot2() {
            let speed = speed2.sqrt();
            let direction = v / speed;
            let brake = -a.dot(direction);
            // A sliding ball with backspin may stop and come back: that is not one straight run.
            let reach = if brake > 0.0 {
                speed * speed / (2.0 * brake)
            } else {
                f64::INFINITY
            };
            if brake <= 0.0 || leg.duration_s <= speed / brake * (1.0 + 1e-12) {
                return Self::Straight {
                    direction,
                    speed,
                    brake,
                    reach,
                };
            }
        }
        Self::Parabola
    }
}

/// Whether a leg is followed as a straight line.
pub(crate) fn is_straight(leg: &Leg) -> bool {
    matches!(PathForm::of(leg), PathForm::Straight { .. })
}

/// Distance along a straight path to a feature.
pub(super) fn straight_distance(
    from: Point,
    direction: Vec2,
    feature: &Feature,
    touched: bool,
) -> Option<f64> {
    let s = match feature.shape {
        Shape::Line { start, normal, .. } => {
            // Along the line within rounding is not towards it: a ball rolling on a rail stays there.
            let closing = -direction.dot(normal);
            if closing <= STRAIGHT {
                return None;
            }
            let gap = if touched {
                0.0
            } else {
                (from - start).dot(normal)
            };
            if gap < -GAP_SLACK_M {
                return None;
            }
            gap.max(0.0) / closing
        }
        Shape::Arc {
            centre, radius_m, ..
        }
        | Shape::Circle { centre, radius_m } => {
            let d = from - centre;
            let b = d.dot(direction);
            if b >= 0.0 || touched {
                // moving away; a ball that has just left a circle on a straight path does not return
                return None;
            }
            let c = d.hypot2() - radius_m * radius_m;
            let disc = b * b - c;
            if disc < 0.0 {
                return None;
            }
            (c / (disc.sqrt() - b)).max(0.0)
        }
    };
    feature.covers(from + direction * s).then_some(s)
}

/// How deep rounding may have put a ball into a line it touches, m.
pub(super) const GAP_SLACK_M: f64 = 1e-9;
