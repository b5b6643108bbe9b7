//! What is answered is what the library says.

use serde_json::{Value, json};
use thincut::answer::{PocketAnswer, ShotAnswer};
use thincut::gear::Gear;
use thincut::player::{Aimed, PlayerRequest};
use thincut::pocket::PocketKind;
use thincut::request::{PlacesRequest, ShotRequest, StrokeRequest};
use thincut::units::{Angle, Length, Speed};
use thincut::window::{band, solve};

use super::shot_json;
use crate::explorer::{Server, post};

/// Map values come rounded to four decimals.
const MAP_ROUNDING: f64 = 0.5e-4 + 1e-12;
/// The straight shot that is as hard is found to this share of itself.
const EQUAL_WITHIN: f64 = 1.1e-5;

fn shot_request(cue: &str) -> ShotRequest {
    ShotRequest {
        places: PlacesRequest {
            cue: Some(cue.to_owned()),
            object: Some("6,2.6".to_owned()),
            pocket: Some("foot-left".to_owned()),
            ..PlacesRequest::default()
        },
        stroke: StrokeRequest::default(),
    }
}

fn club() -> thincut::player::Player {
    let request = PlayerRequest {
        level: Some("club".to_owned()),
        ..PlayerRequest::default()
    };
    request.player().unwrap().unwrap()
}

/// As it looks after being written and read: the reader rounds the last bit of some numbers.
fn read_back(value: &impl serde::Serialize) -> Value {
    serde_json::from_str(&serde_json::to_string(value).unwrap()).unwrap()
}

#[test]
fn shot_is_the_librarys() {
    let server = Server::start();
    let mut body = shot_json();
    body["level"] = json!("club");
    body["band"] = json!(true);
    let reply = post(&server, "/api/v1/shot", &body);
    assert_eq!(reply.status, 200, "{}", reply.text());
    let gear = Gear::preset("pool-9ft").unwrap();
    let shot = shot_request("3,2.3").shot(&gear).unwrap();
    let solution = solve(&gear, &shot).unwrap();
    let band = band(&gear, &shot).unwrap();
    let answer = ShotAnswer::new(&gear, &shot, &solution, Some(&band)).with_player(
        &gear,
        &shot,
        &solution,
        &club(),
    );
    let mut got = reply.json();
    // The range follows on request: it takes nine times the work.
    let mut answer = answer;
    body["range"] = json!(true);
    let ranged = post(&server, "/api/v1/shot", &body).json();
    let (low, high) = (answer.chance_low.take(), answer.chance_high.take());
    assert!(
        low < answer.chance && answer.chance < high,
        "{low:?} {high:?}"
    );
    for (name, wanted) in [
        ("chance", answer.chance),
        ("chance_low", low),
        ("chance_high", high),
    ] {
        assert_eq!(ranged["shot"][name], read_back(&wanted), "{name}");
    }
    assert_eq!(ranged["headline"], got["headline"]);
    let said = ranged["chance"].as_str().unwrap();
    assert!(
        said.contains("depending on how jaws and rails bounce"),
        "{said}"
    );
    assert_eq!(got["shot"]["chance_low"], Value::Null);
    let own = got["shot"]["equal_straight_mm"].as_f64().unwrap();
    let straight = answer.equal_straight_mm.unwrap();
    assert!(
        (own / straight - 1.0).abs() < EQUAL_WITHIN,
        "{own} {straight}"
    );
    got["shot"]["equal_straight_mm"] = json!(straight);
    assert_eq!(got["shot"], read_back(&answer));
    assert_eq!(got["headline"]["who"], "A club player makes it");
    assert_eq!(got["headline"]["words"], "assumed");
    let tenths = 10.0 * answer.chance.unwrap();
    assert_eq!(
        got["headline"]["number"],
        thincut::player::in_ten(tenths / 10.0)
    );
}

