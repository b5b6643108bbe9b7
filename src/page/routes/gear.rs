//! `POST /api/v1/gear`: the equipment with every value and its source, and the table as outlines.

use axum::Json;
use axum::extract::State;
use axum::http::Method;
use axum::response::Response;
use axum::routing::post;
use serde::{Deserialize, Serialize};
use serde_json::json;

use super::Route;
use super::ask::{Sent, gear_properties};
use super::heavy::answer;
use crate::gear::spoken_gear;
use crate::page::fault::ApiFault;
use crate::page::lanes::Lane;
use crate::page::plan::Plan;
use crate::page::schema::{
    Schema, list, maybe_text, number, object, options, place, reference, text,
};
use crate::page::start::{Pace, paces, start_shot};
use crate::page::state::{GearRequest, Setup, Shared};
use crate::player::Level;
use crate::request::PlacesRequest;

#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields, expecting = "an object")]
struct Ask {
    gear: Option<String>,
    set: Vec<String>,
}

#[derive(Debug, Serialize)]
struct Row {
    key: &'static str,
    value: String,
    from: String,
    source: Option<String>,
}

#[derive(Debug, Serialize)]
struct Who {
    name: &'static str,
    spoken: String,
    arm: String,
    picture: String,
}

#[derive(Debug, Serialize)]
struct Answer {
    name: String,
    note: Option<String>,
    names: Vec<String>,
    /// The same as people say them, in the same order.
    spoken: Vec<String>,
    values: Vec<Row>,
    plan: Plan,
    start: PlacesRequest,
    paces: Vec<Pace>,
    players: Vec<Who>,
}

async fn gear(State(shared): State<Shared>, sent: Sent<Ask>) -> Result<Response, ApiFault> {
    let Json(ask) = sent?;
    answer(&shared, Lane::Light, move |setup| all_of(setup, ask)).await
}

fn all_of(setup: &Setup, ask: Ask) -> Result<Answer, ApiFault> {
    let loaded = setup.gear(&GearRequest {
        gear: ask.gear,
        set: ask.set,
    })?;
    let row = |row: &crate::gear::GearRow| Row {
        key: row.key,
        value: row.value.clone(),
        from: row.origin.to_string(),
        source: row.source.clone(),
    };
    let who = |level: Level| {
        let error = level.aim_error();
        Who {
            name: level.name(),
            spoken: level.spoken(),
            arm: format!("{}deg", (error.arm_rad.to_degrees() * 1e6).round() / 1e6),
            picture: format!("{}mm", (error.picture_m * 1e9).round() / 1e6),
        }
    };
    let names = setup.gear_names();
    Ok(Answer {
        name: loaded.gear.name.clone(),
        note: loaded.note.clone(),
        spoken: names.iter().map(|n| spoken_gear(n)).collect(),
        names,
        values: loaded.rows.iter().map(row).collect(),
        plan: Plan::new(&loaded.gear),
        start: start_shot(&loaded.gear).places,
        paces: paces(&loaded.gear),
        players: Level::ALL.map(who).into(),
    })
}

pub(super) fn route() -> Route {
    let value = object(&[
        ("key", text("Name with its sections")),
        ("value", text("Value with its unit")),
        ("from", text("Where it was given")),
        ("source", maybe_text("Source and mark")),
    ]);
    let player = object(&[
        ("name", text("As player takes it")),
        ("spoken", text("As said")),
        ("arm", text("Spread of the stroke")),
        ("picture", text("Spread of seeing")),
    ]);
    Route {
        path: "/api/v1/gear",
        method: Method::POST,
        summary: "Equipment: every value with its source, the table to draw, what to choose from",
        request: Some(options(&gear_properties())),
        example: Some(json!({"gear": "pool-9ft", "set": ["pocket.corner.jaw_radius=3mm"]})),
        response: object(&[
            ("name", text("Name")),
            ("note", maybe_text("What it says of itself")),
            ("names", list(text("A name"), "All that can be asked for")),
            (
                "spoken",
                list(text("`9-foot pool table`"), "The same as people say them"),
            ),
            ("values", list(value, "Every value")),
            ("plan", reference("Plan")),
            ("start", start()),
            (
                "paces",
                list(
                    object(&[
                        ("pace", text("As pace takes it")),
                        ("words", text("As said")),
                    ]),
                    "Strokes to choose",
                ),
            ),
            ("players", list(player, "Levels to choose")),
        ]),
        components: vec![("Plan", plan())],
        handler: post(gear),
    }
}

fn start() -> Schema {
    object(&[
        ("cue", text("Cue ball")),
        ("object", text("Object ball")),
        ("pocket", text("Pocket")),
    ])
}

fn plan() -> Schema {
    let pocket = object(&[
        ("name", text("Name")),
        ("kind", text("corner or side")),
        ("mouth", place("Middle of the mouth")),
        ("axis_deg", number("Direction into the pocket")),
        ("mouth_mm", number("Between the jaw points")),
        ("hole", place("Centre of the slate cut")),
        ("hole_radius_mm", number("Its radius")),
    ]);
    object(&[
        ("length_mm", number("Between the noses, along")),
        ("width_mm", number("Between the noses, across")),
        ("cue_radius_mm", number("Cue ball")),
        ("object_radius_mm", number("Object ball")),
        ("cue_edge_mm", number("Nearest a cue ball can be to a nose")),
        (
            "object_edge_mm",
            number("Nearest an object ball can be to a nose"),
        ),
        ("contact_mm", number("Nearest two centres can be")),
        ("diamonds", list(number("Count"), "Along and across")),
        ("pockets", list(pocket, "All six")),
        (
            "cushions",
            list(
                object(&[("outline", list(place("mm"), "Closed"))]),
                "All six",
            ),
        ),
    ])
}
