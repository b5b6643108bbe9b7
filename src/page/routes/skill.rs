//! `POST /api/v1/skill`: what the practice log says of a student.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::json;

use crate::answer::{SkillAnswer, skill_text};
use crate::log::{Since, SkillWishes, When, skill};
use crate::page::fault::ApiFault;
use crate::page::lanes::Lane;
use crate::page::route::{About, Route};
use crate::page::state::Setup;
use crate::player::{Level, Observation};

/// A student.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, expecting = "an object")]
struct Ask {
    /// The label.
    student: String,
    /// First day of the later period; without it what was asked for of this student, else as the page was
    /// started.
    since: Option<String>,
}

#[derive(Debug, Serialize, JsonSchema)]
struct Answer {
    /// In words, a sentence each.
    lines: Vec<String>,
    skill: SkillAnswer,
}

/// The answer on a student, from the log as it is now.
pub(super) fn answer_of(
    setup: &Setup,
    student: &str,
    since: Option<Since>,
) -> Result<(SkillAnswer, Vec<Observation>), ApiFault> {
    setup.of_students()?;
    let desk = setup.desk()?;
    let practice = desk.practice(student)?;
    let since = match since {
        Some(since) => since,
        None => desk.since(student)?,
    };
    let wishes = SkillWishes {
        student,
        since: &since,
        level: Level::Club,
        stroke: None,
    };
    Ok(skill(wishes, &practice)?)
}

fn of_student(setup: &Setup, ask: Ask) -> Result<Answer, ApiFault> {
    let since: Option<When> = ask.since.as_deref().map(str::parse).transpose()?;
    let (skill, _) = answer_of(setup, &ask.student, since.map(Since::Day))?;
    let text = skill_text(&skill, false, setup.units);
    Ok(Answer {
        lines: text.lines().map(str::to_owned).collect(),
        skill,
    })
}

pub(super) fn route() -> Route {
    let about = About::new(
        "/api/v1/skill",
        "What the practice log says of a student",
        json!({"student": "A"}),
    );
    Route::solving(about, Lane::Long, of_student)
}
