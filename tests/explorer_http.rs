//! The page's server over the wire: answers equal the library's, every hostile request is refused
//! with a clear 4xx, and the OpenAPI document says what the handlers do.

#![allow(
    clippy::unwrap_used,
    clippy::too_many_lines,
    reason = "a test stops where something is missing, and lists its cases"
)]

mod explorer;

use std::io::{Read as _, Write as _};
use std::net::{IpAddr, Ipv4Addr, TcpStream};
use std::process::{Command, Stdio};
use std::thread;

use explorer::{Reply, Server, TOKEN, options, post, raw};
use rand::{Rng as _, SeedableRng as _};
use rand_pcg::Pcg64;
use serde_json::{Value, json};
use thincut::answer::{PocketAnswer, ShotAnswer};
use thincut::explorer::{Explorer, ExplorerError};
use thincut::gear::Gear;
use thincut::player::{PlayerRequest, chance_of_solution};
use thincut::pocket::PocketKind;
use thincut::request::{PlacesRequest, ShotRequest, StrokeRequest};
use thincut::units::{Angle, Length, Speed};
use thincut::window::{band, solve};

/// Map values come rounded to four decimals.
const MAP_ROUNDING: f64 = 0.5e-4 + 1e-12;

fn shot_json() -> Value {
    json!({"cue": "3,2.3", "object": "6,2.6", "pocket": "foot-left"})
}

fn shot_request(cue: &str) -> ShotRequest {
    ShotRequest {
        places: PlacesRequest {
            cue: Some(cue.to_owned()),
            object: Some("6,2.6".to_owned()),
            pocket: Some("foot-left".to_owned()),
            ..PlacesRequest::default()
        },
        stroke: StrokeRequest::default(),
    }
}

fn club() -> thincut::player::Player {
    let request = PlayerRequest {
        level: Some("club".to_owned()),
        ..PlayerRequest::default()
    };
    request.player().unwrap().unwrap()
}

/// As it looks after being written and read: the reader rounds the last bit of some numbers.
fn read_back(value: &impl serde::Serialize) -> Value {
    serde_json::from_str(&serde_json::to_string(value).unwrap()).unwrap()
}

/// A refusal is JSON with its status and a sentence.
fn refused(reply: &Reply, status: u16) {
    assert_eq!(reply.status, status, "{}", reply.text());
    let body = reply.json();
    assert_eq!(body["error"]["status"], status, "{body}");
    let message = body["error"]["message"].as_str().unwrap();
    assert!(message.len() > 20, "a sentence that helps: {message}");
    assert!(!reply.has_cors(), "{:?}", reply.headers);
}

#[test]
fn shot_is_the_librarys() {
    let server = Server::start();
    let mut body = shot_json();
    body["level"] = json!("club");
    body["band"] = json!(true);
    let reply = post(&server, "/api/v1/shot", &body);
    assert_eq!(reply.status, 200, "{}", reply.text());
    let gear = Gear::preset("pool-9ft").unwrap();
    let shot = shot_request("3,2.3").shot(&gear).unwrap();
    let solution = solve(&gear, &shot).unwrap();
    let band = band(&gear, &shot).unwrap();
    let answer = ShotAnswer::new(&gear, &shot, &solution, Some(&band)).with_player(
        &gear,
        &shot,
        &solution,
        &club(),
    );
    let got = reply.json();
    assert_eq!(got["shot"], read_back(&answer));
    assert_eq!(got["headline"]["words"], "for a club player, assumed");
    let tenths = answer.makes_in_ten.unwrap();
    assert_eq!(
        got["headline"]["number"],
        thincut::player::in_ten(tenths / 10.0)
    );
}

