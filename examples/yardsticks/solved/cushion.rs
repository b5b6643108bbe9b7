//! A ball at a cushion: our law, and beside it the equations of Mathavan, Jackson & Parkin, "A theoretical
//! analysis of billiard ball dynamics under cushion impacts", Proc. IMechE C 224 (2010), 1863.
//!
//! Theirs follows the impulse through the impact: Coulomb friction at the nose (0.14) and at the cloth
//! (0.212, the value of their earlier paper), the slate holding the ball down, and Stronge's restitution
//! (0.98): what expands gives back e² of the work that compressed. Ours takes Newton's restitution in plan
//! and one friction impulse. Their 0.14 and 0.98 were fitted together, so our 0.14 beside 0.85 mixes two
//! laws; the preset keeps both, and this says what difference that makes.

use thincut::motion::{BallBody, BallState, rebound};
use thincut::{Point, Vec2};

use super::{Solver, pool, runs};

pub(crate) const ALL: &[Solver] = &[
    ("restitution", || leaves(1.0, 0.0, &ours).v.hypot()),
    ("straight-just-after", || {
        leaves(1.0, 0.0, &ours).v.hypot() / leaves(1.0, 0.0, &theirs).v.hypot()
    }),
    ("straight-rolling-again", || {
        rolling_again(1.0, 0.0, &ours).hypot() / rolling_again(1.0, 0.0, &theirs).hypot()
    }),
    ("at-45-rolling-again", || {
        rolling_again(1.0, 45.0, &ours).hypot() / rolling_again(1.0, 45.0, &theirs).hypot()
    }),
    ("at-45-angle", || {
        off_normal_deg(rolling_again(1.0, 45.0, &ours))
            - off_normal_deg(rolling_again(1.0, 45.0, &theirs))
    }),
    ("at-20-angle", || {
        off_normal_deg(rolling_again(1.0, 20.0, &ours))
            - off_normal_deg(rolling_again(1.0, 20.0, &theirs))
    }),
];

/// Their constants.
const E: f64 = 0.98;
const MU_NOSE: f64 = 0.14;
const MU_CLOTH: f64 = 0.212;

/// A law of impact: from the state before to the state after; the normal points along −y.
type Law = dyn Fn(&BallBody, &BallState) -> BallState;

fn ours(body: &BallBody, state: &BallState) -> BallState {
    let cushion = pool().cushion;
    rebound(
        body,
        state,
        Vec2::new(0.0, -1.0),
        cushion.restitution,
        cushion.friction,
    )
}

/// The equations of the paper in steps of the normal impulse: x along the cushion, y into it, z up.
fn theirs(body: &BallBody, state: &BallState) -> BallState {
    let r = body.radius_m;
    let (sin, cos) = (body.nose_above_centre_m / r, body.plan_radius_m / r);
    let (mut vx, mut vy) = (state.v.x, state.v.y);
    // q = R(ω_y, −ω_x)
    let (mut wx, mut wy, mut wz) = (-state.q.y / r, state.q.x / r, state.spin_z_rad_s);
    // per mass; fine enough that halving changes the sixth digit
    let step = 1e-5 * vy;
    let (mut work, mut compressed) = (0.0, None);
    loop {
        // slip at the nose and at the cloth
        let nose = (vx + r * (wy * sin - wz * cos), -vy * sin + r * wx);
        let cloth = (vx - r * wy, vy + r * wx);
        let unit = |(a, b): (f64, f64)| {
            let n = f64::hypot(a, b).max(1e-12);
            (a / n, b / n)
        };
        let ((nc, ns), (cc, cs)) = (unit(nose), unit(cloth));
        // the slate answers what presses down: normal and friction of the nose
        let down = sin + MU_NOSE * ns * cos;
        let down = down.max(0.0);
        vx -= (MU_NOSE * nc + MU_CLOTH * cc * down) * step;
        let before = vy;
        vy -= (cos - MU_NOSE * sin * ns + MU_CLOTH * cs * down) * step;
        let turn = 2.5 / r * step;
        wx -= turn * (MU_NOSE * ns + MU_CLOTH * cs * down);
        wy -= turn * (MU_NOSE * nc * sin - MU_CLOTH * cc * down);
        wz += turn * MU_NOSE * nc * cos;
        work += 0.5 * (before + vy).abs() * cos * step;
        match compressed {
            None if vy <= 0.0 => compressed = Some(work),
            Some(in_m2_s2) if work >= in_m2_s2 * (1.0 + E * E) => break,
            _ => {}
        }
    }
    BallState {
        at: state.at,
        v: Vec2::new(vx, vy),
        q: Vec2::new(r * wy, -r * wx),
        spin_z_rad_s: wz,
    }
}

