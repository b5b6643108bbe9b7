//! The shelf of shots over the wire: the coach's, in the log.

use serde_json::{Value, json};

use super::refused;
use crate::explorer::{PHONES, Server, TOKEN, demo_log};

#[test]
fn the_shelf_is_the_coach_s_and_in_the_log() {
    let (_folder, path) = demo_log();
    let server = Server::shared(&path);
    let ask = |body: &Value| {
        let reply = server.post_as(TOKEN, "/api/v1/shelf", body);
        assert_eq!(reply.status, 200, "{}", reply.text());
        reply.json()["shots"].as_array().unwrap().clone()
    };
    assert_eq!(ask(&json!({})), Vec::<Value>::new());
    let two = json!({"add": [{"name": "One", "shot": "?cue=3,2.3"}, {"name": "Two", "shot": "?cue=1,1"}]});
    let shots = ask(&two);
    assert_eq!(shots[1]["name"], "Two");
    let now = ask(&json!({"earlier": shots[1]["id"]}));
    assert_eq!(now[0], shots[1]);
    let now = ask(&json!({"rename": {"id": shots[0]["id"], "name": "First"}}));
    assert_eq!(now[1]["name"], "First");
    ask(&json!({"later": shots[1]["id"]}));
    // Another program, or the next evening, has it too.
    let there = thincut::log::Log::open_existing(&path)
        .unwrap()
        .shelf()
        .unwrap();
    let names: Vec<&str> = there.iter().map(|s| s.name.as_str()).collect();
    assert_eq!(names, ["First", "Two"]);
    let now = ask(&json!({"remove": shots[0]["id"]}));
    assert_eq!(now, [shots[1].clone()]);
    let wrong = |body: &Value, wanted: &str| {
        let reply = server.post_as(TOKEN, "/api/v1/shelf", body);
        refused(&reply, 422);
        assert!(reply.text().contains(wanted), "{}", reply.text());
    };
    wrong(
        &json!({"add": [{"name": "", "shot": "?cue=1,1"}]}),
        "name: give 1 to 60",
    );
    wrong(&json!({"remove": 1, "later": 2}), "one of add, rename");
    refused(&server.post_as(PHONES, "/api/v1/shelf", &json!({})), 403);
}
