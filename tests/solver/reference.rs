//! Values from an event tracer written independently of this crate (`tests/data/acceptance.csv` and
//! `shots.csv`, each headed by how it was made), for three gears.
//!
//! Prints the largest error seen: `cargo test --test solver reference -- --nocapture`.

#![expect(
    clippy::unwrap_used,
    reason = "a helper of a test that cannot go on fails the test"
)]

use std::collections::HashMap;

use kurbo::Point;
use thincut::bed::Bed;
use thincut::gear::Gear;
use thincut::motion::BallBody;
use thincut::pocket::{PocketKind, PocketName, PocketShape, accept};
use thincut::stroke::{Stick, reach};
use thincut::window::{AimWindow, BedShot, Shot, Stroke, Window, solve};

const DATA: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data");

/// The promise for every edge and aim, degrees; the tables are good to 1e-5 and print 1e-6.
const ANGLE_DEG: f64 = 5e-4;
/// What is really reached: the last printed digit and its rounding, degrees. Tighter than the
/// promise, so that a slow loss of accuracy shows.
const PRINTED_DEG: f64 = 2e-6;
/// The promise for speeds, as a share.
const SPEED: f64 = 1e-4;

/// The gears of the tables.
fn gears() -> HashMap<String, Gear> {
    let mut gears = HashMap::new();
    for (name, source) in [
        ("pool-9ft", "pool-9ft".to_owned()),
        ("pool-7ft", "pool-7ft".to_owned()),
        ("tight", format!("{DATA}/tight.toml")),
        ("loose", format!("{DATA}/loose.toml")),
    ] {
        gears.insert(name.to_owned(), Gear::load(&source).unwrap());
    }
    gears
}

/// A table as rows of named fields.
fn table(file: &str) -> Vec<HashMap<String, String>> {
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(format!("{DATA}/{file}"))
        .unwrap();
    reader.deserialize().map(|row| row.unwrap()).collect()
}

fn number(row: &HashMap<String, String>, column: &str) -> f64 {
    row[column]
        .parse()
        .unwrap_or_else(|_| panic!("{column} = {}", row[column]))
}

/// Largest difference so far, and where.
#[derive(Default)]
struct Worst {
    by: f64,
    at: String,
}

impl Worst {
    fn see(&mut self, by: f64, at: impl FnOnce() -> String) {
        // written so that a NaN counts as worst
        if by.abs() <= self.by {
            return;
        }
        (self.by, self.at) = (by.abs(), at());
    }

    fn check(&self, what: &str, limit: f64) {
        println!("{what}: largest error {:.2e} ({})", self.by, self.at);
        assert!(self.by <= limit, "{what}: {} at {}", self.by, self.at);
    }
}

#[test]
fn every_edge_of_the_acceptance_table() {
    let gears = gears();
    let mut cases: Vec<Vec<HashMap<String, String>>> = Vec::new();
    for row in table("acceptance.csv") {
        match cases.last_mut() {
            Some(case) if case[0]["case"] == row["case"] => case.push(row),
            _ => cases.push(vec![row]),
        }
    }
    let mut worst = Worst::default();
    for case in &cases {
        compare_acceptance(&gears, case, &mut worst);
    }
    assert!(cases.len() >= 20, "only {} cases", cases.len());
    worst.check("acceptance edges, degrees", PRINTED_DEG.min(ANGLE_DEG));
}

/// Pieces of the whole bed narrower than this at the mouth may be missed, m.
const NARROW_M: f64 = 1e-3;
/// Only directions within atan of this over the distance are in the table, m.
const LISTED_M: f64 = 0.52;

#[test]
fn every_edge_on_the_whole_bed() {
    let gears = gears();
    let mut cases: Vec<Vec<HashMap<String, String>>> = Vec::new();
    for row in table("bed.csv") {
        match cases.last_mut() {
            Some(case) if case[0]["case"] == row["case"] => case.push(row),
            _ => cases.push(vec![row]),
        }
    }
    let mut worst = Worst::default();
    for case in &cases {
        compare_on_bed(&gears, case, &mut worst);
    }
    assert!(cases.len() >= 16, "only {} cases", cases.len());
    worst.check("edges on the whole bed, degrees", PRINTED_DEG);
}

