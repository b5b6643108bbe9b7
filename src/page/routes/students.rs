//! `POST /api/v1/students` and `/student`: who is in the practice log, as players, and one more.

use axum::Json;
use axum::extract::State;
use axum::http::Method;
use axum::routing::post;
use serde::{Deserialize, Serialize};
use serde_json::json;

use super::Route;
use super::ask::Sent;
use super::heavy::off_thread;
use crate::log::Student;
use crate::page::fault::ApiFault;
use crate::page::guard::{Caller, caller};
use crate::page::schema::{list, maybe_number, maybe_text, number, object, options, text, truth};
use crate::page::state::{Setup, Shared};

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, expecting = "an object")]
struct Nothing {}

/// A student; `arm` and `picture` are theirs on left cuts, absent where the tries do not tell.
#[derive(Debug, Serialize)]
struct Who {
    label: String,
    hand: Option<&'static str>,
    reach_mm: Option<f64>,
    tries: u64,
    arm: Option<String>,
    picture: Option<String>,
    bias_deg: Option<f64>,
    why_not: Option<String>,
}

#[derive(Debug, Serialize)]
struct Answer {
    log: bool,
    all: bool,
    students: Vec<Who>,
}

fn everybody(setup: &Setup, caller: Caller) -> Result<Answer, ApiFault> {
    let all = caller == Caller::Coach;
    let Some(desk) = setup.desk.as_ref().filter(|_| all) else {
        return Ok(Answer {
            log: setup.desk.is_some(),
            all,
            students: Vec::new(),
        });
    };
    let known = desk.read(|log| log.students())?;
    let students = known.into_iter().map(|student| who(setup, student));
    Ok(Answer {
        log: true,
        all,
        students: students.collect::<Result<_, _>>()?,
    })
}

fn who(setup: &Setup, student: Student) -> Result<Who, ApiFault> {
    let desk = setup.desk()?;
    let known = desk.known(&student.label)?;
    let rounded = |v: f64| (v * 1e4).round() / 1e4;
    let (fit, why_not) = match &*known {
        Ok(fit) => (Some(fit), None),
        Err(unknown) => (None, Some(unknown.to_string())),
    };
    let error = fit.map(|f| f.on_left_cuts);
    let tries = match fit {
        Some(fit) => fit.tries,
        None => desk.read(|log| log.practice(&student.label, None))?.tries(),
    };
    Ok(Who {
        hand: student.hand.map(crate::units::Hand::name),
        reach_mm: student.reach_mm,
        label: student.label,
        tries,
        arm: error.map(|e| format!("{}deg", rounded(e.arm_rad.to_degrees()))),
        picture: error.map(|e| format!("{}mm", rounded(1e3 * e.picture_m))),
        bias_deg: error.map(|e| rounded(e.bias_rad.to_degrees())),
        why_not,
    })
}

async fn students(
    State(shared): State<Shared>,
    sent: Sent<Nothing>,
) -> Result<Json<Answer>, ApiFault> {
    let Json(Nothing {}) = sent?;
    let caller = caller();
    Ok(Json(off_thread(move || everybody(&shared, caller)).await?))
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields, expecting = "an object")]
struct Add {
    label: String,
}

#[derive(Debug, Serialize)]
struct Added {
    label: String,
    new: bool,
}

async fn add(State(shared): State<Shared>, sent: Sent<Add>) -> Result<Json<Added>, ApiFault> {
    let Json(Add { label }) = sent?;
    let added = off_thread(move || {
        let now = (shared.clock)()?;
        shared.desk()?.write(|log| {
            // Somebody who is there keeps hand and reach.
            let new = log.students()?.iter().all(|s| s.label != label);
            if new {
                log.set_student(&Student::named(&label), &now)?;
            }
            Ok(Added { label, new })
        })
    })
    .await?;
    Ok(Json(added))
}

pub(super) fn list_route() -> Route {
    let who = object(&[
        ("label", text("The label")),
        ("hand", maybe_text("left or right")),
        ("reach_mm", maybe_number("Reach over the table")),
        ("tries", number("Tries in the log")),
        ("arm", maybe_text("Fitted spread of the stroke")),
        ("picture", maybe_text("Fitted spread of seeing")),
        ("bias_deg", maybe_number("Fitted lean, left positive")),
        ("why_not", maybe_text("Why nothing is known yet")),
    ]);
    Route {
        path: "/api/v1/students",
        method: Method::POST,
        summary: "The students of the practice log, with what their tries say",
        request: Some(options(&[])),
        example: Some(json!({})),
        response: object(&[
            ("log", truth("Whether the page has a practice log")),
            (
                "all",
                truth(
                    "Whether this link opens everything; the phones' does not, and is told of no student",
                ),
            ),
            ("students", list(who, "By label")),
        ]),
        components: Vec::new(),
        handler: post(students),
    }
}

pub(super) fn add_route() -> Route {
    Route {
        path: "/api/v1/student",
        method: Method::POST,
        summary: "Adds a student to the practice log",
        request: Some(object(&[(
            "label",
            text("1 to 12 letters, digits, - and _"),
        )])),
        example: Some(json!({"label": "A"})),
        response: object(&[
            ("label", text("The label")),
            ("new", truth("Whether it was not there yet")),
        ]),
        components: Vec::new(),
        handler: post(add),
    }
}
