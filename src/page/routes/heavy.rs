//! Work that takes longer than reading a request, kept off the threads that answer.

use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Response};
use serde::Serialize;

use crate::field::spoken_by;
use crate::page::face::PAGE;
use crate::page::fault::ApiFault;
use crate::page::guard::caller;
use crate::page::lanes::Lane;
use crate::page::state::{Setup, Shared};
use crate::stop::Stop;

/// Refuses more than can be worked out while somebody waits.
pub(super) fn at_most(what: &str, count: usize, most: usize) -> Result<(), ApiFault> {
    if count <= most {
        return Ok(());
    }
    Err(ApiFault::value(format!(
        "{what}: there are {count}; the page takes at most {most}"
    )))
}

/// Runs it and waits for it: for what waits for the disk, not for a core.
pub(super) async fn off_thread<T: Send + 'static>(
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
pub(super) async fn in_lane<T: Send + 'static>(
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

/// The same, its answer written as JSON there too.
pub(super) async fn answer<T: Serialize>(
    shared: &Shared,
    lane: Lane,
    work: impl FnOnce(&Setup) -> Result<T, ApiFault> + Send + 'static,
) -> Result<Response, ApiFault> {
    let written = in_lane(shared, lane, move |setup| {
        serde_json::to_vec(&work(setup)?)
            .map_err(|e| ApiFault::new(StatusCode::INTERNAL_SERVER_ERROR, e.to_string()))
    });
    let json = [(header::CONTENT_TYPE, "application/json")];
    Ok((json, written.await?).into_response())
}
