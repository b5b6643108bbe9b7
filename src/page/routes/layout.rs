//! `POST /api/v1/layout`: a layout file, read and checked.

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
use crate::layout::Layout;
use crate::page::fault::ApiFault;
use crate::page::lanes::Lane;
use crate::page::schema::{list, number, object, options, text};
use crate::page::state::{GearRequest, Setup, Shared};

#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields, expecting = "an object")]
struct Ask {
    layout: String,
    gear: Option<String>,
    set: Vec<String>,
}

/// A ball and its place.
#[derive(Debug, Serialize)]
struct Row {
    ball: String,
    /// Diamonds from the head and the right rail.
    at: [f64; 2],
}

#[derive(Debug, Serialize)]
struct Answer {
    balls: Vec<Row>,
}

async fn layout(State(shared): State<Shared>, sent: Sent<Ask>) -> Result<Response, ApiFault> {
    let Json(ask) = sent?;
    answer(&shared, Lane::Light, move |setup| read(setup, ask)).await
}

fn read(setup: &Setup, ask: Ask) -> Result<Answer, ApiFault> {
    let gear = setup.gear(&GearRequest {
        gear: ask.gear,
        set: ask.set,
    })?;
    let layout = Layout::parse(&ask.layout, &gear.gear)?;
    let bed = &gear.gear.bed;
    let row = |ball: &str, at: kurbo::Point| Row {
        ball: ball.to_owned(),
        at: [at.x / (bed.length_m / 8.0), at.y / (bed.width_m / 4.0)],
    };
    let balls = layout.balls.iter().map(|b| row(&b.label, b.at));
    Ok(Answer {
        balls: std::iter::once(row("cue", layout.cue))
            .chain(balls)
            .collect(),
    })
}

pub(super) fn route() -> Route {
    let mut asked = vec![(
        "layout",
        text("A layout file's text, as `thincut choose` reads it"),
    )];
    asked.extend(gear_properties());
    Route {
        path: "/api/v1/layout",
        method: Method::POST,
        summary: "A layout file, read and checked",
        request: Some(options(&asked)),
        example: Some(json!({"layout": "ball,x,y\ncue,2,1\n3,5,3\n8,foot-spot\n"})),
        response: object(&[(
            "balls",
            list(
                object(&[
                    ("ball", text("Its name; the cue ball is `cue`")),
                    (
                        "at",
                        list(number("Diamonds"), "From the head and the right rail"),
                    ),
                ]),
                "The cue ball first",
            ),
        )]),
        components: Vec::new(),
        handler: post(layout),
    }
}
