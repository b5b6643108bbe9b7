//! The rest of the table: other balls in the way, stance, the cue ball's way, layouts, choosing.

use std::process::Command;

use serde_json::{Value, json};
use thincut::gear::Gear;
use thincut::layout::{Forward, Layout, Table, solve_past};
use thincut::player::{Aimed, Level};
use thincut::request::{PlacesRequest, ShotRequest, StrokeRequest};

use super::{refused, shot_json};
use crate::explorer::{Server, post};

/// Cue-ball and object-ball contact distance in plan, mm.
const CONTACT_MM: f64 = 57.15;
/// Places come rounded to 1e-4 mm.
const ROUNDING_MM: f64 = 3e-4;
/// A diamond of the nine-foot bed, mm.
const DIAMOND_MM: f64 = 317.5;

fn place(v: &Value) -> (f64, f64) {
    (v[0].as_f64().unwrap(), v[1].as_f64().unwrap())
}

/// Distance of a point from a stretch of a straight line.
fn off_stretch(p: (f64, f64), a: (f64, f64), b: (f64, f64)) -> f64 {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let t = ((p.0 - a.0) * dx + (p.1 - a.1) * dy) / (dx * dx + dy * dy);
    let t = t.clamp(0.0, 1.0);
    (p.0 - a.0 - t * dx).hypot(p.1 - a.1 - t * dy)
}

fn with(change: &Value) -> Value {
    let mut body = shot_json();
    for (key, value) in change.as_object().unwrap() {
        body[key] = value.clone();
    }
    body
}

#[test]
fn a_ball_in_the_cue_balls_way_takes_its_part() {
    let server = Server::start();
    let free = post(&server, "/api/v1/shot", &shot_json()).json();
    // Touched by the cue ball's edge on the way that is aimed: half of the room is gone.
    let aim = free["shot"]["aim_deg"].as_f64().unwrap().to_radians();
    let (along, aside) = (1.4 * DIAMOND_MM, CONTACT_MM);
    let seven = (
        3.0 * DIAMOND_MM + along * aim.cos() + aside * aim.sin(),
        2.3 * DIAMOND_MM + along * aim.sin() - aside * aim.cos(),
    );
    let body = with(&json!({"balls": [format!("7,{}mm,{}mm", seven.0, seven.1)]}));
    let got = post(&server, "/api/v1/shot", &body).json();
    assert_eq!(got["others"]["blockers"], json!(["7"]));
    let share = got["others"]["blocked_share"].as_f64().unwrap();
    assert!(share > 0.2 && share < 0.8, "{share}");
    let cue = place(&got["drawing"]["cue"]["at"]);
    let nearest = |answer: &Value| {
        let wedges = answer["drawing"]["wedges"].as_array().unwrap();
        let ghosts = wedges
            .iter()
            .flat_map(|w| w["outline"].as_array().unwrap()[1..].iter());
        ghosts
            .map(|g| off_stretch(seven, cue, place(g)))
            .fold(f64::INFINITY, f64::min)
    };
    // The straight way to every allowed ghost ball clears it, one of them by a hair; before, some
    // did not.
    let least = nearest(&got);
    assert!((least - CONTACT_MM).abs() < ROUNDING_MM, "{least}");
    assert!(nearest(&free) < CONTACT_MM - 0.3);
    // The aim is the middle of the untouched part that is left.
    let clean = &got["shot"]["clean"];
    let (thick, thin) = (
        clean["from_deg"].as_f64().unwrap(),
        clean["to_deg"].as_f64().unwrap(),
    );
    let target = got["shot"]["target_offset_deg"].as_f64().unwrap();
    assert!((target - 0.5 * (thick + thin)).abs() < 1e-5);
    assert!(
        got["around"][0]
            .as_str()
            .unwrap()
            .ends_with("% of the margin is blocked by the 7.")
    );
}

