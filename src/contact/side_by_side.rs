//! Contacts side by side: the pull-back of many directions, or of many cue balls, at once.
//!
//! The unknown is the tangent of the throw. With it the line of centres is the object ball's
//! direction turned by the throw, and everything else follows without trigonometry: with `k` the
//! line's unit vector in the frame of cue → object, the ghost ball stands at `d − D k`, so
//! `sin φ = d k_y/t_c`, `cos φ = (d k_x − D)/t_c`, `dφ/dλ = 1 + D cos φ/t_c`. Newton's steps on
//! `t = tan T(φ(t))` converge to rounding in two or three.

use pulp::{Arch, Simd, WithSimd};

use super::ghost::{Approach, Geometry};
use super::lane::{ATAN_TO, Lane, MOST_LANES, Mask};
use super::throw::ThrowLaw;
use crate::gear::BallContact;

/// Contacts thinner than this are left to the bracketed search: cos φ.
const THINNEST_COS: f64 = 0.02;
/// A last step this small may be taken without looking again, since what is left goes by its square.
const LAST_STEP: f64 = 1e-7;
/// Steps this small need no other.
const SETTLED: f64 = 2e-14;
/// Unless the friction law's kink lies within so many steps.
const KINK_STEPS: f64 = 8.0;
/// Steps tried; two or three are usual, four or five where the speed follows from the throw.
const MOST_STEPS: u32 = 9;

/// Vectors in the plan: places, or directions as unit vectors.
#[derive(Clone, Copy)]
pub(crate) struct Planar<S: Simd> {
    pub(crate) x: Lane<S>,
    pub(crate) y: Lane<S>,
}

/// The friction law side by side.
#[derive(Clone, Copy)]
pub(crate) struct Rub<S: Simd> {
    floor: Lane<S>,
    span: Lane<S>,
    decay: Lane<S>,
    cap: Lane<S>,
    roll2: Lane<S>,
    side: Lane<S>,
    /// A rolling ball without side rubs equally fast at every cut.
    even: bool,
}

/// The law of a stroke, and the fading friction where it is the same at every cut.
#[derive(Clone, Copy)]
pub(crate) struct Rubbing<'a, S: Simd> {
    pub(crate) rub: &'a Rub<S>,
    /// As [`Rub::even_at`] gives it.
    pub(crate) even: Option<Lane<S>>,
}

/// Throw's tangent at one cut.
struct Thrown<S: Simd> {
    tan: Lane<S>,
    /// By the cut angle.
    slope: Lane<S>,
    /// By the logarithm of the speed.
    by_speed: Lane<S>,
    /// How far from the kink, in its own measure.
    kink: Lane<S>,
}

/// One contact.
struct Met<S: Simd> {
    /// The ghost ball's direction from the cue ball.
    ghost: Planar<S>,
    sin_cut: Lane<S>,
    cos_cut: Lane<S>,
    travel: Lane<S>,
    /// dφ/dλ.
    turn: Lane<S>,
    /// dλ/dt, `cos² T`.
    cos2: Lane<S>,
}

/// The two balls side by side.
#[derive(Clone, Copy)]
pub(crate) struct Balls<S: Simd> {
    /// Centre to centre.
    pub(crate) apart: Lane<S>,
    /// The same in plan when they touch.
    pub(crate) contact: Lane<S>,
}

/// The contact that is aimed for.
#[derive(Clone, Copy)]
pub(crate) struct Target<S: Simd> {
    /// Where the solution may be taken.
    pub(crate) good: Mask<S>,
    /// Ghost ball's direction from cue → object, as a unit vector.
    pub(crate) ghost: Planar<S>,
    pub(crate) sin_cut: Lane<S>,
    pub(crate) cos_cut: Lane<S>,
    pub(crate) travel: Lane<S>,
    /// Tangent of the throw.
    pub(crate) tan: Lane<S>,
    /// d tan T/dφ.
    pub(crate) tan_slope: Lane<S>,
    /// The cue ball's speed.
    pub(crate) speed: Lane<S>,
    /// d tan T/dθ, to guess the throw of other directions by.
    pub(crate) tan_by_direction: Lane<S>,
}

