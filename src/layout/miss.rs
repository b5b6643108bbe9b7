//! What a miss leaves, on either side.

use kurbo::Point;

use super::candidate::Candidate;
use super::cueball::{CueEnd, Forward, Outcome};
use super::table::ends;
use crate::forwards::Miss;
use crate::player::normal;
use crate::pocket::PocketName;

/// What a miss on one side leaves.
#[derive(Debug, Clone, PartialEq)]
pub struct MissLeave {
    /// Too full, too thin, or past the ball.
    pub side: Miss,
    /// How often.
    pub chance: f64,
    /// Where the object ball stops after the middle of such misses, m.
    pub object_at: Point,
    /// The pocket it drops into by luck.
    pub dropped: Option<PocketName>,
    /// How the cue ball ends.
    pub cue_end: CueEnd,
    /// Where the cue ball ends, m.
    pub cue_at: Point,
}

/// The middle of the misses on each side, followed.
pub(crate) fn misses(
    forward: &Forward<'_>,
    shot: &Candidate,
    sigma_rad: f64,
    bias_rad: f64,
) -> Vec<MissLeave> {
    let (low, high) = ends(&shot.directions);
    let aimed = forward.outcome(0.0, false).cut_rad;
    let left_cut = shot.cut_side().is_left();
    [(low, -1.0), (high, 1.0)]
        .into_iter()
        .map(|(edge, side)| {
            // tail beyond the edge, and the place that halves it
            let tail = normal::upper_tail(side * (edge - bias_rad) / sigma_rad);
            let delta = bias_rad + side * sigma_rad * normal::upper_quantile(0.5 * tail.max(1e-12));
            let outcome = forward.outcome(delta, false);
            MissLeave {
                side: side_of(aimed, &outcome, shot, (side > 0.0) == left_cut),
                chance: tail,
                object_at: outcome.object_at,
                dropped: outcome.dropped.map(|(_, p)| p),
                cue_end: outcome.cue.end,
                cue_at: outcome.cue.at,
            }
        })
        .collect()
}

/// Which side a miss lies on, by the cut at the contact against that of the aim: a cushion on the way
/// turns the sides round. `fuller` is what a straight way would say where the aim itself is not known
/// to meet the ball.
fn side_of(aimed: Option<f64>, outcome: &Outcome, shot: &Candidate, fuller: bool) -> Miss {
    if outcome.met != Some(shot.first) {
        return Miss::NoBall;
    }
    match (aimed, outcome.cut_rad) {
        (Some(aimed), Some(cut)) => Miss::of_cut(aimed, cut),
        _ if fuller => Miss::TooFull,
        _ => Miss::TooThin,
    }
}
