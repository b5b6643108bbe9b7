//! Who may ask, and in what form.

use std::net::{IpAddr, Ipv4Addr};

use thincut::field::Field;
use thincut::page::{Explorer, ExplorerError};

use serde_json::{Value, json};

use super::{refused, shot_json};
use crate::explorer::{PHONES, Server, TOKEN, demo_log, options, post, raw};

/// What a page asks for.
fn own_files(server: &Server, page: &str) -> Vec<String> {
    let html = raw(
        server,
        &format!("GET {page} HTTP/1.1\r\nHost: {}\r\n\r\n", server.host()),
    )
    .text();
    let head = html.split("<body").next().unwrap();
    let quoted = |mark| {
        head.split(mark)
            .skip(1)
            .filter_map(|t: &str| t.split('"').next())
    };
    let all = quoted("href=\"").chain(quoted("src=\""));
    all.map(str::to_owned).collect()
}

/// A browser keeps what is named by its content, and asks for the page itself each time.
#[test]
fn files_are_kept_by_their_names_and_the_page_is_asked_for() {
    let server = Server::start();
    let keep = |path: &str| {
        let ask = format!("GET {path} HTTP/1.1\r\nHost: {}\r\n\r\n", server.host());
        let reply = raw(&server, &ask);
        assert_eq!(reply.status, 200, "{path}");
        reply.header("cache-control").unwrap().to_owned()
    };
    for path in own_files(&server, "/") {
        assert!(keep(&path).contains("immutable"), "{path}");
    }
    assert_eq!(keep("/"), "no-cache");
    let answer = post(&server, "/api/v1/shot", &shot_json());
    assert_eq!(answer.header("cache-control"), Some("no-store"));
}

#[test]
fn page_is_served_with_safe_headers_and_no_inline_code() {
    let server = Server::start();
    let mut paths: Vec<String> = ["/", "/tally", "/worker.js", "/?cue=3,1"]
        .map(str::to_owned)
        .into();
    for page in ["/", "/tally"] {
        let files = own_files(&server, page);
        assert_eq!(files.len(), 3, "an icon, a style, a script: {files:?}");
        paths.extend(files);
    }
    for path in paths {
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
    for route in ["shot", "places", "pocket", "gear", "choose", "layout"] {
        refused(&send("GET", &format!("/api/v1/{route}"), json), 405);
        refused(&send("PUT", &format!("/api/v1/{route}"), json), 405);
        refused(&send("DELETE", &format!("/api/v1/{route}"), json), 405);
    }
    refused(&send("POST", "/", json), 405);
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
fn the_phones_link_counts_and_looks() {
    let (_folder, path) = demo_log();
    let server = Server::shared(&path);
    let phone = |path: &str, body: &Value| server.post_as(PHONES, &format!("/api/v1/{path}"), body);
    let shot = shot_json();
    for (path, body) in [
        ("shot", &shot),
        ("gear", &json!({})),
        ("sheets", &json!({})),
        ("tally", &json!({ "shot": shot })),
    ] {
        assert_eq!(phone(path, body).status, 200, "{path}");
    }
    // Who is in the log is told to the coach.
    let told = phone("students", &json!({})).json();
    assert_eq!(told, json!({"log": true, "all": false, "students": []}));
    let all = server.post_as(TOKEN, "/api/v1/students", &json!({})).json();
    assert_eq!(all["all"], true);
    let label = all["students"][0]["label"].as_str().unwrap().to_owned();
    for (path, body) in [
        ("skill", json!({"student": label})),
        ("student", json!({"label": "Z"})),
        ("keep", json!({})),
        ("ladder", json!({})),
        ("marks", json!({"students": ["A=club"]})),
        ("sheet", json!({})),
        ("preview", json!({})),
        ("nowhere", json!({})),
    ] {
        let reply = phone(path, &body);
        refused(&reply, 403);
        assert!(reply.text().contains("coach's link"), "{}", reply.text());
    }
    // Nor does a student's skill come out as a player or a chart.
    let mut of_student = shot_json();
    of_student["student"] = json!(label);
    refused(&phone("shot", &of_student), 403);
    let evenings = json!({"name": "skill-evenings", "student": label});
    refused(&phone("chart", &evenings), 403);
    assert_eq!(
        server.post_as(TOKEN, "/api/v1/chart", &evenings).status,
        200
    );
    // A token that is neither.
    refused(&server.post_as(&"x".repeat(32), "/api/v1/shot", &shot), 401);
}

#[test]
fn beyond_this_machine_only_with_a_good_token() {
    let runtime = tokio::runtime::Runtime::new().unwrap();
    let bind = |change: fn(&mut thincut::page::Options)| {
        let mut options = options();
        change(&mut options);
        runtime.block_on(Explorer::bind(options))
    };
    let everywhere = IpAddr::V4(Ipv4Addr::UNSPECIFIED);
    assert_eq!(everywhere.to_string(), "0.0.0.0");
    let open = bind(|o| o.bind = IpAddr::V4(Ipv4Addr::UNSPECIFIED));
    assert!(matches!(open, Err(ExplorerError::TokenNeeded(a)) if a == everywhere));
    let weak = bind(|o| o.token = Some("0123456789abcdef01234".to_owned()));
    assert!(matches!(
        weak,
        Err(ExplorerError::WeakToken {
            field: Field::Token,
            length: 21
        })
    ));
    let alone = bind(|o| o.phones = Some(TOKEN.to_owned()));
    assert!(matches!(alone, Err(ExplorerError::PhonesToken)));
    let odd = bind(|o| o.hosts = vec!["http://x/".to_owned()]);
    assert!(matches!(odd, Err(ExplorerError::BadHost(h)) if h == "http://x/"));
}
