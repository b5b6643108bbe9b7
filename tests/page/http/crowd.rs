//! Odd paths, slow clients, many at once: the server stays, and serves nothing but the page.

use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;
use std::time::{Duration, Instant};

use kurbo::Point;
use serde_json::json;

use thincut::gear::{DEFAULT_PRESET, LoadedGear};
use thincut::ladder::{LadderError, MarksWishes, Wishes, ladder_until, marks_until, students};
use thincut::layout::{Ball, ChooseOptions, Layout, Prefer, Progress, Table, choose};
use thincut::player::Level;
use thincut::stop::Stop;
use thincut::window::Stroke;

use super::{refused, shot_json};
use crate::explorer::{Server, over, post, raw, try_raw};

/// A shot asked for from 127.0.0.`last`, where it is answered within so long.
fn shot_from(server: &Server, last: u8, within: Duration) -> Option<u16> {
    let stream = server.connect_from(last, None);
    stream.set_read_timeout(Some(within)).unwrap();
    let body = shot_json().to_string();
    let head = format!(
        "POST /api/v1/shot HTTP/1.1\r\nHost: {}\r\nContent-Type: application/json\r\nContent-Length: {}\r\nConnection: close\r\n\r\n{body}",
        server.host(),
        body.len()
    );
    over(stream, head.as_bytes()).map(|reply| reply.status)
}

/// 520 connections ask for two megabytes each and never read: others are answered at once, and the
/// same address is again when its answers have waited too long.
#[test]
fn clients_that_never_read_shut_nobody_out() {
    let server = Server::start();
    let get = |path: &str| format!("GET {path} HTTP/1.1\r\nHost: {}\r\n\r\n", server.host());
    let html = raw(&server, &get("/")).text();
    let script = html.split("src=\"").nth(1).unwrap();
    let ask = get(script.split('"').next().unwrap()).repeat(20);
    let begun = Instant::now();
    let idle: Vec<TcpStream> = (0..520)
        .map(|_| {
            let mut stream = server.connect_from(1, Some(4096));
            // Whoever is turned away may be gone before it has asked.
            let _ = stream.write_all(ask.as_bytes());
            stream
        })
        .collect();
    assert_eq!(shot_from(&server, 2, Duration::from_secs(20)), Some(200));
    // One that asks nothing reads why it is turned away.
    if begun.elapsed() < Duration::from_secs(8) {
        let mut told = String::new();
        let mut one = server.connect_from(1, None);
        one.read_to_string(&mut told).unwrap();
        assert!(told.starts_with("HTTP/1.1 503"), "{told}");
        assert!(
            told.ends_with("}") && told.contains("64 connections"),
            "{told}"
        );
    }
    let free = || shot_from(&server, 1, Duration::from_secs(5)) == Some(200);
    while !free() {
        let waited = begun.elapsed();
        assert!(
            waited < Duration::from_secs(90),
            "still shut after {waited:?}"
        );
        thread::sleep(Duration::from_millis(500));
    }
    drop(idle);
}

/// Callers of long work that go at once, and go again: had any of it been done to its end, whoever asks
/// next would wait longer than an answer may take.
#[test]
fn work_ends_with_its_caller() {
    let server = Server::start();
    let crowded: Vec<String> = (0..21)
        .map(|k| {
            format!(
                "{k},{},{}",
                1.0 + 0.3 * f64::from(k),
                0.4 + 0.8 * f64::from(k % 4)
            )
        })
        .collect();
    let layout: String = (1..16)
        .map(|k| {
            format!(
                "{k},{},{}\n",
                0.9 + 0.45 * f64::from(k),
                0.7 + 0.6 * f64::from(k % 5)
            )
        })
        .collect();
    let layout = format!("ball,x,y\ncue,0.5,1.9\n{layout}");
    let mut map = shot_json();
    map["columns"] = json!(256);
    map["rows"] = json!(256);
    map["balls"] = json!(crowded);
    for (path, long, short) in [
        (
            "/api/v1/ladder",
            json!({"level": "club", "rungs": "40", "stroke": "2lengths", "obstacle": ["3,1.3", "5,2.2"]}),
            json!({"level": "club", "rungs": "2", "from": "8", "to": "5"}),
        ),
        (
            "/api/v1/choose",
            json!({"level": "club", "layout": layout}),
            json!({"level": "club", "layout": "ball,x,y\ncue,3.2,1.4\n2,6.1,2.9\n", "direct_only": true}),
        ),
        ("/api/v1/places", map, shot_json()),
    ] {
        let body = long.to_string();
        let head = format!(
            "POST {path} HTTP/1.1\r\nHost: {}\r\nContent-Type: application/json\r\nContent-Length: {}\r\n\r\n{body}",
            server.host(),
            body.len()
        );
        for last in 1..=2 {
            for _ in 0..50 {
                let mut stream = server.connect_from(last, None);
                stream.write_all(head.as_bytes()).unwrap();
                thread::sleep(Duration::from_millis(20));
                drop(stream);
            }
        }
        let reply = post(&server, path, &short);
        assert_eq!(reply.status, 200, "{path}: {}", reply.text());
    }
}

