//! From a start to rest, a drop or another ball: exact events, never stepped.

use kurbo::{Point, Vec2};
use thiserror::Error;

use super::feature::{Feature, FeatureKind, Shape};
use super::impact::rebound;
use super::phase::{BallBody, BallState};
use super::roots::first_fall_below_zero;
use crate::gear::{Cloth, GRAVITY_M_S2};

/// Rebounds slower than this with acceleration into the feature become contact, m/s.
const CONTACT_SPEED_M_S: f64 = 1e-6;
/// More impacts than this are a fault.
const MAX_IMPACTS: usize = 256;
/// More legs than this (phases, impacts, contacts left) are the same fault; no real path comes near.
const MAX_LEGS: usize = 4 * MAX_IMPACTS;
/// Slip below this fraction of the speed is rolling: rounding, not physics.
const ROLLING_SLIP: f64 = 1e-12;
/// Sine of the angle below which velocity and slip count as one line (a straight slide): the
/// path then strays from a straight line by less than 1e-12 m over the longest bed.
const STRAIGHT: f64 = 1e-13;
/// Two contacts closer than this in time are one, and the jaw wins, s.
const SAME_TIME_S: f64 = 1e-13;

/// How a trace ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// The ball lies still.
    Rest,
    /// It dropped: index of the feature.
    Drop(usize),
    /// It met another ball: index of the feature.
    Ball(usize),
}

/// A trace that cannot be followed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum MotionFault {
    /// The ball rattles without end.
    #[error(
        "the ball met cushions more than {MAX_IMPACTS} times; a gear with restitution below 1 and some friction ends its paths"
    )]
    TooManyImpacts,
    /// Nothing brakes the ball and nothing stops it.
    #[error(
        "the ball never comes to rest: cloth.rolling_friction must be above 0, or something must stop the ball"
    )]
    NeverRests,
}

/// Motion between two events: `at + v t + ½ a t²` for `duration_s`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leg {
    /// State at the start.
    pub start: BallState,
    /// Constant acceleration, m/s².
    pub acceleration: Vec2,
    /// Duration.
    pub duration_s: f64,
}

impl Leg {
    /// Where the ball is `t_s` after the start of the leg.
    #[must_use]
    pub fn position(&self, t_s: f64) -> Point {
        self.start.at + self.start.v * t_s + self.acceleration * (0.5 * t_s * t_s)
    }
}

/// What happens on the way, in order.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Step {
    /// The ball moved freely.
    Leg(Leg),
    /// It met a feature (index) and left in this state.
    Impact(usize, BallState),
}

/// Follows a ball until it rests, drops or meets another ball.
///
/// `features` are what it can meet; `observe` sees each leg and impact in order. Returns how it
/// ended and the last state.
///
/// # Errors
/// [`MotionFault::TooManyImpacts`] past 256 impacts; [`MotionFault::NeverRests`] where no
/// friction brakes and no feature ends the path.
pub fn trace(
    features: &[Feature],
    body: &BallBody,
    cloth: &Cloth,
    start: BallState,
    mut observe: impl FnMut(Step),
) -> Result<(End, BallState), MotionFault> {
    let mut state = start;
    let mut touched: Option<usize> = None;
    let mut hugged: Option<usize> = None;
    let mut impacts = 0;
    for _ in 0..MAX_LEGS {
        let phase = Phase::of(
            cloth,
            &state,
            hugged.map(|i| features[i].normal_at(state.at)),
        );
        if !phase.pressed {
            hugged = None;
        }
        if phase.at_rest {
            return Ok((End::Rest, state));
        }
        let leg = phase.leg;
        let hit = next_contact(features, &leg, touched, hugged);
        let off = hugged.and_then(|i| runs_off(&features[i], &leg));
        let until = hit.map_or(leg.duration_s, |(t, _)| t);
        if let Some(t) = off.filter(|&t| t < until) {
            observe(Step::Leg(Leg {
                duration_s: t,
                ..leg
            }));
            state = phase.after(cloth, t, false);
            hugged = None;
            continue;
        }
        if until.is_infinite() {
            return Err(MotionFault::NeverRests);
        }
        observe(Step::Leg(Leg {
            duration_s: until,
            ..leg
        }));
        state = phase.after(cloth, until, hit.is_none());
        if hugged.is_none() && until > 0.0 {
            // It has moved off; from now on the distance is measured, not known to be 0.
            touched = None;
        }
        let Some((_, index)) = hit else { continue };
        let feature = &features[index];
        if let Some(end) = end_at(feature.kind, index) {
            return Ok((end, state));
        }
        impacts += 1;
        if impacts > MAX_IMPACTS {
            return Err(MotionFault::TooManyImpacts);
        }
        let stays;
        (state, stays) = bounce(feature, body, cloth, &state);
        touched = Some(index);
        hugged = stays.then_some(index);
        observe(Step::Impact(index, state));
    }
    Err(MotionFault::TooManyImpacts)
}

