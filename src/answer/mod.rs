//! What the program says of a shot: as data (JSON, CSV) and in words.

mod budget;
mod budgeted;
mod columns;
mod compare;
mod held;
mod pocket;
mod shot;
mod skill;
mod skill_stats;
mod skill_words;
mod strike;
mod words;

pub use budget::{budget_headline, budget_label, budget_text, tenths};
pub use budgeted::{BudgetAnswer, Trials, held_words, or_club};
pub use columns::{Cell, Column, columns};
pub use compare::{
    COMPARE_HEADER, CompareAnswer, ComparedRow, ComparedShot, compare_gears, shot_words,
    usual_shots,
};
pub use held::StickShot;
pub use pocket::{PocketAnswer, PocketPart, PocketRow, pocket_text};
pub(crate) use shot::chance_without;
pub use shot::{
    Aims, BandAnswer, FirstOrderAnswer, PieceAnswer, RangeAnswer, ShotAnswer, StrokeBy, WhyAnswer,
    WindowAnswer,
};
pub use skill::{DayAnswer, ProbeAnswer, SkillAnswer};
pub use skill_words::{skill_text, skill_verdict};
pub use strike::{FootAnswer, StickAnswer, StrikeAnswer, strike_text};
pub use words::{
    Beside, Easier, band_text, chance_line, easier, in_ten_ranged, pace_words, shot_lines,
    stroke_words, tip_words, why_text,
};
