//! What the parts of a lesson are for.

use serde::{Deserialize, Serialize};

use crate::diagnosis::{Drill, Kind};
use crate::ladder::Topic;

/// What a part is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PartKind {
    /// Easy shots to start with.
    WarmUp,
    /// Shots whose makes are counted before the work.
    Test,
    /// What the lesson is about.
    Topic,
    /// Rungs to climb.
    Drill,
    /// One shot, each student of a group from a mark of their own.
    Marks,
    /// For the days after.
    Homework,
}

/// What a lesson is about that is drawn up round a drill.
#[must_use]
pub fn topic_of(drill: Drill) -> Topic {
    match drill {
        // Too full and too thin show most where little may be off.
        Drill::AimThinner
        | Drill::AimFuller
        | Drill::FindGhostBall
        | Drill::Of(Kind::ThinCuts | Kind::Close) => Topic::ThinCuts,
        Drill::CueStraight
        | Drill::StraightStroke
        | Drill::LookAtStance
        | Drill::Of(Kind::Long) => Topic::LongStraight,
        Drill::Of(Kind::SidePocket) => Topic::SidePocket,
        Drill::Of(Kind::AlongTheRail) => Topic::AlongTheRail,
        Drill::Of(Kind::LeftCuts | Kind::RightCuts | Kind::Pocket(_))
        | Drill::Harder
        | Drill::Easier
        | Drill::NoteSides
        | Drill::EvenShots => Topic::Mixed,
    }
}

/// Students whom no string is fair to that is fair to the others.
#[derive(Debug, Default)]
pub(crate) struct LeftOut {
    pub(crate) better: Vec<String>,
    pub(crate) weaker: Vec<String>,
}