/// Long work looks whether it was asked to stop, and gives no half answer.
#[test]
fn asked_work_gives_up() {
    let gear = LoadedGear::load(DEFAULT_PRESET, &[]).unwrap().gear;
    let stop = Stop::new();
    let club = Level::Club.aim_error();
    let wishes = Wishes::new(club);
    // Asked while it works.
    let asking = stop.clone();
    let asked = thread::spawn(move || {
        thread::sleep(Duration::from_millis(100));
        asking.ask();
    });
    let mut long = wishes.clone();
    long.rungs = 40;
    long.stroke_lengths = Some(2.0);
    let ladder = ladder_until(&gear, &long, &stop);
    asked.join().unwrap();
    assert!(matches!(ladder, Err(LadderError::Stopped(_))), "{ladder:?}");
    let group = students(&["A=club".to_owned()], &|_| Err(String::new())).unwrap();
    let marks_wishes = MarksWishes {
        chance: 0.7,
        object: None,
        pocket: None,
        stroke: wishes.stroke,
    };
    let marks = marks_until(&gear, &group, &marks_wishes, &stop);
    assert!(matches!(marks, Err(LadderError::Stopped(_))), "{marks:?}");
}

fn options() -> ChooseOptions {
    ChooseOptions {
        stroke: Stroke::default(),
        prefer: Prefer::Make,
        ..ChooseOptions::new(Level::Club.aim_error())
    }
}

/// A search of a layout that is asked to stop early on ranks nothing and looks into no shot.
#[test]
fn an_asked_search_of_a_layout_gives_up() {
    let gear = LoadedGear::load(DEFAULT_PRESET, &[]).unwrap().gear;
    let ball = |x: f64, y: f64| Ball {
        label: String::new(),
        at: Point::new(x, y),
    };
    let layout = Layout {
        cue: Point::new(0.9, 0.5),
        balls: vec![ball(1.6, 0.8), ball(1.9, 0.95), ball(2.2, 0.25)],
    };
    let search = |asked_at: &str| {
        let stop = Stop::new();
        let steps = AtomicUsize::new(0);
        let table = Table::new(&gear, &layout).until(stop.clone());
        let found = choose(&table, &options(), &|progress| match progress {
            Progress::Begins(what, _) if what == asked_at => stop.ask(),
            Progress::Begins(..) => {}
            Progress::Step => {
                steps.fetch_add(1, Ordering::Relaxed);
            }
        });
        (found.unwrap().shots.len(), steps.into_inner())
    };
    let (shots, all) = search("nothing");
    assert!(shots > 3, "{shots}");
    for early in ["banks", "combinations", "kicks", "what follows"] {
        let (shots, steps) = search(early);
        assert_eq!(shots, 0, "{early}");
        assert!(steps < all, "{early}: {steps} of {all}");
    }
}

/// Two callers of what takes long leave the page to everybody else.
#[test]
fn long_work_starves_nobody() {
    let server = Server::start();
    let group: Vec<String> = (0..60).map(|k| format!("S{k}=club")).collect();
    let many: Vec<String> = (0..2000).map(|k| format!("S{k}=club")).collect();
    thread::scope(|scope| {
        let callers: Vec<_> = (0..2)
            .map(|_| {
                scope.spawn(|| {
                    let refused_at_once =
                        post(&server, "/api/v1/marks", &json!({ "students": many }));
                    refused(&refused_at_once, 422);
                    let told = refused_at_once.text();
                    assert!(
                        told.contains("students: there are 2000; the page takes at most 60"),
                        "{told}"
                    );
                    post(&server, "/api/v1/marks", &json!({ "students": group })).status
                })
            })
            .collect();
        for _ in 0..5 {
            assert_eq!(post(&server, "/api/v1/shot", &shot_json()).status, 200);
        }
        for caller in callers {
            // As many as are taken are worked out, or their time is over.
            assert!(matches!(caller.join().unwrap(), 200 | 408));
        }
    });
}

