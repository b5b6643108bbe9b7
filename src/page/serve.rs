//! Listening, connections, and stopping without cutting anybody off.

use std::io;
use std::net::{IpAddr, Ipv4Addr, SocketAddr, UdpSocket};
use std::pin::pin;
use std::sync::Arc;
use std::time::Duration;

use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::{Semaphore, watch};
use tokio::task::JoinSet;

use super::callers::Allowed;
use super::guests::{FULL, Guest, Guests, Patient};
use super::options::{ExplorerError, Options, SHORTEST_TOKEN, bracketed};
use super::routes;
use super::state::{Setup, Shared};
use crate::field::Field;

/// A request's head must arrive within this, s (assumption: a slow phone needs one).
const HEAD_TIME: Duration = Duration::from_secs(10);
/// Requests under way are given this long when stopping, s (assumption).
const STOP_TIME: Duration = Duration::from_secs(5);
/// Connections at once (assumption: a class of phones, several connections each); of one address
/// fewer, see `guests`.
const MOST_CONNECTIONS: usize = 512;
/// A pause after a failed accept, so that a full file table does not spin.
const ACCEPT_PAUSE: Duration = Duration::from_millis(50);
/// A server that listens but does not answer yet.
#[derive(Debug)]
pub struct Explorer {
    listener: TcpListener,
    shared: Shared,
    link: String,
    phones_link: Option<String>,
}

impl Explorer {
    /// Checks the options and starts to listen.
    ///
    /// # Errors
    /// [`ExplorerError`].
    pub async fn bind(options: Options) -> Result<Self, ExplorerError> {
        check(&options)?;
        let wanted = SocketAddr::new(options.bind, options.port);
        let listen = |fault| ExplorerError::Listen {
            address: wanted,
            fault,
        };
        let listener = TcpListener::bind(wanted).await.map_err(listen)?;
        let address = listener.local_addr()?;
        let reached = reached_at(address.ip());
        let allowed = Allowed::new(
            address.port(),
            reached,
            &options.hosts,
            [options.token.clone(), options.phones.clone()],
        );
        let host = options
            .hosts
            .first()
            .cloned()
            .unwrap_or_else(|| bracketed(reached));
        let root = format!("http://{host}:{}/", address.port());
        let with_token = |page: &str, token: &String| format!("{root}{page}#token={token}");
        let phones_link = options.phones.as_ref().map(|t| with_token("tally", t));
        let link = options.token.as_ref().map(|t| with_token("", t));
        let link = link.unwrap_or_else(|| root.clone());
        let shared = Arc::new(Setup::new(
            options,
            allowed,
            root.trim_end_matches('/').to_owned(),
        )?);
        Ok(Self {
            listener,
            shared,
            link,
            phones_link,
        })
    }

    /// Address and port.
    ///
    /// # Errors
    /// The system's, when the socket is gone.
    pub fn address(&self) -> io::Result<SocketAddr> {
        self.listener.local_addr()
    }

    /// The link to open, token included.
    #[must_use]
    pub fn link(&self) -> &str {
        &self.link
    }

    /// The link for the phones, where there is one: it counts tries and looks at shots.
    #[must_use]
    pub fn phones_link(&self) -> Option<&str> {
        self.phones_link.as_deref()
    }

    /// Answers until `stop` is done, then lets requests under way finish.
    ///
    /// # Errors
    /// None at present: a connection that fails ends alone.
    pub async fn serve(self, stop: impl Future<Output = ()>) -> Result<(), ExplorerError> {
        let shared = Arc::clone(&self.shared);
        let app = routes::app(self.shared);
        let room = Arc::new(Semaphore::new(MOST_CONNECTIONS));
        let (stopping, stopped) = watch::channel(false);
        let guests = Guests::default();
        let mut open = JoinSet::new();
        let mut stop = pin!(stop);
        loop {
            // The permit first: beyond the limit new connections wait in the system's queue.
            let permit = tokio::select! {
                () = &mut stop => break,
                permit = Arc::clone(&room).acquire_owned() => permit,
            };
            let stream = tokio::select! {
                () = &mut stop => break,
                got = self.listener.accept() => got,
            };
            match (permit, stream) {
                (Ok(permit), Ok((stream, from))) => {
                    let guest = guests.enter(from.ip());
                    let (app, stopped) = (app.clone(), stopped.clone());
                    open.spawn(async move {
                        match guest {
                            Some(guest) => connection(stream, guest, app, stopped).await,
                            None => turn_away(&stream).await,
                        }
                        drop(permit);
                    });
                }
                (Err(_), _) => break,
                (_, Err(_)) => tokio::time::sleep(ACCEPT_PAUSE).await,
            }
            while open.try_join_next().is_some() {}
        }
        stopping.send_replace(true);
        shared.live.stop();
        // Whoever is slower than this has nothing to lose: writes are whole or not at all.
        let _ = tokio::time::timeout(STOP_TIME, async {
            while open.join_next().await.is_some() {}
        })
        .await;
        Ok(())
    }
}

/// Says why, as far as that goes out at once.
async fn turn_away(stream: &TcpStream) {
    if stream.writable().await.is_ok() {
        let _ = stream.try_write(FULL.as_bytes());
    }
}

async fn connection(
    stream: TcpStream,
    _guest: Guest,
    app: axum::Router,
    mut stopped: watch::Receiver<bool>,
) {
    // Small answers must not wait for more.
    let _ = stream.set_nodelay(true);
    let service = TowerToHyperService::new(app);
    let mut connection = pin!(
        http1::Builder::new()
            .timer(TokioTimer::new())
            .header_read_timeout(HEAD_TIME)
            .max_headers(64)
            .serve_connection(TokioIo::new(Patient::new(stream)), service)
    );
    tokio::select! {
        // A client that breaks off or speaks nonsense ends its own connection only.
        _ = connection.as_mut() => return,
        _ = stopped.wait_for(|stop| *stop) => {}
    }
    connection.as_mut().graceful_shutdown();
    let _ = connection.await;
}

fn check(options: &Options) -> Result<(), ExplorerError> {
    if !options.bind.is_loopback() && options.token.is_none() {
        return Err(ExplorerError::TokenNeeded(options.bind));
    }
    let plain = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_';
    for (field, token) in [
        (Field::Token, &options.token),
        (Field::Phones, &options.phones),
    ] {
        if let Some(token) = token
            && (token.len() < SHORTEST_TOKEN || !token.chars().all(plain))
        {
            let length = token.chars().count();
            return Err(ExplorerError::WeakToken { field, length });
        }
    }
    if options.phones.is_some() && (options.token.is_none() || options.phones == options.token) {
        return Err(ExplorerError::PhonesToken);
    }
    let good = |h: &&String| !h.is_empty() && h.chars().all(|c| plain(c) || c == '.');
    match options.hosts.iter().find(|h| !good(h)) {
        Some(bad) => Err(ExplorerError::BadHost(bad.clone())),
        None => Ok(()),
    }
}

/// The address others reach this machine at, when it listens at all of them.
fn reached_at(bound: IpAddr) -> IpAddr {
    if !bound.is_unspecified() {
        return bound;
    }
    // Connecting a datagram socket sends nothing; it only asks which way out the system would take.
    // 192.0.2.1 is set aside for documentation (RFC 5737).
    let way_out = || {
        let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).ok()?;
        socket.connect((Ipv4Addr::new(192, 0, 2, 1), 9)).ok()?;
        Some(socket.local_addr().ok()?.ip())
    };
    way_out().unwrap_or(IpAddr::V4(Ipv4Addr::LOCALHOST))
}