#[test]
fn drawing_stands_where_the_numbers_say() {
    let server = Server::start();
    let got = post(&server, "/api/v1/shot", &shot_json()).json();
    let place = |v: &Value| (v[0].as_f64().unwrap(), v[1].as_f64().unwrap());
    let (drawing, shot) = (&got["drawing"], &got["shot"]);
    let (x, y) = place(&drawing["ghost"]);
    let (gx, gy) = place(&shot["ghost_ball_mm"]);
    // Places are rounded to 1e-4 mm.
    assert!((x - gx).hypot(y - gy) < 2e-4);
    let (ox, oy) = place(&drawing["object"]["at"]);
    let (cx, cy) = place(&drawing["cue"]["at"]);
    for name in ["clean", "direct", "drop"] {
        let ends = &drawing[name];
        let (full, thin) = (place(&ends["fullest"]), place(&ends["thinnest"]));
        for (x, y) in [full, thin] {
            // A ghost ball touches the object ball: 57.15 mm between the centres.
            assert!(((x - ox).hypot(y - oy) - 57.15).abs() < 1e-3, "{name}");
        }
        // Fuller is nearer the line from the cue ball through the object ball.
        let off = |(x, y): (f64, f64)| ((oy - cy).atan2(ox - cx) - (y - cy).atan2(x - cx)).abs();
        assert!(off(full) < off(thin), "{name}");
        // The angle between them at the cue ball is the window.
        let angle = |(x, y): (f64, f64)| (y - cy).atan2(x - cx).to_degrees();
        let total = shot[name]["total_deg"].as_f64().unwrap();
        assert!(
            ((angle(full) - angle(thin)).abs() - total).abs() < 1e-4,
            "{name}"
        );
    }
    let pieces = shot["pieces"].as_array().unwrap().len();
    assert_eq!(drawing["fans"].as_array().unwrap().len(), pieces);
    for fan in drawing["fans"].as_array().unwrap() {
        let path = fan["path"].as_array().unwrap();
        let end = place(path.last().unwrap());
        // Every accepted way ends at the rim of the slate cut: 2.75 in round its centre.
        let gear = post(&server, "/api/v1/gear", &json!({})).json();
        let pockets = gear["plan"]["pockets"].as_array().unwrap().clone();
        let pocket = pockets.iter().find(|p| p["name"] == "foot-left").unwrap();
        let hole = place(&pocket["hole"]);
        assert!(
            ((end.0 - hole.0).hypot(end.1 - hole.1) - 69.85).abs() < 1e-2,
            "{fan}"
        );
    }
}

#[test]
fn map_of_places_is_the_librarys() {
    let server = Server::start();
    let mut body = shot_json();
    body["level"] = json!("club");
    body["columns"] = json!(9);
    body["rows"] = json!(5);
    let map = post(&server, "/api/v1/places", &body).json();
    let gear = Gear::preset("pool-9ft").unwrap();
    let at = |name: &str, k: usize| map[name][k].as_f64().unwrap();
    let mut solved = 0;
    for r in 0..5_u32 {
        for c in 0..9_u32 {
            let x = at("from_mm", 0) + (at("to_mm", 0) - at("from_mm", 0)) * f64::from(c) / 8.0;
            let y = at("from_mm", 1) + (at("to_mm", 1) - at("from_mm", 1)) * f64::from(r) / 4.0;
            let shot = shot_request(&format!("{x}mm,{y}mm")).shot(&gear);
            let solution = shot.ok().map(|s| solve(&gear, &s).unwrap());
            let window = solution.as_ref().and_then(|s| s.window.as_ref().ok());
            let cell = |name: &str| map[name][r as usize][c as usize].as_f64();
            let Some(window) = window.and_then(|w| w.direct.or(w.drop)) else {
                assert_eq!(cell("direct_deg"), None, "{r} {c}");
                continue;
            };
            solved += 1;
            let wide = window.total_rad().to_degrees();
            assert!(
                (cell("direct_deg").unwrap() - wide).abs() < MAP_ROUNDING,
                "{r} {c}"
            );
            let chance = chance_of_solution(solution.as_ref().unwrap(), &club().error);
            assert!(
                (cell("chance").unwrap() - chance).abs() < MAP_ROUNDING,
                "{r} {c}"
            );
        }
    }
    assert!(solved > 15, "{solved}");
}

#[test]
fn pocket_is_the_librarys() {
    let server = Server::start();
    let reply = post(
        &server,
        "/api/v1/pocket",
        &json!({"kind": "side", "approaches": "0deg,30deg"}),
    );
    let gear = Gear::preset("pool-9ft").unwrap();
    let approaches = [Angle::from_deg(0.0), Angle::from_deg(30.0)];
    let answer = PocketAnswer::solve(
        &gear,
        &[PocketKind::Side],
        Speed::from_m_s(1.0),
        Length::from_m(0.8),
        &approaches,
    );
    assert_eq!(reply.json(), read_back(&answer.unwrap()));
}

