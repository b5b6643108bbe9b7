//! All routes: one file each, with handler, schemas and an example.

mod aims;
mod ask;
mod budget;
mod charts;
mod choose;
mod gear;
mod heavy;
mod ladder;
mod layout;
mod page;
mod paper;
mod places;
mod pocket;
mod shot;
mod skill;
mod students;
mod tally;
mod tally_schema;

use axum::Router;
use axum::extract::{DefaultBodyLimit, State};
use axum::http::StatusCode;
use axum::middleware::from_fn_with_state;
use axum::response::{IntoResponse, Response};
use axum::routing::{MethodRouter, get};
use axum::{Json, http::Method};
use serde_json::Value;

use super::fault::ApiFault;
use super::guard::{LARGEST_BODY, guard};
use super::openapi;
use super::schema::Schema;
use super::state::Shared;

pub(super) use ask::Asked;

/// One operation of the interface and its entry in the OpenAPI document.
pub(super) struct Route {
    /// From the root: `/api/v1/shot`.
    pub(super) path: &'static str,
    /// GET or POST.
    pub(super) method: Method,
    /// One sentence.
    pub(super) summary: &'static str,
    /// Body of a POST.
    pub(super) request: Option<Schema>,
    /// Body that works, for readers and tests.
    pub(super) example: Option<Value>,
    /// Body of the answer.
    pub(super) response: Schema,
    /// Schemas for `components`, by name.
    pub(super) components: Vec<(&'static str, Schema)>,
    /// The handler.
    pub(super) handler: MethodRouter<Shared>,
}

/// Every operation.
pub(super) fn all() -> Vec<Route> {
    vec![
        shot::route(),
        places::route(),
        choose::route(),
        layout::route(),
        pocket::route(),
        gear::route(),
        charts::list_route(),
        charts::chart_route(),
        charts::picture_route(),
        aims::route(),
        budget::route(),
        ladder::ladder_route(),
        ladder::marks_route(),
        paper::sheet_route(),
        paper::preview_route(),
        paper::keep_route(),
        students::list_route(),
        students::add_route(),
        skill::route(),
        tally::sheets_route(),
        tally::tally_route(),
        tally::tap_route(),
        tally::untap_route(),
    ]
}

/// The whole application: page, interface, guard.
pub(super) fn app(shared: Shared) -> Router {
    let mut router = page::routes().route("/api/v1/openapi.json", get(document));
    for route in all() {
        router = router.route(route.path, route.handler);
    }
    router
        .fallback(nowhere)
        .method_not_allowed_fallback(wrong_method)
        .layer(DefaultBodyLimit::max(LARGEST_BODY))
        .layer(from_fn_with_state(shared.clone(), guard))
        .with_state(shared)
}

async fn document(State(_): State<Shared>) -> Json<Value> {
    Json(openapi::document(&all()))
}

async fn nowhere() -> Response {
    ApiFault::new(
        StatusCode::NOT_FOUND,
        "nothing here; the page is /, the interface is described in /api/v1/openapi.json",
    )
    .into_response()
}

async fn wrong_method() -> Response {
    ApiFault::new(
        StatusCode::METHOD_NOT_ALLOWED,
        "this method does not work here; see /api/v1/openapi.json",
    )
    .into_response()
}
