//! The page itself.

use axum::Router;
use axum::http::header;
use axum::routing::get;

use crate::page::assets::ASSETS;
use crate::page::state::Shared;

pub(super) fn routes() -> Router<Shared> {
    ASSETS.iter().fold(Router::new(), |router, asset| {
        let answer = ([(header::CONTENT_TYPE, asset.kind)], asset.body);
        router.route(asset.path, get(move || async move { answer }))
    })
}