#[test]
fn a_closed_way_is_said_with_what_closes_it() {
    let server = Server::start();
    for (row, words) in [
        (
            "7,4.5,2.45",
            "the 7 closes the path of the cue ball to the object ball",
        ),
        (
            "7,7,3.29",
            "the 7 closes the path of the object ball to the pocket",
        ),
    ] {
        let body = with(&json!({"balls": [row], "level": "club", "hand": "left"}));
        let got = post(&server, "/api/v1/shot", &body).json();
        assert_eq!(
            got["headline"],
            json!({"who": "", "number": "Blocked", "words": words})
        );
        assert_eq!(got["shot"]["flags"], json!(["blocked"]));
        assert_eq!(got["drawing"]["wedges"], json!([]));
        assert_eq!(got["shot"]["chance"], 0.0);
        assert_eq!(got["cue"], Value::Null);
    }
    // Out of the way it changes nothing.
    let body = with(&json!({"balls": ["7,1,0.5"]}));
    let (with_it, without) = (
        post(&server, "/api/v1/shot", &body).json(),
        post(&server, "/api/v1/shot", &shot_json()).json(),
    );
    assert_eq!(with_it["shot"], without["shot"]);
}

#[test]
fn the_cue_balls_way_is_the_librarys() {
    let server = Server::start();
    let gear = Gear::preset("pool-9ft").unwrap();
    let mut ends = Vec::new();
    for (cue, object, hit, row) in [
        ("3,2.3", "6,2.6", "roll", "7,1,0.5"),
        ("3,2.3", "6,2.6", "stun", "7,1,0.5"),
        // Straight in, followed: after it into the pocket.
        ("6,2", "7,3", "follow", "7,1,0.5"),
        ("3,2.3", "6,2.6", "roll", "7,7.4,1.2"),
    ] {
        let body = json!({"cue": cue, "object": object, "pocket": "foot-left", "hit": hit, "balls": [row], "called": "1"});
        let got = post(&server, "/api/v1/shot", &body).json();
        let text = format!("ball,x,y\ncue,{cue}\n1,{object}\n{row}\n");
        let layout = Layout::parse(&text, &gear).unwrap();
        let table = Table::new(&gear, &layout);
        let request = ShotRequest {
            places: PlacesRequest {
                cue: Some(cue.to_owned()),
                object: Some(object.to_owned()),
                pocket: Some("foot-left".to_owned()),
                ..PlacesRequest::default()
            },
            stroke: StrokeRequest {
                hit: Some(hit.to_owned()),
                ..StrokeRequest::default()
            },
        };
        let shot = request.shot(&gear).unwrap();
        let past = solve_past(&table, &shot, 0).unwrap();
        let run = Forward::new(&table, &past.played.unwrap())
            .outcome(0.0, true)
            .cue;
        let path = got["cue"]["path"].as_array().unwrap();
        assert_eq!(path.len(), run.path.len());
        for (p, wanted) in path.iter().zip(&run.path) {
            let (x, y) = place(p);
            assert!((x - wanted.x * 1e3).hypot(y - wanted.y * 1e3) < ROUNDING_MM);
        }
        ends.push(got["cue"]["end"].as_str().unwrap().to_owned());
        let said = got["around"].as_array().unwrap().last().unwrap().clone();
        let word = match ends.last().unwrap().as_str() {
            "scratch" => &format!(
                "scratches in the {} pocket",
                got["cue"]["at"].as_str().unwrap()
            ),
            "ball" => "runs into the 7",
            _ => "The cue ball stops",
        };
        assert!(said.as_str().unwrap().contains(word), "{said}");
    }
    assert!(
        ends.contains(&"rest".to_owned()) && ends.contains(&"scratch".to_owned()),
        "{ends:?}"
    );
}

#[test]
fn an_awkward_stance_costs_chance_and_is_said() {
    let server = Server::start();
    let ask = |more: Value| {
        let mut body = with(&json!({"cue": "4,2", "level": "club"}));
        for (key, value) in more.as_object().unwrap() {
            body[key] = value.clone();
        }
        post(&server, "/api/v1/shot", &body).json()
    };
    let chance = |v: &Value| 10.0 * v["shot"]["chance"].as_f64().unwrap();
    let (plain, easy, far) = (
        ask(json!({})),
        ask(json!({"hand": "right", "reach": "2.5m"})),
        ask(json!({"hand": "right", "reach": "300mm"})),
    );
    assert_eq!(plain["stance"], Value::Null);
    assert_eq!(easy["shot"], plain["shot"]);
    assert_eq!(far["stance"]["needs_rest"], true);
    assert!(chance(&far) < chance(&plain));
    // The same window with the arm 1.4 times as wide: the club player's 0.2° becomes 0.28°. Who is
    // named by arm and picture has no spread of speed but the one given: the club player's.
    let wide = {
        let mut body = with(
            &json!({"cue": "4,2", "arm": "0.28deg", "picture": "1.5mm", "speed-spread": "0.12"}),
        );
        body.as_object_mut().unwrap().remove("level");
        post(&server, "/api/v1/shot", &body).json()
    };
    let (one, other) = (chance(&far), chance(&wide));
    assert!((one - other).abs() < 1e-9, "{one} {other}");
    assert_eq!(
        far["around"][0],
        "Needs the rest: the stroke scatters 1.4 times as much (assumed)."
    );
    refused(
        &post(&server, "/api/v1/shot", &with(&json!({"hand": "third"}))),
        422,
    );
    refused(
        &post(&server, "/api/v1/shot", &with(&json!({"reach": "0m"}))),
        422,
    );
}

