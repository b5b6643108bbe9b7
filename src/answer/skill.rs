//! What practice says of a student.

use serde::Serialize;

use crate::diagnosis::Diagnosis;
use crate::player::aim_fit::Estimate;
use crate::player::skill::SkillReport;
use crate::player::split::Split;
use crate::player::stroke_test::StrokeReport;

/// A shot worth trying, as it can be recorded afterwards.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct ProbeAnswer {
    /// Cue ball, diamonds.
    pub cue: String,
    /// Object ball, diamonds.
    pub object: String,
    /// Pocket.
    pub pocket: String,
    /// Cut, degrees.
    pub cut_deg: f64,
    /// Which way it cuts.
    pub cut_side: String,
    /// Expected makes in ten.
    pub chance: f64,
}

/// One day of practice.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct DayAnswer {
    /// The day.
    pub day: String,
    /// Tries.
    pub tries: u64,
    /// Makes.
    pub made: u64,
    /// Spread of that day over the spread of all; `None` where the day cannot tell.
    pub spread: Option<Estimate>,
}

/// Everything `skill` answers.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct SkillAnswer {
    /// The student's label.
    pub student: String,
    /// Tries used.
    pub tries: u64,
    /// Makes among them.
    pub made: u64,
    /// Tries at shots without a window, which say nothing.
    pub left_out: u64,
    /// First and last day used, where there are any.
    pub days: Option<(String, String)>,
    /// First day of the later period.
    pub since: Option<String>,
    /// Level whose arm : picture ratio is the reference (assumed).
    pub level: String,
    /// The fit, its predictions against what was seen, and the comparisons.
    pub report: SkillReport,
    /// The stroke test.
    pub stroke: Option<StrokeReport>,
    /// What the misses come from.
    pub split: Option<Split>,
    /// Day by day.
    pub by_day: Vec<DayAnswer>,
    /// Shots that would tell most.
    pub tell_me_more: Vec<ProbeAnswer>,
    /// What costs most: the one verdict.
    pub diagnosis: Diagnosis,
}
