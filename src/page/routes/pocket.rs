//! `POST /api/v1/pocket`: what the pockets take, by approach.

use schemars::JsonSchema;
use serde::Deserialize;
use serde_json::json;

use crate::answer::PocketAnswer;
use crate::field::Field;
use crate::page::ask::Rest;
use crate::page::fault::ApiFault;
use crate::page::lanes::Lane;
use crate::page::route::{About, Route};
use crate::page::state::{GearRequest, Setup};
use crate::pocket::PocketKind;
use crate::request::{angles, pocket_kind, quantity};
use crate::units::{Length, Speed};

/// Most approaches in one request (assumption: 45 either way by halves of a degree).
const MOST_APPROACHES: usize = 181;

/// Pockets, and how a ball comes to them.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(default, expecting = "an object")]
struct Ask {
    /// `corner` or `side`; both when absent.
    kind: Option<String>,
    /// Speed at the mouth.
    pace: String,
    /// Object ball to the mouth.
    distance: String,
    /// A list or range of angles off square.
    approaches: String,
    #[serde(flatten)]
    gear: GearRequest,
    #[serde(flatten)]
    rest: Rest,
}

impl Default for Ask {
    fn default() -> Self {
        Self {
            kind: None,
            pace: "1m/s".to_owned(),
            distance: "0.8m".to_owned(),
            approaches: "0deg,20deg,45deg".to_owned(),
            gear: GearRequest::default(),
            rest: Rest::default(),
        }
    }
}

fn solved(setup: &Setup, ask: Ask) -> Result<PocketAnswer, ApiFault> {
    ask.rest.none()?;
    let gear = setup.gear(&ask.gear)?;
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
    let about = About::new(
        "/api/v1/pocket",
        "What the pockets take, by approach",
        json!({"kind": "corner", "approaches": "0deg,20deg,45deg"}),
    );
    Route::solving(about, Lane::Light, solved)
}
