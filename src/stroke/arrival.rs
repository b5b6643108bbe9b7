//! What the cue ball brings to a place on its way, and to the object ball.

use kurbo::{Point, Vec2};

use super::stick::Stick;
use crate::contact::{Aftermath, Pair, aftermath};
use crate::gear::{GRAVITY_M_S2, Gear};
use crate::motion::{BallBody, BallState, End, Feature, Leg, Step, trace};

/// A ball on its way, as a shot needs it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Arrival {
    /// Direction of travel, rad on the plan.
    pub direction_rad: f64,
    /// Where its centre is, m.
    pub at: Point,
    /// Speed, m/s.
    pub speed_m_s: f64,
    /// `R·ω/v` about the horizontal axis across the way: 1 rolls, 0 is stun, negative draw.
    pub roll: f64,
    /// `R·ω_z/v`, right positive.
    pub side_right: f64,
}

impl Arrival {
    pub(super) fn of(state: &BallState, radius_m: f64) -> Self {
        let speed_m_s = state.v.hypot();
        let way = if speed_m_s > 0.0 {
            state.v / speed_m_s
        } else {
            Vec2::ZERO
        };
        Self {
            direction_rad: state.v.atan2(),
            at: state.at,
            speed_m_s,
            roll: state.q.dot(way) / speed_m_s,
            side_right: radius_m * state.spin_z_rad_s / speed_m_s,
        }
    }
}

/// A contact with an object ball, from the stick on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Struck {
    /// The cue ball just before.
    pub arrival: Arrival,
    /// Signed cut, rad: positive when the object ball lies left of the way.
    pub cut_rad: f64,
    /// Direction of the object ball on the plan, throw included, rad.
    pub object_rad: f64,
    /// Its speed, m/s.
    pub object_speed_m_s: f64,
    /// Way of the cue ball until then, m.
    pub travel_m: f64,
    /// Time until then, s.
    pub time_s: f64,
    /// The cue ball just after.
    pub after: BallState,
}

fn pair(gear: &Gear) -> Pair {
    Pair {
        first_mass_kg: gear.balls.cue_mass_kg,
        second_mass_kg: gear.balls.object_mass_kg,
        first_radius_m: gear.cue_radius_m(),
    }
}

/// Length of a leg's path, m: exact for straight legs, by the chords of a fine polyline for curves
/// (a slide bends by a few degrees at most, so that 16 chords are good to 1e-5 of the length).
fn leg_length_m(leg: &Leg) -> f64 {
    const CHORDS: u32 = 16;
    let mut from = leg.start.at;
    let mut length_m = 0.0;
    for k in 1..=CHORDS {
        let to = leg.position(leg.duration_s * f64::from(k) / f64::from(CHORDS));
        length_m += (to - from).hypot();
        from = to;
    }
    length_m
}

/// The stroke on open cloth up to an object ball at `object`, the stick pointing along `stick_rad`;
/// `None` when the cue ball stops short or misses it.
#[must_use]
pub fn reach(
    gear: &Gear,
    stick: &Stick,
    cue: Point,
    object: Point,
    stick_rad: f64,
) -> Option<Struck> {
    let body = BallBody::cue(gear);
    let start = stick.leaves(body.radius_m, cue, stick_rad);
    struck_from(gear, &body, start, object)
}

fn struck_from(gear: &Gear, body: &BallBody, start: BallState, object: Point) -> Option<Struck> {
    let ball = [Feature::ball(object, gear.contact_distance_m())];
    let (mut travel_m, mut time_s) = (0.0, 0.0);
    let (end, state) = trace(&ball, body, &gear.cloth, start, |step| {
        if let Step::Leg(leg) = step {
            travel_m += leg_length_m(&leg);
            time_s += leg.duration_s;
        }
    })
    .ok()?;
    if !matches!(end, End::Ball(_)) {
        return None;
    }
    let centres = (object - state.at).normalize();
    let Aftermath {
        first,
        second_velocity,
    } = aftermath(&gear.contact, &pair(gear), &state, centres);
    let way = state.v;
    Some(Struck {
        arrival: Arrival::of(&state, body.radius_m),
        cut_rad: way.cross(centres).atan2(way.dot(centres)),
        object_rad: second_velocity.atan2(),
        object_speed_m_s: second_velocity.hypot(),
        travel_m,
        time_s,
        after: first,
    })
}

