//! A server in this process, plain HTTP by hand, and a checker of JSON Schema.
#![allow(dead_code, reason = "each test binary uses its part")]

use std::io::{Read, Write};
use std::net::{IpAddr, Ipv4Addr, SocketAddr, TcpStream};
use std::path::{Path, PathBuf};
use std::thread::{self, JoinHandle};

use rand::SeedableRng as _;
use rand_pcg::Pcg64;
use serde_json::Value;
use tempfile::TempDir;
use thincut::gear::{DEFAULT_PRESET, LoadedGear};
use thincut::log::Log;
use thincut::page::{Explorer, Options};
use thincut::units::UnitSystem;
use tokio::sync::oneshot;

/// A token for tests.
pub(crate) const TOKEN: &str = "0123456789abcdef0123456789abcdef";

/// The phones' token for tests.
pub(crate) const PHONES: &str = "fedcba9876543210fedcba9876543210";

/// A server on a free port, stopped when dropped.
pub(crate) struct Server {
    address: SocketAddr,
    link: String,
    stop: Option<oneshot::Sender<()>>,
    thread: Option<JoinHandle<()>>,
}

/// The default equipment at loopback.
pub(crate) fn options() -> Options {
    Options {
        gear: LoadedGear::load(DEFAULT_PRESET, &[]).unwrap(),
        asked: (DEFAULT_PRESET.to_owned(), Vec::new()),
        units: UnitSystem::Metric,
        words: None,
        bind: IpAddr::V4(Ipv4Addr::LOCALHOST),
        port: 0,
        token: None,
        phones: None,
        hosts: Vec::new(),
        log: None,
        since: thincut::log::Since::Change,
        clock: || "2025-11-25T20:00:00+01:00".parse(),
    }
}

/// A practice log in a folder of its own, filled by `fill`.
pub(crate) fn log_with(fill: impl FnOnce(&mut Log)) -> (TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("practice.sqlite");
    fill(&mut Log::open(&path).unwrap());
    (folder, path)
}

/// The invented evening class.
pub(crate) fn demo_log() -> (TempDir, PathBuf) {
    log_with(|log| {
        let now = "2025-11-26".parse().unwrap();
        log.write_demo(&now, &mut Pcg64::seed_from_u64(1)).unwrap();
    })
}

/// A page with that log, shared by a coach's link and the phones'.
pub(crate) fn shared_log(path: &Path) -> Options {
    Options {
        token: Some(TOKEN.to_owned()),
        phones: Some(PHONES.to_owned()),
        ..with_log(path)
    }
}

/// Options with that log.
pub(crate) fn with_log(path: &Path) -> Options {
    Options {
        log: Some(path.to_owned()),
        ..options()
    }
}

impl Server {
    pub(crate) fn start() -> Self {
        Self::run(options())
    }

    pub(crate) fn with_token() -> Self {
        Self::run(Options {
            token: Some(TOKEN.to_owned()),
            ..options()
        })
    }

    /// A server with that log, shared by a coach's link and the phones'.
    pub(crate) fn shared(path: &Path) -> Self {
        Self::run(shared_log(path))
    }

    /// Sends JSON with a token.
    pub(crate) fn post_as(&self, token: &str, path: &str, body: &Value) -> Reply {
        let body = body.to_string();
        let request = format!(
            "POST {path} HTTP/1.1\r\nHost: {}\r\nAuthorization: Bearer {token}\r\nContent-Type: application/json\r\nContent-Length: {}\r\nConnection: close\r\n\r\n{body}",
            self.host(),
            body.len()
        );
        exchange(self, request.as_bytes()).unwrap()
    }

    pub(crate) fn run(options: Options) -> Self {
        let (ready, started) = std::sync::mpsc::channel();
        let (stop, stopped) = oneshot::channel::<()>();
        let thread = thread::spawn(move || {
            let runtime = tokio::runtime::Runtime::new().unwrap();
            runtime.block_on(async {
                let explorer = Explorer::bind(options).await.unwrap();
                ready
                    .send((explorer.address().unwrap(), explorer.link().to_owned()))
                    .unwrap();
                let stop = async {
                    let _ = stopped.await;
                };
                explorer.serve(stop).await.unwrap();
            });
        });
        let (address, link) = started.recv().unwrap();
        Self {
            address,
            link,
            stop: Some(stop),
            thread: Some(thread),
        }
    }