fn compare_on_bed(
    gears: &HashMap<String, Gear>,
    case: &[HashMap<String, String>],
    worst: &mut Worst,
) {
    let first = &case[0];
    let gear = &gears[&first["gear"]];
    let pocket: PocketName = first["pocket"].parse().unwrap();
    let object = Point::new(
        number(first, "object_x_mm") / 1e3,
        number(first, "object_y_mm") / 1e3,
    );
    let accepted = Bed::new(gear)
        .accept(pocket, object, number(first, "pace_m_s"))
        .unwrap()
        .unwrap();
    let far_m = accepted.distance_m;
    let listed_deg = (LISTED_M / far_m).atan().to_degrees();
    let narrow_deg = (NARROW_M / far_m).to_degrees();
    let mut got: Vec<(f64, f64, &str)> = accepted
        .pieces
        .spans()
        .iter()
        .map(|s| {
            (
                s.from_rad.to_degrees().max(-listed_deg),
                s.to_rad.to_degrees().min(listed_deg),
                s.tag.name(),
            )
        })
        .filter(|(from, to, _)| to > from)
        .collect();
    for row in case {
        let (from, to) = (number(row, "from_deg"), number(row, "to_deg"));
        if to - from < narrow_deg {
            continue;
        }
        let at = || format!("case {} {} {from}", row["case"], row["how"]);
        let near = |(a, b, how): &(f64, f64, &str)| {
            *how == row["how"] && (a - from).abs() < 1e-3 && (b - to).abs() < 1e-3
        };
        let found = got.iter().position(near);
        let (a, b, _) = got.remove(found.unwrap_or_else(|| panic!("{}: {got:?}", at())));
        worst.see(a - from, at);
        worst.see(b - to, at);
    }
    for (from, to, how) in got {
        let case = &first["case"];
        assert!(
            to - from < narrow_deg,
            "case {case}: {from} {to} {how} is not in the table"
        );
    }
}

fn compare_acceptance(
    gears: &HashMap<String, Gear>,
    case: &[HashMap<String, String>],
    worst: &mut Worst,
) {
    let first = &case[0];
    let gear = &gears[&first["gear"]];
    let kind = match first["pocket"].as_str() {
        "corner" => PocketKind::Corner,
        "side" => PocketKind::Side,
        other => panic!("pocket {other}"),
    };
    let body = BallBody::object(gear);
    let shape = PocketShape::new(gear, kind, &body);
    let approach = number(first, "approach_deg").to_radians();
    let far_m = number(first, "distance_mm") / 1e3;
    let object = Point::new(-approach.cos() * far_m, -approach.sin() * far_m);
    let accepted = accept(
        &shape,
        &gear.cloth,
        &body,
        object,
        number(first, "pace_m_s"),
    );
    let accepted = accepted.unwrap().unwrap();
    let got: Vec<&str> = accepted
        .pieces
        .spans()
        .iter()
        .map(|s| s.tag.name())
        .collect();
    let want: Vec<&str> = case.iter().map(|r| r["how"].as_str()).collect();
    assert_eq!(got, want, "case {}", first["case"]);
    for (span, row) in accepted.pieces.spans().iter().zip(case) {
        let at = || format!("case {} {}", row["case"], row["how"]);
        worst.see(span.from_rad.to_degrees() - number(row, "from_deg"), at);
        worst.see(span.to_rad.to_degrees() - number(row, "to_deg"), at);
    }
}

#[test]
fn every_number_of_the_shots_table() {
    let gears = gears();
    let (mut angles, mut speeds) = (Worst::default(), Worst::default());
    let rows = table("shots.csv");
    for row in &rows {
        let (shot, window) = solved(&gears, row);
        assert_eq!(window.cut_side.name(), row["cut_side"]);
        for (column, got) in angles_of(&shot, &window) {
            angles.see(got - number(row, &column), || {
                format!("case {} {column}", row["case"])
            });
        }
        for (column, got) in [
            ("object_speed_m_s", window.object_speed_m_s),
            ("cue_speed_m_s", window.cue_speed_m_s),
        ] {
            speeds.see(got / number(row, column) - 1.0, || {
                format!("case {} {column}", row["case"])
            });
        }
        let far_mm = shot.object.to_vec2().hypot() * 1e3;
        // printed to 1e-6 mm
        assert!((far_mm - number(row, "object_to_mouth_mm")).abs() < 2e-6);
    }
    assert!(rows.len() >= 15, "only {} shots", rows.len());
    angles.check("shots, degrees", PRINTED_DEG.min(ANGLE_DEG));
    speeds.check("shots, speed as a share", SPEED);
}

