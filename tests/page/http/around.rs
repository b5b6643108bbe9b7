//! What stands round a shot counts in the charts and the views as it does in the answer; ladders
//! know hand, reach and balls in the way; long work holds up no drag.

use std::process::Command;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

use serde_json::{Value, json};
use thincut::draw::text::{Weight, width};

use super::{refused, shot_json};
use crate::explorer::{Server, demo_log, post, with_log};

/// In the way of the cue ball: all of it, and a part.
const CLOSED: &str = "7,4.5,2.45";
const PARTLY: &str = "7,4.5,2.584";

fn with(change: &Value) -> Value {
    let mut body = shot_json();
    body["level"] = json!("club");
    for (key, value) in change.as_object().unwrap() {
        body[key] = value.clone();
    }
    body
}

fn chart(server: &Server, name: &str, body: &Value) -> Value {
    let mut body = body.clone();
    body["name"] = json!(name);
    let reply = post(server, "/api/v1/chart", &body);
    assert_eq!(reply.status, 200, "{name}: {}", reply.text());
    reply.json()
}

/// The words of a picture, in a line.
fn said(answer: &Value) -> String {
    let document = roxmltree::Document::parse(answer["svg"].as_str().unwrap()).unwrap();
    let texts = document.descendants().filter(|n| n.is_text());
    let words: Vec<&str> = texts.filter_map(|n| n.text()).map(str::trim).collect();
    words.join(" ")
}

#[test]
fn a_blocked_shot_is_blocked_in_every_chart_of_it() {
    let server = Server::start();
    let body = with(&json!({"balls": [CLOSED], "called": "1"}));
    let shot = post(&server, "/api/v1/shot", &body).json();
    assert_eq!(shot["headline"]["number"], "Blocked");
    for name in ["shot", "pace", "why"] {
        let got = chart(&server, name, &body);
        assert_eq!(got["why"], shot["headline"]["words"], "{name}");
        assert_eq!(got["svg"], Value::Null);
    }
    // As a file there is nothing to hand out, and nothing to say of aims and errors.
    let mut file = body.clone();
    file["name"] = json!("why");
    for (path, body) in [
        ("/api/v1/picture", &file),
        ("/api/v1/budget", &body),
        ("/api/v1/aims", &body),
    ] {
        let reply = post(&server, path, body);
        refused(&reply, 422);
        let text = reply.text();
        assert!(text.contains("the 7 closes the path"), "{text}");
    }
    // Those that cannot count other balls say so.
    for name in ["pocket", "by-cut", "grid", "gear"] {
        let words = said(&chart(&server, name, &body));
        assert!(
            words.contains("Not counted here: the other balls"),
            "{name}: {words}"
        );
        let alone = said(&chart(&server, name, &with(&json!({"hand": "right"}))));
        assert!(!alone.contains("Not counted"), "{name}: {alone}");
    }
}

/// Width of the window drawn, degrees, and how many other balls.
fn window(server: &Server, body: &Value) -> (f64, usize) {
    let answer = chart(server, "shot", body);
    let document = roxmltree::Document::parse(answer["svg"].as_str().unwrap()).unwrap();
    let ends = document
        .descendants()
        .find_map(|n| n.attribute("data-window-rad"))
        .unwrap();
    let ends: Vec<f64> = ends
        .split_whitespace()
        .map(|t| t.parse().unwrap())
        .collect();
    let others = document.descendants();
    let others = others.filter(|n| n.attribute("class") == Some("other ball"));
    ((ends[1] - ends[0]).abs().to_degrees(), others.count())
}

#[test]
fn charts_show_what_other_balls_leave_and_where_they_stand() {
    let server = Server::start();
    let partly = with(&json!({"balls": [PARTLY], "called": "1"}));
    let shot = post(&server, "/api/v1/shot", &partly).json();
    let share = shot["others"]["blocked_share"].as_f64().unwrap();
    assert!(share > 0.05 && share < 0.95, "{share}");
    let (left, drawn) = window(&server, &partly);
    let (all, none) = window(&server, &with(&json!({})));
    assert!(drawn >= 1 && none == 0, "{drawn} {none}");
    let wanted = shot["shot"]["clean"]["total_deg"].as_f64().unwrap();
    assert!((left - wanted).abs() < 1e-6, "{left} {wanted}");
    assert!(left < all, "{left} {all}");
    let closed = with(&json!({"balls": [CLOSED], "called": "1"}));
    let map = chart(&server, "places", &closed);
    assert_ne!(
        map["svg"],
        chart(&server, "places", &with(&json!({})))["svg"]
    );
    let svg = map["svg"].as_str().unwrap();
    assert!(svg.contains("class=\"other ball\""));
}

