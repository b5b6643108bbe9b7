//! `POST /api/v1/gear`: the equipment with every value and its source, and the table as outlines.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::json;

use crate::answer::{LevelAnswer, LevelRow, test_shot_words};
use crate::game::{Ball, Colour, Game};
use crate::gear::spoken_gear;
use crate::page::ask::Rest;
use crate::page::fault::ApiFault;
use crate::page::lanes::Lane;
use crate::page::plan::Plan;
use crate::page::route::{About, Route};
use crate::page::start::{Pace, paces, start_shot};
use crate::page::state::{GearRequest, Setup};
use crate::request::PlacesRequest;
use crate::speech::{PAIRS, WordSet};

/// Which equipment.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(default, expecting = "an object")]
pub(super) struct Ask {
    #[serde(flatten)]
    gear: GearRequest,
    #[serde(flatten)]
    rest: Rest,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(inline)]
struct Row {
    /// Name with its sections.
    key: &'static str,
    /// Value with its unit.
    value: String,
    /// Where it was given.
    from: String,
    /// Source and mark.
    source: Option<String>,
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(inline)]
struct Who {
    /// As `level` takes it.
    name: &'static str,
    /// As said.
    spoken: String,
    /// Spread of the stroke.
    arm: String,
    /// Spread of seeing.
    picture: String,
    /// By a shot anybody can set up: `makes 8 of 10 straight, two feet and two feet`.
    test_shot: String,
}

/// A game to play.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(inline)]
struct GameRow {
    /// As `game` takes it.
    name: &'static str,
    /// As people say it.
    spoken: &'static str,
    /// What its table is marked with.
    marks: &'static str,
    /// The usual table for it.
    table: &'static str,
    /// Its balls.
    balls: Vec<BallRow>,
}

/// A kind of ball of a game.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(inline)]
struct BallRow {
    /// Its name; several of a kind have a number behind it, `red-2`.
    name: String,
    /// Most of them on the table.
    most: usize,
}

impl GameRow {
    fn new(game: Game) -> Self {
        let numbers = (1..=15).map(|n| n.to_string());
        let colours = std::iter::once(Colour::Red).chain(Colour::IN_ORDER);
        let numbered = Ball::of(game, "1") == Some(Ball::Number(1));
        let names: Vec<String> = if numbered {
            numbers.collect()
        } else {
            colours.map(|c| c.name().to_owned()).collect()
        };
        let balls = names.into_iter().filter_map(|name| {
            let most = match Ball::of(game, &name)? {
                Ball::Any => return None,
                ball => ball.most(game),
            };
            Some(BallRow { name, most })
        });
        Self {
            name: game.name(),
            spoken: game.spoken(),
            marks: game.marks().name(),
            table: game.table().name(),
            balls: balls.collect(),
        }
    }
}

#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Equipment")]
pub(super) struct Answer {
    /// Its name.
    name: String,
    /// What it says of itself.
    note: Option<String>,
    /// All that can be asked for.
    names: Vec<String>,
    /// The same as people say them, in the same order.
    spoken: Vec<String>,
    /// Every value.
    values: Vec<Row>,
    plan: Plan,
    /// A shot to begin with.
    start: PlacesRequest,
    /// Strokes to choose.
    paces: Vec<Pace>,
    /// Levels to choose.
    players: Vec<Who>,
    /// Games to choose.
    games: Vec<GameRow>,
    /// Words of American pool, each with what those who play on this table say; none where they say the same.
    pairs: Vec<[&'static str; 2]>,
}

pub(super) fn all_of(setup: &Setup, ask: Ask) -> Result<Answer, ApiFault> {
    ask.rest.none()?;
    let loaded = setup.gear(&ask.gear)?;
    let row = |row: &crate::gear::GearRow| Row {
        key: row.key,
        value: row.value.clone(),
        from: row.origin.to_string(),
        source: row.source.clone(),
    };
    let speech = setup.speech(&loaded.gear);
    let tests = LevelAnswer::new(&loaded.gear, None, false)?;
    let who = |row: &LevelRow| {
        let level = row.level;
        let error = level.aim_error();
        Who {
            name: level.name(),
            spoken: level.spoken(),
            arm: format!("{}deg", (error.arm_rad.to_degrees() * 1e6).round() / 1e6),
            picture: format!("{}mm", (error.picture_m * 1e9).round() / 1e6),
            test_shot: test_shot_words(row, speech),
        }
    };
    let names = setup.gear_names();
    Ok(Answer {
        name: loaded.gear.name.clone(),
        note: loaded.note.clone(),
        spoken: names.iter().map(|n| spoken_gear(n)).collect(),
        names,
        values: loaded.rows.iter().map(row).collect(),
        plan: Plan::new(&loaded.gear),
        start: start_shot(&loaded.gear).places,
        paces: paces(&loaded.gear),
        players: tests.levels.iter().map(who).collect(),
        games: Game::ALL.iter().copied().map(GameRow::new).collect(),
        pairs: match speech.words {
            WordSet::Us => Vec::new(),
            WordSet::Uk => PAIRS.iter().map(|(us, uk)| [*us, *uk]).collect(),
        },
    })
}

pub(super) fn route() -> Route {
    let about = About::new(
        "/api/v1/gear",
        "Equipment: every value with its source, the table to draw, what to choose from",
        json!({"table": "pool-9ft", "set": ["pocket.corner.jaw_radius=3mm"]}),
    );
    Route::solving(about, Lane::Light, all_of)
}
