//! What kind of shot an attempt was at. The bounds are assumptions, near what coaches call so.

use std::sync::Arc;

use serde::Serialize;

use crate::player::Observation;
use crate::pocket::{PocketKind, PocketName};
use crate::units::Side;

/// Cuts from here on are thin, rad: a little thinner than half ball.
const THIN_RAD: f64 = 40.0 * std::f64::consts::PI / 180.0;
/// Way of both balls from here on is long, diamonds: over half the table and a little more.
const LONG_DIAMONDS: f64 = 5.0;
/// Way of the cue ball up to here is close, m: a foot.
const CLOSE_M: f64 = 0.305;
/// Way into a corner farther off straight in than this runs along a rail, rad.
const RAIL_RAD: f64 = 33.0 * std::f64::consts::PI / 180.0;
/// Cuts below this go to neither side, rad.
const CUT_RAD: f64 = 5.0 * std::f64::consts::PI / 180.0;

/// What a shot is like.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShotFacts {
    /// Cut without its sign, rad.
    pub cut_rad: f64,
    /// Which way it cuts, where that was said.
    pub cut: Option<Side>,
    /// The cue ball's way to the ghost ball, m.
    pub cue_travel_m: f64,
    /// The object ball's way to the pocket, m.
    pub object_travel_m: f64,
    /// Length of the bed, m.
    pub bed_length_m: f64,
    /// Corner or side.
    pub pocket_kind: PocketKind,
    /// Which pocket, where the balls have places.
    pub pocket: Option<PocketName>,
    /// The object ball's way off straight into the pocket, rad.
    pub off_straight_rad: f64,
}

/// Attempts at one shot on one day.
#[derive(Debug, Clone, PartialEq)]
pub struct Try {
    /// What was made of it.
    pub observation: Observation,
    /// What the shot is like; `None` where its table is no more.
    pub facts: Option<ShotFacts>,
    /// The day, `2025-11-04`.
    pub day: Arc<str>,
}

/// A kind of shot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// Cuts of 40° and more.
    ThinCuts,
    /// Five diamonds of way and more, both balls together.
    Long,
    /// At most a foot between the balls.
    Close,
    /// The object ball runs along a rail into the corner.
    AlongTheRail,
    /// Into a side pocket.
    SidePocket,
    /// To the left.
    LeftCuts,
    /// To the right.
    RightCuts,
    /// Into one pocket.
    Pocket(PocketName),
}

impl Kind {
    /// All of them; of two that were always played together the first is named.
    pub const ALL: [Self; 13] = [
        Self::ThinCuts,
        Self::Long,
        Self::Close,
        Self::AlongTheRail,
        Self::SidePocket,
        Self::LeftCuts,
        Self::RightCuts,
        Self::Pocket(PocketName::HeadLeft),
        Self::Pocket(PocketName::HeadRight),
        Self::Pocket(PocketName::SideLeft),
        Self::Pocket(PocketName::SideRight),
        Self::Pocket(PocketName::FootLeft),
        Self::Pocket(PocketName::FootRight),
    ];

    /// Whether a shot is of this kind.
    #[must_use]
    pub fn covers(self, shot: &ShotFacts) -> bool {
        let to_side = |side| shot.cut_rad >= CUT_RAD && shot.cut == Some(side);
        match self {
            Self::ThinCuts => shot.cut_rad >= THIN_RAD,
            Self::Long => {
                let way_m = shot.cue_travel_m + shot.object_travel_m;
                8.0 * way_m >= LONG_DIAMONDS * shot.bed_length_m
            }
            Self::Close => shot.cue_travel_m <= CLOSE_M,
            Self::AlongTheRail => {
                shot.pocket_kind == PocketKind::Corner && shot.off_straight_rad.abs() > RAIL_RAD
            }
            Self::SidePocket => shot.pocket_kind == PocketKind::Side,
            Self::LeftCuts => to_side(Side::Left),
            Self::RightCuts => to_side(Side::Right),
            Self::Pocket(pocket) => shot.pocket == Some(pocket),
        }
    }
}
