//! From a start to rest, a drop or another ball: exact events, never stepped.

use kurbo::{Point, Vec2};
use thiserror::Error;

use super::feature::{Feature, FeatureKind};
use super::impact::rebound;
use super::leg::Leg;
use super::meet::{SAME_TIME_S, STRAIGHT, runs_off};
use super::outline::{Held, Way};
use super::phase::{BallBody, BallState, Moving};
use super::surroundings::{Outlined, Surroundings};
use crate::gear::{Cloth, GRAVITY_M_S2};

/// Rebounds slower than this with acceleration into the feature become contact, m/s.
const CONTACT_SPEED_M_S: f64 = 1e-6;
/// More impacts than this are a fault.
const MAX_IMPACTS: usize = 256;
/// More legs than this (phases, impacts, contacts left) are the same fault; no real path comes near.
const MAX_LEGS: usize = 4 * MAX_IMPACTS;
/// Slip below this fraction of the speed is rolling: rounding, not physics.
const ROLLING_SLIP: f64 = 1e-12;

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
        "the ball met cushions more than {MAX_IMPACTS} times; a table with restitution below 1 and some friction ends its paths"
    )]
    TooManyImpacts,
    /// Nothing brakes the ball and nothing stops it.
    #[error(
        "the ball never comes to rest: cloth.rolling_friction must be above 0, or something must stop the ball"
    )]
    NeverRests,
}

/// What happens on the way, in order.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Step {
    /// The ball moved freely.
    Leg(Leg),
    /// It met a feature (index) and left in this state.
    Impact(usize, BallState),
}

/// Who sees what happens on the way, in order.
pub trait Watch {
    /// The next thing.
    fn see(&mut self, step: Step);
}

impl<F: FnMut(Step)> Watch for F {
    fn see(&mut self, step: Step) {
        self(step);
    }
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
    observe: impl FnMut(Step),
) -> Result<(End, BallState), MotionFault> {
    trace_among(&Outlined::new(features), body, cloth, start, observe)
}

/// The same among surroundings that know short cuts.
///
/// # Errors
/// As [`trace`].
pub fn trace_among<S: Surroundings + ?Sized>(
    surroundings: &S,
    body: &BallBody,
    cloth: &Cloth,
    start: BallState,
    mut observe: impl FnMut(Step),
) -> Result<(End, BallState), MotionFault> {
    Ball::at(start, Moving { body, cloth }).run(surroundings, &mut observe)
}

/// The same for a ball sent off sliding, without spin: until it meets something it slides and rolls on
/// one line, which is observed as one leg (its speed and duration are not those of the ball).
///
/// # Errors
/// As [`trace`].
#[inline(always)]
pub fn trace_sent_off<S: Surroundings + ?Sized>(
    surroundings: &S,
    moving: Moving<'_>,
    at: Point,
    v: Vec2,
    mut observe: impl Watch,
) -> Result<(End, BallState), MotionFault> {
    let start = BallState::sliding(at, v);
    let (slide, roll) = (
        moving.cloth.sliding_friction * GRAVITY_M_S2,
        moving.cloth.rolling_friction * GRAVITY_M_S2,
    );
    let speed = v.hypot2().sqrt();
    if !(slide > 0.0 && roll > 0.0 && speed > 0.0) {
        return Ball::at(start, moving).run(surroundings, &mut observe);
    }
    let direction = v / speed;
    // It rolls from 5v/7 on, after 12v²/(49 μ_s g).
    let rolls_m = 12.0 * speed * speed / (49.0 * slide);
    let rolling = 5.0 / 7.0 * speed;
    let way = Way {
        from: at,
        direction,
        reach_m: rolls_m + rolling * rolling / (2.0 * roll),
        same_m: speed * SAME_TIME_S,
    };
    let hit = surroundings.first_on_way(&way);
    let run_m = hit.map_or(way.reach_m, |met| met.at);
    observe.see(Step::Leg(Leg {
        start: BallState {
            v: direction,
            ..start
        },
        acceleration: Vec2::ZERO,
        duration_s: run_m,
    }));
    let stands = BallState {
        at: at + direction * run_m,
        ..start
    };
    let mut ball = Ball::at(stands, moving);
    let Some(met) = hit else {
        ball.state.v = Vec2::ZERO;
        return Ok((End::Rest, ball.state));
    };
    if run_m < rolls_m {
        let v_now = (speed * speed - 2.0 * slide * run_m).max(0.0).sqrt();
        ball.state.v = direction * v_now;
        ball.state.q = direction * (2.5 * (speed - v_now));
    } else {
        let v2 = rolling * rolling - 2.0 * roll * (run_m - rolls_m);
        ball.state.v = direction * v2.max(0.0).sqrt();
        ball.state.q = ball.state.v;
    }
    match ball.meet(surroundings.features(), met.index, &mut observe)? {
        Some(end) => Ok((end, ball.state)),
        None => ball.run(surroundings, &mut observe),
    }
}

