//! `POST /api/v1/attempts`: tries of the player at one shot, one by one, as the errors fall.

use rand::SeedableRng as _;
use rand_pcg::Pcg64Mcg;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::json;

use crate::layout::{Attempt, Plays, Table, attempts};
use crate::page::ask::{OBJECT, ShotAsk, at_most};
use crate::page::fault::ApiFault;
use crate::page::lanes::Lane;
use crate::page::plan::{PlaceMm, place_mm};
use crate::page::route::{About, Route};
use crate::page::state::Setup;

/// Tries at most.
const MOST: usize = 1000;

/// A shot, and how many tries at it.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(expecting = "an object")]
struct Ask {
    #[serde(flatten)]
    shot: ShotAsk,
    /// How many, up to 1000.
    #[serde(default = "hundred")]
    tries: u32,
    /// The same number draws the same tries.
    #[serde(default)]
    seed: u64,
}

fn hundred() -> u32 {
    100
}

/// One try.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(inline)]
struct Try {
    /// Whether the ball went into the pocket.
    made: bool,
    /// Whether the cue ball went into one.
    scratch: bool,
    /// Of a miss: whether the ball was hit too full; null where it was not hit as meant at all.
    too_full: Option<bool>,
    /// The object ball's path, mm; empty where it did not move.
    object: Vec<PlaceMm>,
    /// The cue ball's up to the contact, mm.
    cue: Vec<PlaceMm>,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Attempts")]
struct Answer {
    /// How many were made.
    made: u32,
    /// In the order they were played.
    tries: Vec<Try>,
}

fn played(setup: &Setup, ask: Ask) -> Result<Answer, ApiFault> {
    at_most(
        "tries",
        usize::try_from(ask.tries).unwrap_or(MOST + 1),
        MOST,
    )?;
    let asked = ask.shot.read(setup)?;
    let past = asked.past()?;
    let Some(player) = &asked.player else {
        return Err(ApiFault::value(
            "nobody plays this shot; give a level, a student or spreads",
        ));
    };
    let Some(candidate) = &past.played else {
        return Err(ApiFault::value("there is no shot here; move a ball"));
    };
    let table = Table::new(&asked.gear.gear, &asked.layout);
    let plays = Plays {
        aims: &player.error,
        arm_factor: asked.stance(&past).map_or(1.0, |s| s.arm_factor),
    };
    let mut rng = Pcg64Mcg::seed_from_u64(ask.seed);
    let all = attempts(&table, candidate, &plays, ask.tries, &mut rng);
    let made = all.iter().map(|a| u32::from(a.made)).sum();
    Ok(Answer {
        made,
        tries: all.into_iter().map(told).collect(),
    })
}

fn told(attempt: Attempt) -> Try {
    let in_mm = |path: Vec<kurbo::Point>| path.into_iter().map(place_mm).collect();
    let (cue, objects) = attempt
        .paths
        .map_or_else(Default::default, |p| (p.cue_before, p.objects));
    let object = objects.into_iter().find(|(ball, _)| *ball == OBJECT);
    Try {
        made: attempt.made,
        scratch: attempt.scratched,
        too_full: attempt.too_full,
        object: in_mm(object.map(|(_, path)| path).unwrap_or_default()),
        cue: in_mm(cue),
    }
}

pub(super) fn route() -> Route {
    let about = About::new(
        "/api/v1/attempts",
        "Tries of the player at one shot, simulated one by one: which go in, and where the ball goes",
        json!({
            "cue": "3,2.3", "object": "6,2.6", "pocket": "foot-left", "level": "club", "tries": 20
        }),
    );
    Route::solving(about, Lane::Long, played)
}
