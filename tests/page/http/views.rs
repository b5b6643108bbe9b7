//! What the views show is what the library answers; what is handed out opens.

use std::io::Write as _;
use std::process::{Command, Stdio};

use serde_json::{Value, json};
use thincut::aims::{Scene, ShotAims, Shots, WaysRequest, bench_shot, reach_rows};
use thincut::answer::{BudgetAnswer, Trials};
use thincut::charts::{self, Choice, Request, Subject};
use thincut::draw::Size;
use thincut::gear::Gear;
use thincut::ladder::{LadderAnswer, LadderRequest, ladder};
use thincut::log::{Filter, Log, Practice, Since, SkillWishes, known, skill};
use thincut::player::spreads::SpreadsRequest;
use thincut::player::{Level, Player, PlayerRequest, chance_of_solution};
use thincut::request::{PlacesRequest, ShotRequest, StrokeRequest};
use thincut::survey::Grid;
use thincut::units::UnitSystem;
use thincut::window::{Shot, solve};

use super::{refused, shot_json};
use crate::explorer::{Reply, Server, demo_log, post, with_log};

fn asked() -> ShotRequest {
    ShotRequest {
        places: PlacesRequest {
            cue: Some("3,2.3".to_owned()),
            object: Some("6,2.6".to_owned()),
            pocket: Some("foot-left".to_owned()),
            ..PlacesRequest::default()
        },
        stroke: StrokeRequest::default(),
    }
}

fn club() -> Player {
    let request = PlayerRequest {
        level: Some("club".to_owned()),
        ..PlayerRequest::default()
    };
    request.player().unwrap().unwrap()
}

fn as_club() -> Value {
    let mut body = shot_json();
    body["level"] = json!("club");
    body
}

/// As it looks after being written and read: the reader rounds the last bit of some numbers.
fn read_back(value: &impl serde::Serialize) -> Value {
    serde_json::from_str(&serde_json::to_string(value).unwrap()).unwrap()
}

fn good(reply: &Reply) -> Value {
    assert_eq!(reply.status, 200, "{}", reply.text());
    reply.json()
}

#[test]
fn budget_and_ways_are_the_librarys() {
    let server = Server::start();
    let gear = Gear::preset("pool-9ft").unwrap();
    let shot = asked().shot(&gear).unwrap();
    let solution = solve(&gear, &shot).unwrap();
    let solved = solution.solved().unwrap();
    let (acceptance, window) = (solved.acceptance, solved.window);
    let trials = Trials {
        count: 20_000,
        seed: 1,
    };
    let spreads = SpreadsRequest::default();
    let budget = BudgetAnswer::new(&gear, solved, &club(), &spreads, trials).unwrap();
    let got = good(&post(&server, "/api/v1/budget", &as_club()));
    assert_eq!(got["budget"], read_back(&budget));

    let scene = Scene {
        gear: &gear,
        shot: &shot,
        window,
    };
    let ways = WaysRequest::default()
        .ways(&gear, Some(&shot), None)
        .unwrap();
    let base = bench_shot(&scene, acceptance);
    let units = UnitSystem::Metric;
    let reaches = reach_rows(
        &gear,
        &ways,
        &Shots {
            base,
            aparts_m: &[base.apart_m],
            stroke: shot.stroke,
        },
        units,
    )
    .unwrap();
    let player = club();
    let aims =
        ShotAims::new(&ways, &scene, acceptance, Some(&player), units).with_reaches(&reaches);
    let got = good(&post(&server, "/api/v1/aims", &as_club()));
    assert_eq!(got, read_back(&aims));
    assert!(aims.ways.len() > 5);
    // Where there is no shot, nothing is made up.
    let mut out_of_reach = as_club();
    out_of_reach["cue"] = json!("7.5,3.6");
    for path in ["/api/v1/budget", "/api/v1/aims"] {
        let reply = post(&server, path, &out_of_reach);
        refused(&reply, 422);
        assert!(
            reply.text().contains("even the thinnest hit"),
            "{}",
            reply.text()
        );
    }
}

