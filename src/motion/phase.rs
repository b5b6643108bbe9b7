//! State of a ball and the two phases between impacts.

use kurbo::{Point, Vec2};

use crate::gear::{Cloth, GRAVITY_M_S2, Gear};

/// What the motion needs to know of a ball.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BallBody {
    /// Radius `R`.
    pub radius_m: f64,
    /// Contact radius in plan at the nose, `ρ = √(R² − (h_n − R)²)`.
    pub plan_radius_m: f64,
    /// Nose height over the ball's centre, `h_n − R`.
    pub nose_above_centre_m: f64,
}

impl BallBody {
    /// A ball of radius `radius_m` against this gear's cushions.
    #[must_use]
    pub fn new(gear: &Gear, radius_m: f64) -> Self {
        let nose = gear.nose_height_m() - radius_m;
        Self {
            radius_m,
            plan_radius_m: (radius_m * radius_m - nose * nose).sqrt(),
            nose_above_centre_m: nose,
        }
    }

    /// The gear's object ball.
    #[must_use]
    pub fn object(gear: &Gear) -> Self {
        Self::new(gear, gear.object_radius_m())
    }

    /// The gear's cue ball.
    #[must_use]
    pub fn cue(gear: &Gear) -> Self {
        Self::new(gear, gear.cue_radius_m())
    }
}

/// A ball and the cloth it moves on.
#[derive(Debug, Clone, Copy)]
pub struct Moving<'a> {
    /// The ball.
    pub body: &'a BallBody,
    /// What it runs on.
    pub cloth: &'a Cloth,
}

/// Position, velocity and spin of a ball.
///
/// The horizontal spin is kept as `q = R·(ω_y, −ω_x)`, the velocity at which the ball would roll
/// with that spin: slip at the cloth is `u = v − q`, and rolling is `q = v`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BallState {
    /// Centre in plan, m.
    pub at: Point,
    /// Velocity, m/s.
    pub v: Vec2,
    /// Horizontal spin as the velocity of rolling, m/s.
    pub q: Vec2,
    /// Spin about the vertical, rad/s, counter-clockwise seen from above positive.
    pub spin_z_rad_s: f64,
}

impl BallState {
    /// A ball sent off sliding, without spin.
    #[must_use]
    pub fn sliding(at: Point, v: Vec2) -> Self {
        Self {
            at,
            v,
            q: Vec2::ZERO,
            spin_z_rad_s: 0.0,
        }
    }

    /// Kinetic energy per mass, J/kg: `½v² + ½·(2/5)·(|q|² + (R·ω_z)²)`.
    #[must_use]
    pub fn energy_j_kg(&self, radius_m: f64) -> f64 {
        let rz = radius_m * self.spin_z_rad_s;
        0.5 * self.v.hypot2() + 0.2 * (self.q.hypot2() + rz * rz)
    }
}

/// Speed a ball must start with, sliding and without spin, to pass at `pace_m_s` after `distance_m`.
///
/// `v_o² = 49(pace² + 2μ_r g ℓ)/(25 + 24 μ_r/μ_s)`; if its slide `12 v_o²/(49 μ_s g)` is longer
/// than ℓ, the ball still slides there and `v_o² = pace² + 2 μ_s g ℓ`.
#[must_use]
pub fn start_speed_for_pace_m_s(cloth: &Cloth, pace_m_s: f64, distance_m: f64) -> f64 {
    let (slide, roll) = (cloth.sliding_friction, cloth.rolling_friction);
    let still_sliding = pace_m_s * pace_m_s + 2.0 * slide * GRAVITY_M_S2 * distance_m;
    if slide <= 0.0 {
        return still_sliding.sqrt();
    }
    let rolled = 49.0 * (pace_m_s * pace_m_s + 2.0 * roll * GRAVITY_M_S2 * distance_m)
        / (25.0 + 24.0 * roll / slide);
    if 12.0 * rolled / (49.0 * slide * GRAVITY_M_S2) > distance_m {
        still_sliding.sqrt()
    } else {
        rolled.sqrt()
    }
}

/// The other way round: speed after `distance_m` of a ball that starts sliding, without spin; 0 when
/// it stops before.
#[must_use]
pub fn pace_for_start_speed_m_s(cloth: &Cloth, speed_m_s: f64, distance_m: f64) -> f64 {
    let (slide, roll) = (cloth.sliding_friction, cloth.rolling_friction);
    let v2 = speed_m_s * speed_m_s;
    let slid_m = if slide > 0.0 {
        12.0 * v2 / (49.0 * slide * GRAVITY_M_S2)
    } else {
        f64::INFINITY
    };
    let squared = if slid_m > distance_m {
        v2 - 2.0 * slide * GRAVITY_M_S2 * distance_m
    } else {
        25.0 / 49.0 * v2 - 2.0 * roll * GRAVITY_M_S2 * (distance_m - slid_m)
    };
    squared.max(0.0).sqrt()
}

/// How far a ball started sliding, without spin, at `speed_m_s` goes on a free cloth until rest.
/// Infinite when the cloth does not brake.
#[must_use]
pub fn stopping_distance_m(cloth: &Cloth, speed_m_s: f64) -> f64 {
    let (slide, roll) = (cloth.sliding_friction, cloth.rolling_friction);
    let v2 = speed_m_s * speed_m_s;
    if slide <= 0.0 {
        return f64::INFINITY;
    }
    // slide 12v²/(49 μ_s g), then roll from 5v/7
    let sliding = 12.0 * v2 / (49.0 * slide * GRAVITY_M_S2);
    if roll <= 0.0 {
        return f64::INFINITY;
    }
    sliding + (25.0 / 49.0) * v2 / (2.0 * roll * GRAVITY_M_S2)
}