/// Another contact, against the target's.
#[derive(Clone, Copy)]
pub(crate) struct Pulled<S: Simd> {
    /// Where the solution may be taken.
    pub(crate) good: Mask<S>,
    /// Turn of the cue ball's direction, rad.
    pub(crate) turn: Lane<S>,
    /// Throw, rad.
    pub(crate) throw: Lane<S>,
}

impl<S: Simd> Planar<S> {
    /// The same where a mask says so, else the way straight on.
    #[inline(always)]
    fn or_straight_on(self, where_so: Mask<S>) -> Self {
        let (zero, one) = (self.x.like(0.0), self.x.like(1.0));
        Self {
            x: where_so.pick(self.x, one),
            y: where_so.pick(self.y, zero),
        }
    }
}

impl<S: Simd> Rub<S> {
    /// The law of a stroke; `side` right-positive. The speed is given with each question.
    #[inline(always)]
    pub(crate) fn new(simd: S, contact: &BallContact, roll: Lane<S>, side: Lane<S>) -> Self {
        let of = |x| Lane::of(simd, x);
        let rolls = (roll.abs() - of(1.0)).abs().below(of(f64::EPSILON));
        let plain = side.abs().below(of(f64::MIN_POSITIVE));
        Self {
            floor: of(contact.friction_scale * contact.friction_floor),
            span: of(contact.friction_scale * contact.friction_span),
            decay: of(contact.friction_decay_s_m),
            cap: of((2.0 / 7.0) / (1.0 + contact.restitution)),
            roll2: roll * roll,
            side,
            even: (rolls & plain).all(),
        }
    }

    /// Friction that fades, at a speed of rubbing.
    #[inline(always)]
    fn fading(&self, rubs: Lane<S>) -> Lane<S> {
        self.span * (self.decay * rubs).exp_of_minus()
    }

    /// The fading friction at a speed where it is the same at every cut.
    #[inline(always)]
    pub(crate) fn even_at(&self, speed: Lane<S>) -> Option<Lane<S>> {
        self.even.then(|| self.fading(speed))
    }

    /// As `ThrowLaw::tangent`; `even` is the fading friction where it is the same at every cut.
    #[inline(always)]
    fn thrown(
        &self,
        sin: Lane<S>,
        cos: Lane<S>,
        speed: Lane<S>,
        even: Option<Lane<S>>,
    ) -> Thrown<S> {
        let one = sin.like(1.0);
        let per_cos = one / cos;
        let across = sin - self.side;
        let grip = self.cap * across * per_cos;
        let grip_slope = self.cap * (one - self.side * sin) * per_cos * per_cos;
        let zero = sin.like(0.0);
        if self.even {
            let fading = even.unwrap_or_else(|| self.fading(speed));
            let mu = self.floor + fading;
            let kink = mu * cos - self.cap;
            let slips = kink.below(zero);
            return Thrown {
                tan: slips.pick(mu * sin, grip),
                slope: slips.pick(mu * cos, grip_slope),
                by_speed: slips.pick(-self.decay * speed * fading * sin, zero),
                kink,
            };
        }
        let rub = (across * across + self.roll2 * cos * cos).sqrt();
        let fading = self.fading(speed * rub);
        let mu = self.floor + fading;
        let kink = mu * cos - self.cap * rub;
        // A ball that does not rub grips.
        let slips = kink.below(zero);
        let per = one / slips.pick(rub, one);
        let part = across * per;
        let d_rub = cos * (across - self.roll2 * sin) * per;
        let fades = -self.decay * speed * fading;
        let slope = fades * d_rub * part + mu * (cos - part * d_rub) * per;
        Thrown {
            tan: slips.pick(mu * part, grip),
            slope: slips.pick(slope, grip_slope),
            by_speed: slips.pick(fades * rub * part, zero),
            kink,
        }
    }
}

