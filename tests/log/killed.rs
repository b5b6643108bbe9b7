//! The page's server and commands at one log, ended by force: whatever was acknowledged is there,
//! once.

use std::collections::HashMap;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Stdio};
use std::sync::mpsc::{Sender, channel};
use std::thread::JoinHandle;
use std::time::Duration;

use jiff::{SignedDuration, Zoned};
use rand::{Rng, SeedableRng};
use rand_pcg::Pcg64Mcg;
use thincut::log::{Filter, Log, When};

use crate::processes::program;
use crate::{all, folder, ladder, new_log};

/// Times the server and the commands beside it are ended by force.
const ENDS: u32 = 300;
/// Rounds on one log: the next ones open what the last ones left.
const ROUNDS: u32 = 25;
/// A round ends after some of this many tries were acknowledged, and a moment, µs.
const TRIES: usize = 6;
const MOMENT_US: u64 = 4_000;

/// A program that does not outlive the test, however that ends.
struct Running(Child);

impl Running {
    fn end(&mut self) {
        // It may be done already.
        let _ = self.0.kill();
        self.0.wait().expect("it ends");
    }
}

impl Drop for Running {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

/// A running server.
struct Page {
    child: Running,
    address: String,
}

impl Page {
    fn start(log: &Path) -> Self {
        let child = program(log)
            .args(["explore", "--port", "0"])
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("the program starts");
        let mut child = Running(child);
        let mut line = String::new();
        BufReader::new(child.0.stdout.take().expect("piped"))
            .read_line(&mut line)
            .expect("a link");
        let address = line
            .trim()
            .trim_start_matches("http://")
            .trim_end_matches('/')
            .to_owned();
        Self { child, address }
    }
}

/// A phone with one connection.
struct Phone {
    stream: BufReader<TcpStream>,
    address: String,
    code: String,
}

impl Phone {
    fn new(page: &Page, code: &str) -> Self {
        Self {
            stream: BufReader::new(TcpStream::connect(&page.address).expect("it listens")),
            address: page.address.clone(),
            code: code.to_owned(),
        }
    }

    /// Sends a try until it is acknowledged or nobody is there; whether it was. A busy server may say
    /// that it takes too long, and the phone sends again.
    fn tap(&mut self, student: &str, when: &str) -> bool {
        let body = format!(
            r#"{{"code":"{}","rung":1,"student":"{student}","outcome":"made","when":"{when}"}}"#,
            self.code
        );
        let request = format!(
            "POST /api/v1/tap HTTP/1.1\r\nHost: {}\r\nContent-Type: application/json\r\nContent-Length: {}\r\n\r\n{body}",
            self.address,
            body.len()
        );
        loop {
            if self.stream.get_mut().write_all(request.as_bytes()).is_err() {
                return false;
            }
            match self.answer() {
                Some((200, _)) => return true,
                Some((408, _)) => {}
                Some((status, body)) => panic!("{status}: {body}"),
                None => return false,
            }
        }
    }

