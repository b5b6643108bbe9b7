//! The page's server over the wire: answers equal the library's, every hostile request is refused
//! with a clear 4xx, and the OpenAPI document says what the handlers do.

#![allow(
    clippy::unwrap_used,
    clippy::too_many_lines,
    reason = "a test stops where something is missing, and lists its cases"
)]

mod answers;
mod around;
mod bodies;
mod callers;
mod crowd;
mod document;
mod order;
mod program;
mod readings;
mod shelf;
mod table;
mod tally;
mod views;

use crate::explorer::Reply;
use serde_json::{Value, json};

fn shot_json() -> Value {
    json!({"cue": "3,2.3", "object": "6,2.6", "pocket": "foot-left"})
}

/// A refusal is JSON with its status and a sentence.
fn refused(reply: &Reply, status: u16) {
    assert_eq!(reply.status, status, "{}", reply.text());
    let body = reply.json();
    assert_eq!(body["error"]["status"], status, "{body}");
    let message = body["error"]["message"].as_str().unwrap();
    assert!(message.len() > 20, "a sentence that helps: {message}");
    assert!(!reply.has_cors(), "{:?}", reply.headers);
}
