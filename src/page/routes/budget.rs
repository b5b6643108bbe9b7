//! `POST /api/v1/budget`: which error costs most on this shot, and what to practise.

use axum::Json;
use axum::extract::State;
use axum::http::Method;
use axum::response::Response;
use axum::routing::post;
use serde::Serialize;
use serde_json::json;

use super::Route;
use super::ask::{Sent, ShotAsk, shot_properties};
use super::heavy::answer;
use crate::answer::{BudgetAnswer, budget_headline, budget_label};
use crate::page::fault::ApiFault;
use crate::page::lanes::Lane;
use crate::page::picture::Subject;
use crate::page::schema::{
    Schema, list, maybe, maybe_text, number, object, options, reference, text, truth,
};
use crate::page::state::Shared;
use crate::player::spreads::SpreadsRequest;

#[derive(Debug, Serialize)]
struct Answer {
    headline: String,
    held: String,
    /// What is awkward about the stance: the arm's part counts it.
    stance: Option<String>,
    assumed_words: String,
    /// Names of the inputs as said, in their order.
    labels: Vec<&'static str>,
    budget: BudgetAnswer,
}

async fn budget(State(shared): State<Shared>, sent: Sent<ShotAsk>) -> Result<Response, ApiFault> {
    let Json(mut ask) = sent?;
    let spreads = SpreadsRequest {
        tip_spread: ask.take("tip-spread")?,
        speed_spread: ask.take("speed-spread")?,
        ball_spread: ask.take("ball-spread")?,
    };
    answer(&shared, Lane::Long, move |setup| {
        let request = ask.request();
        let asked = ask.read(setup)?;
        let past = asked.past()?;
        let subject = Subject::new(&asked, &past, &request, setup.units);
        let (budget, held) = subject.budget(&spreads)?;
        let inputs = &budget.budget.inputs;
        Ok(Answer {
            headline: budget_headline(&budget.budget, &budget.player),
            held,
            stance: subject.stance_words(),
            assumed_words: budget.assumed_words(),
            labels: inputs.iter().map(|row| budget_label(row.source)).collect(),
            budget,
        })
    })
    .await
}

pub(super) fn route() -> Route {
    let mut asked = shot_properties();
    asked.extend([
        (
            "tip-spread",
            text("Spread of where the tip meets the cue ball"),
        ),
        (
            "speed-spread",
            text("Spread of the stroke's speed, as a share"),
        ),
        (
            "ball-spread",
            text("Spread of the friction between the balls, as a share"),
        ),
    ]);
    Route {
        path: "/api/v1/budget",
        method: Method::POST,
        summary: "Which error costs most on this shot, and what to practise",
        request: Some(options(&asked)),
        example: Some(json!({
            "cue": "3,2.3", "object": "6,2.6", "pocket": "foot-left", "level": "club"
        })),
        response: object(&[
            ("headline", text("The finding in one sentence")),
            ("held", text("The shot in a few words")),
            (
                "stance",
                maybe_text("What is awkward about the stance, which the arm's part counts"),
            ),
            ("assumed_words", text("Which spreads are assumed")),
            ("labels", list(text("An input"), "The inputs as said")),
            ("budget", reference("Budget")),
        ]),
        components: vec![("Budget", schema()), ("Interval", interval())],
        handler: post(budget),
    }
}

fn interval() -> Schema {
    json!({"type": "array", "items": number("An end"), "minItems": 2, "maxItems": 2, "description": "Low and high"})
}

fn schema() -> Schema {
    let source = || text("arm, picture, tip, speed, balls or lean");
    let ends = || reference("Interval");
    let row = object(&[
        ("source", source()),
        ("unit", text("deg, mm or 1")),
        ("standard_uncertainty", number("Spread in that unit")),
        ("sensitivity_deg", number("Object-ball direction per unit")),
        (
            "contribution_deg",
            number("Object-ball direction's spread due to it"),
        ),
        ("share", number("Of the whole, 0 to 1")),
        (
            "makes_if_halved",
            number("Rate of makes with half the spread"),
        ),
        ("gain", number("What that gains")),
        ("gain_error", number("Standard error of the gain")),
    ]);
    let practise = object(&[
        ("source", source()),
        ("makes", number("Rate of makes then")),
        ("gain", number("What it gains")),
        ("gain_error", number("Standard error of the gain")),
    ]);
    let drawn = object(&[
        ("trials", number("Simulated shots")),
        ("mean", number("Mean")),
        ("standard_deviation", number("Standard deviation")),
        ("symmetric_95", ends()),
        ("shortest_95", ends()),
        ("end_errors", ends()),
    ]);
    let agreement = object(&[
        ("tolerance", number("Numerical tolerance")),
        ("low_gap", number("Distance of the lower ends")),
        ("high_gap", number("Distance of the upper ends")),
        ("agrees", truth("Whether both are near enough")),
        ("warning", maybe_text("What to tell people when not")),
    ]);
    object(&[
        ("player", text("Who aims")),
        ("assumed", list(source(), "Inputs whose spread nobody gave")),
        ("trials", number("Simulated shots")),
        ("seed", number("Start of the random numbers")),
        ("practise", maybe(practise)),
        ("makes", number("Rate of makes, simulated")),
        ("makes_error", number("Its standard error")),
        (
            "makes_by_aim_alone",
            number("Chance with arm, picture and lean alone"),
        ),
        ("inputs", list(row, "Each input")),
        ("off_target_deg", number("Off the target without errors")),
        ("linear_deg", number("Spread of the direction, added up")),
        ("linear_95_deg", ends()),
        ("drawn_deg", drawn),
        ("missed_ball", number("Share that missed the object ball")),
        ("agreement", agreement),
    ])
}