#[test]
fn a_partly_blocked_shot_has_the_chance_that_choosing_gives_it() {
    let server = Server::start();
    let body = with(&json!({"balls": [PARTLY], "called": "1", "hand": "right", "range": true}));
    let shot = post(&server, "/api/v1/shot", &body).json();
    assert_eq!(shot["others"]["blockers"], json!(["7"]));
    let layout = format!("ball,x,y\ncue,3,2.3\n1,6,2.6\n{PARTLY}\n");
    let body = json!({"layout": layout, "level": "club", "hand": "right", "direct_only": true});
    let chosen = post(&server, "/api/v1/choose", &body).json();
    let mut listed = chosen["choice"]["shots"].as_array().unwrap().iter();
    let same = listed
        .find(|s| s["ball"] == "1" && s["pocket"] == "foot-left")
        .unwrap();
    for name in ["chance", "chance_low", "chance_high"] {
        let (one, other) = (
            shot["shot"][name].as_f64().unwrap(),
            same[name].as_f64().unwrap(),
        );
        assert!((one - other).abs() < 1e-6, "{name}: {one} {other}");
    }
    // And it costs something.
    let alone = post(&server, "/api/v1/shot", &with(&json!({"hand": "right"}))).json();
    let chance = |v: &Value| v["shot"]["chance"].as_f64().unwrap();
    assert!(chance(&shot) < chance(&alone) - 0.01);
}

#[test]
fn the_stance_counts_in_the_views() {
    let server = Server::start();
    // Ways of aiming and the budget's part of the aim have the speed as intended; a shot's chance is over
    // the speeds of the stroke. For a player whose speed does not spread they are the same.
    let far = with(&json!({
        "cue": "4,2", "hand": "right", "reach": "300mm", "speed-spread": "0"
    }));
    let chance = |body: &Value| {
        let shot = post(&server, "/api/v1/shot", body).json();
        shot["shot"]["chance"].as_f64().unwrap()
    };
    let wanted = chance(&far);
    let spread = chance(&with(
        &json!({"cue": "4,2", "hand": "right", "reach": "300mm"}),
    ));
    assert!(
        (1e-5..0.01).contains(&(spread - wanted).abs()),
        "{spread} {wanted}"
    );
    let aims = post(&server, "/api/v1/aims", &far).json();
    let mut told = aims["ways"].as_array().unwrap().iter();
    let right = told
        .find_map(|w| w["row"]["chance_right"].as_f64())
        .unwrap();
    assert!((right - wanted).abs() < 1e-9, "{right} {wanted}");
    let budget = post(&server, "/api/v1/budget", &far).json();
    let alone = budget["budget"]["makes_by_aim_alone"].as_f64().unwrap();
    assert!((alone - wanted).abs() < 1e-9, "{alone} {wanted}");
    let stance = budget["stance"].as_str().unwrap();
    assert!(stance.starts_with("Needs the rest"), "{stance}");
    let easy = with(&json!({"cue": "4,2", "hand": "right", "reach": "2.5m"}));
    let near = post(&server, "/api/v1/budget", &easy).json();
    assert_eq!(near["stance"], Value::Null);
    // The map says what its dark strips are.
    let stance = |body: &Value| post(&server, "/api/v1/places", body).json()["stance"].clone();
    assert_eq!(stance(&far), json!({"over_rail": true, "needs_rest": true}));
    assert_eq!(stance(&easy)["needs_rest"], false);
    assert_eq!(stance(&with(&json!({}))), Value::Null);
}

#[test]
fn another_table_is_compared_over_several_shots() {
    let server = Server::start();
    let words = said(&chart(&server, "gear", &with(&json!({}))));
    for wanted in [
        "this shot",
        "off the foot spot, straight",
        "side pocket, straight",
        "9-foot pool table",
        "7-foot bar table",
    ] {
        assert!(words.contains(wanted), "{wanted}: {words}");
    }
}

fn ladder(server: &Server, body: &Value) -> Value {
    let reply = post(server, "/api/v1/ladder", body);
    assert_eq!(reply.status, 200, "{}", reply.text());
    reply.json()
}

/// What the command draws up with these options.
fn command(options: &[&str]) -> Value {
    let usual = "ladder --level club --rungs 2 --from 8 --to 5 --format json";
    let done = Command::new(env!("CARGO_BIN_EXE_thincut"))
        .args(usual.split(' '))
        .args(options)
        .output()
        .unwrap();
    let fault = String::from_utf8_lossy(&done.stderr).into_owned();
    assert!(done.status.success(), "{fault}");
    serde_json::from_slice(&done.stdout).unwrap()
}

