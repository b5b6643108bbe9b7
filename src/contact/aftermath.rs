//! What both balls do after they meet.
//!
//! Restitution along the line of centres, and along the tangent plane the rubbing impulse of the
//! throw law, which also changes the first ball's spin. Limits: the vertical part of the rubbing
//! lifts neither ball off the slate, and the second ball's spin is left out (as everywhere).

use kurbo::Vec2;

use crate::gear::BallContact;
use crate::motion::BallState;

/// Both balls just after contact.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Aftermath {
    /// The ball that came.
    pub first: BallState,
    /// Velocity of the ball that lay still, m/s: along the line of centres and, by the rubbing, along
    /// the tangent.
    pub second_velocity: Vec2,
}

impl Aftermath {
    /// Velocity of the ball that was met if it leaves at another speed, m/s; at rest where it does not
    /// move, as after a graze that only rounding made a contact.
    #[must_use]
    pub fn second_at(&self, speed_m_s: f64) -> Vec2 {
        let own_m_s = self.second_velocity.hypot();
        if own_m_s > 0.0 {
            self.second_velocity * (speed_m_s / own_m_s)
        } else {
            Vec2::ZERO
        }
    }
}

/// Masses and radius of the coming ball.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pair {
    /// Mass of the ball that comes, kg.
    pub first_mass_kg: f64,
    /// Mass of the ball that lies still, kg.
    pub second_mass_kg: f64,
    /// Radius of the ball that comes, m.
    pub first_radius_m: f64,
}

/// Meets a ball at rest whose centre lies along the unit vector `centres` from the coming ball.
///
/// With `n̂ = centres`, `t̂` left of it: `v_n = v·n̂`, slip of the surfaces
/// `v_t = −(v·t̂ + R ω_z)` and `v_k = q·n̂`, `v_r = √(v_t² + v_k²)`;
/// `J_n = m₁m₂(1+e)v_n/(m₁+m₂)`, rubbing `J = min(μ(v_r), (2/7)v_r/((1+e)v_n))·J_n` against the slip:
/// `v₁ += (−J_n n̂ + J_t t̂)/m₁`, `ω_z += 5 J_t/(2 m₁ R)`, `q −= 5 J_k/(2 m₁) n̂`.
/// A ball that is not approaching (`v·n̂ ≤ 0`) is returned unchanged with a second ball at rest.
#[must_use]
pub fn aftermath(
    contact: &BallContact,
    pair: &Pair,
    first: &BallState,
    centres: Vec2,
) -> Aftermath {
    let tangent = Vec2::new(-centres.y, centres.x);
    let v_n = first.v.dot(centres);
    if v_n <= 0.0 {
        return Aftermath {
            first: *first,
            second_velocity: Vec2::ZERO,
        };
    }
    let v_t = -(first.v.dot(tangent) + pair.first_radius_m * first.spin_z_rad_s);
    let v_k = first.q.dot(centres);
    let v_r = v_t.hypot(v_k);
    let restitution = 1.0 + contact.restitution;
    let mu = contact.friction(v_r);
    let rub = if v_r > 0.0 {
        mu.min(2.0 * v_r / (7.0 * restitution * v_n)) / v_r
    } else {
        0.0
    };
    let (tan_t, tan_k) = (rub * v_t, rub * v_k);
    let (m1, m2) = (pair.first_mass_kg, pair.second_mass_kg);
    // J_n per first mass, and per second mass
    let (j1, j2) = (
        m2 * restitution * v_n / (m1 + m2),
        m1 * restitution * v_n / (m1 + m2),
    );
    let second = centres - tangent * tan_t;
    Aftermath {
        first: BallState {
            at: first.at,
            v: first.v - centres * j1 + tangent * (j1 * tan_t),
            q: first.q - centres * (2.5 * j1 * tan_k),
            spin_z_rad_s: first.spin_z_rad_s + 2.5 * j1 * tan_t / pair.first_radius_m,
        },
        second_velocity: second * j2,
    }
}