#[test]
fn page_is_served_with_safe_headers_and_no_inline_code() {
    let server = Server::start();
    for path in [
        "/",
        "/page.css",
        "/main.js",
        "/table.js",
        "/icon.svg",
        "/?cue=3,1",
    ] {
        let reply = raw(
            &server,
            &format!("GET {path} HTTP/1.1\r\nHost: {}\r\n\r\n", server.host()),
        );
        assert_eq!(reply.status, 200, "{path}");
        let policy = reply.header("content-security-policy").unwrap();
        assert!(
            policy.contains("default-src 'none'") && !policy.contains("unsafe"),
            "{policy}"
        );
        assert_eq!(reply.header("x-content-type-options"), Some("nosniff"));
        assert!(!reply.has_cors());
    }
    let html = raw(
        &server,
        &format!("GET / HTTP/1.1\r\nHost: {}\r\n\r\n", server.host()),
    )
    .text();
    assert!(!html.contains("<style") && !html.contains(" style=") && !html.contains(" onclick"));
    for (k, _) in html.match_indices("<script") {
        assert!(html[k..].starts_with("<script type=\"module\" src=\"/"));
    }
    assert!(!html.contains("://"), "nothing from elsewhere");
}

#[test]
fn foreign_names_and_origins_are_refused() {
    let server = Server::start();
    let body = shot_json().to_string();
    let own = server.host();
    let send = |host: &str, more: &str| {
        let head = format!(
            "POST /api/v1/shot HTTP/1.1\r\n{host}Content-Type: application/json\r\nContent-Length: {}\r\n{more}\r\n{body}",
            body.len()
        );
        raw(&server, &head)
    };
    let mine = format!("Host: {own}\r\n");
    assert_eq!(
        send(&mine, &format!("Origin: http://{own}\r\n")).status,
        200
    );
    // A name that was pointed at this machine, the machine without its port, no name, two names.
    refused(&send("Host: evil.example\r\n", ""), 421);
    refused(
        &send(&format!("Host: evil.example:{}\r\n", server.port()), ""),
        421,
    );
    refused(&send("Host: 127.0.0.1\r\n", ""), 421);
    refused(&send(&format!("{mine}{mine}"), ""), 421);
    assert!((400..500).contains(&send("", "").status));
    // Another site, another port of this machine, an address, a sandboxed frame, https, two origins.
    for origin in [
        "http://evil.example",
        "http://127.0.0.1:1",
        "http://192.168.1.7",
        "null",
        &format!("https://{own}"),
        &format!("http://{own}.evil.example"),
        "",
    ] {
        refused(&send(&mine, &format!("Origin: {origin}\r\n")), 403);
    }
    refused(
        &send(
            &mine,
            &format!("Origin: http://{own}\r\nOrigin: http://evil.example\r\n"),
        ),
        403,
    );
    refused(
        &send(
            &mine,
            "Sec-Fetch-Site: cross-site\r\nSec-Fetch-Mode: no-cors\r\n",
        ),
        403,
    );
    refused(
        &send(
            &mine,
            "Sec-Fetch-Site: same-site\r\nSec-Fetch-Mode: cors\r\n",
        ),
        403,
    );
    // Asking first does not help either.
    let ask = format!(
        "OPTIONS /api/v1/shot HTTP/1.1\r\n{mine}Origin: http://evil.example\r\nAccess-Control-Request-Method: POST\r\n\r\n"
    );
    refused(&raw(&server, &ask), 403);
    // Following a link from elsewhere is fine.
    let link = format!(
        "GET / HTTP/1.1\r\n{mine}Sec-Fetch-Site: cross-site\r\nSec-Fetch-Mode: navigate\r\n\r\n"
    );
    assert_eq!(raw(&server, &link).status, 200);
}

