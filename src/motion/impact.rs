//! A ball against a cushion, facing or jaw.

use kurbo::Vec2;

use super::phase::{BallBody, BallState};

/// State after an instantaneous impact with a feature of unit normal `normal` (towards the ball).
///
/// The slate holds the ball down, so restitution is Newton's, in plan: `v_n' = −e·v_n`.
/// Contact arm `r = −ρ n̂ + h ẑ` with `h = h_n − R`, `N = −r/R`; the tangent plane at the contact is
/// spanned by `t̂` and `b̂ = (h n̂ + ρ ẑ)/R`. Mid-impact slip
/// `s = v_t t̂ + ½(1−e) v_n n̂ + ω × r`, less its part along N:
/// `s_t = v_t − ρ ω_z − h ω_n`, `s_b = (h·(½(1−e) v_n + h ω_t) + ρ² ω_t)/R`.
/// `J_N/m = (1+e)|v_n| R/ρ`, `J_T/m = −min(2|s|/7, μ J_N/m) ŝ`;
/// `v_t += J_t`, `ω += r × J/(2R²/5)`.
///
/// Taking the slip in the middle of the impact keeps the energy from growing for every e ≤ 1.
/// A ball that is not approaching (`v·n̂ ≥ 0`) is returned unchanged.
#[must_use]
#[inline(always)]
pub fn rebound(
    body: &BallBody,
    state: &BallState,
    normal: Vec2,
    restitution: f64,
    friction: f64,
) -> BallState {
    let tangent = Vec2::new(-normal.y, normal.x);
    let v_n = state.v.dot(normal);
    if v_n >= 0.0 {
        return *state;
    }
    let (radius, rho, h) = (body.radius_m, body.plan_radius_m, body.nose_above_centre_m);
    let v_t = state.v.dot(tangent);
    // q = R(ω_y, −ω_x), hence ω_t = q_n/R and ω_n = −q_t/R
    let mut w_t = state.q.dot(normal) / radius;
    let mut w_n = -state.q.dot(tangent) / radius;
    let mut w_z = state.spin_z_rad_s;

    let s_t = v_t - rho * w_z - h * w_n;
    let s_b = (h * (0.5 * (1.0 - restitution) * v_n + h * w_t) + rho * rho * w_t) / radius;
    let slip = (s_t * s_t + s_b * s_b).sqrt();
    let j_n = (1.0 + restitution) * -v_n * radius / rho;
    let (j_t, j_b) = if slip > 0.0 {
        let j = -(2.0 * slip / 7.0).min(friction * j_n) / slip;
        (j * s_t, j * s_b)
    } else {
        (0.0, 0.0)
    };
    let per_inertia = 2.5 / (radius * radius);
    w_n -= h * j_t * per_inertia;
    w_t += radius * j_b * per_inertia;
    w_z -= rho * j_t * per_inertia;
    BallState {
        at: state.at,
        v: normal * (-restitution * v_n) + tangent * (v_t + j_t),
        q: normal * (radius * w_t) - tangent * (radius * w_n),
        spin_z_rad_s: w_z,
    }
}