/// A ball on its way.
struct Ball<'a> {
    state: BallState,
    moving: Moving<'a>,
    held: Held,
    impacts: usize,
}

impl<'a> Ball<'a> {
    fn at(state: BallState, moving: Moving<'a>) -> Self {
        Self {
            state,
            moving,
            held: Held::default(),
            impacts: 0,
        }
    }

    #[inline(always)]
    fn run<S: Surroundings + ?Sized>(
        mut self,
        surroundings: &S,
        observe: &mut impl Watch,
    ) -> Result<(End, BallState), MotionFault> {
        let cloth = self.moving.cloth;
        let features = surroundings.features();
        for _ in 0..MAX_LEGS {
            let wall = self
                .held
                .hugged
                .map(|i| features[i].normal_at(self.state.at));
            let phase = Phase::of(cloth, &self.state, wall);
            if !phase.pressed {
                self.held.hugged = None;
            }
            if phase.at_rest {
                return Ok((End::Rest, self.state));
            }
            let leg = phase.leg;
            let hit = surroundings.next_contact(&leg, self.held);
            let off = self.held.hugged.and_then(|i| runs_off(&features[i], &leg));
            let until = hit.map_or(leg.duration_s, |met| met.at);
            if let Some(t) = off.filter(|&t| t < until) {
                observe.see(Step::Leg(Leg {
                    duration_s: t,
                    ..leg
                }));
                self.state = phase.after(cloth, t, false);
                self.held.hugged = None;
                continue;
            }
            if until.is_infinite() {
                return Err(MotionFault::NeverRests);
            }
            observe.see(Step::Leg(Leg {
                duration_s: until,
                ..leg
            }));
            self.state = phase.after(cloth, until, hit.is_none());
            if self.held.hugged.is_none() && until > 0.0 {
                // It has moved off; from now on the distance is measured, not known to be 0.
                self.held.touched = None;
            }
            let Some(met) = hit else { continue };
            if let Some(end) = self.meet(features, met.index, observe)? {
                return Ok((end, self.state));
            }
        }
        Err(MotionFault::TooManyImpacts)
    }

    /// Meets a feature: the path ends there, or it goes on from a changed state.
    #[inline(always)]
    fn meet(
        &mut self,
        features: &[Feature],
        index: usize,
        observe: &mut impl Watch,
    ) -> Result<Option<End>, MotionFault> {
        let feature = &features[index];
        if let Some(end) = end_at(feature.kind, index) {
            return Ok(Some(end));
        }
        self.impacts += 1;
        if self.impacts > MAX_IMPACTS {
            return Err(MotionFault::TooManyImpacts);
        }
        let (state, stays) = bounce(feature, self.moving, &self.state);
        self.state = state;
        self.held.touched = Some(index);
        self.held.hugged = stays.then_some(index);
        observe.see(Step::Impact(index, state));
        Ok(None)
    }
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
#[inline(always)]
fn bounce(feature: &Feature, moving: Moving<'_>, state: &BallState) -> (BallState, bool) {
    let normal = feature.normal_at(state.at);
    let mut state = rebound(
        moving.body,
        state,
        normal,
        feature.restitution,
        feature.friction,
    );
    let away = state.v.dot(normal);
    let stays = away < CONTACT_SPEED_M_S && Phase::of(moving.cloth, &state, Some(normal)).pressed;
    if stays {
        state.v -= normal * away;
    }
    (state, stays)
}

/// A spin nearer to 0 by `less`, or 0.
fn slowed(spin: f64, less: f64) -> f64 {
    if spin > less {
        spin - less
    } else if spin < -less {
        spin + less
    } else {
        0.0
    }
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
    #[inline(always)]
    fn of(cloth: &Cloth, state: &BallState, wall: Option<Vec2>) -> Self {
        let slip = state.v - state.q;
        let slipping2 = slip.hypot2();
        let moving2 = state.v.hypot2() + state.q.hypot2();
        let mut start = *state;
        let brake = cloth.sliding_friction * GRAVITY_M_S2;
        if slipping2 > ROLLING_SLIP * ROLLING_SLIP * moving2 && brake > 0.0 {
            let slipping = slipping2.sqrt();
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
        let speed = state.v.hypot2().sqrt();
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
    #[inline(always)]
    fn after(&self, cloth: &Cloth, t_s: f64, whole: bool) -> BallState {
        let start = &self.leg.start;
        let v = start.v + self.leg.acceleration * t_s;
        let mut next = BallState {
            at: self.leg.position(t_s),
            v,
            q: start.q + self.spin_rate * t_s,
            spin_z_rad_s: slowed(start.spin_z_rad_s, cloth.spin_decay_rad_s2 * t_s),
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
