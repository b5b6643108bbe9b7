//! Work that takes longer than a frame, kept off the threads that answer.

use axum::http::StatusCode;

use crate::explorer::fault::ApiFault;

/// Runs it and waits for it.
pub(super) async fn off_thread<T: Send + 'static>(
    work: impl FnOnce() -> Result<T, ApiFault> + Send + 'static,
) -> Result<T, ApiFault> {
    match tokio::task::spawn_blocking(work).await {
        Ok(done) => done,
        Err(_) => Err(ApiFault::new(
            StatusCode::INTERNAL_SERVER_ERROR,
            "this could not be worked out; report the request that led here",
        )),
    }
}