/// Whether the trace ends at a feature.
fn end_at(kind: FeatureKind, index: usize) -> Option<End> {
    match kind {
        FeatureKind::Drop => Some(End::Drop(index)),
        FeatureKind::Ball => Some(End::Ball(index)),
        FeatureKind::Rail | FeatureKind::Facing | FeatureKind::Jaw => None,
    }
}

/// State after an impact, and whether the ball stays at the feature: it leaves slower than
/// [`CONTACT_SPEED_M_S`] while its acceleration points in.
fn bounce(
    feature: &Feature,
    body: &BallBody,
    cloth: &Cloth,
    state: &BallState,
) -> (BallState, bool) {
    let normal = feature.normal_at(state.at);
    let mut state = rebound(body, state, normal, feature.restitution, feature.friction);
    let away = state.v.dot(normal);
    let stays = away < CONTACT_SPEED_M_S && Phase::of(cloth, &state, Some(normal)).pressed;
    if stays {
        state.v -= normal * away;
    }
    (state, stays)
}

/// The motion from a state on, until its phase ends.
struct Phase {
    leg: Leg,
    /// Rate of change of `q`.
    spin_rate: Vec2,
    rolling: bool,
    /// The cloth turns slip into roll.
    gripping: bool,
    /// Acceleration points into the hugged feature.
    pressed: bool,
    at_rest: bool,
}

impl Phase {
    /// `wall` is the normal of a feature the ball is held against, if any.
    fn of(cloth: &Cloth, state: &BallState, wall: Option<Vec2>) -> Self {
        let slip = state.v - state.q;
        let slipping = slip.hypot2().sqrt();
        let speed = state.v.hypot2().sqrt();
        let mut start = *state;
        let brake = cloth.sliding_friction * GRAVITY_M_S2;
        if slipping > ROLLING_SLIP * (speed + state.q.hypot2().sqrt()) && brake > 0.0 {
            // sliding: acceleration −μ_s g û, q changes by 5/2 of the opposite
            let direction = slip / slipping;
            let mut acceleration = direction * -brake;
            let mut duration_s = 2.0 * slipping / (7.0 * brake);
            let pressed = wall.is_some_and(|n| acceleration.dot(n) < 0.0);
            if let (true, Some(n)) = (pressed, wall) {
                acceleration -= n * acceleration.dot(n);
                start.v -= n * start.v.dot(n);
                // Held back across the wall, slip dies there by spin alone, at 5/2 of the brake.
                if acceleration.hypot2().sqrt() < STRAIGHT * brake {
                    duration_s = slipping / (2.5 * brake);
                }
            }
            return Self {
                leg: Leg {
                    start,
                    acceleration,
                    duration_s,
                },
                spin_rate: direction * (2.5 * brake),
                rolling: false,
                gripping: true,
                pressed,
                at_rest: false,
            };
        }
        let brake = cloth.rolling_friction * GRAVITY_M_S2;
        let at_rest = speed <= f64::MIN_POSITIVE;
        let gripping = cloth.sliding_friction > 0.0;
        let (acceleration, duration_s) = if at_rest || brake <= 0.0 {
            (Vec2::ZERO, f64::INFINITY)
        } else {
            (state.v / speed * -brake, speed / brake)
        };
        Self {
            leg: Leg {
                start,
                acceleration,
                duration_s,
            },
            // On a cloth without grip the ball keeps the spin it has.
            spin_rate: if gripping { acceleration } else { Vec2::ZERO },
            rolling: true,
            gripping,
            pressed: false,
            at_rest,
        }
    }

    /// State after `t_s`; `whole` when the phase ran to its end.
    fn after(&self, cloth: &Cloth, t_s: f64, whole: bool) -> BallState {
        let start = &self.leg.start;
        let v = start.v + self.leg.acceleration * t_s;
        let mut next = BallState {
            at: self.leg.position(t_s),
            v,
            q: start.q + self.spin_rate * t_s,
            spin_z_rad_s: start.spin_z_rad_s.signum()
                * (start.spin_z_rad_s.abs() - cloth.spin_decay_rad_s2 * t_s).max(0.0),
        };
        if whole {
            if self.rolling {
                next.v = Vec2::ZERO;
            }
            let slip_is_gone = !self.pressed
                || self.leg.acceleration.hypot2().sqrt()
                    < STRAIGHT * self.spin_rate.hypot2().sqrt();
            if self.gripping && slip_is_gone {
                next.q = next.v;
            }
        } else if self.rolling && self.gripping {
            next.q = next.v;
        }
        next
    }
}

/// When a ball held against a line passes its end.
fn runs_off(feature: &Feature, leg: &Leg) -> Option<f64> {
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

/// The next feature met on this leg and when.
fn next_contact(
    features: &[Feature],
    leg: &Leg,
    touched: Option<usize>,
    hugged: Option<usize>,
) -> Option<(f64, usize)> {
    let path = PathForm::of(leg);
    let mut best: Option<(f64, usize)> = None;
    // Lines first: they are cheap, and what they leave of the leg makes circles cheap too.
    for round in [true, false] {
        for (index, feature) in features.iter().enumerate() {
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
