//! The local page under load: a map of places, then 500 shots a second for a minute, each the step
//! of a drag with other balls on the table; delays are counted from when a request was due, so that
//! a server that falls behind shows. Prints what it measured.
//!
//! `cargo bench --bench page`, or `cargo bench --bench page -- 10` for ten seconds.

#![expect(
    clippy::print_stdout,
    clippy::unwrap_used,
    clippy::cast_precision_loss,
    reason = "a bench prints its figures and stops where something is missing"
)]

use std::io::{Read as _, Write as _};
use std::net::{IpAddr, Ipv4Addr, SocketAddr, TcpStream};
use std::time::{Duration, Instant};

use serde_json::json;
use thincut::gear::{DEFAULT_PRESET, LoadedGear};
use thincut::page::{Explorer, Options};
use thincut::units::UnitSystem;

const PER_SECOND: u32 = 500;
const CONNECTIONS: u32 = 8;
const MAPS: u32 = 40;

fn main() {
    let seconds: u32 = std::env::args()
        .skip(1)
        .find_map(|a| a.parse().ok())
        .unwrap_or(60);
    let address = serve();
    maps(address);
    load(address, seconds);
}

fn serve() -> SocketAddr {
    let (ready, started) = std::sync::mpsc::channel();
    std::thread::spawn(move || {
        tokio::runtime::Runtime::new().unwrap().block_on(async {
            let options = Options {
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
            };
            let explorer = Explorer::bind(options).await.unwrap();
            ready.send(explorer.address().unwrap()).unwrap();
            explorer.serve(std::future::pending()).await.unwrap();
        });
    });
    started.recv().unwrap()
}

fn shot(step: u32) -> serde_json::Value {
    json!({
        "cue": format!("{},{}", 2.0 + 0.01 * f64::from(step % 180), 1.2 + 0.01 * f64::from(step % 110)),
        "object": "6,2.6", "pocket": "foot-left", "level": "club", "hand": "right",
        "called": "1", "balls": ["7,5,1", "9,4.4,3.5"]
    })
}

/// One connection, kept open.
struct Client {
    stream: TcpStream,
    address: SocketAddr,
}

impl Client {
    fn new(address: SocketAddr) -> Self {
        let stream = TcpStream::connect(address).unwrap();
        stream.set_nodelay(true).unwrap();
        Self { stream, address }
    }

    /// Sends JSON; the status of the answer, read whole.
    fn post(&mut self, path: &str, body: &str) -> u16 {
        let head = format!(
            "POST /api/v1/{path} HTTP/1.1\r\nHost: {}\r\nContent-Type: application/json\r\nContent-Length: {}\r\n\r\n{body}",
            self.address,
            body.len()
        );
        self.stream.write_all(head.as_bytes()).unwrap();
        let (mut got, mut part) = (Vec::new(), [0; 65536]);
        loop {
            let count = self.stream.read(&mut part).unwrap();
            assert!(count > 0, "the server closed the connection");
            got.extend_from_slice(&part[..count]);
            let Some(end) = got.windows(4).position(|w| w == b"\r\n\r\n") else {
                continue;
            };
            let head = String::from_utf8_lossy(&got[..end]).to_ascii_lowercase();
            let length = head
                .lines()
                .find_map(|l| l.strip_prefix("content-length: "))
                .unwrap();
            if got.len() >= end + 4 + length.parse::<usize>().unwrap() {
                return head.split(' ').nth(1).unwrap().parse().unwrap();
            }
        }
    }
}

fn maps(address: SocketAddr) {
    let mut client = Client::new(address);
    for (name, others) in [
        ("two balls", json!([])),
        ("five balls", json!(["7,5,1", "9,4.4,3.5", "3,2,2"])),
    ] {
        let mut took = Vec::new();
        for k in 0..MAPS {
            let mut body = shot(k);
            body["balls"] = others.clone();
            (body["columns"], body["rows"]) = (json!(96), json!(48));
            let begun = Instant::now();
            assert_eq!(client.post("places", &body.to_string()), 200);
            took.push(begun.elapsed());
        }
        println!("places 96 x 48, {name}: {}", summary(&mut took));
    }
}

/// 500 a second, spread over connections that each keep to their own times.
fn load(address: SocketAddr, seconds: u32) {
    let before = resident_kb();
    let begin = Instant::now() + Duration::from_millis(200);
    let workers: Vec<_> = (0..CONNECTIONS)
        .map(|w| {
            std::thread::spawn(move || {
                let mut client = Client::new(address);
                let (mut took, mut faults) = (Vec::new(), 0_u32);
                for k in (w..PER_SECOND * seconds).step_by(CONNECTIONS as usize) {
                    let due = begin + Duration::from_secs(1) * k / PER_SECOND;
                    std::thread::sleep(due.saturating_duration_since(Instant::now()));
                    faults += u32::from(client.post("shot", &shot(k).to_string()) != 200);
                    took.push(due.elapsed());
                }
                (took, faults)
            })
        })
        .collect();
    let mut early = before;
    for second in 1..=seconds {
        std::thread::sleep(
            (begin + Duration::from_secs(u64::from(second)))
                .saturating_duration_since(Instant::now()),
        );
        if second == seconds.div_ceil(6) {
            early = resident_kb();
        }
    }
    let (mut took, mut faults) = (Vec::new(), 0);
    for worker in workers {
        let (t, f) = worker.join().unwrap();
        took.extend(t);
        faults += f;
    }
    let done = took.len() as f64 / begin.elapsed().as_secs_f64();
    println!(
        "{} shots, {done:.0} a second, {faults} errors: {}",
        took.len(),
        summary(&mut took)
    );
    println!(
        "memory: {} MB before, {} MB after a sixth, {} MB at the end",
        before / 1024,
        early / 1024,
        resident_kb() / 1024
    );
}

fn summary(took: &mut [Duration]) -> String {
    took.sort();
    let at = |share: f64| {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "an index"
        )]
        let k = ((took.len() - 1) as f64 * share).round() as usize;
        took[k].as_secs_f64() * 1e3
    };
    format!(
        "median {:.1} ms, p95 {:.1} ms, p99 {:.1} ms, most {:.1} ms",
        at(0.5),
        at(0.95),
        at(0.99),
        at(1.0)
    )
}

/// Memory in use by this process, server and clients together, kB; 0 where the system does not say.
fn resident_kb() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find(|l| l.starts_with("VmRSS:"));
    line.and_then(|l| l.split_whitespace().nth(1)?.parse().ok())
        .unwrap_or(0)
}
