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
