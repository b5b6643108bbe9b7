//! Pictures and sheets.

mod pictures;
#[path = "../program/mod.rs"]
mod program;
mod sheets;
#[path = "../trades/mod.rs"]
mod trades;
