//! Players: chances, error budgets, fits, skill.

mod budget;
mod diagnosis;
mod doubt;
mod fit;
mod player;
mod skill;
