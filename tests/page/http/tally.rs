//! Counting at the table: into the log at once, once only, and back out precisely.

use std::sync::atomic::{AtomicU32, Ordering};

use serde_json::{Value, json};
use thincut::log::{Filter, Log, PassMark, Sheet, SheetKind, ShotEntered, Student};
use thincut::request::{PlacesRequest, ShotRequest, StrokeRequest};

use super::{refused, shot_json};
use crate::explorer::{PHONES, Server, TOKEN, log_with, options, post, raw, with_log};

const WHEN: &str = "2025-11-25T19:30:00.001+01:00";

fn entered(cue: &str) -> ShotEntered {
    ShotEntered {
        request: ShotRequest {
            places: PlacesRequest {
                cue: Some(cue.to_owned()),
                object: Some("6,2.6".to_owned()),
                pocket: Some("foot-left".to_owned()),
                ..PlacesRequest::default()
            },
            stroke: StrokeRequest::default(),
        },
        gear: "pool-9ft".to_owned(),
        set: Vec::new(),
    }
}

/// Students A and B, a ladder of two rungs, a mark for each of them.
fn evening(log: &mut Log) -> (String, String) {
    let day = "2025-11-25".parse().unwrap();
    for label in ["A", "B"] {
        log.set_student(&Student::named(label), &day).unwrap();
    }
    let shots = |owners: [Option<&str>; 2]| {
        let cues = ["3,2.3", "2,2"];
        let pairs = owners.into_iter().zip(cues);
        pairs
            .map(|(o, cue)| (o.map(str::to_owned), entered(cue)))
            .collect()
    };
    let sheet = |kind, owners| Sheet::of_shots(kind, "Tuesday".to_owned(), shots(owners)).unwrap();
    let ladder = log.save_sheet(&sheet(SheetKind::Ladder, [None, None]));
    let marks = log.save_sheet(&sheet(SheetKind::Marks, [Some("A"), Some("B")]));
    (ladder.unwrap(), marks.unwrap())
}

fn tap(code: &str, rung: u32, student: &str, outcome: &str, when: &str) -> Value {
    json!({"code": code, "rung": rung, "student": student, "outcome": outcome, "when": when})
}

#[test]
fn each_try_is_in_the_log_at_once_and_only_once() {
    let mut codes = (String::new(), String::new());
    let (_folder, path) = log_with(|log| codes = evening(log));
    let server = Server::run(with_log(&path));
    let rows = || {
        let log = Log::open_existing(&path).unwrap();
        log.attempts(&Filter::default()).unwrap()
    };
    let body = tap(&codes.0, 2, "A", "full", WHEN);
    let first = post(&server, "/api/v1/tap", &body).json();
    assert_eq!(first["again"], false);
    let written = rows();
    let [row] = written.as_slice() else {
        panic!("{written:?}");
    };
    assert_eq!((row.tries, row.made, row.rung), (1, 0, Some(2)));
    assert_eq!(row.misses.unwrap().full, 1);
    assert_eq!(row.sheet.as_deref(), Some(codes.0.as_str()));
    assert_eq!(row.when.as_str(), WHEN);
    assert!(row.windows.is_some(), "a skill can use it");
    // The answer was lost and the phone sends again.
    let again = post(&server, "/api/v1/tap", &body).json();
    assert_eq!(again, json!({"entry": first["entry"], "again": true}));
    assert_eq!(rows().len(), 1);
    // A millisecond later it is another try.
    let later = tap(&codes.0, 2, "A", "full", "2025-11-25T19:30:00.002+01:00");
    let second = post(&server, "/api/v1/tap", &later).json();
    assert_eq!(second["again"], false);
    post(&server, "/api/v1/tap", &tap(&codes.0, 2, "B", "made", WHEN));
    let counted = post(&server, "/api/v1/tally", &json!({"code": codes.0})).json();
    assert_eq!(
        counted["counts"],
        json!([
            {"student": "A", "rung": 2, "tries": 2, "made": 0, "full": 2, "thin": 0, "short": 0, "scratch": 0},
            {"student": "B", "rung": 2, "tries": 1, "made": 1, "full": 0, "thin": 0, "short": 0, "scratch": 0}
        ])
    );
    // Taking back takes back that very try, though others came after it; twice asked, gone once.
    let back = json!({"entry": first["entry"]});
    let gone = post(&server, "/api/v1/untap", &back).json();
    assert_eq!(gone["gone"], true);
    assert_eq!(post(&server, "/api/v1/untap", &back).json()["gone"], false);
    let left: Vec<_> = rows().into_iter().map(|a| (a.student, a.made)).collect();
    assert_eq!(left, [("A".to_owned(), 0), ("B".to_owned(), 1)]);
}

