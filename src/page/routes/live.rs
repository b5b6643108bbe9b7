//! `GET /api/v1/live`: told when the practice log or the order of play has changed and which shot the coach
//! shows, as server-sent events; `POST /api/v1/show` shows one.

use std::convert::Infallible;
use std::pin::Pin;
use std::sync::Arc;
use std::task::{Context, Poll};
use std::time::Duration;

use axum::body::{Body, Bytes, HttpBody};
use axum::extract::State;
use axum::http::header::CONTENT_TYPE;
use axum::response::{IntoResponse as _, Response};
use hyper::body::Frame;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::json;
use tokio::sync::mpsc;
use tokio::time::{MissedTickBehavior, interval};

use crate::log::Log;
use crate::page::fault::ApiFault;
use crate::page::route::{About, Route};
use crate::page::state::{Setup, Shared};

/// How often the log is looked at for what other programs wrote (assumption: soon enough to be live).
const LOOK: Duration = Duration::from_secs(1);
/// Looks without news after which something is sent all the same, so that a connection that is gone
/// is noticed.
const QUIET: u32 = 15;

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

/// Server-sent events (HTML standard, §9.2): `log` whenever the log has changed, `order` whenever the order
/// of play has, `show` with a shot.
struct Events(mpsc::Receiver<Bytes>);

const CHANGED: Bytes = Bytes::from_static(b"event: log\ndata: changed\n\n");
const ORDERED: Bytes = Bytes::from_static(b"event: order\ndata: changed\n\n");
const STILL: Bytes = Bytes::from_static(b": still here\n\n");

fn shown(address: &str) -> Bytes {
    Bytes::from(format!("event: show\ndata: {address}\n\n"))
}

impl HttpBody for Events {
    type Data = Bytes;
    type Error = Infallible;

    fn poll_frame(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
    ) -> Poll<Option<Result<Frame<Bytes>, Infallible>>> {
        let next = self.0.poll_recv(cx);
        next.map(|text| text.map(|t| Ok(Frame::data(t))))
    }
}

/// A body that tells until the client goes or the program stops.
fn events(shared: Shared) -> Body {
    // More than one that waits says no more than one.
    let (tell, told) = mpsc::channel(2);
    tokio::spawn(listen(shared, tell));
    Body::new(Events(told))
}

async fn listen(shared: Shared, tell: mpsc::Sender<Bytes>) {
    let mut news = shared.live.listen();
    let mut looks = interval(LOOK);
    looks.set_missed_tick_behavior(MissedTickBehavior::Delay);
    let mut known = version(&shared).await;
    let mut showing: Option<Arc<str>> = None;
    let mut orders = news.borrow().orders;
    let mut quiet = QUIET;
    loop {
        let told = news.borrow_and_update().clone();
        if told.stopping {
            return;
        }
        let now = version(&shared).await;
        let mut texts = Vec::new();
        if now != known {
            texts.push(CHANGED);
        }
        if told.orders != orders {
            texts.push(ORDERED);
        }
        if told.shown != showing
            && let Some(address) = &told.shown
        {
            texts.push(shown(address));
        }
        if texts.is_empty() && quiet >= QUIET {
            texts.push(STILL);
        }
        (known, showing, orders) = (now, told.shown, told.orders);
        quiet = if texts.is_empty() { quiet + 1 } else { 0 };
        for text in texts {
            if tell.send(text).await.is_err() {
                return;
            }
        }
        tokio::select! {
            changed = news.changed() => if changed.is_err() { return },
            _ = looks.tick() => {}
            () = tell.closed() => return,
        }
    }
}

/// Which state the log is in; nothing where there is none, or it cannot be read now.
async fn version(shared: &Shared) -> Option<i64> {
    let shared = Shared::clone(shared);
    let read = move || shared.desk.as_ref()?.read(Log::version).ok();
    tokio::task::spawn_blocking(read).await.ok().flatten()
}
