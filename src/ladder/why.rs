//! Why one rung is harder than the one before.
//!
//! To first order a chance hangs on the window over the spread, which factors as
//! `opening/ℓ · D/t_c · cos φ · throw / σ`; what shrank most is what is named.

use super::lie::Scored;
use crate::pocket::PocketKind;

/// A change counts when it shrinks the window by this share of all that shrank (assumption).
const WORTH_NAMING: f64 = 0.3;
/// Most reasons named.
const MOST_NAMED: usize = 2;
/// Within this of the rail's own direction the way is along the rail, rad: 45° less 33°, as the topic.
const ALONG_THE_RAIL_RAD: f64 = 33.0 * std::f64::consts::PI / 180.0;

/// One reason.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Harder {
    /// The cue ball runs farther: from, to, m.
    CueFarther(f64, f64),
    /// The object ball runs farther: from, to, m.
    ObjectFarther(f64, f64),
    /// The cut is thinner: from, to, rad.
    Thinner(f64, f64),
    /// The pocket is less square, or otherwise takes less: off square from, to, rad.
    LessSquare(f64, f64),
    /// The object ball runs along the rail.
    AlongTheRail,
    /// The pocket is a side pocket, which takes less from there.
    SidePocket,
    /// Throw takes more of the window.
    Throw,
    /// The cue is raised, over the rail or over a ball.
    Awkward {
        /// Over a ball rather than the rail.
        over_ball: bool,
    },
    /// A ball in the way takes more: share of the room from, to.
    InTheWay(f64, f64),
    /// Nothing shrank: the chances are as good as equal.
    HardlyAny,
}

/// What makes `now` harder than `before`, the largest reason first.
#[must_use]
pub fn harder(before: &Scored, now: &Scored) -> Vec<Harder> {
    let ln = |a: f64, b: f64| (a / b).ln();
    // Travel acts twice: through D/t_c and through the picture's part of σ.
    let travel = ln(
        now.travel_m * now.sigma_rad / now.stance_factor,
        before.travel_m * before.sigma_rad / before.stance_factor,
    );
    let pocket = ln(before.opening_m, now.opening_m);
    let mut reasons = [
        (travel, Harder::CueFarther(before.travel_m, now.travel_m)),
        (
            ln(now.to_pocket_m, before.to_pocket_m),
            Harder::ObjectFarther(before.to_pocket_m, now.to_pocket_m),
        ),
        (
            ln(before.cut_rad.cos(), now.cut_rad.cos()),
            Harder::Thinner(before.cut_rad.abs(), now.cut_rad.abs()),
        ),
        (pocket, pocket_reason(before, now)),
        (ln(before.throw_factor, now.throw_factor), Harder::Throw),
        (
            ln(now.stance_factor, before.stance_factor),
            Harder::Awkward {
                over_ball: now.over_ball,
            },
        ),
        (
            ln(1.0 - before.blocked_share, 1.0 - now.blocked_share),
            Harder::InTheWay(before.blocked_share, now.blocked_share),
        ),
    ];
    reasons.sort_by(|a, b| b.0.total_cmp(&a.0));
    let shrank: f64 = reasons.iter().map(|r| r.0.max(0.0)).sum();
    if shrank <= 0.0 {
        return vec![Harder::HardlyAny];
    }
    reasons
        .into_iter()
        .take_while(|r| r.0 >= WORTH_NAMING * shrank)
        .take(MOST_NAMED)
        .map(|r| r.1)
        .collect()
}

fn pocket_reason(before: &Scored, now: &Scored) -> Harder {
    let side = |shot: &Scored| shot.pocket.kind() == PocketKind::Side;
    if side(now) && !side(before) {
        Harder::SidePocket
    } else if !side(now) && now.off_square_rad > ALONG_THE_RAIL_RAD {
        Harder::AlongTheRail
    } else {
        Harder::LessSquare(before.off_square_rad, now.off_square_rad)
    }
}
