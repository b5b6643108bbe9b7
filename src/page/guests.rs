//! Connections: how many one address may hold, and how long an answer may wait to be taken.

use std::collections::HashMap;
use std::io::{self, IoSlice};
use std::net::{IpAddr, Ipv6Addr};
use std::pin::Pin;
use std::sync::{Arc, Mutex, PoisonError};
use std::task::{Context, Poll, ready};
use std::time::Duration;

use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};
use tokio::net::TcpStream;
use tokio::time::{Sleep, sleep};

/// Connections of one address at once (assumption: a browser opens six, a few share an address).
const MOST_OF_ONE: usize = 64;
/// A client has this long to take [`LEAST_TAKEN`] of an answer that waits (assumption: the slowest
/// phone in a hall takes that in a second).
const TAKE_TIME: Duration = Duration::from_secs(10);
/// Bytes to be taken within [`TAKE_TIME`], or whatever is left.
const LEAST_TAKEN: usize = 64 * 1024;

/// Said to who holds too many connections.
pub(super) const FULL: &str = concat!(
    "HTTP/1.1 503 Service Unavailable\r\nContent-Type: application/json\r\nContent-Length: 119\r\n",
    "Connection: close\r\n\r\n",
    "{\"error\":{\"status\":503,\"message\":\"this device has 64 connections to the page open, the most there may be; close some\"}}"
);

/// Who is connected.
#[derive(Debug, Clone, Default)]
pub(super) struct Guests(Arc<Mutex<HashMap<IpAddr, usize>>>);

/// A connection that counts until it goes.
#[derive(Debug)]
pub(super) struct Guest {
    guests: Guests,
    from: IpAddr,
}

impl Guests {
    /// A place for one more connection from there, if there is one.
    pub(super) fn enter(&self, from: IpAddr) -> Option<Guest> {
        let from = one_place(from);
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let count = all.entry(from).or_default();
        if *count >= MOST_OF_ONE {
            return None;
        }
        *count += 1;
        Some(Guest {
            guests: self.clone(),
            from,
        })
    }
}

impl Drop for Guest {
    fn drop(&mut self) {
        let mut all = self.guests.0.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(count) = all.get_mut(&self.from) {
            *count -= 1;
            if *count == 0 {
                all.remove(&self.from);
            }
        }
    }
}

/// One device has as many IPv6 addresses as it likes within its network of 64 bits (RFC 4291 §2.5.4).
fn one_place(from: IpAddr) -> IpAddr {
    match from.to_canonical() {
        IpAddr::V6(v6) => IpAddr::V6(Ipv6Addr::from_bits(v6.to_bits() >> 64 << 64)),
        v4 @ IpAddr::V4(_) => v4,
    }
}

/// A connection that is given up when its client does not take what is written.
#[derive(Debug)]
pub(super) struct Patient {
    stream: TcpStream,
    /// Runs out while something waits to be taken.
    waiting: Option<Pin<Box<Sleep>>>,
    /// Since it runs.
    taken: usize,
}

impl Patient {
    pub(super) fn new(stream: TcpStream) -> Self {
        Self {
            stream,
            waiting: None,
            taken: 0,
        }
    }

    /// What came of a write; one that waits for too long fails.
    fn written(
        &mut self,
        cx: &mut Context<'_>,
        done: Poll<io::Result<usize>>,
    ) -> Poll<io::Result<usize>> {
        if let Poll::Ready(done) = done {
            self.taken += done.as_ref().map_or(0, |count| *count);
            if self.taken >= LEAST_TAKEN {
                self.waiting = None;
            }
            return Poll::Ready(done);
        }
        if self.waiting.is_none() {
            self.taken = 0;
        }
        let waiting = self
            .waiting
            .get_or_insert_with(|| Box::pin(sleep(TAKE_TIME)));
        ready!(waiting.as_mut().poll(cx));
        Poll::Ready(Err(io::ErrorKind::TimedOut.into()))
    }
}

impl AsyncRead for Patient {
    fn poll_read(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        buffer: &mut ReadBuf<'_>,
    ) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_read(cx, buffer)
    }
}

impl AsyncWrite for Patient {
    fn poll_write(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        bytes: &[u8],
    ) -> Poll<io::Result<usize>> {
        let done = Pin::new(&mut self.stream).poll_write(cx, bytes);
        self.written(cx, done)
    }

    fn poll_write_vectored(
        mut self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        bytes: &[IoSlice<'_>],
    ) -> Poll<io::Result<usize>> {
        let done = Pin::new(&mut self.stream).poll_write_vectored(cx, bytes);
        self.written(cx, done)
    }

    fn is_write_vectored(&self) -> bool {
        self.stream.is_write_vectored()
    }

    /// Asked for once all is written: nothing waits then.
    fn poll_flush(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        ready!(Pin::new(&mut self.stream).poll_flush(cx))?;
        self.waiting = None;
        Poll::Ready(Ok(()))
    }

    fn poll_shutdown(mut self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.stream).poll_shutdown(cx)
    }
}
