//! `POST /api/v1/layout`: a layout file, read and checked.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::json;

use crate::layout::Layout;
use crate::page::ask::Rest;
use crate::page::fault::ApiFault;
use crate::page::lanes::Lane;
use crate::page::route::{About, Route};
use crate::page::state::{GearRequest, Setup};

/// A layout on some equipment.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(default, expecting = "an object")]
struct Ask {
    /// A layout file's text.
    layout: String,
    #[serde(flatten)]
    gear: GearRequest,
    #[serde(flatten)]
    rest: Rest,
}

/// A ball and its place.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(inline)]
struct Row {
    /// Its name; the cue ball is `cue`.
    ball: String,
    /// Diamonds from the head and the right rail.
    at: [f64; 2],
}

#[derive(Debug, Serialize, JsonSchema)]
struct Answer {
    /// The cue ball first.
    balls: Vec<Row>,
}

fn read(setup: &Setup, ask: Ask) -> Result<Answer, ApiFault> {
    ask.rest.none()?;
    let gear = setup.gear(&ask.gear)?;
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
    let about = About::new(
        "/api/v1/layout",
        "A layout file, read and checked",
        json!({"layout": "ball,x,y\ncue,2,1\n3,5,3\n8,foot-spot\n"}),
    );
    Route::solving(about, Lane::Light, read)
}