#[test]
fn nothing_beside_the_page_is_served() {
    let server = Server::start();
    for path in [
        "/../Cargo.toml",
        "/page/../../../Cargo.toml",
        "/%2e%2e/%2e%2e/etc/passwd",
        "/..%2f..%2fetc/passwd",
        "//etc/passwd",
        "/main.js/../../Cargo.toml",
        "/main.js%00.html",
        "/index.html",
        "/api/v1/",
        "/api/v1/nowhere",
        "/src/page/assets/main.js",
        "/.git/config",
    ] {
        refused(
            &raw(
                &server,
                &format!("GET {path} HTTP/1.1\r\nHost: {}\r\n\r\n", server.host()),
            ),
            404,
        );
    }
    // Not HTTP, or too much of it.
    for head in [
        "\r\n\r\n\r\n",
        "GET\r\n\r\n",
        "\u{16}\u{3}\u{1}hello\r\n\r\n",
        "GET / HTTP/9.9\r\n\r\n",
    ] {
        let reply = try_raw(&server, head);
        assert!(reply.is_none_or(|r| (400..506).contains(&r.status)));
    }
    let many: String = (0..200).map(|k| format!("X-{k}: y\r\n")).collect();
    let reply = raw(
        &server,
        &format!("GET / HTTP/1.1\r\nHost: {}\r\n{many}\r\n", server.host()),
    );
    assert_eq!(reply.status, 431);
    assert_eq!(
        post(&server, "/api/v1/shot", &shot_json()).status,
        200,
        "still there"
    );
}

#[test]
fn slow_clients_hold_nobody_up() {
    let server = Server::start();
    let mut slow: Vec<TcpStream> = (0..60).map(|_| server.connect()).collect();
    for stream in &mut slow {
        stream
            .write_all(b"POST /api/v1/shot HTTP/1.1\r\nHost: ")
            .unwrap();
    }
    assert_eq!(post(&server, "/api/v1/shot", &shot_json()).status, 200);
    // A body that never comes is answered in the end, and the connection given up.
    let mut stream = server.connect();
    let head = format!(
        "POST /api/v1/shot HTTP/1.1\r\nHost: {}\r\nContent-Type: application/json\r\nContent-Length: 100\r\n\r\n{{",
        server.host()
    );
    stream.write_all(head.as_bytes()).unwrap();
    let mut answer = String::new();
    stream.read_to_string(&mut answer).unwrap();
    assert!(answer.starts_with("HTTP/1.1 408"), "{answer}");
    // So are heads that never end.
    let mut rest = Vec::new();
    let _ = slow[0].read_to_end(&mut rest);
    assert!(!String::from_utf8_lossy(&rest).starts_with("HTTP/1.1 200"));
}

#[test]
fn two_hundred_at_once_get_the_same_answer() {
    let server = Server::start();
    let wanted = post(&server, "/api/v1/shot", &shot_json()).text();
    thread::scope(|scope| {
        // From four addresses: one may hold 64 connections.
        let (server, wanted) = (&server, &wanted);
        let all: Vec<_> = (0..200_u8)
            .map(|k| {
                scope.spawn(move || {
                    let stream = server.connect_from(1 + k % 4, None);
                    let body = shot_json().to_string();
                    let head = format!(
                        "POST /api/v1/shot HTTP/1.1\r\nHost: {}\r\nContent-Type: application/json\r\nContent-Length: {}\r\nConnection: close\r\n\r\n{body}",
                        server.host(),
                        body.len()
                    );
                    let reply = over(stream, head.as_bytes()).unwrap();
                    assert_eq!(reply.status, 200);
                    assert_eq!(&reply.text(), wanted);
                })
            })
            .collect();
        for one in all {
            one.join().unwrap();
        }
    });
}
