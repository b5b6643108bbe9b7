//! The program: its link, its end, what it refuses to do.

use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::process::{Command, Stdio};

#[test]
fn program_prints_its_link_and_stops_politely() {
    let mut child = Command::new(env!("CARGO_BIN_EXE_thincut"))
        .args(["explore", "--port", "0", "--token"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut out = std::io::BufReader::new(child.stdout.take().unwrap());
    let mut link = String::new();
    std::io::BufRead::read_line(&mut out, &mut link).unwrap();
    let (address, token) = link
        .trim()
        .strip_prefix("http://")
        .unwrap()
        .split_once("/#token=")
        .unwrap();
    assert_eq!(token.len(), 32, "128 bits: {token}");
    let mut phones = String::new();
    std::io::BufRead::read_line(&mut out, &mut phones).unwrap();
    let of_phones = phones
        .trim()
        .strip_prefix(&format!("http://{address}/tally#token="))
        .unwrap();
    assert_eq!(of_phones.len(), 32, "128 bits: {of_phones}");
    assert_ne!(of_phones, token);
    let mut open = TcpStream::connect(address).unwrap();
    open.write_all(format!("GET / HTTP/1.1\r\nHost: {address}\r\n\r\n").as_bytes())
        .unwrap();
    let mut first = [0; 15];
    open.read_exact(&mut first).unwrap();
    assert_eq!(&first, b"HTTP/1.1 200 OK");
    let asked = Command::new("kill")
        .args(["-INT", &child.id().to_string()])
        .status()
        .unwrap();
    assert!(asked.success());
    let done = child.wait_with_output().unwrap();
    assert_eq!(done.status.code(), Some(0));
    let said = String::from_utf8(done.stderr).unwrap();
    assert!(
        said.contains('█') && said.contains("Stopped."),
        "a code to scan, and a word at the end: {said}"
    );
    assert!(
        said.contains("the coach") && said.contains("For the phones"),
        "whose link is which: {said}"
    );
}

#[test]
fn program_refuses_to_listen_openly() {
    let done = Command::new(env!("CARGO_BIN_EXE_thincut"))
        .args(["explore", "--bind", "0.0.0.0"])
        .output()
        .unwrap();
    assert_eq!(done.status.code(), Some(2));
    assert!(
        String::from_utf8(done.stderr)
            .unwrap()
            .contains("add --token")
    );
}

#[test]
fn tokens_are_long_and_two() {
    let refused = |more: &[&str], told: &str| {
        let done = Command::new(env!("CARGO_BIN_EXE_thincut"))
            .arg("explore")
            .args(more)
            .output()
            .unwrap();
        assert_eq!(done.status.code(), Some(2), "{more:?}");
        let said = String::from_utf8(done.stderr).unwrap();
        assert!(said.contains(told), "{more:?}: {said}");
        // A secret does not land in a terminal's history of answers.
        assert!(!said.contains("abcdefghij"), "{said}");
    };
    refused(
        &["--token", "abcdefghij0123456789x"],
        "--token: a token of 21 characters; use at least 22",
    );
    let long = "abcdefghij0123456789xy";
    refused(
        &["--token", long, "--phones", "letmein"],
        "--phones: a token of 7 characters",
    );
    refused(&["--token", long, "--phones", long], "another one");
    refused(&["--phones", long], "--token");
}

#[test]
fn help_says_who_else_could_see() {
    let done = Command::new(env!("CARGO_BIN_EXE_thincut"))
        .args(["explore", "--help"])
        .output()
        .unwrap();
    let said = String::from_utf8(done.stdout).unwrap();
    assert!(said.contains("in the clear"), "{said}");
}

#[test]
fn a_request_under_way_is_answered_before_the_program_stops() {
    let mut child = Command::new(env!("CARGO_BIN_EXE_thincut"))
        .arg("explore")
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut out = std::io::BufReader::new(child.stdout.take().unwrap());
    let mut link = String::new();
    std::io::BufRead::read_line(&mut out, &mut link).unwrap();
    let address = link.trim().strip_prefix("http://").unwrap();
    let address = address.trim_end_matches('/').to_owned();
    let mut stream = TcpStream::connect(&address).unwrap();
    let body = "{\"gear\": \"pool-9ft\"}";
    let head = format!(
        "POST /api/v1/gear HTTP/1.1\r\nHost: {address}\r\nContent-Type: application/json\r\nContent-Length: {}\r\nExpect: 100-continue\r\nConnection: close\r\n\r\n",
        body.len()
    );
    stream.write_all(head.as_bytes()).unwrap();
    // The server asks for the body: the request is under way.
    let mut ready = [0; 25];
    stream.read_exact(&mut ready).unwrap();
    assert_eq!(&ready, b"HTTP/1.1 100 Continue\r\n\r\n");
    let asked = Command::new("kill")
        .args(["-INT", &child.id().to_string()])
        .status()
        .unwrap();
    assert!(asked.success());
    std::thread::sleep(std::time::Duration::from_millis(200));
    stream.write_all(body.as_bytes()).unwrap();
    let mut answer = String::new();
    stream.read_to_string(&mut answer).unwrap();
    assert!(answer.starts_with("HTTP/1.1 200 OK"), "{answer}");
    assert!(answer.contains("pool-9ft"));
    assert_eq!(child.wait().unwrap().code(), Some(0));
}

/// Where the usual port is taken that is said, and the page has another.
#[test]
fn a_taken_port_is_said() {
    // Taken already is taken as well.
    let _taken = std::net::TcpListener::bind("127.0.0.1:8147");
    let mut child = Command::new(env!("CARGO_BIN_EXE_thincut"))
        .arg("explore")
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut out = std::io::BufReader::new(child.stdout.take().unwrap());
    let mut link = String::new();
    std::io::BufRead::read_line(&mut out, &mut link).unwrap();
    // Once it answers it also listens to being stopped.
    let address = link
        .trim()
        .strip_prefix("http://")
        .unwrap()
        .trim_end_matches('/');
    let mut open = TcpStream::connect(address).unwrap();
    open.write_all(format!("GET / HTTP/1.1\r\nHost: {address}\r\n\r\n").as_bytes())
        .unwrap();
    open.read_exact(&mut [0; 15]).unwrap();
    drop(open);
    let asked = Command::new("kill")
        .args(["-INT", &child.id().to_string()])
        .status()
        .unwrap();
    assert!(asked.success());
    let done = child.wait_with_output().unwrap();
    assert_eq!(done.status.code(), Some(0));
    let said = String::from_utf8(done.stderr).unwrap();
    assert!(said.contains("Port 8147 is taken"), "{said}");
    assert!(
        link.starts_with("http://127.0.0.1:") && !link.contains(":8147"),
        "{link}"
    );
    // Asked for, it is refused with what would do.
    let _taken = std::net::TcpListener::bind("127.0.0.1:8147");
    let refused = Command::new(env!("CARGO_BIN_EXE_thincut"))
        .args(["explore", "--port", "8147"])
        .output()
        .unwrap();
    assert_eq!(refused.status.code(), Some(2));
    let said = String::from_utf8(refused.stderr).unwrap();
    assert!(said.contains("choose another --port"), "{said}");
}