impl<S: Simd> Balls<S> {
    /// Whether a direction (its cosine against cue → object) is so far from a grazing hit that no throw
    /// takes it there. Beyond, a direction may be reached twice.
    #[inline(always)]
    fn within_reach(&self, rub: &Rub<S>, cos: Lane<S>) -> Mask<S> {
        let one = cos.like(1.0);
        // cos(acos(D/d) − L), tan L the largest throw
        let (tan, k) = (rub.floor + rub.span, self.contact / self.apart);
        let across = (one - k * k).sqrt();
        let least = tan.times_plus(across, k) / tan.times_plus(tan, one).sqrt();
        least.below(cos)
    }

    /// The contact for an object ball's direction (unit vector from cue → object) and throw.
    #[inline(always)]
    fn met(&self, direction: Planar<S>, tan: Lane<S>) -> Met<S> {
        let (c, s) = (direction.x, direction.y);
        let one = c.like(1.0);
        let cos2 = one / tan.times_plus(tan, one);
        let cos = cos2.sqrt();
        let (kx, ky) = ((c - tan * s) * cos, tan.times_plus(c, s) * cos);
        let (x, y) = (self.apart - self.contact * kx, -self.contact * ky);
        let travel = x.times_plus(x, y * y).sqrt();
        let per = one / travel;
        let (sin_cut, cos_cut) = (
            self.apart * ky * per,
            (self.apart * kx - self.contact) * per,
        );
        Met {
            ghost: Planar {
                x: x * per,
                y: y * per,
            },
            sin_cut,
            cos_cut,
            travel,
            turn: (self.contact * per).times_plus(cos_cut, one),
            cos2,
        }
    }

    /// The contact that is aimed for, and the cue ball's speed there: `unit/(cos φ / cos T)`, `unit`
    /// being the object ball's speed over the share that is passed on.
    #[inline(always)]
    pub(crate) fn target(&self, rub: &Rub<S>, direction: Planar<S>, unit: Lane<S>) -> Target<S> {
        let (zero, one) = (unit.like(0.0), unit.like(1.0));
        let reached = self.within_reach(rub, direction.x);
        let direction = direction.or_straight_on(reached);
        let mut tan = zero;
        let mut rounds = MOST_STEPS;
        loop {
            let met = self.met(direction, tan);
            let per_cos = one / met.cos_cut;
            let speed = unit * met.cos2.sqrt() * per_cos;
            let thrown = rub.thrown(met.sin_cut, met.cos_cut, speed, None);
            let d_cut = met.turn * met.cos2;
            // d ln v/dt = tan φ dφ/dt − t/(1 + t²)
            let d_speed = met.sin_cut * per_cos * d_cut - tan * met.cos2;
            let turns = one - thrown.slope * d_cut;
            let step = (tan - thrown.tan) / (turns - thrown.by_speed * d_speed);
            let done = step.abs().below(unit.like(SETTLED));
            rounds -= 1;
            if rounds == 0 || done.all() {
                return Target {
                    good: reached
                        & done
                        & unit.like(THINNEST_COS).below(met.cos_cut)
                        & tan.abs().below(unit.like(ATAN_TO))
                        & zero.below(turns),
                    ghost: met.ghost,
                    sin_cut: met.sin_cut,
                    cos_cut: met.cos_cut,
                    travel: met.travel,
                    tan,
                    tan_slope: thrown.slope,
                    speed,
                    tan_by_direction: thrown.slope * met.turn / turns,
                };
            }
            // What is done stays, so that nobody's answer depends on whom it goes beside.
            tan = done.pick(tan, tan - step);
        }
    }

