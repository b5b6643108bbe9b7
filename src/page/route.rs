//! One operation of the interface: the work it does, and from the work's own types its entry in the
//! OpenAPI document.

use axum::Json;
use axum::extract::State;
use axum::extract::rejection::JsonRejection;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Response};
use axum::routing::{MethodRouter, post};
use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;

use super::callers::caller;
use super::face::PAGE;
use super::fault::ApiFault;
use super::lanes::Lane;
use super::state::{Setup, Shared};
use crate::field::spoken_by;
use crate::stop::Stop;

/// Writes a type's schema.
pub(super) type Says = fn(&mut SchemaGenerator) -> Schema;

/// What comes back.
#[derive(Debug, Clone, Copy)]
pub(super) enum Body {
    /// JSON of this schema.
    Json(Says),
    /// A file of one of these media types.
    File(&'static [&'static str]),
}

/// One operation, a POST with a body of JSON.
#[derive(Debug)]
pub(super) struct Route {
    /// From the root: `/api/v1/shot`.
    pub(super) path: &'static str,
    /// One sentence.
    pub(super) summary: &'static str,
    /// Body that works, for readers and tests.
    pub(super) example: Value,
    /// Body of the request.
    pub(super) asked: Says,
    /// Body of the answer.
    pub(super) answer: Body,
    /// The handler.
    pub(super) handler: MethodRouter<Shared>,
}

/// What is told of an operation.
#[derive(Debug)]
pub(super) struct About {
    /// Where it is, from the root.
    path: &'static str,
    /// What it does, in one sentence.
    summary: &'static str,
    /// A body that works.
    example: Value,
}

impl About {
    pub(super) fn new(path: &'static str, summary: &'static str, example: Value) -> Self {
        Self {
            path,
            summary,
            example,
        }
    }
}

/// What somebody may ask.
pub(super) trait Ask: DeserializeOwned + JsonSchema + Send + 'static {}

impl<T: DeserializeOwned + JsonSchema + Send + 'static> Ask for T {}

/// What is found.
pub(super) trait Answer: Serialize + JsonSchema + Send + 'static {}

impl<T: Serialize + JsonSchema + Send + 'static> Answer for T {}

/// A body as the extractor gives it.
type Sent<T> = Result<Json<T>, JsonRejection>;

/// A file and its media type.
pub(super) type File = (&'static str, Vec<u8>);

impl Route {
    /// Something to work out in its lane.
    pub(super) fn solving<Q: Ask, A: Answer>(
        about: About,
        lane: Lane,
        work: fn(&Setup, Q) -> Result<A, ApiFault>,
    ) -> Self {
        let handler = move |State(shared): State<Shared>, sent: Sent<Q>| async move {
            let Json(ask) = sent?;
            let written = in_lane(&shared, lane, move |setup| written(&work(setup, ask)?));
            Ok::<_, ApiFault>(json(written.await?))
        };
        Self::new::<Q>(about, Body::Json(A::json_schema), post(handler))
    }

    /// Something of the practice log: it waits for the disk, not for a core, and so in no lane.
    pub(super) fn noting<Q: Ask, A: Answer>(
        about: About,
        work: fn(&Setup, Q) -> Result<A, ApiFault>,
    ) -> Self {
        let handler = move |State(shared): State<Shared>, sent: Sent<Q>| async move {
            let Json(ask) = sent?;
            let setup = shared.asked_by(caller(), Stop::never());
            let written = off_thread(move || written(&work(&setup, ask)?));
            Ok::<_, ApiFault>(json(written.await?))
        };
        Self::new::<Q>(about, Body::Json(A::json_schema), post(handler))
    }

    /// Something to draw as a file.
    pub(super) fn drawing<Q: Ask>(
        about: About,
        kinds: &'static [&'static str],
        work: fn(&Setup, Q) -> Result<File, ApiFault>,
    ) -> Self {
        let handler = move |State(shared): State<Shared>, sent: Sent<Q>| async move {
            let Json(ask) = sent?;
            let (kind, bytes) = in_lane(&shared, Lane::Long, move |setup| work(setup, ask)).await?;
            Ok::<_, ApiFault>(([(header::CONTENT_TYPE, kind)], bytes).into_response())
        };
        Self::new::<Q>(about, Body::File(kinds), post(handler))
    }

    fn new<Q: Ask>(about: About, answer: Body, handler: MethodRouter<Shared>) -> Self {
        Self {
            path: about.path,
            summary: about.summary,
            example: about.example,
            asked: Q::json_schema,
            answer,
            handler,
        }
    }
}

fn written(answer: &impl Serialize) -> Result<Vec<u8>, ApiFault> {
    serde_json::to_vec(answer)
        .map_err(|e| ApiFault::new(StatusCode::INTERNAL_SERVER_ERROR, e.to_string()))
}

fn json(written: Vec<u8>) -> Response {
    ([(header::CONTENT_TYPE, "application/json")], written).into_response()
}

/// Runs it and waits for it.
async fn off_thread<T: Send + 'static>(
    work: impl FnOnce() -> Result<T, ApiFault> + Send + 'static,
) -> Result<T, ApiFault> {
    match tokio::task::spawn_blocking(|| spoken_by(PAGE, work)).await {
        Ok(done) => done,
        Err(_) => Err(ApiFault::new(
            StatusCode::INTERNAL_SERVER_ERROR,
            "this could not be worked out; report the request that led here",
        )),
    }
}

/// Runs it in its lane. Work whose caller has gone, or whose time is over, is asked to stop and
/// keeps its place until it has.
async fn in_lane<T: Send + 'static>(
    shared: &Shared,
    lane: Lane,
    work: impl FnOnce(&Setup) -> Result<T, ApiFault> + Send + 'static,
) -> Result<T, ApiFault> {
    let closed = |_| ApiFault::new(StatusCode::SERVICE_UNAVAILABLE, "this server is stopping");
    let place = shared.lanes.place(lane).await.map_err(closed)?;
    let stop = Stop::new();
    let setup = shared.asked_by(caller(), stop.clone());
    // Asks when this future goes: after the answer nobody listens.
    let _gone = stop.when_dropped();
    off_thread(move || {
        let done = work(&setup);
        drop(place);
        done
    })
    .await
}