/// Balls round the shot of the map.
const AROUND: [&str; 3] = ["7,4.5,2.2", "9,5,1", "3,6.6,1"];

/// The club player's chance past those balls from one place, as the library has it: with the speed as
/// intended, and over the speeds of the stroke.
fn club_chances(gear: &Gear, cue: &str, arm_times: f64) -> (f64, f64) {
    let text = format!("ball,x,y\ncue,{cue}\n1,6,2.6\n{}\n", AROUND.join("\n"));
    let layout = Layout::parse(&text, gear).unwrap();
    let request = ShotRequest {
        places: PlacesRequest {
            cue: Some(cue.to_owned()),
            object: Some("6,2.6".to_owned()),
            pocket: Some("foot-left".to_owned()),
            ..PlacesRequest::default()
        },
        stroke: StrokeRequest::default(),
    };
    let shot = request.shot(gear).unwrap();
    let past = solve_past(&Table::new(gear, &layout), &shot, 0).unwrap();
    let open = past.open_rad(gear, &shot);
    let aimed = Aimed {
        arm_times,
        open_rad: open.as_deref(),
        ..Aimed::of(gear, &shot, &past.solution).unwrap()
    };
    let club = Level::Club.aim_error();
    (aimed.quick(&club), aimed.chance(&club).chance)
}

#[test]
fn the_map_counts_other_balls_and_stance() {
    let server = Server::start();
    let gear = Gear::preset("pool-9ft").unwrap();
    let more = json!({"level": "club", "hand": "left", "balls": AROUND});
    let mut body = with(&more);
    (body["columns"], body["rows"]) = (json!(13), json!(7));
    let map = post(&server, "/api/v1/places", &body).json();
    let at = |name: &str, k: usize| map[name][k].as_f64().unwrap();
    let (mut shots, mut blocked) = (0, 0);
    for r in 0..7_u32 {
        for c in 0..13_u32 {
            let x = at("from_mm", 0) + (at("to_mm", 0) - at("from_mm", 0)) * f64::from(c) / 12.0;
            let y = at("from_mm", 1) + (at("to_mm", 1) - at("from_mm", 1)) * f64::from(r) / 6.0;
            let mut body = with(&more);
            body["cue"] = json!(format!("{x}mm,{y}mm"));
            let reply = post(&server, "/api/v1/shot", &body);
            let cell = &map["chance"][r as usize][c as usize];
            let got = reply.json();
            if reply.status == 422 || got["shot"]["drop"].is_null() {
                assert_eq!(*cell, Value::Null, "{x} {y} {got}");
                blocked += u32::from(got["headline"]["number"] == "Blocked");
                continue;
            }
            shots += 1;
            let arm_times = got["stance"]["arm_factor"].as_f64().unwrap();
            let (quick, whole) = club_chances(&gear, &format!("{x}mm,{y}mm"), arm_times);
            // A map has the speed as intended; the shot itself is over the speeds of the stroke.
            assert!((cell.as_f64().unwrap() - quick).abs() < 0.6e-4, "{x} {y}");
            let one = got["shot"]["chance"].as_f64().unwrap();
            // The slowest stroke that drops is found to 1e-7 of a chance.
            assert!((one - whole).abs() < 1e-6, "{x} {y}: {one} {whole}");
        }
    }
    assert!(shots > 20 && blocked > 2, "{shots} {blocked}");
}