#[test]
fn ladder_and_marks_are_the_librarys_and_go_to_paper_and_log() {
    let (_folder, path) = demo_log();
    let server = Server::run(with_log(&path));
    let gear = Gear::preset("pool-9ft").unwrap();
    let request = LadderRequest {
        rungs: Some("2".to_owned()),
        from: Some("8".to_owned()),
        to: Some("5".to_owned()),
        ..LadderRequest::default()
    };
    let stroke = StrokeRequest::default();
    let wishes = request.wishes(&gear, club().error, &stroke).unwrap();
    let found = ladder(&gear, &wishes).unwrap();
    let wanted = LadderAnswer::new(&gear, &found, &club(), UnitSystem::Metric);
    let body = json!({"level": "club", "rungs": "2", "from": "8", "to": "5"});
    let got = good(&post(&server, "/api/v1/ladder", &body));
    assert_eq!(got, read_back(&wanted));

    let kept = good(&post(&server, "/api/v1/keep", &json!({"ladder": got})));
    let code = kept["code"].as_str().unwrap();
    let (_, sheet) = Log::open_existing(&path).unwrap().find_sheet(code).unwrap();
    let cues: Vec<_> = sheet
        .rungs
        .iter()
        .map(|r| r.shot.request.places.cue.clone())
        .collect();
    let drawn: Vec<_> = wanted.rungs.iter().map(|r| Some(r.cue.clone())).collect();
    assert_eq!(cues, drawn);
    let sheets = good(&post(&server, "/api/v1/sheets", &json!({})));
    assert_eq!(sheets["sheets"][0]["code"], kept["code"]);

    let marks = json!({"students": ["K", "L=starting"], "chance": "7"});
    let marks = good(&post(&server, "/api/v1/marks", &marks));
    let players: Vec<_> = marks["marks"]
        .as_array()
        .unwrap()
        .iter()
        .map(|m| m["player"].as_str().unwrap())
        .collect();
    assert!(
        players.iter().any(|p| p.starts_with("student K, from")),
        "{players:?}"
    );
    for sheet in [
        json!({"ladder": got, "code": code}),
        json!({"marks": marks, "plain": true}),
    ] {
        let pages = good(&post(&server, "/api/v1/preview", &sheet));
        let pages = pages["pages"].as_array().unwrap();
        assert!(
            pages
                .iter()
                .all(|p| p.as_str().unwrap().starts_with("<svg"))
        );
        let reply = post(&server, "/api/v1/sheet", &sheet);
        assert_eq!(reply.header("content-type"), Some("application/pdf"));
        assert_eq!(pdf_pages(&reply.body), pages.len());
    }
}

/// Pages of a PDF as poppler counts them.
fn pdf_pages(pdf: &[u8]) -> usize {
    let mut info = Command::new("pdfinfo")
        .arg("-")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("pdfinfo is missing: run bash tests/run.sh, which installs it");
    info.stdin.take().unwrap().write_all(pdf).unwrap();
    let told = info.wait_with_output().unwrap();
    assert!(told.status.success());
    let text = String::from_utf8(told.stdout).unwrap();
    let line = text.lines().find_map(|l| l.strip_prefix("Pages:")).unwrap();
    line.trim().parse().unwrap()
}

/// Usual hits and distances, the object ball as far from its pocket and as far off straight in as
/// in this shot.
fn hits_into_the_pocket_of(shot: &Shot) -> Grid {
    let way = -shot.object.to_vec2();
    Grid {
        kind: shot.frame.kind,
        approach_rad: way.atan2(),
        to_pockets_m: vec![way.hypot()],
        stroke: shot.stroke,
        ..Grid::default()
    }
}

