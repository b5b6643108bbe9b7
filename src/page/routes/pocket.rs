//! `POST /api/v1/pocket`: what the pockets take, by approach.

use axum::Json;
use axum::extract::State;
use axum::http::Method;
use axum::response::Response;
use axum::routing::post;
use serde::Deserialize;
use serde_json::json;

use super::Route;
use super::ask::{Sent, gear_properties};
use super::heavy::answer;
use crate::answer::PocketAnswer;
use crate::field::Field;
use crate::page::fault::ApiFault;
use crate::page::lanes::Lane;
use crate::page::schema::{list, maybe, number, object, options, reference, text};
use crate::page::state::{GearRequest, Setup, Shared};
use crate::pocket::PocketKind;
use crate::request::{angles, pocket_kind, quantity};
use crate::units::{Length, Speed};

/// Most approaches in one request (assumption: 45 either way by halves of a degree).
const MOST_APPROACHES: usize = 181;

#[derive(Debug, Deserialize)]
#[serde(default, deny_unknown_fields, expecting = "an object")]
struct Ask {
    kind: Option<String>,
    pace: String,
    distance: String,
    approaches: String,
    gear: Option<String>,
    set: Vec<String>,
}

impl Default for Ask {
    fn default() -> Self {
        Self {
            kind: None,
            pace: "1m/s".to_owned(),
            distance: "0.8m".to_owned(),
            approaches: "0deg,20deg,45deg".to_owned(),
            gear: None,
            set: Vec::new(),
        }
    }
}

async fn pocket(State(shared): State<Shared>, sent: Sent<Ask>) -> Result<Response, ApiFault> {
    let Json(ask) = sent?;
    answer(&shared, Lane::Light, move |setup| solved(setup, ask)).await
}

fn solved(setup: &Setup, ask: Ask) -> Result<PocketAnswer, ApiFault> {
    let gear = setup.gear(&GearRequest {
        gear: ask.gear,
        set: ask.set,
    })?;
    let kinds = match &ask.kind {
        Some(word) => vec![pocket_kind(Some(word))?],
        None => vec![PocketKind::Corner, PocketKind::Side],
    };
    let pace = quantity::<Speed>(Field::Pace, Some(&ask.pace))?.unwrap_or(Speed::ZERO);
    let distance =
        quantity::<Length>(Field::Distance, Some(&ask.distance))?.unwrap_or(Length::ZERO);
    let approaches = angles(Field::Approaches, &ask.approaches)?;
    if approaches.len() > MOST_APPROACHES {
        return Err(ApiFault::value(format!(
            "approaches: {} angles are too many at once; ask for at most {MOST_APPROACHES}",
            approaches.len()
        )));
    }
    Ok(PocketAnswer::solve(
        &gear.gear,
        &kinds,
        pace,
        distance,
        &approaches,
    )?)
}

pub(super) fn route() -> Route {
    let mut asked = vec![
        ("kind", text("corner or side; both when absent")),
        ("pace", text("Speed at the mouth, `1m/s`")),
        ("distance", text("Object ball to the mouth, `0.8m`")),
        (
            "approaches",
            text("A list or range of angles, `0deg,20deg`"),
        ),
    ];
    asked.extend(gear_properties());
    let part = object(&[
        (
            "from_deg",
            number("Off the line to the middle of the pocket"),
        ),
        ("to_deg", number("Off the line to the middle of the pocket")),
        ("how", text("clean, jaw or rail; clean, direct or drop")),
        ("effective_pocket_mm", number("Effective pocket size")),
    ]);
    let row = object(&[
        ("kind", text("corner or side")),
        ("approach_deg", number("Off square")),
        ("status", text("ok, no-drop, in-the-jaws or in-the-rail")),
        ("clean", maybe(reference("PocketPart"))),
        ("direct", maybe(reference("PocketPart"))),
        ("drop", maybe(reference("PocketPart"))),
        (
            "pieces",
            list(reference("PocketPart"), "All accepted directions"),
        ),
    ]);
    Route {
        path: "/api/v1/pocket",
        method: Method::POST,
        summary: "What the pockets take, by approach",
        request: Some(options(&asked)),
        example: Some(json!({"kind": "corner", "approaches": "0deg,20deg,45deg"})),
        response: object(&[
            ("gear", text("Name of the equipment")),
            ("pace_m_s", number("Speed at the mouth")),
            ("distance_mm", number("Object ball to the mouth")),
            ("rows", list(row, "One an approach")),
        ]),
        components: vec![("PocketPart", part)],
        handler: post(pocket),
    }
}