    /// The contact that sends the object ball along another direction, `off` from the target's, with
    /// the same stroke.
    #[inline(always)]
    pub(crate) fn pulled(
        &self,
        rubbing: Rubbing<'_, S>,
        target: &Target<S>,
        direction: Planar<S>,
        off: Lane<S>,
    ) -> Pulled<S> {
        let Rubbing { rub, even } = rubbing;
        let (zero, one) = (off.like(0.0), off.like(1.0));
        let reached = self.within_reach(rub, direction.x);
        let direction = direction.or_straight_on(reached);
        let most = rub.floor + rub.span;
        let guess = off.times_plus(target.tan_by_direction, target.tan);
        let guess = guess.below(most).pick(guess, most);
        let mut tan = (-most).below(guess).pick(guess, -most);
        let mut rounds = MOST_STEPS;
        loop {
            let met = self.met(direction, tan);
            let thrown = rub.thrown(met.sin_cut, met.cos_cut, target.speed, even);
            let turns = one - thrown.slope * met.turn * met.cos2;
            let step = (tan - thrown.tan) / turns;
            let size = step.abs();
            let clear = (size * off.like(KINK_STEPS)).below(thrown.kink.abs());
            let done = (clear & size.below(off.like(LAST_STEP))) | size.below(off.like(SETTLED));
            rounds -= 1;
            if rounds == 0 || done.all() {
                // What the last step changes goes in by its first order.
                let tan = tan - step;
                let Planar { x: gx, y: gy } = target.ghost;
                let Planar { x, y } = met.ghost;
                let (along, across) = (gx * x + gy * y, gx * y - gy * x);
                let turned = (across / along).small_atan();
                return Pulled {
                    good: reached
                        & done
                        & off.like(THINNEST_COS).below(met.cos_cut)
                        & tan.abs().below(off.like(ATAN_TO))
                        & across.abs().below(along * off.like(ATAN_TO))
                        & zero.below(turns),
                    turn: ((met.turn - one) * met.cos2).times_plus(step, turned),
                    throw: tan.small_atan(),
                };
            }
            // What is done stays, so that nobody's answer depends on whom it goes beside.
            tan = done.pick(tan, tan - step);
        }
    }
}

/// A known contact to find others from.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Known<'a> {
    pub(crate) approach: &'a Approach,
    pub(crate) law: &'a ThrowLaw,
    pub(crate) aim: &'a Geometry,
    /// Throw there and its slope by the cut, near enough to guess by.
    pub(crate) throw: (f64, f64),
}

/// Directions farther than this from the line between the balls cannot be reached, rad.
const FARTHEST_RAD: f64 = 1.6;

impl Known<'_> {
    /// Turns of the cue ball's direction (rad, against the known contact's) that send the object ball
    /// along some directions, at most [`MOST_LANES`]; `None` where that is left to the bracketed search.
    pub(crate) fn turns(&self, directions_rad: &[f64]) -> [Option<f64>; MOST_LANES] {
        Arch::new().dispatch(Turns {
            known: self,
            directions_rad,
        })
    }
}

/// Whether the object ball's direction turns back anywhere between two directions of the line of centres
/// (rad), looked at in so many steps; grazing hits and beyond do not count.
pub(crate) fn folds_between(
    approach: &Approach,
    law: &ThrowLaw,
    low_rad: f64,
    high_rad: f64,
    steps: u32,
) -> bool {
    Arch::new().dispatch(Folds {
        approach,
        law,
        low_rad,
        step_rad: (high_rad - low_rad) / f64::from(steps),
        steps,
    })
}

struct Folds<'a> {
    approach: &'a Approach,
    law: &'a ThrowLaw,
    low_rad: f64,
    step_rad: f64,
    steps: u32,
}

