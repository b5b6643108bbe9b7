//! The local page: its server over the wire, and a browser on it.

mod chromium;
mod explorer;
mod http;
#[path = "../trades/mod.rs"]
mod trades;
