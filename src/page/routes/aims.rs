//! `POST /api/v1/aims`: ways of aiming on this shot, judged against its window.

use schemars::JsonSchema;
use serde::Deserialize;
use serde_json::json;

use crate::aims::{Scene, ShotAims, Shots, WaysRequest, bench_shot, reach_rows};
use crate::page::ask::{ShotAsk, at_most};
use crate::page::fault::ApiFault;
use crate::page::lanes::Lane;
use crate::page::picture::open_shot;
use crate::page::route::{About, Route};
use crate::page::state::Setup;
use crate::window::Solved;

/// Most aiming methods judged at once (assumption: twice as many as there are).
const MOST_WAYS: usize = 40;

/// A shot, and the methods to judge.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(expecting = "an object")]
struct Ask {
    #[serde(flatten)]
    shot: ShotAsk,
    /// Which aiming methods; all that need no option when absent.
    #[serde(default, rename = "methods", alias = "ways")]
    ways: Vec<String>,
}

fn judged(setup: &Setup, ask: Ask) -> Result<ShotAims, ApiFault> {
    at_most("methods", ask.ways.len(), MOST_WAYS)?;
    let ways = WaysRequest {
        ways: ask.ways,
        ..WaysRequest::default()
    };
    let asked = ask.shot.read(setup)?;
    let (gear, shot) = (&asked.gear.gear, &asked.shot);
    let ways = ways.ways(gear, Some(shot).filter(|s| s.frame.name.is_some()), None)?;
    let past = asked.past()?;
    let Solved { acceptance, window } = open_shot(&past, &asked.layout)?;
    let scene = Scene { gear, shot, window };
    let base = bench_shot(&scene, acceptance);
    let reaches = reach_rows(
        gear,
        &ways,
        &Shots {
            base,
            aparts_m: &[base.apart_m],
            stroke: shot.stroke,
        },
        setup.units,
    )?;
    let player = asked.player_there(&past);
    let player = player.as_ref();
    let aims = ShotAims::new(&ways, &scene, acceptance, player, setup.units);
    Ok(aims.with_reaches(&reaches))
}

pub(super) fn route() -> Route {
    let about = About::new(
        "/api/v1/aims",
        "Aiming methods on this shot, judged against its window",
        json!({
            "cue": "3,2.3", "object": "6,2.6", "pocket": "foot-left", "level": "club",
            "methods": ["ghost-ball", "quarters"]
        }),
    );
    Route::solving(about, Lane::Long, judged)
}