impl WithSimd for Folds<'_> {
    type Output = bool;

    #[inline(always)]
    fn with_simd<S: Simd>(self, simd: S) -> bool {
        let of = |x| Lane::of(simd, x);
        let (approach, law) = (self.approach, self.law);
        let balls = Balls {
            apart: of(approach.apart_m),
            contact: of(approach.contact_m),
        };
        let rub = Rub::new(simd, &law.contact, of(law.roll), of(law.side_right));
        let (speed, reach) = (of(law.speed_m_s), of(approach.reach_rad()));
        let even = rub.even_at(speed);
        let mut places = [0.0; MOST_LANES];
        let mut next = 0..=self.steps;
        while !next.is_empty() {
            for place in &mut places[..S::F64_LANES] {
                let k = next.next().unwrap_or(self.steps);
                *place = self.low_rad + self.step_rad * f64::from(k);
            }
            let centres = Lane::load(simd, &places);
            let (sin, cos) = centres.sin_cos();
            let met = balls.met(Planar { x: cos, y: sin }, of(0.0));
            let thrown = rub.thrown(met.sin_cut, met.cos_cut, speed, even);
            let turns = thrown.slope * met.turn;
            let steady = turns.below(thrown.tan.times_plus(thrown.tan, of(1.0)));
            let beyond = !centres.abs().below(reach);
            if !(steady | beyond).all() {
                return true;
            }
        }
        false
    }
}

struct Turns<'a> {
    known: &'a Known<'a>,
    directions_rad: &'a [f64],
}

impl WithSimd for Turns<'_> {
    type Output = [Option<f64>; MOST_LANES];

    #[inline(always)]
    fn with_simd<S: Simd>(self, simd: S) -> Self::Output {
        let of = |x| Lane::of(simd, x);
        let Known {
            approach,
            law,
            aim,
            throw: (throw_rad, throw_slope),
        } = *self.known;
        let tan = throw_rad.tan();
        let cut_turn = approach.cut_slope(aim);
        let balls = Balls {
            apart: of(approach.apart_m),
            contact: of(approach.contact_m),
        };
        let (aim_sin, aim_cos) = aim.aim_rad.sin_cos();
        let target = Target {
            good: of(0.0).below(of(1.0)),
            ghost: Planar {
                x: of(aim_cos),
                y: of(aim_sin),
            },
            sin_cut: of(aim.sin_cut),
            cos_cut: of(aim.cos_cut),
            travel: of(aim.travel_m),
            tan: of(tan),
            tan_slope: of(throw_slope * (1.0 + tan * tan)),
            speed: of(law.speed_m_s),
            tan_by_direction: of(
                throw_slope * (1.0 + tan * tan) * cut_turn / (1.0 - throw_slope * cut_turn)
            ),
        };
        let rub = Rub::new(simd, &law.contact, of(law.roll), of(law.side_right));
        let rubbing = Rubbing {
            rub: &rub,
            even: rub.even_at(target.speed),
        };
        let known = aim.centres_rad - throw_rad;
        let mut out = [None; MOST_LANES];
        let chunks = self.directions_rad.chunks(S::F64_LANES);
        for (out, some) in out.chunks_mut(S::F64_LANES).zip(chunks) {
            let mut buffer = [known; MOST_LANES];
            for (to, from) in buffer.iter_mut().zip(some) {
                if from.abs() < FARTHEST_RAD {
                    *to = *from;
                }
            }
            let direction = Lane::load(simd, &buffer);
            let (sin, cos) = direction.sin_cos();
            let off = direction - of(known);
            let pulled = balls.pulled(rubbing, &target, Planar { x: cos, y: sin }, off);
            let (mut good, mut turn) = ([0.0; MOST_LANES], [0.0; MOST_LANES]);
            pulled.good.pick(of(1.0), of(0.0)).store(&mut good);
            pulled.turn.store(&mut turn);
            for (k, (out, from)) in out.iter_mut().zip(some).enumerate() {
                *out = (good[k] > 0.0 && from.abs() < FARTHEST_RAD).then_some(turn[k]);
            }
        }
        out
    }
}
