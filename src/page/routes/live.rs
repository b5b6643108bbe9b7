//! `GET /api/v1/live`: told when the practice log has changed, as server-sent events.

use axum::extract::State;
use axum::http::header::CONTENT_TYPE;
use axum::response::{IntoResponse as _, Response};

use crate::page::live::events;
use crate::page::state::Shared;

pub(super) async fn live(State(shared): State<Shared>) -> Response {
    ([(CONTENT_TYPE, "text/event-stream")], events(shared)).into_response()
}
