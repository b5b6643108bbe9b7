//! `POST /api/v1/aims`: ways of aiming on this shot, judged against its window.

use axum::Json;
use axum::extract::State;
use axum::http::Method;
use axum::response::Response;
use axum::routing::post;
use serde_json::json;

use super::Route;
use super::ask::{Sent, ShotAsk, shot_properties};
use super::heavy::{answer, at_most};
use crate::aims::{Scene, ShotAims, WaysRequest, bench_shot, reach_rows};
use crate::page::fault::ApiFault;
use crate::page::lanes::Lane;
use crate::page::picture::open_shot;
use crate::page::schema::{Schema, list, maybe_number, maybe_text, number, object, options, text};
use crate::page::state::{Setup, Shared};
use crate::window::Solved;

/// Most ways of aiming judged at once (assumption: twice as many as there are).
const MOST_WAYS: usize = 40;

async fn aims(State(shared): State<Shared>, sent: Sent<ShotAsk>) -> Result<Response, ApiFault> {
    let Json(mut ask) = sent?;
    let names: Vec<String> = ask.take("ways")?.unwrap_or_default();
    at_most("ways", names.len(), MOST_WAYS)?;
    let ways = WaysRequest {
        ways: names,
        ..WaysRequest::default()
    };
    answer(&shared, Lane::Long, move |setup| judged(setup, ask, &ways)).await
}

fn judged(setup: &Setup, ask: ShotAsk, ways: &WaysRequest) -> Result<ShotAims, ApiFault> {
    let asked = ask.read(setup)?;
    let (gear, shot) = (&asked.gear.gear, &asked.shot);
    let ways = ways.ways(gear, Some(shot).filter(|s| s.frame.name.is_some()), None)?;
    let past = asked.past()?;
    let Solved { acceptance, window } = open_shot(&past, &asked.layout)?;
    let scene = Scene { gear, shot, window };
    let base = bench_shot(&scene, acceptance);
    let reaches = reach_rows(gear, &ways, base, &[base.apart_m], shot.stroke, setup.units)?;
    let player = asked.player_there(&past);
    let player = player.as_ref();
    Ok(ShotAims::new(
        &ways,
        &scene,
        acceptance,
        &reaches,
        player,
        setup.units,
    ))
}

pub(super) fn route() -> Route {
    let mut asked = shot_properties();
    asked.push((
        "ways",
        list(
            text("A way"),
            "Which ways; all that need no option when absent",
        ),
    ));
    let way = object(&[
        ("rule", text("What the player does")),
        (
            "assumes",
            list(text("An assumption"), "Of lamp, eye or stick"),
        ),
        ("row", row()),
        ("says", list(text("A sentence"), "What is said of it")),
        ("reach", list(reach(), "Up to which cut it works")),
    ]);
    Route {
        path: "/api/v1/aims",
        method: Method::POST,
        summary: "Ways of aiming on this shot, judged against its window",
        request: Some(options(&asked)),
        example: Some(json!({
            "cue": "3,2.3", "object": "6,2.6", "pocket": "foot-left", "level": "club",
            "ways": ["ghost-ball", "quarters"]
        })),
        response: object(&[
            ("gear", text("Name of the equipment")),
            ("player", maybe_text("Who aims")),
            ("ways", list(way, "The ways")),
        ]),
        components: Vec::new(),
        handler: post(aims),
    }
}

fn row() -> Schema {
    object(&[
        ("way", text("The way")),
        ("cut_deg", number("Throw-free cut")),
        ("cut_side", maybe_text("left or right")),
        ("apart_mm", number("Between the balls")),
        ("to_pocket_mm", number("To the pocket")),
        ("status", text("ok, or why there is no answer")),
        (
            "aim_deg",
            maybe_number("The way's line off the line between the balls"),
        ),
        ("right_aim_deg", maybe_number("The right line, likewise")),
        ("too_full_deg", maybe_number("Aim error, too full positive")),
        ("too_full_mm", maybe_number("The same at the ghost ball")),
        ("lean", maybe_text("too full, too thin or right")),
        ("drops", maybe_text("clean, direct, drop or no")),
        ("room_part", maybe_text("The window of which room is left")),
        (
            "room_full_deg",
            maybe_number("Room left towards a fuller hit"),
        ),
        (
            "room_thin_deg",
            maybe_number("Room left towards a thinner hit"),
        ),
        ("room_full_mm", maybe_number("The same at the ghost ball")),
        ("room_thin_mm", maybe_number("The same at the ghost ball")),
        ("chance_by_way", maybe_number("Chance by this way, 0 to 1")),
        (
            "chance_right",
            maybe_number("Chance with the right aim, 0 to 1"),
        ),
    ])
}

fn reach() -> Schema {
    let span = || {
        object(&[
            ("from_deg", number("First cut")),
            ("to_deg", number("Last cut")),
        ])
    };
    object(&[
        ("way", text("The way")),
        ("apart_mm", number("Between the balls")),
        ("to_pocket_mm", number("To the pocket")),
        ("good_to_deg", maybe_number("Goes in up to this cut")),
        (
            "clean_to_deg",
            maybe_number("Goes in untouched up to this cut"),
        ),
        ("past_end_mm", maybe_number("Aim error just past the end")),
        ("worst_mm", maybe_number("Largest aim error")),
        ("worst_at_deg", maybe_number("Its cut")),
        (
            "misses_full_mm",
            maybe_number("Largest error that misses full"),
        ),
        (
            "misses_thin_mm",
            maybe_number("Largest error that misses thin"),
        ),
        ("looked_to_deg", number("Largest cut looked at")),
        ("drops", list(span(), "Runs of cuts that go in")),
        ("clean", list(span(), "Runs of cuts that go in untouched")),
        ("says", text("In words")),
    ])
}