#[test]
fn ladders_know_hand_and_reach_and_are_kept_with_balls_in_the_way() {
    let (_folder, path) = demo_log();
    let server = Server::run(with_log(&path));
    let asked = json!({"level": "club", "rungs": "2", "from": "8", "to": "5"});
    let mut standing = asked.clone();
    (standing["hand"], standing["reach"]) = (json!("left"), json!("700mm"));
    let got = ladder(&server, &standing);
    let mut wanted = command(&["--hand", "left", "--reach", "700mm"]);
    wanted.as_object_mut().unwrap().remove("code");
    assert_eq!(got, wanted);
    assert_eq!(got["hand"], "left");
    assert_eq!(got["reach_mm"], 700.0);
    let mut wrong = asked.clone();
    wrong["reach"] = json!("0m");
    refused(&post(&server, "/api/v1/ladder", &wrong), 422);

    let mut past = asked;
    past["obstacle"] = json!(["4,2", "foot-spot"]);
    let got = ladder(&server, &past);
    let wanted = command(&["--obstacle", "4,2", "--obstacle", "foot-spot"]);
    assert_eq!(got["rungs"], wanted["rungs"]);
    let kept = post(&server, "/api/v1/keep", &json!({"ladder": got}));
    assert_eq!(kept.status, 200, "{}", kept.text());
    // The same sheet has the same code, wherever it was drawn up.
    assert_eq!(kept.json()["code"], wanted["code"]);
}

#[test]
fn long_work_holds_up_no_drag() {
    let server = Server::start();
    let finished = AtomicUsize::new(0);
    thread::scope(|scope| {
        let ladders: Vec<_> = (0..3)
            .map(|seed| {
                let (server, finished) = (&server, &finished);
                let body = json!({
                    "level": "club", "rungs": "10", "obstacle": ["4,2"], "hand": "right",
                    "seed": seed.to_string()
                });
                scope.spawn(move || {
                    let status = post(server, "/api/v1/ladder", &body).status;
                    finished.fetch_add(1, Ordering::SeqCst);
                    status
                })
            })
            .collect();
        for _ in 0..20 {
            assert_eq!(post(&server, "/api/v1/shot", &shot_json()).status, 200);
        }
        let map = with(&json!({"columns": 12, "rows": 6}));
        assert_eq!(post(&server, "/api/v1/places", &map).status, 200);
        let done = finished.load(Ordering::SeqCst);
        assert!(done < 3, "twenty shots and a map waited for all ladders");
        for one in ladders {
            // Three of them may take longer than an answer may.
            assert!(matches!(one.join().unwrap(), 200 | 408));
        }
    });
}

#[test]
fn charts_for_a_phone_keep_their_words_inside() {
    let server = Server::start();
    for name in ["pace", "pocket", "by-cut", "grid", "why", "gear"] {
        let mut body = with(&json!({}));
        body["size"] = json!("334x434");
        let answer = chart(&server, name, &body);
        let document = roxmltree::Document::parse(answer["svg"].as_str().unwrap()).unwrap();
        for text in document.descendants().filter(|n| n.has_tag_name("text")) {
            let number = |name: &str| text.attribute(name).and_then(|v| v.parse::<f64>().ok());
            let size = number("font-size").unwrap();
            let words = text.text().unwrap_or_default();
            assert!(size >= 8.9, "{name}: {words} {size}");
            // Upright ones are along the side, and have a place of their own.
            let (Some(x), None) = (number("x"), text.attribute("transform")) else {
                continue;
            };
            let wide = width(words, size, Weight::Regular);
            let left = match text.attribute("text-anchor") {
                Some("middle") => x - 0.5 * wide,
                Some("end") => x - wide,
                _ => x,
            };
            assert!(left > 0.0, "{name}: {words} begins at {left}");
        }
    }
}

/// Tries that are drawn are the player's: over many their share is the chance, and a seed draws the
/// same again.
#[test]
fn tries_one_by_one_are_the_chance() {
    let server = Server::start();
    for (cue, level) in [
        ("3,2.3", "club"),
        ("4.5,2.2", "first-evening"),
        ("2,2", "expert"),
    ] {
        let body = json!({
            "cue": cue, "object": "6,2.6", "pocket": "foot-left", "level": level, "tries": 250, "seed": 7
        });
        let got = post(&server, "/api/v1/attempts", &body).json();
        let tries = got["tries"].as_array().unwrap();
        assert_eq!(tries.len(), 250);
        let made = tries.iter().filter(|t| t["made"] == true).count();
        assert_eq!(got["made"], made);
        let mut shot = body.clone();
        for key in ["tries", "seed"] {
            shot.as_object_mut().unwrap().remove(key);
        }
        let chance = post(&server, "/api/v1/shot", &shot).json()["shot"]["chance"]
            .as_f64()
            .unwrap();
        // Three and a half standard deviations of so many tries, and what balls met beyond the
        // window's edges are good for.
        let off = (made as f64 - 250.0 * chance).abs();
        let spread = (250.0 * chance * (1.0 - chance)).sqrt();
        assert!(
            off < 3.5 * spread + 2.0,
            "{level}: {made} of 250 at {chance}"
        );
        // A miss is on one side of the aim; a make is not.
        for one in tries {
            assert!(one["made"] == false || one["too_full"].is_null());
            assert!(one["object"].as_array().unwrap().len() != 1);
        }
        assert_eq!(post(&server, "/api/v1/attempts", &body).json(), got);
    }
    let many = json!({"cue": "3,2.3", "object": "6,2.6", "pocket": "foot-left", "level": "club", "tries": 1001});
    assert_eq!(post(&server, "/api/v1/attempts", &many).status, 422);
}
