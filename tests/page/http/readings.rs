//! The measuring form on the page: what its readings make is what the library makes of them.

use serde_json::{Value, json};
use thincut::gear::LoadedGear;
use thincut::measure::rails::SPEED_M_S;
use thincut::measure::{
    Instruments, MeasuredTable, Quantity, RampRun, gear, rail_fit, read_at_45, read_straight,
    readings, values,
};
use thincut::pocket::PocketKind::Corner;

use super::refused;
use crate::explorer::{Server, post};

const DAY: &str = "2025-11-24";

fn given(readings: Value) -> Value {
    json!({"table": "pool-9ft", "name": "hall-2", "date": DAY, "readings": readings})
}

#[test]
fn readings_make_the_table_that_the_library_makes() {
    let server = Server::start();
    let body = given(json!([
        {"of": "corner-mouth", "pocket": "foot-left", "text": "114mm, 113.5mm"},
        {"of": "corner-mouth", "pocket": "head-right", "text": "115mm"},
        {"of": "corner-shelf", "pocket": "foot-left", "text": "41mm"},
        {"of": "roll-out", "text": "3.2m 8.1s"}
    ]));
    let got = post(&server, "/api/v1/readings", &body).json();
    let own: Vec<_> = [
        (Quantity::Mouth(Corner), "114mm, 113.5mm, 115mm"),
        (Quantity::Shelf(Corner), "41mm"),
        (Quantity::Lag, "3.2m 8.1s"),
    ]
    .into_iter()
    .flat_map(|(quantity, text)| {
        let read = readings(quantity, text).unwrap();
        read.into_iter().map(move |reading| (quantity, reading))
    })
    .collect();
    let base = LoadedGear::load("pool-9ft", &[]).unwrap();
    let table = MeasuredTable::new(base.clone(), &own, &Instruments::default()).unwrap();
    let wanted = gear(&table, &values(&table), "hall-2", DAY).unwrap();
    assert_eq!(got["file"], wanted.to_toml());
    assert_eq!(got["faults"], json!([]));
    let missing: Vec<&str> = got["missing"]
        .as_array()
        .unwrap()
        .iter()
        .map(|m| m.as_str().unwrap())
        .collect();
    assert!(missing.contains(&"corner throat") && missing.contains(&"rolls off a rail"));
    assert!(!missing.contains(&"corner mouth") && !missing.contains(&"corner shelf"));
    // Laid over the standard table it is the same table: what the page plays on at once.
    let set: Vec<String> = serde_json::from_value(got["set"].clone()).unwrap();
    let laid = LoadedGear::load("pool-9ft", &set).unwrap().gear;
    assert_eq!(laid.corner, wanted.gear.corner);
    assert_eq!(laid.cloth, wanted.gear.cloth);
    let shot = json!({"table": "pool-9ft", "set": set, "cue": "3,2.3", "object": "6,2.6", "pocket": "foot-left"});
    assert_eq!(post(&server, "/api/v1/shot", &shot).status, 200);
}

#[test]
fn rolls_off_a_rail_tell_of_the_cushions_as_the_test_of_rails_does() {
    let server = Server::start();
    let rolls = |straight: &str, slanted: &str| {
        json!([
            {"of": "straight", "text": straight},
            {"of": "at-45", "text": slanted}
        ])
    };
    let got = post(
        &server,
        "/api/v1/readings",
        &given(rolls("58cm, 59cm", "1.12m 44cm")),
    )
    .json();
    let base = LoadedGear::load("pool-9ft", &[]).unwrap().gear;
    let mut all = read_straight(&["58cm, 59cm".to_owned()]).unwrap();
    all.extend(read_at_45(&["1.12m 44cm".to_owned()]).unwrap());
    let run = RampRun::that_fits(&base, SPEED_M_S);
    let bounce = rail_fit(&base, &run, &all, &Instruments::default()).unwrap();
    let wanted = format!("cushion.restitution={:.4}", bounce.restitution);
    assert!(
        got["set"].as_array().unwrap().contains(&json!(wanted)),
        "{got}"
    );
    assert!(got["file"].as_str().unwrap().contains("restitution"));
    // One kind of roll alone is not enough, and that is no fault of a box.
    let got = post(&server, "/api/v1/readings", &given(rolls("58cm", ""))).json();
    let needs = got["needs"][0].as_str().unwrap();
    assert!(
        needs.starts_with("straight roll needs roll at 45°"),
        "{needs}"
    );
    assert_eq!((&got["file"], &got["faults"]), (&Value::Null, &json!([])));
}

