//! Pictures and sheets.

mod pictures;
mod sheets;
#[path = "../trades/mod.rs"]
mod trades;
