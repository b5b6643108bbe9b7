//! The local page: its server over the wire, and browsers on it.

mod browser;
mod chromium;
mod explorer;
mod firefox;
mod http;
#[path = "../trades/mod.rs"]
mod trades;