    pub(crate) fn host(&self) -> String {
        self.address.to_string()
    }

    pub(crate) fn port(&self) -> u16 {
        self.address.port()
    }

    pub(crate) fn link(&self) -> &str {
        &self.link
    }

    pub(crate) fn connect(&self) -> TcpStream {
        TcpStream::connect(self.address).unwrap()
    }

    /// A connection from another of this machine's own addresses, 127.0.0.`last`, that takes at most
    /// so many bytes in before they are read.
    pub(crate) fn connect_from(&self, last: u8, room: Option<u32>) -> TcpStream {
        let runtime = tokio::runtime::Builder::new_current_thread()
            .enable_io()
            .build()
            .unwrap();
        let stream = runtime.block_on(async {
            let socket = tokio::net::TcpSocket::new_v4().unwrap();
            if let Some(room) = room {
                socket.set_recv_buffer_size(room).unwrap();
            }
            socket
                .bind(SocketAddr::from(([127, 0, 0, last], 0)))
                .unwrap();
            socket
                .connect(self.address)
                .await
                .unwrap()
                .into_std()
                .unwrap()
        });
        stream.set_nonblocking(false).unwrap();
        stream
    }

    pub(crate) fn post_bytes(&self, path: &str, body: &[u8]) -> Reply {
        let mut request = format!(
            "POST {path} HTTP/1.1\r\nHost: {}\r\nContent-Type: application/json\r\nContent-Length: {}\r\nConnection: close\r\n\r\n",
            self.host(),
            body.len()
        )
        .into_bytes();
        request.extend_from_slice(body);
        exchange(self, &request).unwrap()
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        if let Some(stop) = self.stop.take() {
            let _ = stop.send(());
        }
        if let Some(thread) = self.thread.take() {
            let _ = thread.join();
        }
    }
}

/// An answer.
#[derive(Debug)]
pub(crate) struct Reply {
    pub(crate) status: u16,
    pub(crate) headers: Vec<(String, String)>,
    pub(crate) body: Vec<u8>,
}

impl Reply {
    pub(crate) fn header(&self, name: &str) -> Option<&str> {
        let found = self.headers.iter().find(|(n, _)| n == name);
        found.map(|(_, value)| value.as_str())
    }

    pub(crate) fn has_cors(&self) -> bool {
        self.headers
            .iter()
            .any(|(n, _)| n.starts_with("access-control-"))
    }

    pub(crate) fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }

    pub(crate) fn json(&self) -> Value {
        serde_json::from_slice(&self.body).unwrap_or_else(|e| panic!("{e}: {}", self.text()))
    }
}

/// Sends JSON.
pub(crate) fn post(server: &Server, path: &str, body: &Value) -> Reply {
    server.post_bytes(path, body.to_string().as_bytes())
}

/// Sends a request as written.
pub(crate) fn raw(server: &Server, request: &str) -> Reply {
    try_raw(server, request).expect("an answer")
}

/// The same where the connection may just be closed.
pub(crate) fn try_raw(server: &Server, request: &str) -> Option<Reply> {
    // "Connection: close" in front of the others ends the exchange after one answer.
    let request = request.replacen("\r\nHost:", "\r\nConnection: close\r\nHost:", 1);
    exchange(server, request.as_bytes())
}

fn exchange(server: &Server, request: &[u8]) -> Option<Reply> {
    over(server.connect(), request)
}

