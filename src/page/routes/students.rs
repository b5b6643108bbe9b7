//! `POST /api/v1/students` and `/student`: who is in the practice log, as players, and one more.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::json;

use crate::log::Student;
use crate::page::ask::Nothing;
use crate::page::callers::Caller;
use crate::page::fault::ApiFault;
use crate::page::route::{About, Route};
use crate::page::state::Setup;

/// A student; `arm` and `picture` are theirs on left cuts, absent where the tries do not tell.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(inline)]
struct Who {
    /// The label.
    label: String,
    /// `left` or `right`.
    hand: Option<&'static str>,
    /// Reach over the table.
    reach_mm: Option<f64>,
    /// Tries in the log.
    tries: u64,
    /// Those of them that the spreads are fitted to.
    counted: Option<u64>,
    /// Fitted spread of the stroke.
    arm: Option<String>,
    /// Fitted spread of seeing.
    picture: Option<String>,
    /// Fitted lean, left positive.
    bias_deg: Option<f64>,
    /// Why nothing is known yet.
    why_not: Option<String>,
    /// The period that was asked for of this student on the page.
    since: Option<String>,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "People")]
pub(super) struct Answer {
    /// Whether the page has a practice log.
    log: bool,
    /// Whether this link opens everything; the phones' does not, and is told of no student.
    all: bool,
    /// By label.
    students: Vec<Who>,
    /// Which tries count of whom no other period was asked for: `all`, `change`, or from a day on.
    #[serde(skip_serializing_if = "Option::is_none")]
    usual: Option<String>,
}

pub(super) fn everybody(setup: &Setup, _: Nothing) -> Result<Answer, ApiFault> {
    let all = setup.caller == Caller::Coach;
    let Some(desk) = setup.desk.as_ref().filter(|_| all) else {
        return Ok(Answer {
            log: setup.desk.is_some(),
            all,
            students: Vec::new(),
            usual: None,
        });
    };
    let known = desk.read(|log| log.students())?;
    let students = known.into_iter().map(|student| who(setup, student));
    Ok(Answer {
        log: true,
        all,
        students: students.collect::<Result<_, _>>()?,
        usual: Some(desk.usual().name().to_owned()),
    })
}

fn who(setup: &Setup, student: Student) -> Result<Who, ApiFault> {
    let desk = setup.desk()?;
    let known = desk.known(&student.label)?;
    let rounded = |v: f64| (v * 1e4).round() / 1e4;
    let (known, why_not) = match &*known {
        Ok(known) => (Some(known), None),
        Err(unknown) => (None, Some(unknown.to_string())),
    };
    let error = known.map(|k| k.fit.on_left_cuts);
    let tries = match known {
        Some(known) => known.all_tries,
        None => desk.read(|log| log.practice(&student.label, None))?.tries(),
    };
    Ok(Who {
        hand: student.hand.map(crate::units::Hand::name),
        reach_mm: student.reach_mm,
        tries,
        counted: known.map(|k| k.fit.tries),
        arm: error.map(|e| format!("{}deg", rounded(e.arm_rad.to_degrees()))),
        picture: error.map(|e| format!("{}mm", rounded(1e3 * e.picture_m))),
        bias_deg: error.map(|e| rounded(e.bias_rad.to_degrees())),
        why_not,
        since: desk.read(|log| log.period_asked(&student.label))?,
        label: student.label,
    })
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, expecting = "an object")]
struct Add {
    /// 1 to 12 letters, digits, - and _.
    label: String,
}

#[derive(Debug, Serialize, JsonSchema)]
struct Added {
    /// The label.
    label: String,
    /// Whether it was not there yet.
    new: bool,
}

fn add(setup: &Setup, Add { label }: Add) -> Result<Added, ApiFault> {
    let now = (setup.clock)()?;
    setup.desk()?.write(|log| {
        // Somebody who is there keeps hand and reach.
        let new = log.students()?.iter().all(|s| s.label != label);
        if new {
            log.set_student(&Student::named(&label), &now)?;
        }
        Ok(Added { label, new })
    })
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, expecting = "an object")]
struct PeriodAsk {
    /// The label.
    student: String,
    /// First day whose tries count, such as `2025-11-25`; also `this week`, `this month`, `this year`, `all`,
    /// or `change` for those since the change that the log shows. Absent: as the page was started.
    since: Option<String>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct PeriodCounts {
    /// The label.
    student: String,
    /// As asked.
    since: Option<String>,
}

/// Which of a student's tries count, in all that the page says of them.
fn period(
    setup: &Setup,
    PeriodAsk { student, since }: PeriodAsk,
) -> Result<PeriodCounts, ApiFault> {
    let today = (setup.clock)()?;
    let asked = since.as_deref();
    setup
        .desk()?
        .write(|log| log.ask_period(&student, asked, &today))?;
    Ok(PeriodCounts { student, since })
}

pub(super) fn period_route() -> Route {
    let about = About::new(
        "/api/v1/period",
        "Which of a student's tries count from now on, wherever the page speaks of them",
        json!({"student": "A", "since": "this month"}),
    );
    Route::noting(about, period)
}

pub(super) fn list_route() -> Route {
    let about = About::new(
        "/api/v1/students",
        "The students of the practice log, with what their tries say",
        json!({}),
    );
    Route::noting(about, everybody)
}

pub(super) fn add_route() -> Route {
    let about = About::new(
        "/api/v1/student",
        "Adds a student to the practice log",
        json!({"label": "A"}),
    );
    Route::noting(about, add)
}