#[test]
fn a_shot_of_ones_own_is_counted_by_itself() {
    let (_folder, path) = log_with(|log| {
        evening(log);
    });
    let server = Server::run(with_log(&path));
    let mut body = json!({"student": "B", "outcome": "thin", "when": WHEN, "shot": shot_json()});
    assert_eq!(post(&server, "/api/v1/tap", &body).status, 200);
    body["shot"]["cue"] = json!("2.5,2");
    body["shot"]["set"] = json!(["pocket.corner.mouth=4.25in"]);
    assert_eq!(post(&server, "/api/v1/tap", &body).status, 200);
    let counted = post(&server, "/api/v1/tally", &json!({"shot": body["shot"]})).json();
    let one = json!([{"student": "B", "rung": null, "tries": 1, "made": 0, "full": 0, "thin": 1, "short": 0, "scratch": 0}]);
    assert_eq!(counted["counts"], one);
    assert_eq!(counted["students"], json!(["A", "B"]));
    let log = Log::open_existing(&path).unwrap();
    let rows = log.attempts(&Filter::default()).unwrap();
    assert_eq!(rows[1].shot.gear, "pool-9ft");
    assert_eq!(rows[1].shot.set, ["pocket.corner.mouth=4.25in"]);
    // The tighter table leaves less room, and that is what was recorded.
    let clean = |k: usize| rows[k].windows.as_ref().unwrap().clean.as_ref().unwrap();
    assert!(clean(1).thick_deg + clean(1).thin_deg < clean(0).thick_deg + clean(0).thin_deg);
}

/// A ball that stopped short and a cue ball that went in are misses with a name of their own.
#[test]
fn short_and_scratch_are_kinds_of_misses() {
    let mut codes = (String::new(), String::new());
    let (_folder, path) = log_with(|log| codes = evening(log));
    let server = Server::run(with_log(&path));
    for (ms, outcome) in ["short", "scratch", "scratch", "made"].iter().enumerate() {
        let when = format!("2025-11-25T19:30:00.{ms:03}+01:00");
        let reply = post(
            &server,
            "/api/v1/tap",
            &tap(&codes.0, 1, "A", outcome, &when),
        );
        assert_eq!(reply.status, 200, "{}", reply.text());
    }
    let log = Log::open_existing(&path).unwrap();
    let kinds: Vec<_> = log
        .attempts(&Filter::default())
        .unwrap()
        .into_iter()
        .map(|a| (a.made, a.misses.map(|m| (m.short, m.scratch, m.not_seen))))
        .collect();
    assert_eq!(
        kinds,
        [
            (0, Some((1, 0, 0))),
            (0, Some((0, 1, 0))),
            (0, Some((0, 1, 0))),
            (1, None)
        ]
    );
    let counted = post(&server, "/api/v1/tally", &json!({"code": codes.0})).json();
    assert_eq!(
        counted["counts"],
        json!([{"student": "A", "rung": 1, "tries": 4, "made": 1, "full": 0, "thin": 0, "short": 1, "scratch": 2}])
    );
}

/// Enough makes of a series pass a rung; a full series without them ends, another day begins another, and what
/// was passed stays passed.
#[test]
fn series_pass_rungs() {
    let mut code = String::new();
    let (_folder, path) = log_with(|log| {
        let (ladder, _) = evening(log);
        let (_, mut sheet) = log.find_sheet(&ladder).unwrap();
        for rung in &mut sheet.rungs {
            rung.pass = Some(PassMark { makes: 2, tries: 3 });
        }
        code = log.save_sheet(&sheet).unwrap();
    });
    let server = Server::run(with_log(&path));
    let mut ms = 0;
    let mut play = |day: &str, student: &str, rung: u32, outcomes: &str| {
        for outcome in outcomes.chars() {
            ms += 1;
            let when = format!("2025-11-{day}T19:30:00.{ms:03}+01:00");
            let outcome = if outcome == 'o' { "made" } else { "unseen" };
            let reply = post(
                &server,
                "/api/v1/tap",
                &tap(&code, rung, student, outcome, &when),
            );
            assert_eq!(reply.status, 200, "{}", reply.text());
        }
    };
    let stand = |student: &str, rung: u32| {
        let counted = post(&server, "/api/v1/tally", &json!({"code": code})).json();
        assert_eq!(counted["rungs"][0]["pass"], json!({"makes": 2, "tries": 3}));
        let all = counted["standings"].as_array().unwrap();
        let found = all
            .iter()
            .find(|s| s["student"] == student && s["rung"] == rung);
        found
            .cloned()
            .map(|s| json!([s["series"], s["ended"], s["passed"]]))
    };
    let score = |made: u32, tries: u32| json!({"made": made, "tries": tries});
    assert_eq!(stand("A", 1), None);
    // Two makes of the first two are enough: the third cannot take them away.
    play("25", "A", 1, "o");
    assert_eq!(stand("A", 1), Some(json!([score(1, 1), null, null])));
    play("25", "A", 1, "o");
    assert_eq!(stand("A", 1), Some(json!([score(0, 0), null, score(2, 2)])));
    // One of three is not; the next series may.
    play("25", "A", 2, "oxx");
    assert_eq!(stand("A", 2), Some(json!([score(0, 0), score(1, 3), null])));
    play("25", "A", 2, "xoo");
    assert_eq!(stand("A", 2), Some(json!([score(0, 0), null, score(2, 3)])));
    // Yesterday's makes are of another series, but what was passed yesterday is passed.
    play("24", "B", 1, "oo");
    play("24", "B", 2, "o");
    play("25", "B", 2, "x");
    assert_eq!(stand("B", 1), Some(json!([score(0, 0), null, score(2, 2)])));
    assert_eq!(stand("B", 2), Some(json!([score(0, 1), null, null])));
    // A mark that cannot be is refused with its rung.
    let mut log = Log::open_existing(&path).unwrap();
    let (_, mut sheet) = log.find_sheet(&code).unwrap();
    sheet.rungs[1].pass = Some(PassMark { makes: 4, tries: 3 });
    let refused = log.save_sheet(&sheet).unwrap_err().to_string();
    assert!(refused.contains("rung 2: pass 4 of 3"), "{refused}");
}

