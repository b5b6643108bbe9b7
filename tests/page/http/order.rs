//! Who plays at which table: the coach says who is there, a phone calls the next one.

use serde_json::{Value, json};

use super::refused;
use crate::explorer::{PHONES, Server, TOKEN, demo_log};

fn ask(server: &Server, token: &str, body: &Value) -> Value {
    let reply = server.post_as(token, "/api/v1/order", body);
    assert_eq!(reply.status, 200, "{}", reply.text());
    reply.json()
}

fn seat(students: &[&str], tables: u32) -> Value {
    json!({"students": students, "tables": tables})
}

fn call(table: u32, from: &str) -> Value {
    json!({"next": table, "from": from})
}

fn told(tables: &[Option<&str>], waiting: &[&str]) -> Value {
    json!({"tables": tables, "waiting": waiting})
}

#[test]
fn everybody_has_a_turn_in_order() {
    let (_folder, path) = demo_log();
    let server = Server::shared(&path);
    assert_eq!(ask(&server, PHONES, &json!({})), told(&[], &[]));
    let first = ask(&server, TOKEN, &seat(&["K", "L", "M", "N", "P"], 2));
    assert_eq!(first, told(&[Some("K"), Some("L")], &["M", "N", "P"]));
    ask(&server, PHONES, &call(2, "L"));
    let now = ask(&server, PHONES, &call(1, "K"));
    assert_eq!(now, told(&[Some("N"), Some("M")], &["P", "L", "K"]));
    // Pressed twice, or on two phones at once, one comes; at a table that is none nobody does.
    assert_eq!(ask(&server, PHONES, &call(1, "K")), now);
    assert_eq!(ask(&server, PHONES, &json!({"next": 3})), now);
    assert_eq!(ask(&server, PHONES, &json!({"next": 0})), now);
    assert_eq!(ask(&server, TOKEN, &json!({})), now);
}

#[test]
fn who_comes_and_who_goes_leave_the_others_where_they_are() {
    let (_folder, path) = demo_log();
    let server = Server::shared(&path);
    ask(&server, TOKEN, &seat(&["K", "L", "M", "N", "P"], 2));
    ask(&server, PHONES, &call(1, "K"));
    // L goes home, Q comes.
    let now = ask(&server, TOKEN, &seat(&["K", "M", "N", "P", "Q", "Q"], 2));
    assert_eq!(now, told(&[Some("M"), Some("N")], &["P", "K", "Q"]));
    // A table less: who was at it plays next.
    let now = ask(&server, TOKEN, &seat(&["K", "M", "N", "P", "Q"], 1));
    assert_eq!(now, told(&[Some("M")], &["N", "P", "K", "Q"]));
    let now = ask(&server, TOKEN, &seat(&["M", "N"], 3));
    assert_eq!(now, told(&[Some("M"), Some("N"), None], &[]));
    // Where nobody waits one stays at the table.
    assert_eq!(ask(&server, PHONES, &call(1, "M")), now);
    assert_eq!(ask(&server, TOKEN, &seat(&[], 0)), told(&[], &[]));
}

#[test]
fn what_cannot_be_is_refused() {
    let (_folder, path) = demo_log();
    let server = Server::shared(&path);
    let no = |token: &str, body: &Value, status: u16, wanted: &str| {
        let reply = server.post_as(token, "/api/v1/order", body);
        refused(&reply, status);
        assert!(reply.text().contains(wanted), "{}", reply.text());
    };
    no(PHONES, &seat(&["K"], 1), 403, "the coach's to say");
    no(TOKEN, &seat(&["K", "Zoe"], 1), 422, "Zoe");
    no(TOKEN, &seat(&["K"], 31), 422, "at most 30");
    no(
        TOKEN,
        &json!({"students": ["K"]}),
        422,
        "students with tables",
    );
    no(
        TOKEN,
        &json!({"next": 1, "tables": 2}),
        422,
        "students with tables",
    );
    let many: Vec<&str> = vec!["K"; 61];
    no(TOKEN, &seat(&many, 2), 422, "at most 60");
    assert_eq!(ask(&server, TOKEN, &json!({})), told(&[], &[]));
}

/// Other tries of a student count from then on, in all that is said of that student, and of nobody else.
#[test]
fn a_period_of_one_student_counts_everywhere() {
    let (_folder, path) = demo_log();
    let server = Server::shared(&path);
    let post = |path: &str, body: &Value| {
        let reply = server.post_as(TOKEN, &format!("/api/v1/{path}"), body);
        assert_eq!(reply.status, 200, "{path}: {}", reply.text());
        reply.json()
    };
    let who = |label: &str| {
        let people = post("students", &json!({}));
        let all = people["students"].as_array().unwrap().clone();
        all.into_iter().find(|s| s["label"] == label).unwrap()
    };
    let shot = json!({"cue": "3,2.3", "object": "6,2.6", "pocket": "foot-left", "student": "K", "hand": "right"});
    let said = || post("shot", &shot)["headline"]["words"].clone();
    let climbs = || {
        let wishes = json!({"student": "K", "rungs": "1", "from": "6", "to": "6"});
        post("ladder", &wishes)["player"].clone()
    };
    let days = post("skill", &json!({"student": "K"}))["skill"]["by_day"].clone();
    let last_but_three = days.as_array().unwrap().iter().rev().nth(3).unwrap()["day"].clone();
    post("period", &json!({"student": "K", "since": "all"}));
    let (all, other) = (who("K"), who("L"));
    assert_eq!(all["counted"], all["tries"]);
    let everything = (said(), climbs());
    post("period", &json!({"student": "K", "since": last_but_three}));
    let later = who("K");
    assert_eq!(later["since"], last_but_three);
    assert!(
        later["counted"].as_u64() < all["counted"].as_u64(),
        "{later}"
    );
    let since = format!("since {}", last_but_three.as_str().unwrap());
    for (now, before) in [(said(), everything.0), (climbs(), everything.1)] {
        assert!(now.as_str().unwrap().contains(&since), "{now}");
        assert_ne!(now, before);
    }
    let skill = post("skill", &json!({"student": "K"}));
    assert!(
        skill["skill"]
            .to_string()
            .contains(last_but_three.as_str().unwrap())
    );
    assert_eq!(who("L"), other);
    // Back to what the page was started with.
    post("period", &json!({"student": "K"}));
    assert_eq!(who("K")["since"], Value::Null);
    let wrong = server.post_as(
        TOKEN,
        "/api/v1/period",
        &json!({"student": "K", "since": "soon"}),
    );
    refused(&wrong, 422);
    assert!(wrong.text().contains("since:"), "{}", wrong.text());
    refused(
        &server.post_as(
            PHONES,
            "/api/v1/period",
            &json!({"student": "K", "since": "all"}),
        ),
        403,
    );
}