/// A cue ball on open cloth, until it rests.
#[derive(Debug, Clone, PartialEq)]
pub struct Roam {
    /// Legs of its path in order.
    pub legs: Vec<Leg>,
    /// Where it rests.
    pub rest: Point,
    /// Where it begins to roll; `None` where it rolls from the tip on.
    pub rolls_from: Option<Point>,
}

/// Follows a cue ball over open cloth; `None` on a cloth where it never stops.
#[must_use]
pub fn roam(gear: &Gear, stick: &Stick, cue: Point, stick_rad: f64) -> Option<Roam> {
    let body = BallBody::cue(gear);
    let start = stick.leaves(body.radius_m, cue, stick_rad);
    let mut legs = Vec::with_capacity(2);
    let (_, last) = trace(&[], &body, &gear.cloth, start, |step| {
        if let Step::Leg(leg) = step {
            legs.push(leg);
        }
    })
    .ok()?;
    let rolls_from = (legs.len() > 1).then(|| legs[legs.len() - 1].start.at);
    Some(Roam {
        legs,
        rest: last.at,
        rolls_from,
    })
}

/// The ball after so much way along the stick's line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FootMark {
    /// Distance from the start along the stick's line, m.
    pub along_m: f64,
    /// How far left of that line the ball's middle is, m.
    pub left_m: f64,
    /// What it would bring to a contact there.
    pub arrival: Arrival,
}

/// The ball after each of some distances along the stick's line, as far as it gets.
#[must_use]
pub fn feet(
    gear: &Gear,
    stick: &Stick,
    cue: Point,
    stick_rad: f64,
    along_m: &[f64],
) -> Vec<FootMark> {
    let body = BallBody::cue(gear);
    let Some(run) = roam(gear, stick, cue, stick_rad) else {
        return Vec::new();
    };
    let forward = Vec2::from_angle(stick_rad);
    along_m
        .iter()
        .filter_map(|&along_m| {
            let (leg, t) = run.legs.iter().find_map(|leg| {
                let (s, v, a) = (
                    along_m - (leg.start.at - cue).dot(forward),
                    leg.start.v.dot(forward),
                    leg.acceleration.dot(forward),
                );
                let t = first_at(s, v, a)?;
                (t <= leg.duration_s).then_some((leg, t))
            })?;
            let state = on_leg(gear, leg, t);
            Some(FootMark {
                along_m,
                left_m: forward.cross(state.at - cue),
                arrival: Arrival::of(&state, body.radius_m),
            })
        })
        .collect()
}

/// The ball after so much way along the stick's line; `None` when it does not get there.
#[must_use]
pub fn arrives(gear: &Gear, stick: &Stick, travel_m: f64) -> Option<FootMark> {
    if stick.across_m != 0.0 {
        return feet(gear, stick, Point::ORIGIN, 0.0, &[travel_m]).pop();
    }
    // Nothing turns a ball struck on its upright line, at any elevation.
    let (speed_m_s, roll) = straight(gear, stick, travel_m)?;
    Some(FootMark {
        along_m: travel_m,
        left_m: 0.0,
        arrival: Arrival {
            direction_rad: 0.0,
            at: Point::new(travel_m, 0.0),
            speed_m_s,
            roll,
            side_right: 0.0,
        },
    })
}

