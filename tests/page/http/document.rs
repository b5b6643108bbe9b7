//! The OpenAPI document says what the handlers do.

use std::process::Command;

use serde_json::{Value, json};
use thincut::columns::Columns;
use thincut::player::PlayerRequest;
use thincut::request::{PlacesRequest, StrokeRequest};

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
        "/api/v1/advice",
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

/// Descriptions come from the code, where the command line's options do too.
#[test]
fn what_the_document_says_is_said_to_everybody() {
    let server = Server::start();
    let head = format!(
        "GET /api/v1/openapi.json HTTP/1.1\r\nHost: {}\r\n\r\n",
        server.host()
    );
    let mut described = 0;
    said_to_everybody(&raw(&server, &head).json(), &mut described);
    assert!(described > 400, "only {described} descriptions");
}

fn said_to_everybody(part: &Value, described: &mut usize) {
    if let Some(says) = part["description"].as_str() {
        *described += 1;
        assert!(!says.contains("--") && !says.contains("thincut "), "{says}");
    }
    let told_above = part["description"].is_string()
        && part["required"].as_array().is_some_and(|r| r.len() == 1);
    for (name, property) in part["properties"].as_object().into_iter().flatten() {
        let kind = &property["type"];
        let plain = kind.is_string() || kind.is_array();
        // A variant of several is told as a whole.
        let told = told_above || property["description"].is_string() || kind == "object";
        assert!(told || !plain, "{name} is not described");
    }
    match part {
        Value::Object(map) => {
            for (_, part) in map.iter().filter(|(name, _)| *name != "example") {
                said_to_everybody(part, described);
            }
        }
        Value::Array(parts) => parts.iter().for_each(|p| said_to_everybody(p, described)),
        _ => {}
    }
}

/// Options, columns of tables of shots and the interface's document are made from one struct.
#[test]
fn a_field_of_a_shot_is_known_everywhere() {
    let program = env!("CARGO_BIN_EXE_thincut");
    let server = Server::start();
    let head = format!(
        "GET /api/v1/openapi.json HTTP/1.1\r\nHost: {}\r\n\r\n",
        server.host()
    );
    let document = raw(&server, &head).json();
    let body = &document["paths"]["/api/v1/shot"]["post"]["requestBody"];
    let asked = &body["content"]["application/json"]["schema"]["properties"];
    let (places, stroke) = (
        Columns::of::<PlacesRequest>(),
        Columns::of::<StrokeRequest>(),
    );
    let player = Columns::of::<PlayerRequest>();
    let names: Vec<&str> = places
        .names()
        .chain(stroke.names())
        .chain(player.names())
        .collect();
    assert!(names.contains(&"to-pocket") && names.contains(&"stroke-growth"));
    let folder = tempfile::tempdir().unwrap();
    for name in names {
        // Names of the first edition are taken but not shown.
        let taken = Command::new(program)
            .args(["shot", &format!("--{name}=?!")])
            .output()
            .unwrap();
        let told = String::from_utf8(taken.stderr).unwrap();
        assert!(!told.contains("unexpected argument"), "no option {name}");
        assert!(asked[name]["description"].is_string(), "no property {name}");
        // A column that is read has its own say about a cell that makes no sense.
        let file = folder.path().join("shots.csv");
        let whole = [
            ("cut", "30deg"),
            ("cue-to-object", "1m"),
            ("to-pocket", "1m"),
        ];
        let others = whole.iter().filter(|(other, _)| *other != name);
        let (others, cells): (Vec<_>, Vec<_>) = others.copied().unzip();
        let table = format!("{name},{}\n?!,{}\n", others.join(","), cells.join(","));
        std::fs::write(&file, table).unwrap();
        let answers = Command::new(program)
            .arg("batch")
            .arg(&file)
            .output()
            .unwrap();
        let answers = String::from_utf8(answers.stderr).unwrap();
        assert!(answers.contains(name), "no column {name}: {answers}");
    }
}