#[test]
fn only_json_by_post() {
    let server = Server::start();
    let body = shot_json().to_string();
    let send = |method: &str, path: &str, kind: &str| {
        let head = format!(
            "{method} {path} HTTP/1.1\r\nHost: {}\r\n{kind}Content-Length: {}\r\n\r\n{body}",
            server.host(),
            body.len()
        );
        raw(&server, &head)
    };
    for kind in [
        "Content-Type: text/plain\r\n",
        "Content-Type: application/x-www-form-urlencoded\r\n",
        "Content-Type: multipart/form-data; boundary=x\r\n",
        "Content-Type: text/plain; application/json\r\n",
        "",
    ] {
        refused(&send("POST", "/api/v1/shot", kind), 415);
    }
    let json = "Content-Type: application/json\r\n";
    assert_eq!(
        send(
            "POST",
            "/api/v1/shot",
            "Content-Type: application/json; charset=utf-8\r\n"
        )
        .status,
        200
    );
    for route in ["shot", "places", "pocket", "gear"] {
        refused(&send("GET", &format!("/api/v1/{route}"), json), 405);
        refused(&send("PUT", &format!("/api/v1/{route}"), json), 405);
        refused(&send("DELETE", &format!("/api/v1/{route}"), json), 405);
    }
    refused(&send("POST", "/", json), 405);
}

#[test]
fn bad_bodies_are_refused_with_a_sentence() {
    let server = Server::start();
    let send = |body: &[u8]| server.post_bytes("/api/v1/shot", body);
    for body in [
        "",
        "{",
        "{}x",
        "nonsense",
        "{\"cue\": NaN}",
        "{\"cue\": Infinity}",
        "{\"cue\": \"3,1\",}",
        "{\"cue\": \"\\ud800\"}",
    ] {
        refused(&send(body.as_bytes()), 400);
    }
    refused(&send(b"{\"cue\": \"\xff\xfe\"}"), 400);
    refused(&send("{\"x\":".repeat(10_000).as_bytes()), 400);
    refused(&send("[".repeat(20_000).as_bytes()), 422);
    let with = |change: Value| {
        let mut body = shot_json();
        for (key, value) in change.as_object().unwrap() {
            body[key] = value.clone();
        }
        send(body.to_string().as_bytes())
    };
    for change in [
        json!({"cue": 3}),
        json!({"cue": "NaN,1"}),
        json!({"cue": "1e999,1"}),
        json!({"cue": "9,1"}),
        json!({"cue": "6,2.6"}),
        json!({"pocket": "the-big-one"}),
        json!({"pace": "fast"}),
        json!({"pace": "NaN m/s"}),
        json!({"pace": "-1m/s"}),
        json!({"side": "inf"}),
        json!({"roll": "1", "hit": "stun"}),
        json!({"cut": "30deg"}),
        json!({"level": "grandmaster"}),
        json!({"arm": "0deg"}),
        json!({"gear": "../../etc/passwd"}),
        json!({"gear": "/etc/hall.toml"}),
        json!({"gear": "tests/data/tight.toml"}),
        json!({"set": ["base=/etc/passwd"]}),
        json!({"set": ["pocket.corner.mouth=1mm"]}),
        json!({"set": ["no.such.key=1"]}),
        json!({"set": "pocket.corner.mouth=4in"}),
        json!({"whatever": true}),
        json!({"band": "yes"}),
    ] {
        refused(&with(change), 422);
    }
    refused(&send(b"{}"), 422);
    refused(&send(b"[1, 2]"), 422);
    for size in [0, 1, 257, 1_000_000_000_000_u64] {
        let mut body = shot_json();
        body["columns"] = json!(size);
        refused(&post(&server, "/api/v1/places", &body), 422);
    }
    let many = json!({"approaches": "-80deg..80deg/0.1deg"});
    refused(&post(&server, "/api/v1/pocket", &many), 422);
    let big = json!({"cue": "x".repeat(70 * 1024)}).to_string();
    refused(&send(big.as_bytes()), 413);
}