/// Speed and roll of a ball struck without side after `travel_m`.
///
/// Off the tip `q = Rω = (5/2) v b_z/(R cos ε)`. With slip `s = v − q` it slows at `μ_s g` (or is
/// pushed on by its topspin) until it rolls, after `2|s|/(7 μ_s g)`; then it rolls on.
fn straight(gear: &Gear, stick: &Stick, travel_m: f64) -> Option<(f64, f64)> {
    let start = stick.speed_m_s;
    let spin = 2.5 * start * stick.height_m / (gear.cue_radius_m() * stick.elevation_rad.cos());
    let slip = start - spin;
    let slide = (gear.cloth.sliding_friction * GRAVITY_M_S2).copysign(slip);
    if slide == 0.0 {
        return (start > 0.0).then_some((start, spin / start));
    }
    let slide_s = if slip == 0.0 {
        0.0
    } else {
        2.0 * slip / (7.0 * slide)
    };
    let slides_m = start * slide_s - 0.5 * slide * slide_s * slide_s;
    let rolling = start - slide * slide_s;
    if rolling > 0.0 && travel_m >= slides_m {
        let brake = 2.0 * gear.cloth.rolling_friction * GRAVITY_M_S2;
        let squared = rolling * rolling - brake * (travel_m - slides_m);
        return (squared > 0.0).then(|| (squared.sqrt(), 1.0));
    }
    let squared = start * start - 2.0 * slide * travel_m;
    if squared <= 0.0 {
        return None;
    }
    let speed = squared.sqrt();
    Some((speed, (spin + 2.5 * (start - speed)) / speed))
}

/// Speed off the tip with which a ball struck on its upright line has a speed after `travel_m`; `None`
/// where the tip strikes beside that line.
///
/// With `σ = (5/2) b_z/(R cos ε)`, so that `q = σ u` off the tip, and `ρ = (5 + 2σ)/7`: it slides for
/// `L u²`, `L = (1 − ρ)(1 + ρ)/(2 a)` with `a = ±μ_s g`, and rolls on from `ρ u`:
/// `u² = (v² + 2 μ_r g t)/(ρ² + 2 μ_r g L)` where it rolls by then, else `u² = v² + 2 a t`.
#[must_use]
pub fn tip_speed_m_s(gear: &Gear, stick: &Stick, speed_m_s: f64, travel_m: f64) -> Option<f64> {
    if stick.across_m != 0.0 {
        return None;
    }
    let spin = 2.5 * stick.height_m / (gear.cue_radius_m() * stick.elevation_rad.cos());
    let slide = (gear.cloth.sliding_friction * GRAVITY_M_S2).copysign(1.0 - spin);
    if slide == 0.0 {
        return Some(speed_m_s);
    }
    let kept = (5.0 + 2.0 * spin) / 7.0;
    let slides = (1.0 - kept) * (1.0 + kept) / (2.0 * slide);
    let brake = 2.0 * gear.cloth.rolling_friction * GRAVITY_M_S2;
    let squared = speed_m_s * speed_m_s;
    if kept > 0.0 {
        let rolling = (squared + brake * travel_m) / (kept * kept + brake * slides);
        if travel_m >= slides * rolling {
            return Some(rolling.sqrt());
        }
    }
    Some((squared + 2.0 * slide * travel_m).max(0.0).sqrt())
}

/// First `t ≥ 0` with `v t + ½ a t² = s`, for `s ≥ 0`.
fn first_at(s: f64, v: f64, a: f64) -> Option<f64> {
    let disc = v * v + 2.0 * a * s;
    if s < 0.0 || disc < 0.0 || v <= 0.0 {
        return None;
    }
    Some(2.0 * s / (v + disc.sqrt()))
}

/// State on a leg of open cloth: a sliding ball gains the spin that its loss of speed makes, 5/2 of
/// it; a rolling one keeps rolling.
fn on_leg(gear: &Gear, leg: &Leg, t_s: f64) -> BallState {
    let start = &leg.start;
    let v = start.v + leg.acceleration * t_s;
    let rolling = (start.v - start.q).hypot() <= 1e-9 * start.v.hypot();
    let fade = gear.cloth.spin_decay_rad_s2 * t_s;
    BallState {
        at: leg.position(t_s),
        v,
        q: if rolling {
            v
        } else {
            start.q - leg.acceleration * (2.5 * t_s)
        },
        spin_z_rad_s: start.spin_z_rad_s.signum() * (start.spin_z_rad_s.abs() - fade).max(0.0),
    }
}
