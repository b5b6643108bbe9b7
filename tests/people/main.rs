//! Players: chances, error budgets, fits, skill.

mod budget;
mod diagnosis;
mod doubt;
mod fit;
mod player;
#[path = "../program/mod.rs"]
mod program;
mod skill;
