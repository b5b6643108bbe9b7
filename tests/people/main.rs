//! Players: chances, error budgets, fits, skill.

mod budget;
mod fit;
mod player;
mod skill;