#[test]
fn every_box_says_what_is_wrong_with_it() {
    let server = Server::start();
    let cases = [
        ("corner-mouth", "114", "\"114\" has no unit"),
        ("corner-mouth", "107,5mm", "write 107.5mm with a point"),
        ("corner-mouth", "11.4mm", "was 11.4cm meant?"),
        ("side-shelf", "thick", "\"thick\""),
        ("roll-out", "3.2m", "\"3.2m\" is no reading of a roll-out"),
        ("ramp-run", "1.3m 2/7", "1.3m 2/7"),
    ];
    for (of, text, says) in cases {
        let pocket = match of.split_once('-') {
            Some(("corner", _)) => json!("foot-left"),
            Some(("side", _)) => json!("side-left"),
            _ => Value::Null,
        };
        let body = given(json!([{"of": of, "pocket": pocket, "text": text}]));
        let got = post(&server, "/api/v1/readings", &body).json();
        let fault = &got["faults"][0];
        assert_eq!(
            (&fault["of"], &fault["pocket"]),
            (&json!(of), &pocket),
            "{got}"
        );
        let message = fault["message"].as_str().unwrap();
        assert!(message.contains(says), "{message}");
        assert!(!message.contains("--") && got["file"].is_null(), "{got}");
    }
    // A unit for all boxes of pockets, chosen once; a pocket that differs counts by itself.
    let mut body = given(json!([
        {"of": "corner-mouth", "pocket": "foot-left", "text": "114, 113.5"},
        {"of": "corner-mouth", "pocket": "foot-right", "alone": true, "text": "130"}
    ]));
    body["unit"] = json!("mm");
    let got = post(&server, "/api/v1/readings", &body).json();
    let set = got["set"].to_string();
    assert!(set.contains("pocket.foot-right.mouth=130"), "{got}");
    // Without that they are two readings of one thing, and cannot both be right.
    body["readings"][1]["alone"] = json!(false);
    let got = post(&server, "/api/v1/readings", &body).json();
    let wrong = got["wrong"][0].as_str().unwrap();
    assert!(
        wrong.starts_with("corner mouth: 113.5mm and 130mm are"),
        "{wrong}"
    );
    assert!(!wrong.contains("in the form"), "{wrong}");
    body["date"] = json!("24.11.2025");
    let got = post(&server, "/api/v1/readings", &body).json();
    assert_eq!(got["faults"][0]["of"], "date");
    for bad in [
        json!({"readings": [{"of": "corner", "text": "1"}]}),
        json!({"readings": [], "unit": "ell"}),
        json!({"readings": [{"of": "corner-mouth", "pocket": "north", "text": "1mm"}]}),
    ] {
        refused(&post(&server, "/api/v1/readings", &bad), 422);
    }
}

#[test]
fn the_form_speaks_as_its_table_does_and_is_had_on_paper() {
    let server = Server::start();
    let form = |table: &str| post(&server, "/api/v1/form", &json!({"table": table})).json();
    let pool = form("pool-9ft");
    assert_eq!(pool["pockets"][0]["pockets"].as_array().unwrap().len(), 4);
    let asked = |form: &Value, kind: usize| {
        let of = form["pockets"][kind]["of"].as_array().unwrap();
        of.iter()
            .map(|o| o["of"].as_str().unwrap().to_owned())
            .collect::<Vec<_>>()
    };
    assert_eq!(
        asked(&pool, 0),
        [
            "corner-mouth",
            "corner-gap",
            "corner-throat",
            "corner-shelf"
        ]
    );
    let snooker = form("snooker-12ft");
    assert_eq!(
        asked(&snooker, 0),
        ["corner-fall", "corner-rounding", "corner-shelf"]
    );
    let said = snooker.to_string();
    for american in ["head nose", "foot nose", "side pocket", "head spot", "rail"] {
        assert!(!said.contains(american), "{american}: {said}");
    }
    // A cue ball of another size is asked for by itself.
    let small = form("smallball-7ft").to_string();
    assert!(small.contains("cue-ball-diameter") && !pool.to_string().contains("cue-ball-diameter"));
    let paper = post(
        &server,
        "/api/v1/form-sheet",
        &json!({"table": "snooker-12ft"}),
    );
    assert_eq!(paper.status, 200);
    assert!(paper.body.starts_with(b"%PDF"));
}
