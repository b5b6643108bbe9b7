//! Pictures and sheets.

mod pictures;
mod sheets;