/// A ball that rolls at this speed, so far off the normal, just after the cushion.
fn leaves(speed_m_s: f64, off_normal_deg: f64, law: &Law) -> BallState {
    law(
        &BallBody::cue(&pool()),
        &coming_at(speed_m_s, off_normal_deg),
    )
}

fn coming_at(speed_m_s: f64, off_normal_deg: f64) -> BallState {
    let (sin, cos) = off_normal_deg.to_radians().sin_cos();
    let v = Vec2::new(sin, cos) * speed_m_s;
    BallState {
        q: v,
        ..BallState::sliding(Point::ORIGIN, v)
    }
}

/// The same once it rolls again.
fn rolling_again(speed_m_s: f64, off_normal_deg: f64, law: &Law) -> Vec2 {
    let gear = pool();
    let after = leaves(speed_m_s, off_normal_deg, law);
    runs(&gear, &BallBody::cue(&gear), after).0
}

fn off_normal_deg(v: Vec2) -> f64 {
    v.x.atan2(-v.y).to_degrees()
}

/// Share of its speed that a ball rolling straight at our cushion has once it rolls again.
pub(crate) fn rolls_on(speed_m_s: f64) -> f64 {
    rolling_again(speed_m_s, 0.0, &ours).hypot() / speed_m_s
}

/// Both laws side by side, as lines of a table. Neither knows a speed: at another all speeds scale.
pub(crate) fn beside() -> String {
    use std::fmt::Write as _;
    let mut text = String::from(
        "| a rolling ball comes | leaves with, ours · theirs | rolls again with | off the normal, just after | once it rolls again |\n|---|---|---|---|---|\n",
    );
    for off_deg in [0.0, 20.0, 45.0, 70.0] {
        let just = [
            leaves(1.0, off_deg, &ours).v,
            leaves(1.0, off_deg, &theirs).v,
        ];
        let again = [
            rolling_again(1.0, off_deg, &ours),
            rolling_again(1.0, off_deg, &theirs),
        ];
        let share = |[a, b]: [Vec2; 2]| format!("{:.2} · {:.2}", a.hypot(), b.hypot());
        let angle =
            |[a, b]: [Vec2; 2]| format!("{:.0}° · {:.0}°", off_normal_deg(a), off_normal_deg(b));
        let _ = writeln!(
            text,
            "| {off_deg}° off the normal | {} of its speed | {} | {} | {} |",
            share(just),
            share(again),
            angle(just),
            angle(again),
        );
    }
    text
}

/// What must be true of the integrated law: no energy is gained, the ball leaves, mirrored and faster
/// balls do the same.
#[cfg(test)]
pub(crate) fn sound() {
    for off_deg in [0.0, 20.0, 45.0, 70.0] {
        let before = coming_at(1.0, off_deg);
        let body = BallBody::cue(&pool());
        let after = theirs(&body, &before);
        assert!(after.energy_j_kg(body.radius_m) < before.energy_j_kg(body.radius_m));
        assert!(after.v.y < 0.0, "it leaves the cushion");
        // straight stays straight, and mirrored comes out mirrored
        let mirrored = theirs(&body, &coming_at(1.0, -off_deg));
        assert!((mirrored.v.x + after.v.x).abs() < 1e-9);
        // the law knows no speed: all impulses scale with it
        let faster = theirs(&body, &coming_at(2.0, off_deg));
        assert!((faster.v - 2.0 * after.v).hypot() < 1e-9);
    }
}
