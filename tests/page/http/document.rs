//! The OpenAPI document says what the handlers do.

use serde_json::json;

use crate::explorer::{Server, conforms, demo_log, post, raw, with_log};

#[test]
fn document_says_what_the_handlers_do() {
    let (_folder, log) = demo_log();
    let server = Server::run(with_log(&log));
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
        "/api/v1/chart",
        "/api/v1/picture",
        "/api/v1/budget",
        "/api/v1/aims",
        "/api/v1/ladder",
        "/api/v1/marks",
        "/api/v1/sheet",
        "/api/v1/keep",
        "/api/v1/skill",
        "/api/v1/students",
        "/api/v1/tally",
        "/api/v1/tap",
        "/api/v1/untap",
        "/api/v1/choose",
        "/api/v1/layout",
    ] {
        assert!(paths.contains_key(wanted), "{wanted}");
    }
    for (path, operations) in paths {
        for (method, operation) in operations.as_object().unwrap() {
            assert_eq!(method, "post", "{path}: reads are POST with JSON here");
            let body = &operation["requestBody"]["content"]["application/json"];
            let example = &body["example"];
            conforms(
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
                conforms(&document, &response["schema"], &reply.json(), path);
            }
            let fault =
                operation["responses"]["4XX"]["content"]["application/json"]["schema"].clone();
            let wrong = post(&server, path, &json!({"no-such-option": 1}));
            assert_eq!(wrong.status, 422, "{path}");
            conforms(&document, &fault, &wrong.json(), path);
        }
    }
}
