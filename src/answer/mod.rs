//! What the program says of a shot: as data (JSON, CSV) and in words.

mod budget;
mod compare;
mod differ;
mod easier;
mod held;
mod level;
mod pocket;
mod shot;
mod skill;
mod strike;
mod words;

pub use budget::{BudgetAnswer, Trials, or_club};
pub use compare::{CompareAnswer, ComparedRow, ComparedShot, compare_gears, usual_shots};
pub use differ::{PocketDifference, pocket_differences};
pub use easier::{Change, Easier, Easing, width_rad};
pub use held::{NoStick, StickShot};
pub use level::{LevelAnswer, LevelRow, Made, TestShot};
pub use pocket::{PocketAnswer, PocketPart, PocketRow, PocketStatus};
pub(crate) use shot::chance_without;
pub use shot::{
    Aims, BandAnswer, FirstOrderAnswer, PieceAnswer, RangeAnswer, ShotAnswer, Solving, StrokeBy,
    WhyAnswer, WindowAnswer,
};
pub use skill::{DayAnswer, ProbeAnswer, SkillAnswer};
pub use strike::{FootAnswer, StickAnswer, StrikeAnswer};
pub use words::{
    Beside, band_text, budget_headline, budget_label, budget_of_shot, budget_text, chance_line,
    change_words, differences_text, factor_words, fall_text, held_words, levels_text,
    nearest_level_text, pace_words, pocket_text, reason, shot_lines, shot_words, skill_text,
    skill_verdict, strike_text, stroke_words, test_shot_words, tip_words, to_a_tenth, who_is_words,
    who_plays, why_text,
};
pub use words::{not_playable, not_playable_words};
