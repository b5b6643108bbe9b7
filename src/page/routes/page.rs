//! The page itself.

use axum::Router;
use axum::http::header;
use axum::routing::get;

use crate::page::assets::ASSETS;
use crate::page::state::Shared;

/// For files whose address changes with their content.
const KEPT: &str = "public, max-age=31536000, immutable";
/// Asked for by its version, as a question after its path.
const WORKER: &str = "/worker.js";

pub(super) fn routes() -> Router<Shared> {
    ASSETS.iter().fold(Router::new(), |router, asset| {
        // The worker's address names its version too.
        let kept = asset.kept || asset.path == WORKER;
        let keep = if kept { KEPT } else { "no-cache" };
        let heads = [
            (header::CONTENT_TYPE, asset.kind),
            (header::CACHE_CONTROL, keep),
        ];
        let answer = (heads, asset.body.as_str());
        router.route(&asset.path, get(move || async move { answer }))
    })
}
