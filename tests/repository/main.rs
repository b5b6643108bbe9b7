//! What lies in the repository is true: README, notices, tables, pictures, the order of modules.

mod circles;
mod fresh;
mod layers;
mod notices;
mod parameters;
#[path = "../program/mod.rs"]
mod program;
mod python;
mod readme;
mod strangers;