#[test]
fn choosing_is_what_the_command_says() {
    let server = Server::start();
    let file = "tests/data/layouts/five-left.csv";
    let text = std::fs::read_to_string(file).unwrap();
    let body = json!({"layout": text, "level": "league", "hand": "left", "pace": "1.2m/s"});
    let reply = post(&server, "/api/v1/advice", &body);
    assert_eq!(reply.status, 200, "{}", reply.text());
    let done = Command::new(env!("CARGO_BIN_EXE_thincut"))
        .args([
            "choose", file, "--level", "league", "--hand", "left", "--pace", "1.2m/s", "--format",
            "json",
        ])
        .output()
        .unwrap();
    let wanted: Value = serde_json::from_slice(&done.stdout).unwrap();
    let got = reply.json();
    for (key, value) in got["choice"].as_object().unwrap() {
        assert_eq!(*value, wanted[key], "{key}");
    }
    let shots = got["choice"]["shots"].as_array().unwrap();
    let said = got["said"].as_array().unwrap();
    assert!(shots.len() > 3 && said.len() == shots.len());
    let first = said[0]["called"].as_str().unwrap();
    assert!(
        first.contains(shots[0]["ball"].as_str().unwrap())
            && first.contains(shots[0]["pocket"].as_str().unwrap())
    );
    // A direct shot of the list, put on the table, is the same shot with the same chance.
    let direct = shots.iter().find(|s| s["family"] == "direct").unwrap();
    let rows: Vec<&str> = text
        .lines()
        .filter(|l| !l.starts_with('#') && !l.starts_with("ball,"))
        .collect();
    let place_of = |name: &str| {
        let row = rows
            .iter()
            .find(|r| r.split(',').next() == Some(name))
            .unwrap();
        row.split_once(',').unwrap().1.to_owned()
    };
    let ball = direct["ball"].as_str().unwrap();
    let others: Vec<&&str> = rows
        .iter()
        .filter(|r| !["cue", ball].contains(&r.split(',').next().unwrap()))
        .collect();
    let shot = json!({
        "cue": place_of("cue"), "object": place_of(ball), "called": ball, "pocket": direct["pocket"],
        "balls": others, "level": "league", "hand": "left", "pace": "1.2m/s",
        "roll": direct["roll"].to_string(), "side": direct["side"].to_string()
    });
    let alone = post(&server, "/api/v1/shot", &shot).json();
    let (one, other) = (
        alone["shot"]["chance"].as_f64().unwrap(),
        direct["chance"].as_f64().unwrap(),
    );
    // A centre-ball stroke is solved in rounds, what it brings is taken as it is.
    assert!((one - other).abs() < 2e-3, "{one} {other}");
}

#[test]
fn layouts_are_read_as_files_are() {
    let server = Server::start();
    let read = |text: &str| post(&server, "/api/v1/layout", &json!({"layout": text}));
    let got =
        read("# after the break\nball,x,y\ncue,2,1\n3,50in,frozen-left\n8,foot-spot\n").json();
    let balls = got["balls"].as_array().unwrap();
    let near = |v: &Value, x: f64, y: f64| {
        let (a, b) = place(v);
        assert!((a - x).abs() < 1e-9 && (b - y).abs() < 1e-9, "{v}");
    };
    assert_eq!(balls.len(), 3);
    near(&balls[0]["at"], 2.0, 1.0);
    // 50 in of 100; ρ = 27.514 mm off the rail.
    let rho = ((0.5 * 57.15_f64).powi(2) - (0.135 * 57.15_f64).powi(2)).sqrt();
    near(&balls[1]["at"], 4.0, 4.0 - rho / DIAMOND_MM);
    near(&balls[2]["at"], 6.0, 2.0);
    let faulty = read("ball,x,y\ncue,2,1\n3,9,2\n4,2,1.05\n");
    refused(&faulty, 422);
    let said = faulty.json()["error"]["message"]
        .as_str()
        .unwrap()
        .to_owned();
    assert!(
        said.contains("line 3") && said.contains("line 4") && said.contains("(line 2)"),
        "{said}"
    );
    for rows in [
        json!(["7,3,2.31"]),
        json!(["cue,1,1"]),
        json!(["7,1,1", "7,2,2"]),
        json!(["7,NaN,1"]),
        json!(["7,1"]),
        json!(["7,9,9"]),
        json!([",1,1"]),
        json!("7,1,1"),
        json!([7]),
        json!((0..40).map(|k| format!("b{k},1,1")).collect::<Vec<_>>()),
    ] {
        let reply = post(&server, "/api/v1/shot", &with(&json!({"balls": rows})));
        refused(&reply, 422);
        assert!(!reply.text().contains("line 0"), "{}", reply.text());
    }
    let by_angles = json!({"cut": "30deg", "apart": "1m", "to-pocket": "1m", "balls": ["7,1,1"]});
    refused(&post(&server, "/api/v1/shot", &by_angles), 422);
}