/// One request and its answer.
pub(crate) fn over(mut stream: TcpStream, request: &[u8]) -> Option<Reply> {
    // A server that refuses early closes before everything is sent; its answer counts.
    let _ = stream.write_all(request);
    let mut head = Vec::new();
    let mut byte = [0];
    while !head.ends_with(b"\r\n\r\n") {
        if stream.read(&mut byte).unwrap_or(0) == 0 {
            return None;
        }
        head.push(byte[0]);
    }
    let text = String::from_utf8(head).unwrap();
    let mut lines = text.lines();
    let status = lines.next()?.split(' ').nth(1)?.parse().ok()?;
    let headers: Vec<(String, String)> = lines
        .filter_map(|l| l.split_once(':'))
        .map(|(n, v)| (n.to_ascii_lowercase(), v.trim().to_owned()))
        .collect();
    let length = headers.iter().find(|(n, _)| n == "content-length");
    let mut body = vec![0; length.map_or(0, |(_, v)| v.parse().unwrap())];
    stream.read_exact(&mut body).unwrap();
    Some(Reply {
        status,
        headers,
        body,
    })
}

/// Checks a value against the part of JSON Schema the document uses.
pub(crate) fn conforms(document: &Value, schema: &Value, value: &Value, at: &str) {
    if let Err(problem) = check(document, schema, value, at) {
        panic!("{problem}");
    }
}

fn check(document: &Value, schema: &Value, value: &Value, at: &str) -> Result<(), String> {
    if let Some(name) = schema["$ref"].as_str() {
        let target = document.pointer(name.trim_start_matches('#'));
        let target = target.ok_or(format!("{at}: {name} does not exist"))?;
        return check(document, target, value, at);
    }
    if let Some(any) = schema["anyOf"].as_array().or(schema["oneOf"].as_array()) {
        let faults: Vec<String> = any
            .iter()
            .filter_map(|s| check(document, s, value, at).err())
            .collect();
        return if faults.len() < any.len() {
            Ok(())
        } else {
            Err(faults.join("; "))
        };
    }
    let is = match value {
        Value::Null => "null",
        Value::Bool(_) => "boolean",
        Value::Number(n) if n.is_f64() => "number",
        Value::Number(_) => "integer",
        Value::String(_) => "string",
        Value::Array(_) => "array",
        Value::Object(_) => "object",
    };
    let fits = |kind: &Value| kind == is || (kind == "number" && is == "integer");
    let allowed = match &schema["type"] {
        Value::Array(several) => several.iter().any(fits),
        Value::String(_) => fits(&schema["type"]),
        other => return Err(format!("{at}: a schema without a type: {other}")),
    };
    if !allowed {
        return Err(format!("{at}: {is} where {} is documented", schema["type"]));
    }
    let one_of = schema["enum"].as_array();
    if one_of.is_some_and(|words| !words.contains(value))
        || (!schema["const"].is_null() && schema["const"] != *value)
    {
        return Err(format!("{at}: {value} is not among {schema}"));
    }
    match value {
        Value::Array(items) => {
            for (k, item) in items.iter().enumerate() {
                let of = match &schema["prefixItems"] {
                    Value::Array(each) => &each[k],
                    _ => &schema["items"],
                };
                check(document, of, item, &format!("{at}[{k}]"))?;
            }
            let most = schema["maxItems"].as_u64().unwrap_or(u64::MAX);
            let least = schema["minItems"].as_u64().unwrap_or(0);
            let count = items.len() as u64;
            if count < least || count > most {
                return Err(format!("{at}: {count} items"));
            }
        }
        Value::Object(map) => {
            for (key, inner) in map {
                if schema["additionalProperties"] == true {
                    break;
                }
                let property = match &schema["properties"][key] {
                    // A map by names of its own.
                    Value::Null if schema["additionalProperties"].is_object() => {
                        &schema["additionalProperties"]
                    }
                    Value::Null => return Err(format!("{at}.{key} is not documented")),
                    property => property,
                };
                check(document, property, inner, &format!("{at}.{key}"))?;
            }
            for required in schema["required"].as_array().into_iter().flatten() {
                if !map.contains_key(required.as_str().unwrap_or_default()) {
                    return Err(format!("{at}: {required} is documented but missing"));
                }
            }
        }
        _ => {}
    }
    Ok(())
}
