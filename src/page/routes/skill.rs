//! `POST /api/v1/skill`: what the practice log says of a student.

use axum::Json;
use axum::extract::State;
use axum::http::Method;
use axum::response::Response;
use axum::routing::post;
use serde::{Deserialize, Serialize};
use serde_json::json;

use super::Route;
use super::ask::Sent;
use super::heavy::answer;
use crate::answer::{SkillAnswer, skill_text};
use crate::log::{SkillWishes, When, skill};
use crate::page::fault::ApiFault;
use crate::page::lanes::Lane;
use crate::page::schema::{
    Schema, list, maybe, maybe_text, number, object, open_object, options, text,
};
use crate::page::state::{Setup, Shared};
use crate::player::{Level, Observation};

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, expecting = "an object")]
struct Ask {
    student: String,
    since: Option<String>,
}

#[derive(Debug, Serialize)]
struct Answer {
    lines: Vec<String>,
    skill: SkillAnswer,
}

/// The answer on a student, from the log as it is now.
pub(super) fn answer_of(
    setup: &Setup,
    student: &str,
    since: Option<&When>,
) -> Result<(SkillAnswer, Vec<Observation>), ApiFault> {
    setup.of_students()?;
    let practice = setup.desk()?.read(|log| log.practice(student, None))?;
    let wishes = SkillWishes {
        student,
        since,
        level: Level::Club,
        stroke: None,
    };
    Ok(skill(wishes, &practice)?)
}

async fn of_student(State(shared): State<Shared>, sent: Sent<Ask>) -> Result<Response, ApiFault> {
    let Json(ask) = sent?;
    let since: Option<When> = ask.since.as_deref().map(str::parse).transpose()?;
    answer(&shared, Lane::Long, move |setup| {
        let (skill, _) = answer_of(setup, &ask.student, since.as_ref())?;
        let text = skill_text(&skill, false, setup.units);
        Ok(Answer {
            lines: text.lines().map(str::to_owned).collect(),
            skill,
        })
    })
    .await
}

pub(super) fn route() -> Route {
    Route {
        path: "/api/v1/skill",
        method: Method::POST,
        summary: "What the practice log says of a student",
        request: Some(options(&[
            ("student", text("The label")),
            ("since", text("First day of the later period")),
        ])),
        example: Some(json!({"student": "A"})),
        response: object(&[
            ("lines", list(text("A sentence"), "In words")),
            ("skill", schema()),
        ]),
        components: Vec::new(),
        handler: post(of_student),
    }
}

fn schema() -> Schema {
    let day = object(&[
        ("day", text("The day")),
        ("tries", number("Tries")),
        ("made", number("Makes")),
        (
            "spread",
            maybe(open_object("Spread of that day over that of all")),
        ),
    ]);
    let days =
        json!({"type": ["array", "null"], "items": text("A day"), "description": "First and last"});
    object(&[
        ("student", text("The label")),
        ("tries", number("Tries used")),
        ("made", number("Makes among them")),
        ("left_out", number("Tries at shots without a window")),
        ("days", days),
        ("since", maybe_text("First day of the later period")),
        ("level", text("Level of the reference, assumed")),
        (
            "report",
            open_object("The fit and what holds of it, as `thincut skill` gives it"),
        ),
        ("stroke", maybe(open_object("A stroke test"))),
        ("split", maybe(open_object("What the misses come from"))),
        ("by_day", list(day, "Day by day")),
        (
            "tell_me_more",
            list(open_object("A shot"), "Shots that would tell most"),
        ),
    ])
}
