//! What keeps screens in step: whoever listens is told when the practice log has changed, by a try of
//! any phone or by another program.

use std::convert::Infallible;
use std::pin::Pin;
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

/// Where tries are told.
#[derive(Debug)]
pub(super) struct Live(watch::Sender<Told>);

/// The newest that was told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Told {
    /// Something has changed, so many times.
    Changed(u64),
    /// The program is stopping: nobody listens on.
    Stopping,
}

impl Default for Live {
    fn default() -> Self {
        Self(watch::Sender::new(Told::Changed(0)))
    }
}

impl Live {
    /// Tells everybody that the log has changed.
    pub(super) fn changed(&self) {
        self.0.send_modify(|told| {
            if let Told::Changed(times) = told {
                *times += 1;
            }
        });
    }

    /// Lets everybody go.
    pub(super) fn stop(&self) {
        self.0.send_replace(Told::Stopping);
    }
}

/// Server-sent events (HTML standard, §9.2): `log` whenever the log has changed.
struct Events(mpsc::Receiver<&'static [u8]>);

const CHANGED: &[u8] = b"event: log\ndata: changed\n\n";
const STILL: &[u8] = b": still here\n\n";

impl HttpBody for Events {
    type Data = Bytes;
    type Error = Infallible;

    fn poll_frame(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
    ) -> Poll<Option<Result<Frame<Bytes>, Infallible>>> {
        let next = self.0.poll_recv(cx);
        next.map(|text| text.map(|t| Ok(Frame::data(Bytes::from_static(t)))))
    }
}

/// A body that tells until the client goes or the program stops.
pub(super) fn events(shared: Shared) -> Body {
    // More than one that waits says no more than one.
    let (tell, told) = mpsc::channel(2);
    tokio::spawn(listen(shared, tell));
    Body::new(Events(told))
}

async fn listen(shared: Shared, tell: mpsc::Sender<&'static [u8]>) {
    let mut news = shared.live.0.subscribe();
    let mut looks = interval(LOOK);
    looks.set_missed_tick_behavior(MissedTickBehavior::Delay);
    let mut version = version(&shared).await;
    let mut quiet = 0;
    if tell.send(STILL).await.is_err() {
        return;
    }
    loop {
        tokio::select! {
            changed = news.changed() => {
                if changed.is_err() || *news.borrow_and_update() == Told::Stopping {
                    return;
                }
            }
            _ = looks.tick() => {}
            () = tell.closed() => return,
        }
        let now = self::version(&shared).await;
        let text = if now == version {
            quiet += 1;
            if quiet < QUIET {
                continue;
            }
            STILL
        } else {
            CHANGED
        };
        (version, quiet) = (now, 0);
        if tell.send(text).await.is_err() {
            return;
        }
    }
}

/// Which state the log is in; nothing where there is none, or it cannot be read now.
async fn version(shared: &Shared) -> Option<i64> {
    let shared = Shared::clone(shared);
    let read = move || shared.desk.as_ref()?.read(Log::version).ok();
    tokio::task::spawn_blocking(read).await.ok().flatten()
}
