//! What keeps screens in step: whoever listens is told when the practice log has changed, by a try of
//! any phone or by another program, and which shot the coach shows.

use std::convert::Infallible;
use std::pin::Pin;
use std::sync::Arc;
use std::task::{Context, Poll};
use std::time::Duration;

use axum::body::{Body, Bytes, HttpBody};
use hyper::body::Frame;
use tokio::sync::{mpsc, watch};
use tokio::time::{MissedTickBehavior, interval};

use super::state::Shared;
use crate::log::Log;

/// How often the log is looked at for what other programs wrote (assumption: soon enough to be live).
const LOOK: Duration = Duration::from_secs(1);
/// Looks without news after which something is sent all the same, so that a connection that is gone
/// is noticed.
const QUIET: u32 = 15;

/// Where news are told.
#[derive(Debug)]
pub(super) struct Live(watch::Sender<Told>);

/// The newest that was told.
#[derive(Debug, Clone, Default)]
struct Told {
    /// The address of the shot that the coach shows, such as `?cue=3,2.3`; nothing where none is.
    shown: Option<Arc<str>>,
    /// The program is stopping: nobody listens on.
    stopping: bool,
}

impl Default for Live {
    fn default() -> Self {
        Self(watch::Sender::new(Told::default()))
    }
}

impl Live {
    /// Tells everybody to look at the log.
    pub(super) fn changed(&self) {
        self.0.send_modify(|_| {});
    }

    /// Shows everybody a shot, or none from now on.
    pub(super) fn show(&self, address: Option<&str>) {
        self.0
            .send_modify(|told| told.shown = address.map(Arc::from));
    }

    /// Lets everybody go.
    pub(super) fn stop(&self) {
        self.0.send_modify(|told| told.stopping = true);
    }
}

/// Server-sent events (HTML standard, §9.2): `log` whenever the log has changed.
struct Events(mpsc::Receiver<Bytes>);

const CHANGED: Bytes = Bytes::from_static(b"event: log\ndata: changed\n\n");
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
pub(super) fn events(shared: Shared) -> Body {
    // More than one that waits says no more than one.
    let (tell, told) = mpsc::channel(2);
    tokio::spawn(listen(shared, tell));
    Body::new(Events(told))
}

async fn listen(shared: Shared, tell: mpsc::Sender<Bytes>) {
    let mut news = shared.live.0.subscribe();
    let mut looks = interval(LOOK);
    looks.set_missed_tick_behavior(MissedTickBehavior::Delay);
    let mut known = version(&shared).await;
    let mut showing: Option<Arc<str>> = None;
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
        if told.shown != showing
            && let Some(address) = &told.shown
        {
            texts.push(shown(address));
        }
        if texts.is_empty() && quiet >= QUIET {
            texts.push(STILL);
        }
        (known, showing) = (now, told.shown);
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
