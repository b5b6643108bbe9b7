//! `POST /api/v1/choose`: the shots of a layout with one stroke, best first; at once.

use std::sync::Arc;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::json;

use crate::advice::Open;
use crate::game::{CueLies, GameRequest, Situation, state_words};
use crate::gear::LoadedGear;
use crate::layout::{
    ChoiceAnswer, ChooseOptions, GameAnswer, Layout, Prefer, ReachRequest, SpokenShot, Table,
    choose, played,
};
use crate::page::ask::{Rest, who_aims};
use crate::page::fault::ApiFault;
use crate::page::lanes::Lane;
use crate::page::route::{About, Route};
use crate::page::state::{GearRequest, Setup};
use crate::player::{Level, Player, PlayerRequest};
use crate::request::StrokeRequest;
use crate::speech::Speech;
use crate::units::Side;

/// A layout, and who plays it.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(default, expecting = "an object")]
pub(super) struct Ask {
    /// A layout file's text.
    layout: String,
    /// No banks, combinations or kicks.
    direct_only: bool,
    #[serde(flatten)]
    stroke: StrokeRequest,
    #[serde(flatten)]
    player: PlayerRequest,
    /// A student of the practice log, instead of a level or spreads.
    student: Option<String>,
    #[serde(flatten)]
    reach: ReachRequest,
    #[serde(flatten)]
    game: GameRequest,
    #[serde(flatten)]
    gear: GearRequest,
    #[serde(flatten)]
    rest: Rest,
}

#[derive(Debug, Serialize, JsonSchema)]
struct Answer {
    choice: ChoiceAnswer,
    /// The game and what is on, in words; null in free play.
    state: Option<String>,
    /// The shots in words, in the same order.
    said: Vec<SpokenShot>,
}

/// What is asked, read.
pub(super) struct Asked {
    pub(super) gear: Arc<LoadedGear>,
    pub(super) layout: Layout,
    pub(super) situation: Option<Situation>,
    pub(super) options: ChooseOptions,
    pub(super) open: Open,
    pub(super) who: String,
}

/// Reads what is asked.
pub(super) fn read(setup: &Setup, ask: &Ask) -> Result<Asked, ApiFault> {
    ask.rest.none()?;
    let gear = setup.gear(&ask.gear)?;
    let layout = Layout::parse(&ask.layout, &gear.gear)?;
    let game = ask.game.over(&GameRequest::of_text(&ask.layout)?);
    let situation = game.situation(
        layout.labels(),
        Some(CueLies {
            at: layout.cue,
            bed: &gear.gear.bed,
        }),
    )?;
    // One player for left and right cuts alike: a student's lean is that of left cuts.
    let asked = who_aims(&ask.player, ask.student.as_deref(), setup, || Side::Left)?;
    let player = asked.unwrap_or_else(|| Player {
        error: Level::Club.aim_error(),
        who: Level::Club.spoken(),
        assumed: true,
    });
    let roundabout = !ask.direct_only;
    let (stroke, tip) = played(&ask.stroke, &gear.gear)?;
    let options = ChooseOptions {
        player: player.error,
        on_right_cuts: None,
        stroke,
        tip,
        reach: ask.reach.reach()?,
        targets: Vec::new(),
        banks: roundabout,
        combinations: roundabout,
        kicks: roundabout,
        prefer: Prefer::Make,
    };
    Ok(Asked {
        open: Open::of(&ask.stroke),
        who: player.who,
        gear,
        layout,
        situation,
        options,
    })
}

/// The game and what is on, in words.
pub(super) fn state_said(game: &Option<GameAnswer>, speech: Speech) -> Option<String> {
    let game = game.as_ref()?;
    Some(speech.said(&state_words(&game.situation, speech)))
}

fn chosen(setup: &Setup, ask: &Ask) -> Result<Answer, ApiFault> {
    let asked = read(setup, ask)?;
    let table = Table::new(&asked.gear.gear, &asked.layout)
        .in_game(asked.situation)
        .until(setup.stop.clone());
    let found = choose(&table, &asked.options, &|_| {})?;
    setup.stop.check()?;
    let speech = setup.speech(table.gear);
    let choice = ChoiceAnswer::new(&table, &found, &asked.who, &asked.options);
    let said = choice
        .shots
        .iter()
        .map(|shot| SpokenShot::new(shot, table.gear, speech))
        .collect();
    Ok(Answer {
        state: state_said(&choice.game, speech),
        choice,
        said,
    })
}

pub(super) fn route() -> Route {
    let about = About::new(
        "/api/v1/choose",
        "The shots of a layout with one stroke, best first",
        json!({
            "layout": "ball,x,y\ncue,3.2,1.4\n2,6.1,2.9\n7,7.2,0.8\n", "level": "club", "hand": "left"
        }),
    );
    Route::solving(about, Lane::Long, |setup, ask: Ask| chosen(setup, &ask))
}
