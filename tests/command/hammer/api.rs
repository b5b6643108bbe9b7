//! Bodies sent to the local page's interface: every one is answered, and none with a fault of the
//! server.

use std::cell::RefCell;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{IpAddr, Ipv4Addr, SocketAddr, TcpStream};
use std::path::PathBuf;

use tempfile::TempDir;
use thincut::gear::{DEFAULT_PRESET, LoadedGear};
use thincut::log::{Log, Student};
use thincut::page::{Explorer, Options};
use thincut::units::UnitSystem;

/// The first byte of an input says which; a new one goes to the end, and seeds stay what they are.
const PATHS: [&str; 34] = [
    "shot",
    "places",
    "pocket",
    "gear",
    "student",
    "students",
    "skill",
    "sheets",
    "tally",
    "tap",
    "untap",
    "preview",
    "layout",
    "choose",
    "aims",
    "charts",
    "advice",
    "attempts",
    "budget",
    "chart",
    "hand-out",
    "keep",
    "ladder",
    "marks",
    "open",
    "picture",
    "sheet",
    "show",
    "order",
    "period",
    "shelf",
    "form",
    "readings",
    "form-sheet",
];

/// A page with a practice log, and a connection to it.
struct Server {
    address: SocketAddr,
    kept: Option<BufReader<TcpStream>>,
    _log: TempDir,
}

thread_local! {
    static SERVER: RefCell<Server> = RefCell::new(Server::new());
}

impl Server {
    fn new() -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("practice.sqlite");
        let day = "2025-11-25".parse().expect("a day");
        let mut log = Log::open(&path).expect("a new log");
        for label in ["A", "B"] {
            log.set_student(&Student::named(label), &day).expect("room");
        }
        Self {
            address: start(path),
            kept: None,
            _log: folder,
        }
    }

    /// Status and body of an answer.
    fn answer(&mut self, request: &[u8]) -> (u16, Vec<u8>) {
        let fresh = self.kept.is_none();
        let open = |to| BufReader::new(TcpStream::connect(to).expect("it listens"));
        let stream = self.kept.get_or_insert_with(|| open(self.address));
        let mut answer = exchange(stream, request);
        // A kept connection may have been closed meanwhile; a fresh one must answer.
        if answer.is_err() && !fresh {
            *stream = open(self.address);
            answer = exchange(stream, request);
        }
        answer.expect("an answer")
    }
}

fn start(log: PathBuf) -> SocketAddr {
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
                log: Some(log),
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

fn exchange(stream: &mut BufReader<TcpStream>, request: &[u8]) -> std::io::Result<(u16, Vec<u8>)> {
    stream.get_mut().write_all(request)?;
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
    Ok((status, answer))
}

/// One input.
pub(crate) fn check(input: &[u8]) {
    let Some((&which, body)) = input.split_first() else {
        return;
    };
    let path = PATHS[usize::from(which) % PATHS.len()];
    SERVER.with_borrow_mut(|server| {
        // In one piece: a second small one would wait for the first to be acknowledged, 40 ms each time.
        let mut whole = format!(
            "POST /api/v1/{path} HTTP/1.1\r\nHost: {}\r\nContent-Type: application/json\r\nContent-Length: {}\r\n\r\n",
            server.address,
            body.len()
        )
        .into_bytes();
        whole.extend_from_slice(body);
        let (status, _) = server.answer(&whole);
        assert!(status < 500, "{status} for {path}");
    });
}

/// Every path is one of the interface, and no path is missing.
#[cfg(test)]
#[test]
fn every_path_is_hammered() {
    SERVER.with_borrow_mut(|server| {
        let ask = format!(
            "GET /api/v1/openapi.json HTTP/1.1\r\nHost: {}\r\n\r\n",
            server.address
        );
        let (status, body) = server.answer(ask.as_bytes());
        assert_eq!(status, 200);
        let document: serde_json::Value = serde_json::from_slice(&body).expect("JSON");
        let posted = document["paths"].as_object().expect("paths").iter();
        let posted = posted.filter(|(_, methods)| methods.get("post").is_some());
        let mut posted: Vec<_> = posted
            .map(|(path, _)| path.trim_start_matches("/api/v1/"))
            .collect();
        let mut ours = PATHS.to_vec();
        posted.sort_unstable();
        ours.sort_unstable();
        assert_eq!(
            ours, posted,
            "a route is missing in PATHS, or is no more; each has a seed too"
        );
    });
}
