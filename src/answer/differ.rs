//! Which of the six pockets takes less or more than its kind.

use kurbo::Point;
use serde::Serialize;

use crate::gear::Gear;
use crate::motion::BallBody;
use crate::pocket::{PocketName, PocketShape, accept};

/// A pocket that differs from its kind.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct PocketDifference {
    /// Which.
    pub pocket: PocketName,
    /// What it takes straight in, against its kind: 0.88 is 12 % less.
    pub share: f64,
}

/// Where the balls are sent from, straight in, m (assumption: a usual distance).
const FROM_M: f64 = 0.6;
/// Pace at the pocket, m/s.
const PACE_M_S: f64 = 1.0;
/// Less than this is not worth a word (assumption: one in a hundred).
const WORTH_SAYING: f64 = 0.01;

/// The pockets that take less or more than their kind, the tightest first; empty where all are alike.
#[must_use]
pub fn pocket_differences(gear: &Gear) -> Vec<PocketDifference> {
    if !gear.pockets_differ() {
        return Vec::new();
    }
    let body = BallBody::object(gear);
    let takes = |shape: &PocketShape| {
        let found = accept(
            shape,
            &gear.cloth,
            &body,
            Point::new(-FROM_M, 0.0),
            PACE_M_S,
        );
        found
            .ok()
            .and_then(Result::ok)
            .map_or(0.0, |a| a.pieces.measure_rad())
    };
    let mut out: Vec<PocketDifference> = PocketName::ALL
        .into_iter()
        .filter_map(|pocket| {
            let kind = takes(&PocketShape::new(gear, pocket.kind(), &body));
            let own = takes(&PocketShape::named(gear, pocket, &body));
            let share = if kind > 0.0 { own / kind } else { 1.0 };
            ((share - 1.0).abs() > WORTH_SAYING).then_some(PocketDifference { pocket, share })
        })
        .collect();
    out.sort_by(|a, b| a.share.total_cmp(&b.share));
    out
}