#[test]
fn wrong_tries_are_refused_and_nothing_is_written() {
    let mut codes = (String::new(), String::new());
    let (_folder, path) = log_with(|log| codes = evening(log));
    let server = Server::run(with_log(&path));
    let wrong = [
        (tap(&codes.0, 3, "A", "made", WHEN), "rungs 1 to 2"),
        (tap(&codes.0, 1, "Z", "made", WHEN), "Z"),
        (
            tap(&codes.0, 1, "A", "won", WHEN),
            "is none of made, full, thin, short, scratch, unseen",
        ),
        (tap(&codes.0, 1, "A", "made", "soon"), "is no date"),
        (
            tap(&codes.0, 1, "A", "made", "0001-01-01T00:00:00.001Z"),
            "when: 0001-01-01T00:00:00.001Z is not of today; tries counted here are of 2025-11-25",
        ),
        (
            tap(&codes.0, 1, "A", "made", "2025-11-27T00:00:00.001+01:00"),
            "is not of today",
        ),
        (
            tap(&codes.0, 1, "A", "made", "2025-11-23T23:59:59.999+01:00"),
            "is not of today",
        ),
        (tap("QQQ", 1, "A", "made", WHEN), "QQQ"),
        (tap(&codes.1, 1, "B", "made", WHEN), "mark 1"),
        (
            json!({"student": "A", "outcome": "made", "when": WHEN}),
            "code",
        ),
        (
            json!({"student": "A", "outcome": "made", "when": WHEN, "shot": {"cue": "3,1"}}),
            "object is missing",
        ),
    ];
    for (body, told) in wrong {
        let reply = post(&server, "/api/v1/tap", &body);
        refused(&reply, 422);
        assert!(reply.text().contains(told), "{told}: {}", reply.text());
    }
    let log = Log::open_existing(&path).unwrap();
    assert!(log.attempts(&Filter::default()).unwrap().is_empty());
    // Only a single try can be taken back from a phone: not a student, and not an evening.
    for entry in [1, 2] {
        refused(
            &post(&server, "/api/v1/untap", &json!({"entry": entry})),
            422,
        );
    }
    assert_eq!(log.students().unwrap().len(), 2);
}

/// Minutes after eight that a server's clock shows.
static MINUTES: AtomicU32 = AtomicU32::new(0);

