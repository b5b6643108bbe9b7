//! What is said of a shot, a pocket, a stroke, a budget and of practice: all sentences of this room.

mod asked;
mod budget;
mod compare;
mod differ;
mod held;
mod level;
mod pocket;
mod shot;
mod skill;
mod skill_stats;
mod strike;

pub use asked::shot_words;
pub use budget::{
    budget_headline, budget_label, budget_of_shot, budget_text, held_words, to_a_tenth,
};
pub use differ::{differences_text, fall_text};
pub use level::{levels_text, nearest_level_text, test_shot_words, who_is_words};
pub use pocket::pocket_text;
pub use shot::{
    Beside, band_text, chance_line, change_words, factor_words, pace_words, reason, shot_lines,
    stroke_words, tip_words, who_plays, why_text,
};
pub use shot::{not_playable, not_playable_words};
pub use skill::{skill_text, skill_verdict};
pub use strike::strike_text;
