//! All routes: one file each, with the work it does, what is asked and answered, and an example.

mod advice;
mod aims;
mod attempts;
mod budget;
mod charts;
mod choose;
mod gear;
mod hand_out;
mod ladder;
mod layout;
mod live;
mod open;
mod order;
mod page;
mod paper;
mod places;
mod pocket;
mod readings;
mod shelf;
mod shot;
mod skill;
mod students;
mod tally;

use axum::extract::{DefaultBodyLimit, State};
use axum::http::StatusCode;
use axum::middleware::from_fn_with_state;
use axum::response::{IntoResponse, Response};
use axum::routing::get;
use axum::{Json, Router};
use serde_json::Value;

use super::fault::{ApiFault, LARGEST_BODY};
use super::guard::guard;
use super::openapi;
use super::route::Route;
use super::state::Shared;

/// Every operation.
pub(super) fn all() -> Vec<Route> {
    vec![
        shot::route(),
        places::route(),
        attempts::route(),
        choose::route(),
        advice::route(),
        layout::route(),
        pocket::route(),
        gear::route(),
        open::route(),
        charts::list_route(),
        charts::chart_route(),
        charts::picture_route(),
        aims::route(),
        budget::route(),
        ladder::ladder_route(),
        ladder::marks_route(),
        paper::sheet_route(),
        hand_out::route(),
        paper::preview_route(),
        paper::keep_route(),
        readings::form_route(),
        readings::readings_route(),
        readings::sheet_route(),
        students::list_route(),
        students::add_route(),
        students::period_route(),
        skill::route(),
        live::show_route(),
        order::route(),
        shelf::route(),
        tally::sheets_route(),
        tally::tally_route(),
        tally::tap_route(),
        tally::untap_route(),
    ]
}

/// The whole application: page, interface, guard.
pub(super) fn app(shared: Shared) -> Router {
    let mut router = page::routes()
        .route("/api/v1/openapi.json", get(document))
        .route("/api/v1/live", get(live::live));
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
