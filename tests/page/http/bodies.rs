//! Bodies that are no question: a sentence that helps, never a fault of the server.

use rand::{Rng as _, SeedableRng as _};
use rand_pcg::Pcg64;
use serde_json::{Value, json};

use super::{refused, shot_json};
use crate::explorer::{Server, post};

/// Each refusal names what was given and what is taken.
#[test]
fn more_than_can_be_worked_out_is_refused() {
    let server = Server::start();
    let told = |path: &str, change: &Value, words: &[&str]| {
        let mut body = match path {
            "ladder" => json!({"level": "club"}),
            _ => shot_json(),
        };
        for (key, value) in change.as_object().unwrap() {
            body[key] = value.clone();
        }
        let reply = post(&server, &format!("/api/v1/{path}"), &body);
        refused(&reply, 422);
        for word in words {
            assert!(reply.text().contains(word), "{word}: {}", reply.text());
        }
    };
    for path in ["chart", "picture"] {
        told(
            path,
            &json!({"name": "pace", "size": "8000x8000"}),
            &["8000x8000 is 64000000 pixels", "at most 16000000"],
        );
    }
    let places: Vec<String> = (0..22)
        .map(|k| format!("{},1", 0.3 * f64::from(k)))
        .collect();
    told(
        "ladder",
        &json!({"obstacle": places}),
        &["obstacle", "22", "21"],
    );
    told(
        "aims",
        &json!({"methods": vec!["ghost-ball"; 5000]}),
        &["methods", "5000", "at most 40"],
    );
    told("ladder", &json!({"rungs": "41"}), &["41", "40"]);
    told(
        "places",
        &json!({"columns": 257}),
        &["columns is 257", "256"],
    );
    let balls: Vec<String> = (0..22)
        .map(|k| {
            format!(
                "b{k},{},{}",
                0.5 + 0.5 * f64::from(k % 11),
                0.5 + f64::from(k / 11)
            )
        })
        .collect();
    told(
        "shot",
        &json!({"balls": balls}),
        &["23 object balls", "at most 22"],
    );
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
        json!({"table": "../../etc/passwd"}),
        json!({"table": "/etc/hall.toml"}),
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
        "layout",
        "ball,x,y\ncue,1,1\n2,3,NaN\n",
        "balls",
        "hand",
        "reach",
    ];
    for path in [
        "/api/v1/shot",
        "/api/v1/places",
        "/api/v1/pocket",
        "/api/v1/gear",
        "/api/v1/layout",
        "/api/v1/choose",
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

/// The page has keys, not options, and no commands to type.
#[test]
fn faults_name_keys() {
    let server = Server::start();
    for (body, says) in [
        (
            json!({"cue": "3,1"}),
            "object is missing: give cue, object and pocket",
        ),
        (
            json!({"cut": "30", "cue-to-object": "1m", "to-pocket": "1m"}),
            "cut: ",
        ),
        (
            json!({"cut": "30deg", "cue-to-object": "1cm", "to-pocket": "1m"}),
            "cue-to-object: the cue ball",
        ),
        (
            json!({"cue": "3,1", "cut": "30deg"}),
            "(cue object pocket) or by angles (cut cue-to-object to-pocket)",
        ),
        (
            json!({"cut": "30deg", "cue-to-object": "1m", "to-pocket": "1m", "roll": "1", "hit": "stun"}),
            "roll and hit say the same thing twice",
        ),
        (json!({"set": ["ball"]}), "set ball: write KEY=VALUE"),
    ] {
        let reply = post(&server, "/api/v1/shot", &body);
        refused(&reply, 422);
        let text = reply.text();
        assert!(
            text.contains(says) && !text.contains("--"),
            "{body}: {text}"
        );
    }
    for path in [
        "shot", "choose", "ladder", "marks", "pocket", "layout", "gear", "tap", "student",
    ] {
        let reply = post(&server, &format!("/api/v1/{path}"), &json!("nothing"));
        refused(&reply, 422);
        let text = reply.text();
        assert!(text.contains("expected an object"), "{path}: {text}");
    }
}
