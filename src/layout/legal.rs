//! The ball that is easiest to hit, where no shot is worth trying.

use kurbo::Vec2;

use super::obstruct::{EDGE_RAD, circle, spans_of};
use super::table::Table;
use crate::motion::straight_hit;
use crate::player::{AimError, chance};

/// Directions looked at round the circle for a legal hit: every half degree.
const CIRCLE: u32 = 720;

/// A legal hit when there is no shot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeastBad {
    /// The ball that is easiest to hit.
    pub ball: usize,
    /// Direction for the middle of what can be seen of it, rad on the plan.
    pub aim_rad: f64,
    /// Chance to hit it first.
    pub chance: f64,
}

/// The ball with the widest free view from the cue ball.
pub(crate) fn least_bad(
    table: &Table<'_>,
    targets: &[usize],
    player: &AimError,
) -> Option<LeastBad> {
    let features = table.cue_features(None);
    let cue = table.layout.cue;
    let look = |a: f64| {
        let (s, i) = straight_hit(&features, cue, Vec2::from_angle(a))?;
        let ball = Table::ball_of(&table.cue_bed, i, None)?;
        (targets.contains(&ball) && s >= 0.0).then_some(ball)
    };
    spans_of(&circle(CIRCLE, &look), EDGE_RAD, &look)
        .into_iter()
        .map(|span| {
            let aim_rad = 0.5 * (span.from_rad + span.to_rad);
            let half = 0.5 * span.width_rad();
            let far_m = ((table.at(span.tag) - cue).hypot() - table.cue_object_m).max(1e-3);
            // at a gentle stroke: 1 m/s
            let sigma = player.sigma_rad(far_m, 1.0);
            LeastBad {
                ball: span.tag,
                aim_rad,
                chance: chance(&[(-half, half)], sigma, player.bias_rad),
            }
        })
        .max_by(|a, b| a.chance.total_cmp(&b.chance))
}