#[test]
fn charts_carry_this_shot_and_open_as_files() {
    let (_folder, path) = demo_log();
    let server = Server::run(with_log(&path));
    let listed = good(&post(&server, "/api/v1/charts", &json!({})));
    let listed = listed["charts"].as_array().unwrap();
    let shown = charts::ALL
        .iter()
        .filter(|c| !matches!(c, charts::Entry::Found(_)));
    let names: Vec<&str> = listed.iter().filter_map(|c| c["name"].as_str()).collect();
    assert_eq!(names, shown.map(charts::Entry::name).collect::<Vec<_>>());
    let gear = Gear::preset("pool-9ft").unwrap();
    let shot = asked().shot(&gear).unwrap();
    for chart in charts::asked() {
        if matches!(chart.subject(), Subject::Grid | Subject::Gears) {
            continue;
        }
        let mut request = Request::new(gear.clone(), "640x480".parse::<Size>().unwrap());
        request.shot = Some(shot);
        if matches!(chart.subject(), Subject::Hits) {
            request.grid = hits_into_the_pocket_of(&shot);
        }
        request.player = chart.choices().contains(&Choice::Player).then(club);
        request.options.mark_shot = true;
        let wanted = chart.draw(&request).unwrap();
        let mut body = as_club();
        body["name"] = json!(chart.name());
        body["size"] = json!("640x480");
        let got = good(&post(&server, "/api/v1/chart", &body));
        assert_eq!(got["svg"], wanted.svg, "{}", chart.name());
        assert_eq!(got["title"], wanted.title);
    }
    // Charts that look beyond the shot say which it is.
    for name in ["pace", "pocket", "by-cut", "grid"] {
        let mut body = as_club();
        body["name"] = json!(name);
        let got = good(&post(&server, "/api/v1/chart", &body));
        assert!(
            got["svg"].as_str().unwrap().contains(">this shot<"),
            "{name}"
        );
    }
    let mut places = as_club();
    places["name"] = json!("places");
    let got = good(&post(&server, "/api/v1/chart", &places));
    assert!(got["svg"].as_str().unwrap().contains("class=\"cue ball\""));
    for chart in listed {
        let mut body = if chart["of_student"] == true {
            json!({"student": "K"})
        } else {
            as_club()
        };
        body["name"] = chart["name"].clone();
        let reply = post(&server, "/api/v1/picture", &body);
        assert_eq!(reply.status, 200, "{}", reply.text());
        assert_eq!(pdf_pages(&reply.body), 1);
        body["as"] = json!("png");
        body["size"] = json!("480x480");
        let png = post(&server, "/api/v1/picture", &body);
        assert_eq!(png.header("content-type"), Some("image/png"));
        assert!(png.body.starts_with(b"\x89PNG"));
    }
    for (key, value, told) in [
        ("name", json!("plaices"), "did you mean `places`?"),
        ("size", json!("9x9"), "too small"),
        ("as", json!("gif"), "pdf, png, svg"),
        ("paper", json!("a0"), "letter"),
    ] {
        let mut body = as_club();
        body["name"] = json!("pace");
        body[key] = value;
        let reply = post(&server, "/api/v1/picture", &body);
        refused(&reply, 422);
        assert!(reply.text().contains(told), "{}", reply.text());
    }
}

#[test]
fn students_play_as_the_log_says() {
    let (_folder, path) = demo_log();
    let server = Server::run(with_log(&path));
    let log = Log::open_existing(&path).unwrap();
    let rows = |label: &str| {
        let filter = Filter {
            student: Some(label.to_owned()),
            ..Filter::default()
        };
        // Of the rows themselves: the page adds them up in the database.
        Practice::of(&log.attempts(&filter).unwrap())
    };
    let gear = Gear::preset("pool-9ft").unwrap();
    let shot = asked().shot(&gear).unwrap();
    let solution = solve(&gear, &shot).unwrap();
    let window = solution.window.as_ref().unwrap();
    let cut = window.cut_side;
    // Q leans the other way on the other cut, so the side matters.
    for label in ["K", "Q"] {
        let fit = known(label, &rows(label), &Since::Change).unwrap().fit;
        let mut body = shot_json();
        body["student"] = json!(label);
        let got = good(&post(&server, "/api/v1/shot", &body));
        let wanted = 10.0 * chance_of_solution(&gear, &shot, &solution, &fit.player(cut));
        let tenths = 10.0 * got["shot"]["chance"].as_f64().unwrap();
        assert!(
            (tenths - wanted).abs() < 1e-12,
            "{label}: {tenths}, {wanted}"
        );
        let who = got["headline"]["who"].as_str().unwrap();
        assert_eq!(who, format!("Student {label} makes it"));
        let words = got["headline"]["words"].as_str().unwrap();
        assert!(words.starts_with("from "), "{words}");
        let wishes = SkillWishes {
            student: label,
            since: &Since::Change,
            level: Level::Club,
            stroke: None,
        };
        let (answer, _) = skill(wishes, &rows(label)).unwrap();
        let got = good(&post(&server, "/api/v1/skill", &json!({"student": label})));
        assert_eq!(got["skill"], read_back(&answer));
    }
    let all = good(&post(&server, "/api/v1/students", &json!({})));
    let of = |label: &str| {
        let all = all["students"].as_array().unwrap();
        all.iter().find(|s| s["label"] == label).unwrap().clone()
    };
    assert!(of("K")["arm"].as_str().unwrap().ends_with("deg"));
    assert!(of("K")["why_not"].is_null());
    // Two ways to say who aims, and somebody nobody knows.
    let mut both = as_club();
    both["student"] = json!("K");
    refused(&post(&server, "/api/v1/shot", &both), 422);
    let mut nobody = shot_json();
    nobody["student"] = json!("Z");
    refused(&post(&server, "/api/v1/shot", &nobody), 422);
    // Tries recorded since are in the next answer.
    let before = of("K")["tries"].as_u64().unwrap();
    let tap = json!({"student": "K", "outcome": "made", "when": "2025-11-25T19:30:00.001+01:00", "shot": shot_json()});
    good(&post(&server, "/api/v1/tap", &tap));
    let all = good(&post(&server, "/api/v1/students", &json!({})));
    assert_eq!(all["students"][0]["tries"], before + 1);
}

