//! Bodies sent to the local page's interface: every one is answered, and none with a fault of the
//! server.

use std::cell::RefCell;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{IpAddr, Ipv4Addr, SocketAddr, TcpStream};

use thincut::gear::{DEFAULT_PRESET, LoadedGear};
use thincut::page::{Explorer, Options};
use thincut::units::UnitSystem;

/// The first byte of an input says which.
const PATHS: [&str; 16] = [
    "shot", "places", "pocket", "gear", "student", "students", "skill", "sheets", "tally", "tap",
    "untap", "preview", "layout", "choose", "aims", "charts",
];

thread_local! {
    static SERVER: RefCell<(SocketAddr, Option<BufReader<TcpStream>>)> =
        RefCell::new((start(), None));
}

fn start() -> SocketAddr {
    let (ready, started) = std::sync::mpsc::channel();
    std::thread::spawn(move || {
        let runtime = tokio::runtime::Builder::new_current_thread()
            .enable_all()
            .build()
            .expect("a runtime");
        runtime.block_on(async {
            let options = Options {
                gear: LoadedGear::load(DEFAULT_PRESET, &[]).expect("embedded"),
                asked: (DEFAULT_PRESET.to_owned(), Vec::new()),
                units: UnitSystem::Metric,
                words: None,
                log: None,
                since: thincut::log::Since::Change,
                clock: || "2025-11-25T20:00:00+01:00".parse(),
                bind: IpAddr::V4(Ipv4Addr::LOCALHOST),
                port: 0,
                token: None,
                phones: None,
                hosts: Vec::new(),
            };
            let explorer = Explorer::bind(options).await.expect("a free port");
            ready
                .send(explorer.address().expect("an address"))
                .expect("heard");
            explorer
                .serve(std::future::pending())
                .await
                .expect("it serves");
        });
    });
    started.recv().expect("it starts")
}

/// Status of the answer, its body read.
fn post(
    stream: &mut BufReader<TcpStream>,
    host: SocketAddr,
    path: &str,
    body: &[u8],
) -> std::io::Result<u16> {
    // In one piece: a second small one would wait for the first to be acknowledged, 40 ms each time.
    let mut whole = format!(
        "POST /api/v1/{path} HTTP/1.1\r\nHost: {host}\r\nContent-Type: application/json\r\nContent-Length: {}\r\n\r\n",
        body.len()
    )
    .into_bytes();
    whole.extend_from_slice(body);
    stream.get_mut().write_all(&whole)?;
    let (mut line, mut length) = (String::new(), 0);
    stream.read_line(&mut line)?;
    let status = line.split(' ').nth(1).and_then(|s| s.parse().ok());
    let status = status.ok_or_else(|| std::io::Error::other("no status"))?;
    loop {
        let mut header = String::new();
        stream.read_line(&mut header)?;
        if header.trim().is_empty() {
            break;
        }
        if let Some(n) = header.to_lowercase().strip_prefix("content-length:") {
            length = n.trim().parse().map_err(std::io::Error::other)?;
        }
    }
    let mut answer = vec![0; length];
    stream.read_exact(&mut answer)?;
    Ok(status)
}

/// One input.
pub(crate) fn check(input: &[u8]) {
    let Some((&which, body)) = input.split_first() else {
        return;
    };
    let path = PATHS[usize::from(which) % PATHS.len()];
    SERVER.with_borrow_mut(|(host, kept)| {
        let fresh = kept.is_none();
        let stream = kept
            .get_or_insert_with(|| BufReader::new(TcpStream::connect(*host).expect("it listens")));
        let mut status = post(stream, *host, path, body);
        // A kept connection may have been closed meanwhile; a fresh one must answer.
        if status.is_err() && !fresh {
            *stream = BufReader::new(TcpStream::connect(*host).expect("it listens"));
            status = post(stream, *host, path, body);
        }
        let status = status.expect("an answer");
        assert!(status < 500, "{status} for {path}");
    });
}
