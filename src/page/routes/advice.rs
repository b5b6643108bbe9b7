//! `POST /api/v1/advice`: which ball with which stroke, or which safety, as `thincut choose` has it.

use schemars::JsonSchema;
use serde::Serialize;
use serde_json::json;

use super::choose::{Ask, read, state_said};
use crate::advice::{AdviceAnswer, AdviceOptions, SpokenAdvice, advise};
use crate::layout::{Prefer, Table};
use crate::page::fault::ApiFault;
use crate::page::lanes::Lane;
use crate::page::route::{About, Route};
use crate::page::state::Setup;

#[derive(Debug, Serialize, JsonSchema)]
struct Answer {
    choice: AdviceAnswer,
    /// The game and what is on, in words; null in free play.
    state: Option<String>,
    #[serde(flatten)]
    spoken: SpokenAdvice,
}

fn advised(setup: &Setup, ask: &Ask) -> Result<Answer, ApiFault> {
    let asked = read(setup, ask)?;
    let table = Table::new(&asked.gear.gear, &asked.layout)
        .in_game(asked.situation)
        .until(setup.stop.clone());
    let mut options = AdviceOptions::new(&table, asked.options);
    options.choose.prefer = Prefer::Run;
    options.open = asked.open;
    let found = advise(&table, &options, &|_| {})?;
    setup.stop.check()?;
    let speech = setup.speech(table.gear);
    let choice = AdviceAnswer::new(&table, &found, &options, &asked.who, None);
    let spoken = SpokenAdvice::new(&choice, table.gear, speech);
    Ok(Answer {
        state: state_said(&choice.game, speech),
        choice,
        spoken,
    })
}

pub(super) fn route() -> Route {
    let about = About::new(
        "/api/v1/advice",
        "Which ball with which stroke, or which safety",
        json!({
            "layout": "ball,x,y\ncue,3.2,1.4\n2,6.1,2.9\n7,7.2,0.8\n", "level": "club", "hand": "left"
        }),
    );
    Route::solving(about, Lane::Long, |setup, ask: Ask| advised(setup, &ask))
}