/// A hand-out has all of a shot on one page, several shots below each other, and says what it cannot
/// print.
#[test]
fn a_hand_out_says_who_makes_it_and_where_the_balls_lie() {
    let server = Server::start();
    let one = |name: &str, more: &Value| {
        let mut shot = shot_json();
        for (key, value) in more.as_object().unwrap() {
            shot[key] = value.clone();
        }
        shot["name"] = json!(name);
        shot
    };
    let text = |body: &Value| {
        let reply = post(&server, "/api/v1/hand-out", body);
        assert_eq!(reply.status, 200, "{}", reply.text());
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("hand-out.pdf");
        std::fs::write(&file, &reply.body).unwrap();
        let read = Command::new("pdftotext").arg(&file).arg("-").output();
        let read = read.expect("pdftotext is missing: run bash tests/run.sh, which installs it");
        let all = String::from_utf8(read.stdout).unwrap();
        (
            all.matches('\u{c}').count(),
            all.split_whitespace().collect::<Vec<_>>().join(" "),
        )
    };
    let link = "http://192.168.1.20:8147/?cue=3,2.3&object=6,2.6&pocket=foot-left#token=fedcba9876543210fedcba9876543210";
    let half_ball = one("Half ball", &json!({"link": link, "level": "club"}));
    let said = post(&server, "/api/v1/shot", &shot_json_of(&half_ball)).json();
    let (pages, words) = text(&json!({"title": "Half ball", "shots": [half_ball]}));
    assert_eq!(pages, 1, "{words}");
    for wanted in [
        "Half ball",
        "A club player makes it",
        said["headline"]["number"].as_str().unwrap(),
        "Cue ball: 3 diamonds",
        "Into the left foot corner",
        "Scan it",
    ] {
        assert!(words.contains(wanted), "{wanted}: {words}");
    }
    // In the words of its own table.
    let black = one(
        "Black",
        &json!({"table": "snooker-12ft", "cue": "5,1", "object": "7,2", "level": "league"}),
    );
    let thin = one("Thin and far", &json!({"cue": "1,3.3", "level": "club"}));
    let (pages, words) = text(&json!({"title": "Tuesday", "shots": [half_ball, thin, black]}));
    assert_eq!(pages, 1, "{words}");
    for wanted in [
        "1. Half ball",
        "2. Thin and far",
        "3. Black",
        "cm from",
        "A league player",
    ] {
        assert!(words.contains(wanted), "{wanted}: {words}");
    }
    for (bad, told) in [
        (json!({"title": "", "shots": [half_ball]}), "title"),
        (json!({"title": "None", "shots": []}), "None"),
        (
            json!({"title": "Many", "shots": vec![half_ball.clone(); 41]}),
            "at most 40",
        ),
        (
            json!({"title": "Long", "shots": [one("Long", &json!({"link": "x".repeat(4000)}))]}),
            "link",
        ),
    ] {
        let reply = post(&server, "/api/v1/hand-out", &bad);
        assert_eq!(reply.status, 422, "{bad}");
        assert!(reply.text().contains(told), "{}", reply.text());
    }
}

/// The shot of a named one.
fn shot_json_of(named: &Value) -> Value {
    let mut shot = named.clone();
    for key in ["name", "link"] {
        shot.as_object_mut().unwrap().remove(key);
    }
    shot
}
