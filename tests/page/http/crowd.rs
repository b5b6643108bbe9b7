//! Odd paths, slow clients, many at once: the server stays, and serves nothing but the page.

use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::thread;

use super::{refused, shot_json};
use crate::explorer::{Server, post, raw, try_raw};

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
        "/src/explorer/page/main.js",
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
        let all: Vec<_> = (0..200)
            .map(|_| scope.spawn(|| post(&server, "/api/v1/shot", &shot_json())))
            .collect();
        for one in all {
            let reply = one.join().unwrap();
            assert_eq!(reply.status, 200);
            assert_eq!(reply.text(), wanted);
        }
    });
}