fn solved(gears: &HashMap<String, Gear>, row: &HashMap<String, String>) -> (Shot, AimWindow) {
    let mut gear = gears[&row["gear"]].clone();
    if row["throw"] == "no" {
        gear.contact.friction_scale = 0.0;
    }
    let (dx, dy) = (gear.bed.length_m / 8.0, gear.bed.width_m / 4.0);
    let place = |x: &str, y: &str| Point::new(number(row, x) * dx, number(row, y) * dy);
    let bed = BedShot {
        cue: place("cue_x", "cue_y"),
        object: place("object_x", "object_y"),
        pocket: row["pocket"].parse().unwrap(),
    };
    let stroke = Stroke {
        pace_m_s: number(row, "pace_m_s"),
        roll: number(row, "roll"),
        side: number(row, "side"),
        ..Stroke::default()
    };
    let shot = Shot::on_bed(&gear, &bed, stroke).unwrap();
    (shot, solve(&gear, &shot).unwrap().window.unwrap())
}

/// Every angle of the table, by column.
fn angles_of(shot: &Shot, window: &AimWindow) -> Vec<(String, f64)> {
    let approach = (-shot.object.y).atan2(-shot.object.x);
    let on_bed = |rad: f64| {
        (window.approach.base_rad + rad + shot.frame.axis_rad)
            .to_degrees()
            .rem_euclid(360.0)
    };
    let mut out: Vec<(String, f64)> = [
        ("approach_deg", approach.to_degrees()),
        ("cut_deg", window.cut_rad.to_degrees().abs()),
        ("target_offset_deg", window.target_rad.to_degrees()),
        ("aim_deg", on_bed(window.aim.aim_rad)),
        (
            "centre_pocket_aim_deg",
            on_bed(window.centre_aim_rad().unwrap()),
        ),
        ("throw_deg", window.throw_fuller_rad().to_degrees()),
    ]
    .map(|(name, deg)| (name.to_owned(), deg))
    .to_vec();
    let parts: [(&str, Option<Window>); 3] = [
        ("drop", window.drop),
        ("direct", window.direct),
        ("clean", window.clean),
    ];
    for (name, part) in parts {
        let part = part.unwrap();
        for (side, rad) in [
            ("thick", part.thick_rad),
            ("thin", part.thin_rad),
            ("from", part.object.from_rad),
            ("to", part.object.to_rad),
        ] {
            out.push((format!("{name}_{side}_deg"), rad.to_degrees()));
        }
    }
    out
}

/// What stroke.csv promises: directions of the cue ball, of the object ball (degrees), the rest.
const ARRIVE_DEG: f64 = 1e-4;
const OBJECT_DEG: f64 = 2e-3;
const STROKE_NUMBERS: f64 = 1e-4;

#[test]
fn every_number_of_the_stroke_table() {
    let gear = &gears()["pool-9ft"];
    let radius_m = gear.cue_radius_m();
    let (mut arrives, mut objects, mut numbers) =
        (Worst::default(), Worst::default(), Worst::default());
    let rows = table("stroke.csv");
    for row in &rows {
        let n = |column: &str| number(row, column);
        let stick = Stick {
            speed_m_s: n("v0_m_s"),
            across_m: n("across_R") * radius_m,
            height_m: n("height_R") * radius_m,
            elevation_rad: n("elevation_deg").to_radians(),
            pivot_m: n("pivot_m"),
        };
        let object = Point::new(n("object_x_m"), n("object_y_m"));
        let struck = reach(gear, &stick, Point::ORIGIN, object, 0.0).unwrap();
        let at = |column: &str| format!("case {} {column}", row["case"]);
        let arrival = struck.arrival;
        let arrive = arrival.direction_rad.to_degrees() - n("arrive_deg");
        arrives.see(arrive, || at("arrive_deg"));
        objects.see(struck.cut_rad.to_degrees() - n("cut_deg"), || at("cut_deg"));
        let object_deg = struck.object_rad.to_degrees() - n("object_deg");
        objects.see(object_deg, || at("object_deg"));
        for (column, got) in [
            ("contact_x_m", arrival.at.x),
            ("contact_y_m", arrival.at.y),
            ("speed_m_s", arrival.speed_m_s),
            ("roll", arrival.roll),
            ("side_w", arrival.side_right),
            ("object_speed_m_s", struck.object_speed_m_s),
        ] {
            numbers.see(got - n(column), || at(column));
        }
    }
    assert!(rows.len() >= 16, "only {} strokes", rows.len());
    arrives.check("cue ball arrives, degrees", ARRIVE_DEG.min(5e-6));
    objects.check("cut and object ball, degrees", OBJECT_DEG.min(1e-4));
    numbers.check("speeds, places, roll and side", STROKE_NUMBERS.min(1e-6));
}
