//! What a ball meets next on a leg, and when.

use kurbo::{Point, Vec2};

use super::feature::{Feature, FeatureKind, Shape};
use super::leg::Leg;
use super::roots::first_fall_below_zero;

/// Sine of the angle below which velocity and slip count as one line (a straight slide): the
/// path then strays from a straight line by less than 1e-12 m over the longest bed.
pub(super) const STRAIGHT: f64 = 1e-13;
/// Two contacts closer than this in time are one, and the jaw wins, s.
const SAME_TIME_S: f64 = 1e-13;

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

/// First `t ≥ 0` at which `g + b t + ½ a t²` falls through zero, starting at `g ≥ 0`.
fn falls_to_zero(g: f64, b: f64, a: f64) -> Option<f64> {
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

/// What a ball moves among.
///
/// A plain slice asks every feature on every leg. Others may know of legs that cannot meet some of
/// them, as long as they answer the same.
pub(crate) trait Surroundings {
    /// Everything the ball can meet; indices are into this.
    fn features(&self) -> &[Feature];

    /// The next feature met on this leg and when. `touched` is known to be at distance 0, `hugged` is
    /// held against and not met anew.
    fn next_contact(
        &self,
        leg: &Leg,
        touched: Option<usize>,
        hugged: Option<usize>,
    ) -> Option<(f64, usize)>;
}

impl Surroundings for [Feature] {
    fn features(&self) -> &[Feature] {
        self
    }

    fn next_contact(
        &self,
        leg: &Leg,
        touched: Option<usize>,
        hugged: Option<usize>,
    ) -> Option<(f64, usize)> {
        next_among(self, 0..self.len(), leg, (touched, hugged), None)
    }
}

/// The next of some features met on this leg and when, or `so_far` where none comes before it.
pub(crate) fn next_among(
    features: &[Feature],
    some: std::ops::Range<usize>,
    leg: &Leg,
    (touched, hugged): (Option<usize>, Option<usize>),
    so_far: Option<(f64, usize)>,
) -> Option<(f64, usize)> {
    let path = PathForm::of(leg);
    let mut best = so_far;
    // Lines first: they are cheap, and what they leave of the leg makes circles cheap too.
    for round in [true, false] {
        for index in some.clone() {
            let feature = &features[index];
            let is_line = matches!(feature.shape, Shape::Line { .. });
            if is_line != round || hugged == Some(index) {
                continue;
            }
            let limit = best
                .map_or(leg.duration_s, |(t, _)| t + SAME_TIME_S)
                .min(leg.duration_s);
            let Some(t) = path.contact(leg, feature, touched == Some(index), limit) else {
                continue;
            };
            let wins = match best {
                None => true,
                Some((so_far, _)) if (t - so_far).abs() <= SAME_TIME_S => {
                    feature.kind == FeatureKind::Jaw
                }
                Some((so_far, _)) => t < so_far,
            };
            if wins {
                best = Some((t, index));
            }
        }
    }
    best
}

/// A leg's path: straight (solved by distance) or a parabola (solved by time).
enum PathForm {
    Straight {
        direction: Vec2,
        speed: f64,
        brake: f64,
        reach: f64,
    },
    Parabola,
}

impl PathForm {
    fn of(leg: &Leg) -> Self {
        let (v, a) = (leg.start.v, leg.acceleration);
        let speed = v.hypot2().sqrt();
        if speed > 0.0 && v.cross(a).abs() <= STRAIGHT * speed * a.hypot2().sqrt() {
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

    /// First contact time at most `limit`.
    fn contact(&self, leg: &Leg, feature: &Feature, touched: bool, limit: f64) -> Option<f64> {
        match *self {
            Self::Straight {
                direction,
                speed,
                brake,
                reach,
            } => {
                let s = straight_distance(leg.start.at, direction, feature, touched)?;
                if s > reach {
                    return None;
                }
                // s = v t − ½ k t²
                let t = 2.0 * s / (speed + (speed * speed - 2.0 * brake * s).max(0.0).sqrt());
                (t <= limit).then_some(t)
            }
            Self::Parabola => curved_time(leg, feature, touched, limit),
        }
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
const GAP_SLACK_M: f64 = 1e-9;

/// Whether a parabola, `d` from the centre of a circle at its start, stays outside the circle for
/// sure: the box round its control points `d`, `d + v t/2`, `d + v t + a t²/2` does.
fn stays_clear(d: Vec2, v: Vec2, a: Vec2, span_s: f64, radius_m: f64) -> bool {
    let clear = |d: f64, v: f64, a: f64| {
        let (middle, end) = (d + 0.5 * v * span_s, d + span_s * (v + 0.5 * a * span_s));
        d.min(middle).min(end) > radius_m || d.max(middle).max(end) < -radius_m
    };
    clear(d.x, v.x, a.x) || clear(d.y, v.y, a.y)
}

/// Contact time with a feature on a curved path.
fn curved_time(leg: &Leg, feature: &Feature, touched: bool, limit: f64) -> Option<f64> {
    let (v, a) = (leg.start.v, leg.acceleration);
    match feature.shape {
        Shape::Line { start, normal, .. } => {
            let gap = if touched {
                0.0
            } else {
                (leg.start.at - start).dot(normal)
            };
            if gap < -GAP_SLACK_M {
                return None;
            }
            let t = falls_to_zero(gap.max(0.0), v.dot(normal), a.dot(normal))?;
            (t <= limit && feature.covers(leg.position(t))).then_some(t)
        }
        Shape::Arc {
            centre, radius_m, ..
        }
        | Shape::Circle { centre, radius_m } => {
            let d = leg.start.at - centre;
            if stays_clear(d, v, a, limit, radius_m) {
                return None;
            }
            let c0 = d.hypot2() - radius_m * radius_m;
            let c1 = 2.0 * d.dot(v);
            let (c2, c3, c4) = (v.hypot2() + d.dot(a), v.dot(a), 0.25 * a.hypot2());
            let on_it = touched || c0 <= 0.0;
            if on_it && c1 < 0.0 {
                return feature.covers(leg.start.at).then_some(0.0);
            }
            let polynomial = if on_it {
                [c1, c2, c3, c4, 0.0]
            } else {
                [c0, c1, c2, c3, c4]
            };
            let t = first_fall_below_zero(polynomial, limit)?;
            // An arc entered outside its sector is met on the line beside it first, or not at all.
            feature.covers(leg.position(t)).then_some(t)
        }
    }
}