#[test]
fn a_phone_takes_back_its_own_tries_of_ten_minutes() {
    let mut codes = (String::new(), String::new());
    let (_folder, path) = log_with(|log| codes = evening(log));
    let server = Server::run(thincut::page::Options {
        token: Some(TOKEN.to_owned()),
        phones: Some(PHONES.to_owned()),
        clock: || {
            let minutes = MINUTES.load(Ordering::Relaxed);
            format!("2025-11-25T20:{minutes:02}:00+01:00").parse()
        },
        ..with_log(&path)
    });
    let (one, two) = ("1".repeat(22), "2".repeat(22));
    let counted = |phone: &str, ms: u32| {
        let mut body = tap(
            &codes.0,
            1,
            "A",
            "made",
            &format!("2025-11-25T19:30:00.{ms:03}+01:00"),
        );
        body["phone"] = json!(phone);
        let reply = server.post_as(PHONES, "/api/v1/tap", &body);
        assert_eq!(reply.status, 200, "{}", reply.text());
        reply.json()["entry"].clone()
    };
    let back = |token: &str, entry: &Value, phone: &str| {
        server.post_as(
            token,
            "/api/v1/untap",
            &json!({"entry": entry, "phone": phone}),
        )
    };
    let rows = || {
        let log = Log::open_existing(&path).unwrap();
        log.attempts(&Filter::default()).unwrap().len()
    };
    let tries: Vec<Value> = (1..=4).map(|ms| counted(&one, ms)).collect();
    // Another phone loops over every entry there is: nothing goes.
    for entry in 0..20 {
        refused(&back(PHONES, &json!(entry), &two), 403);
    }
    assert_eq!(rows(), 4);
    // Sending somebody's try again does not make it one's own.
    assert_eq!(counted(&two, 1), tries[0]);
    refused(&back(PHONES, &tries[0], &two), 403);
    // A phone says who it is, with something that is not guessed.
    let nobody = server.post_as(PHONES, "/api/v1/untap", &json!({"entry": tries[0]}));
    refused(&nobody, 422);
    assert!(
        nobody.text().contains("phone: give 22 to 64"),
        "{}",
        nobody.text()
    );
    refused(
        &server.post_as(PHONES, "/api/v1/tap", &tap(&codes.0, 1, "A", "made", WHEN)),
        422,
    );
    // Its own go, asked twice or once, for ten minutes.
    assert_eq!(back(PHONES, &tries[0], &one).json()["gone"], true);
    assert_eq!(back(PHONES, &tries[0], &one).json()["gone"], false);
    MINUTES.store(10, Ordering::Relaxed);
    assert_eq!(back(PHONES, &tries[1], &one).json()["gone"], true);
    MINUTES.store(11, Ordering::Relaxed);
    let late = back(PHONES, &tries[2], &one);
    refused(&late, 403);
    assert!(late.text().contains("last ten minutes"), "{}", late.text());
    assert_eq!(rows(), 2);
    // The coach takes back more.
    assert_eq!(back(TOKEN, &tries[2], &one).json()["gone"], true);
    assert_eq!(rows(), 1);
}

#[test]
fn tries_around_midnight_are_taken() {
    let mut codes = (String::new(), String::new());
    let (_folder, path) = log_with(|log| codes = evening(log));
    let server = Server::run(with_log(&path));
    for when in [
        "2025-11-24T00:00:00.001+01:00",
        "2025-11-26T23:59:59.999+01:00",
    ] {
        let reply = post(&server, "/api/v1/tap", &tap(&codes.0, 1, "A", "made", when));
        assert_eq!(reply.status, 200, "{}", reply.text());
    }
}

#[test]
fn writes_need_the_page_and_the_token() {
    let mut codes = (String::new(), String::new());
    let (_folder, path) = log_with(|log| codes = evening(log));
    let server = Server::run(thincut::page::Options {
        token: Some(TOKEN.to_owned()),
        ..with_log(&path)
    });
    let body = tap(&codes.0, 1, "A", "made", WHEN).to_string();
    let send = |path: &str, kind: &str, more: &str| {
        let head = format!(
            "POST /api/v1/{path} HTTP/1.1\r\nHost: {}\r\nContent-Type: {kind}\r\nContent-Length: {}\r\n{more}\r\n{body}",
            server.host(),
            body.len()
        );
        raw(&server, &head)
    };
    let token = format!("Authorization: Bearer {TOKEN}\r\n");
    let foreign = format!("{token}Origin: http://evil.example\r\n");
    for path in ["tap", "untap", "student", "keep", "tally"] {
        refused(&send(path, "application/json", ""), 401);
        refused(&send(path, "application/json", &foreign), 403);
        refused(&send(path, "text/plain", &token), 415);
    }
    let get = format!(
        "GET /api/v1/tap HTTP/1.1\r\nHost: {}\r\n{token}\r\n",
        server.host()
    );
    refused(&raw(&server, &get), 405);
    let log = Log::open_existing(&path).unwrap();
    assert!(log.attempts(&Filter::default()).unwrap().is_empty());
    assert_eq!(send("tap", "application/json", &token).status, 200);
    assert_eq!(log.attempts(&Filter::default()).unwrap().len(), 1);
}

#[test]
fn without_a_log_the_page_says_how_to_have_one() {
    let server = Server::run(options());
    let none = post(&server, "/api/v1/students", &json!({})).json();
    assert_eq!(none, json!({"log": false, "all": true, "students": []}));
    for (path, body) in [
        ("tally", json!({"shot": shot_json()})),
        ("sheets", json!({})),
        ("student", json!({"label": "A"})),
        ("skill", json!({"student": "A"})),
    ] {
        let reply = post(&server, &format!("/api/v1/{path}"), &body);
        refused(&reply, 422);
        assert!(
            reply
                .text()
                .contains("start thincut explore with the file of one"),
            "{path}"
        );
    }
}