#[test]
fn random_bodies_never_break_a_handler() {
    let server = Server::start();
    let mut rng = Pcg64::seed_from_u64(20_010_703);
    let words = [
        "cue",
        "object",
        "pocket",
        "pace",
        "3,1",
        "6,2.6",
        "foot-left",
        "side-left",
        "NaN",
        "-1",
        "1e308m/s",
        "0.3",
        "set",
        "gear",
        "level",
        "club",
        "arm",
        "\u{0}",
        "💥",
        "frozen-left,1",
        "columns",
    ];
    for path in [
        "/api/v1/shot",
        "/api/v1/places",
        "/api/v1/pocket",
        "/api/v1/gear",
    ] {
        for _ in 0..120 {
            let mut body = if path.ends_with("shot") || path.ends_with("places") {
                shot_json()
            } else {
                json!({})
            };
            if path.ends_with("places") {
                body["columns"] = json!(4);
                body["rows"] = json!(3);
            }
            for _ in 0..rng.random_range(1..4) {
                let mut word = || words[rng.random_range(0..words.len())];
                let (key, value) = (word(), word());
                body[key] = if value.starts_with("set") {
                    json!([value])
                } else {
                    json!(value)
                };
            }
            let reply = post(&server, path, &body);
            assert!(reply.status < 500, "{path} {body}: {}", reply.text());
        }
    }
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
        let reply = explorer::try_raw(&server, head);
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

#[test]
fn token_guards_the_interface() {
    let server = Server::with_token();
    assert!(server.link().ends_with(&format!("/#token={TOKEN}")));
    let send = |more: &str| {
        let head = format!(
            "POST /api/v1/gear HTTP/1.1\r\nHost: {}\r\nContent-Type: application/json\r\nContent-Length: 2\r\n{more}\r\n{{}}",
            server.host()
        );
        raw(&server, &head)
    };
    refused(&send(""), 401);
    refused(&send("Authorization: Bearer \r\n"), 401);
    refused(
        &send(&format!("Authorization: Bearer {}\r\n", &TOKEN[1..])),
        401,
    );
    refused(&send(&format!("Authorization: Basic {TOKEN}\r\n")), 401);
    assert_eq!(
        send(&format!("Authorization: Bearer {TOKEN}\r\n")).status,
        200
    );
    let page = raw(
        &server,
        &format!("GET / HTTP/1.1\r\nHost: {}\r\n\r\n", server.host()),
    );
    assert_eq!(page.status, 200, "the page itself is no secret");
    assert!(!page.text().contains(TOKEN));
}

#[test]
fn beyond_this_machine_only_with_a_good_token() {
    let runtime = tokio::runtime::Runtime::new().unwrap();
    let bind = |change: fn(&mut thincut::explorer::Options)| {
        let mut options = options();
        change(&mut options);
        runtime.block_on(Explorer::bind(options))
    };
    let everywhere = IpAddr::V4(Ipv4Addr::UNSPECIFIED);
    assert_eq!(everywhere.to_string(), "0.0.0.0");
    let open = bind(|o| o.bind = IpAddr::V4(Ipv4Addr::UNSPECIFIED));
    assert!(matches!(open, Err(ExplorerError::TokenNeeded(a)) if a == everywhere));
    let weak = bind(|o| o.token = Some("letmein".to_owned()));
    assert!(matches!(weak, Err(ExplorerError::WeakToken)));
    let odd = bind(|o| o.hosts = vec!["http://x/".to_owned()]);
    assert!(matches!(odd, Err(ExplorerError::BadHost(h)) if h == "http://x/"));
}

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

#[test]
fn document_says_what_the_handlers_do() {
    let server = Server::start();
    let head = format!(
        "GET /api/v1/openapi.json HTTP/1.1\r\nHost: {}\r\n\r\n",
        server.host()
    );
    let document = raw(&server, &head).json();
    assert_eq!(document["openapi"], "3.1.0");
    let paths = document["paths"].as_object().unwrap();
    for wanted in [
        "/api/v1/shot",
        "/api/v1/places",
        "/api/v1/pocket",
        "/api/v1/gear",
    ] {
        assert!(paths.contains_key(wanted), "{wanted}");
    }
    for (path, operations) in paths {
        for (method, operation) in operations.as_object().unwrap() {
            assert_eq!(method, "post", "{path}: reads are POST with JSON here");
            let body = &operation["requestBody"]["content"]["application/json"];
            let example = &body["example"];
            explorer::conforms(
                &document,
                &body["schema"],
                example,
                &format!("{path} request"),
            );
            let reply = post(&server, path, example);
            assert_eq!(reply.status, 200, "{path}: {}", reply.text());
            let content = operation["responses"]["200"]["content"]
                .as_object()
                .unwrap();
            let (kind, response) = content.iter().next().unwrap();
            assert_eq!(reply.header("content-type"), Some(kind.as_str()), "{path}");
            if kind == "application/json" {
                explorer::conforms(&document, &response["schema"], &reply.json(), path);
            }
            let fault =
                operation["responses"]["4XX"]["content"]["application/json"]["schema"].clone();
            let wrong = post(&server, path, &json!({"no-such-option": 1}));
            assert_eq!(wrong.status, 422, "{path}");
            explorer::conforms(&document, &fault, &wrong.json(), path);
        }
    }
}