    /// Status and body of the answer, if all of it came.
    fn answer(&mut self) -> Option<(u16, String)> {
        let (mut length, mut status) = (0, 0);
        loop {
            let mut line = String::new();
            if self.stream.read_line(&mut line).ok()? == 0 {
                return None;
            }
            let line = line.trim_end().to_ascii_lowercase();
            if let Some(said) = line.strip_prefix("http/1.1 ") {
                status = said.split(' ').next()?.parse().ok()?;
            }
            if let Some(count) = line.strip_prefix("content-length: ") {
                length = count.parse().ok()?;
            }
            if line.is_empty() {
                break;
            }
        }
        let mut body = vec![0; length];
        self.stream.read_exact(&mut body).ok()?;
        Some((status, String::from_utf8(body).ok()?))
    }
}

/// The phone's clock, so many milliseconds from a start.
fn time(start: &Zoned, ms: i64) -> String {
    (start + SignedDuration::from_millis(ms))
        .strftime("%Y-%m-%dT%H:%M:%S%.3f%:z")
        .to_string()
}

/// Taps until the server is gone, telling of each try; the times acknowledged.
fn tapping(
    mut phone: Phone,
    student: &'static str,
    start: Zoned,
    told: Sender<()>,
) -> JoinHandle<Vec<String>> {
    std::thread::spawn(move || {
        (0..)
            .map(|k| time(&start, k))
            .take_while(|when| {
                let acknowledged = phone.tap(student, when);
                let _ = told.send(());
                acknowledged
            })
            .collect()
    })
}

/// How often each try of a student stands in the log.
fn tries(log: &Log, student: &str, since: &When) -> HashMap<String, usize> {
    let filter = Filter {
        student: Some(student.to_owned()),
        since: Some(since.clone()),
        ..Filter::default()
    };
    let mut counts = HashMap::new();
    for row in log.attempts(&filter).expect("readable") {
        if row.session.is_none() {
            *counts.entry(row.when.as_str().to_owned()).or_insert(0) += 1;
        }
    }
    counts
}

#[test]
fn commands_beside_the_page_lose_no_try() {
    const SHOT: [&str; 6] = [
        "--cut",
        "half-ball",
        "--cue-to-object",
        "4ft",
        "--to-pocket",
        "3ft",
    ];
    let folder = folder();
    let mut log = new_log(&folder);
    let code = log.save_sheet(&ladder(1)).unwrap();
    let path = log.path().to_owned();
    drop(log);
    let run = |args: &[&str]| {
        let done = program(&path).arg("log").args(args).output().unwrap();
        assert!(done.status.success(), "{done:?}");
        String::from_utf8(done.stdout).unwrap()
    };
    let mut page = Page::start(&path);
    let mut phone = Phone::new(&page, &code);
    let start = Zoned::now();
    let mut taps = 0..;
    let mut tap = |count: usize| {
        for k in taps.by_ref().take(count) {
            assert!(phone.tap("A", &time(&start, k)));
        }
    };
    tap(3);
    run(&["list"]);
    tap(11);
    let added = run(&[&["add", "B 1/2"], &SHOT[..]].concat());
    // Two students, fourteen taps.
    assert!(added.contains("entry 17:"), "{added}");
    tap(3);
    page.child.end();
    let log = Log::open_existing(&path).unwrap();
    assert_eq!(all(&log).len(), 18);
}

/// One round: a server with two phones tapping, a command that enters tallies one by one and one
/// that opens and closes the log; all ended by force at once.
fn round(path: &Path, code: &str, number: u32, random: &mut Pcg64Mcg) {
    let session = format!("round {number}");
    let mut page = Page::start(path);
    let start = Zoned::now();
    let writer = program(path)
        .args(["log", "enter", code, "-", "--session", &session])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let beside = program(path)
        .args(["log", "list", "--last", "1"])
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let (mut writer, mut beside) = (Running(writer), Running(beside));
    let mut input = writer.0.stdin.take().unwrap();
    let feeding = std::thread::spawn(move || {
        // As somebody types, only faster: a writer that never pauses would keep the phones waiting.
        for n in 1..=400 {
            if input
                .write_all(format!("A 0/{n}, B 0/{n}\n").as_bytes())
                .is_err()
            {
                break;
            }
            std::thread::sleep(Duration::from_millis(1));
        }
    });
    let (told, tries_told) = channel();
    let phones: Vec<(&str, JoinHandle<Vec<String>>)> = ["A", "B"]
        .into_iter()
        .map(|s| {
            let phone = Phone::new(&page, code);
            (s, tapping(phone, s, start.clone(), told.clone()))
        })
        .collect();
    drop(told);
    for _ in 0..random.random_range(0..TRIES) {
        tries_told.recv().unwrap();
    }
    std::thread::sleep(Duration::from_micros(random.random_range(0..MOMENT_US)));
    let mut ends = [&mut page.child, &mut writer, &mut beside];
    let first = random.random_range(0..ends.len());
    ends.rotate_left(first);
    for end in &mut ends {
        // The one that opens and closes may be done already.
        let _ = end.0.kill();
    }
    for end in ends {
        end.end();
    }
    feeding.join().unwrap();
    let said = BufReader::new(writer.0.stdout.take().unwrap()).lines();
    let entered = said
        .map_while(Result::ok)
        .filter(|l| l.ends_with("undo"))
        .count();

    let log = Log::open_existing(path).expect("sound after the end");
    let since: When = time(&start, 0).parse().unwrap();
    for (student, phone) in phones {
        let acknowledged = phone.join().unwrap();
        let kept = tries(&log, student, &since);
        for when in &acknowledged {
            assert_eq!(
                kept.get(when),
                Some(&1),
                "{student}'s try of {when}, {session}"
            );
        }
        // One may have been on its way.
        assert!(kept.len() <= acknowledged.len() + 1, "{session}");
        assert!(kept.values().all(|n| *n == 1), "{session}: {kept:?}");
    }
    let filter = Filter {
        session: Some(session.clone()),
        ..Filter::default()
    };
    let rows: Vec<u32> = log
        .attempts(&filter)
        .unwrap()
        .iter()
        .map(|a| a.tries)
        .collect();
    let whole = rows.len() / 2;
    let wanted: Vec<u32> = (1..=400).flat_map(|n| [n, n]).take(2 * whole).collect();
    assert_eq!(rows, wanted, "entries in order, both rows or none");
    assert!(
        (entered..=entered + 1).contains(&whole),
        "{session}: {entered} acknowledged, {whole} kept"
    );
    drop(log);
    let looked = rusqlite::Connection::open(path).unwrap();
    let verdict: String = looked
        .query_row("PRAGMA integrity_check", [], |r| r.get(0))
        .unwrap();
    assert_eq!(verdict, "ok", "{session}");
}

fn rounds(seed: u64, count: u32) -> usize {
    let mut random = Pcg64Mcg::seed_from_u64(seed);
    let mut tries = 0;
    for from in (0..count).step_by(ROUNDS as usize) {
        let folder = folder();
        let mut log = new_log(&folder);
        let code = log.save_sheet(&ladder(1)).unwrap();
        let path = log.path().to_owned();
        drop(log);
        for number in from..count.min(from + ROUNDS) {
            round(&path, &code, number, &mut random);
        }
        tries += all(&Log::open_existing(&path).unwrap()).len();
    }
    tries
}

#[test]
fn three_hundred_ends_by_force_lose_nothing_acknowledged() {
    // Four at a time: most of a round is waiting for programs to start and for the disk.
    let parts = [1, 2, 3, 4].map(|seed| std::thread::spawn(move || rounds(seed, ENDS / 4)));
    let tries: usize = parts.into_iter().map(|p| p.join().unwrap()).sum();
    assert!(tries > 2 * ENDS as usize, "{tries} rows in all");
}
