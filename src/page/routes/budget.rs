//! `POST /api/v1/budget`: which error costs most on this shot, and what to practise.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::json;

use crate::answer::{BudgetAnswer, budget_headline, budget_label};
use crate::diagnosis::Diagnosis;
use crate::log::diagnosis_of;
use crate::page::ask::ShotAsk;
use crate::page::fault::ApiFault;
use crate::page::lanes::Lane;
use crate::page::picture::Subject;
use crate::page::route::{About, Route};
use crate::page::state::Setup;
use crate::player::spreads::SpreadsRequest;

/// A shot, and what else scatters.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(expecting = "an object")]
struct Ask {
    #[serde(flatten)]
    spreads: SpreadsRequest,
    #[serde(flatten)]
    shot: ShotAsk,
}

#[derive(Debug, Serialize, JsonSchema)]
struct Answer {
    /// The finding in one sentence.
    headline: String,
    /// The shot in a few words.
    held: String,
    /// What is awkward about the stance: the arm's part counts it.
    stance: Option<String>,
    /// Which spreads are assumed.
    assumed_words: String,
    /// Names of the inputs as said, in their order.
    labels: Vec<&'static str>,
    budget: BudgetAnswer,
}

fn found(setup: &Setup, ask: Ask) -> Result<Answer, ApiFault> {
    let request = ask.shot.request();
    let student = ask.shot.student.clone();
    let asked = ask.shot.read(setup)?;
    let past = asked.past()?;
    let subject = Subject::new(&asked, &past, &request, setup.speech(&asked.gear.gear));
    let (budget, held) = subject.budget(&ask.spreads)?;
    let budget = budget.with_diagnosis(diagnosis(setup, student.as_deref())?);
    let inputs = &budget.budget.inputs;
    Ok(Answer {
        headline: budget_headline(&budget, setup.units),
        held,
        stance: subject.stance_words(),
        assumed_words: budget.assumed_words(),
        labels: inputs.iter().map(|row| budget_label(row.source)).collect(),
        budget,
    })
}

/// What costs a student most, in the period that counts.
fn diagnosis(setup: &Setup, student: Option<&str>) -> Result<Option<Diagnosis>, ApiFault> {
    let Some(label) = student else {
        return Ok(None);
    };
    let desk = setup.desk()?;
    let practice = desk.practice(label)?;
    Ok(Some(diagnosis_of(label, &practice, &desk.since(label)?)?))
}

pub(super) fn route() -> Route {
    let about = About::new(
        "/api/v1/budget",
        "Which error costs most on this shot, and what to practise",
        json!({
            "cue": "3,2.3", "object": "6,2.6", "pocket": "foot-left", "level": "club"
        }),
    );
    Route::solving(about, Lane::Long, found)
}
