//! The local page: drag the balls, see the margin.
//!
//! A small HTTP server with one page, its assets embedded, and a JSON interface under `/api/v1/`.
//! Every answer comes from the library; the page only draws. Each route is one file in `routes`
//! whose types are also its entry in the OpenAPI document.
//!
//! Limits: one process, one set of equipment as the starting point, HTTP/1.1 without TLS: for the
//! machine it runs on and, with a token, for a hall's own network. What is refused and why stands
//! in `callers`. References: RFC 9110 (HTTP semantics), W3C Content Security Policy Level 3,
//! OpenAPI Specification 3.1.

mod ask;
mod assets;
mod bundle;
mod callers;
mod desk;
mod drawing;
mod face;
mod fault;
mod guard;
mod guests;
mod headline;
mod lanes;
mod live;
mod openapi;
mod options;
mod order;
mod picture;
mod plan;
mod qr;
mod route;
mod routes;
mod serve;
mod start;
mod state;
mod tally;
mod taps;

pub use drawing::{Disc, Drawing, Fan, Ghosts, Wedge};
pub use headline::{Headline, blocked_headline, headline};
pub use options::{Clock, ExplorerError, Options};
pub use plan::{Cushion, Plan, PlanPocket};
pub use qr::qr_text;
pub use serve::Explorer;
pub use start::{Pace, paces, start_shot};