#[test]
fn drawing_stands_where_the_numbers_say() {
    let server = Server::start();
    let got = post(&server, "/api/v1/shot", &shot_json()).json();
    let place = |v: &Value| (v[0].as_f64().unwrap(), v[1].as_f64().unwrap());
    let (drawing, shot) = (&got["drawing"], &got["shot"]);
    let (x, y) = place(&drawing["ghost"]);
    let (gx, gy) = place(&shot["ghost_ball_mm"]);
    // Places are rounded to 1e-4 mm.
    assert!((x - gx).hypot(y - gy) < 2e-4);
    let (ox, oy) = place(&drawing["object"]["at"]);
    let (cx, cy) = place(&drawing["cue"]["at"]);
    for name in ["clean", "direct", "drop"] {
        let ends = &drawing[name];
        let (full, thin) = (place(&ends["fullest"]), place(&ends["thinnest"]));
        for (x, y) in [full, thin] {
            // A ghost ball touches the object ball: 57.15 mm between the centres.
            assert!(((x - ox).hypot(y - oy) - 57.15).abs() < 1e-3, "{name}");
        }
        // Fuller is nearer the line from the cue ball through the object ball.
        let off = |(x, y): (f64, f64)| ((oy - cy).atan2(ox - cx) - (y - cy).atan2(x - cx)).abs();
        assert!(off(full) < off(thin), "{name}");
        // The angle between them at the cue ball is the window.
        let angle = |(x, y): (f64, f64)| (y - cy).atan2(x - cx).to_degrees();
        let total = shot[name]["total_deg"].as_f64().unwrap();
        assert!(
            ((angle(full) - angle(thin)).abs() - total).abs() < 1e-4,
            "{name}"
        );
    }
    let pieces = shot["pieces"].as_array().unwrap().len();
    assert_eq!(drawing["fans"].as_array().unwrap().len(), pieces);
    for fan in drawing["fans"].as_array().unwrap() {
        let path = fan["path"].as_array().unwrap();
        let end = place(path.last().unwrap());
        // Every accepted way ends at the rim of the slate cut: 2.75 in round its centre.
        let gear = post(&server, "/api/v1/gear", &json!({})).json();
        let pockets = gear["plan"]["pockets"].as_array().unwrap().clone();
        let pocket = pockets.iter().find(|p| p["name"] == "foot-left").unwrap();
        let hole = place(&pocket["hole"]);
        assert!(
            ((end.0 - hole.0).hypot(end.1 - hole.1) - 69.85).abs() < 1e-2,
            "{fan}"
        );
    }
}

#[test]
fn map_of_places_is_the_librarys() {
    let server = Server::start();
    let mut body = shot_json();
    body["level"] = json!("club");
    body["columns"] = json!(9);
    body["rows"] = json!(5);
    let map = post(&server, "/api/v1/places", &body).json();
    let gear = Gear::preset("pool-9ft").unwrap();
    let at = |name: &str, k: usize| map[name][k].as_f64().unwrap();
    let mut solved = 0;
    for r in 0..5_u32 {
        for c in 0..9_u32 {
            let x = at("from_mm", 0) + (at("to_mm", 0) - at("from_mm", 0)) * f64::from(c) / 8.0;
            let y = at("from_mm", 1) + (at("to_mm", 1) - at("from_mm", 1)) * f64::from(r) / 4.0;
            let shot = shot_request(&format!("{x}mm,{y}mm")).shot(&gear).ok();
            let solution = shot.map(|s| solve(&gear, &s).unwrap());
            let window = solution.as_ref().and_then(|s| s.window.as_ref().ok());
            let cell = |name: &str| map[name][r as usize][c as usize].as_f64();
            let Some(window) = window.and_then(|w| w.direct.or(w.drop)) else {
                assert_eq!(cell("direct_deg"), None, "{r} {c}");
                continue;
            };
            solved += 1;
            let wide = window.total_rad().to_degrees();
            assert!(
                (cell("direct_deg").unwrap() - wide).abs() < MAP_ROUNDING,
                "{r} {c}"
            );
            // A map has the speed as intended at every place: what speed does takes ten times the work.
            let shot = shot.unwrap();
            let aimed = Aimed::of(&gear, &shot, solution.as_ref().unwrap()).unwrap();
            let chance = aimed.quick(&club().error);
            assert!(
                (cell("chance").unwrap() - chance).abs() < MAP_ROUNDING,
                "{r} {c}"
            );
        }
    }
    assert!(solved > 15, "{solved}");
}

#[test]
fn pocket_is_the_librarys() {
    let server = Server::start();
    let reply = post(
        &server,
        "/api/v1/pocket",
        &json!({"kind": "side", "approaches": "0deg,30deg"}),
    );
    let gear = Gear::preset("pool-9ft").unwrap();
    let approaches = [Angle::from_deg(0.0), Angle::from_deg(30.0)];
    let answer = PocketAnswer::solve(
        &gear,
        &[PocketKind::Side],
        Speed::from_m_s(1.0),
        Length::from_m(0.8),
        &approaches,
    );
    assert_eq!(reply.json(), read_back(&answer.unwrap()));
}
