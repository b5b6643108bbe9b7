//! Is it progress or luck, is it the arm or the eyes, and which shots would tell?

pub mod probe;
pub mod progress;
pub mod split;
pub mod stroke_test;
pub mod verdict;

pub use progress::{BAND_EDGES, Band, SkillReport, calibration, comparing, skill_report};
