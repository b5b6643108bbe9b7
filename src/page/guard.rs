//! What every request goes through: who asks is checked, its time is bounded, and the answer gets the
//! headers that keep it safe.

use std::time::Duration;

use axum::extract::{Request, State};
use axum::http::StatusCode;
use axum::http::header::{CACHE_CONTROL, HeaderName, HeaderValue};
use axum::middleware::Next;
use axum::response::{IntoResponse as _, Response};

use super::callers::CALLER;
use super::fault::ApiFault;
use super::state::Shared;

/// A request must be answered within this (assumption: the slowest answer takes a tenth of it).
const ANSWER_TIME: Duration = Duration::from_secs(10);

/// Only what was embedded may run, and only this server may be asked.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; \
    img-src 'self' data: blob:; connect-src 'self'; base-uri 'none'; form-action 'none'; \
    frame-ancestors 'none'";

/// Checks every request, bounds its time, and puts the safe headers on every answer.
pub(super) async fn guard(State(shared): State<Shared>, request: Request, next: Next) -> Response {
    let path = request.uri().path().to_owned();
    let checked = shared
        .allowed
        .check(request.method(), &path, request.headers());
    let mut response = match checked {
        Err(fault) => fault.into_response(),
        Ok(caller) => {
            match tokio::time::timeout(ANSWER_TIME, CALLER.scope(caller, next.run(request))).await {
                Ok(response) => response,
                Err(_) => ApiFault::new(
                    StatusCode::REQUEST_TIMEOUT,
                    "the request took too long; send it whole and at once",
                )
                .into_response(),
            }
        }
    };
    let headers = response.headers_mut();
    // Answers are nobody's to keep; the page's own files say themselves how long they are good.
    headers
        .entry(CACHE_CONTROL)
        .or_insert(HeaderValue::from_static("no-store"));
    for (name, value) in [
        ("content-security-policy", POLICY),
        ("x-content-type-options", "nosniff"),
        ("referrer-policy", "no-referrer"),
        ("cross-origin-opener-policy", "same-origin"),
        ("cross-origin-resource-policy", "same-origin"),
    ] {
        headers.insert(
            HeaderName::from_static(name),
            HeaderValue::from_static(value),
        );
    }
    response
}
