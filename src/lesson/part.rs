//! What the parts of a lesson are for.

use serde::{Deserialize, Serialize};

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
