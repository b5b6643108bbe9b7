//! `GET /api/v1/live`: told when the practice log has changed and which shot the coach shows, as
//! server-sent events; `POST /api/v1/show` shows one.

use axum::extract::State;
use axum::http::header::CONTENT_TYPE;
use axum::response::{IntoResponse as _, Response};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::json;

use crate::page::fault::ApiFault;
use crate::page::live::events;
use crate::page::route::{About, Route};
use crate::page::state::{Setup, Shared};

/// Longest address that is shown (assumption: 22 balls and every option take half of it).
const LONGEST: usize = 2000;

pub(super) async fn live(State(shared): State<Shared>) -> Response {
    ([(CONTENT_TYPE, "text/event-stream")], events(shared)).into_response()
}

/// What to show.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, expecting = "an object")]
struct Ask {
    /// The shot as the page's address has it, `?cue=3,2.3&object=6,2.6`; none ends the showing.
    shot: Option<String>,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Shown")]
struct Answer {
    /// Whether something is shown now.
    showing: bool,
}

fn show(setup: &Setup, Ask { shot }: Ask) -> Result<Answer, ApiFault> {
    if let Some(shot) = &shot
        && !(shot.starts_with('?')
            && shot.len() <= LONGEST
            && shot.bytes().all(|b| b.is_ascii_graphic()))
    {
        return Err(ApiFault::value(
            "shot: give what follows the page's address, from its question mark on, up to 2000 letters",
        ));
    }
    setup.live.show(shot.as_deref());
    Ok(Answer {
        showing: shot.is_some(),
    })
}

pub(super) fn show_route() -> Route {
    let about = About::new(
        "/api/v1/show",
        "Shows a shot on every phone that follows the coach",
        json!({"shot": "?cue=3,2.3&object=6,2.6&pocket=foot-left"}),
    );
    Route::noting(about, show)
}
