//! `POST /api/v1/shot`: one shot, solved, in words and as a drawing.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::json;

use crate::answer::{
    Aims, Beside, ShotAnswer, Solving, chance_line, not_playable_words, shot_lines,
};
use crate::layout::{
    End, EndAnswer, Forward, PastOthers, StanceAnswer, Table, blocked_words, cue_words, solve_past,
    stance_words,
};
use crate::page::ask::{Asked, OBJECT, ShotAsk};
use crate::page::drawing::Drawing;
use crate::page::fault::ApiFault;
use crate::page::headline::{Headline, blocked_headline, headline};
use crate::page::lanes::Lane;
use crate::page::plan::{PlaceMm, place_mm};
use crate::page::route::{About, Route};
use crate::page::state::Setup;
use crate::speech::first_large;
use crate::window::band;

/// A shot, and how much of it to solve.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(expecting = "an object")]
struct Ask {
    #[serde(flatten)]
    shot: ShotAsk,
    /// Solve again over the assumed bounce of jaws and rails.
    #[serde(default)]
    band: bool,
    /// Work out the player's chance over the assumed bounce too, at nine times the work.
    #[serde(default)]
    range: bool,
}

#[derive(Debug, Serialize, JsonSchema)]
struct Answer {
    headline: Headline,
    /// The answer in words, a sentence each.
    lines: Vec<String>,
    /// What the rest of the table does to it: other balls in the way, stance, where the cue ball goes.
    around: Vec<String>,
    /// The player's chance in words.
    chance: Option<String>,
    shot: ShotAnswer,
    drawing: Drawing,
    others: Others,
    cue: Option<CueWay>,
    stance: Option<StanceAnswer>,
}

/// Other balls in the way.
#[derive(Debug, Serialize, JsonSchema)]
struct Others {
    /// Share of the directions that they take, 0 to 1.
    blocked_share: f64,
    /// Names of those that do.
    blockers: Vec<String>,
}

/// Where the cue ball goes when aimed right.
#[derive(Debug, Serialize, JsonSchema)]
struct CueWay {
    /// How it ends.
    end: End,
    /// The pocket or the ball.
    at: Option<String>,
    /// From the ghost ball on, mm.
    path: Vec<PlaceMm>,
}

/// What is said of a shot: the number on top, and a few sentences.
pub(super) struct Said {
    /// The number on top.
    pub(super) headline: Headline,
    /// What else is said first.
    pub(super) lines: Vec<String>,
}

/// Sentences of a shot that are said first.
const FIRST_LINES: usize = 2;

/// A shot read, and what is said of it.
pub(super) fn said(setup: &Setup, shot: ShotAsk) -> Result<(Asked, Said), ApiFault> {
    let asked = shot.read(setup)?;
    let speech = setup.speech(&asked.gear.gear);
    let past = solve_past(
        &Table::new(&asked.gear.gear, &asked.layout),
        &asked.shot,
        OBJECT,
    )?;
    let answer = ShotAnswer::new(&asked.gear.gear, &asked.shot, &past.solution, None);
    let answer = with_aims(setup, answer, &asked, &past, false);
    let blockers: Vec<String> = past
        .blockers
        .iter()
        .map(|i| asked.layout.balls[*i].label.clone())
        .collect();
    let headline = match past.closed {
        Some(closed) => blocked_headline(closed, &blockers),
        None => headline(&answer, speech),
    };
    let mut lines = match past.closed {
        Some(_) => Vec::new(),
        None => shot_lines(&answer, &Beside::default(), speech),
    };
    lines.truncate(FIRST_LINES);
    Ok((asked, Said { headline, lines }))
}

fn answered(setup: &Setup, ask: Ask) -> Result<Answer, ApiFault> {
    let asked = ask.shot.read(setup)?;
    let (gear, shot) = (&asked.gear.gear, &asked.shot);
    let units = setup.speech(gear);
    let table = Table::new(gear, &asked.layout);
    let past = solve_past(&table, shot, OBJECT)?;
    let band = if ask.band {
        Some(band(gear, shot)?)
    } else {
        None
    };
    let stance = asked.stance(&past);
    let answer = ShotAnswer::new(gear, shot, &past.solution, band.as_ref());
    let answer = with_aims(setup, answer, &asked, &past, ask.range);
    let label = |i: &usize| asked.layout.balls[*i].label.clone();
    let others = Others {
        blocked_share: past.blocked_share,
        blockers: past.blockers.iter().map(label).collect(),
    };
    // A stroke nobody can make has no chance that is worth saying, and its cue ball goes nowhere.
    let playable = not_playable_words(&answer, units.units).is_none();
    let run = past.played.as_ref().filter(|_| playable).map(|played| {
        let run = Forward::new(&table, played).outcome(0.0, true).cue;
        (EndAnswer::new(&table, run.end, run.at), run.path)
    });
    // The page has a field for the arm's reach.
    let beside = Beside {
        out_of_reach: "Cannot be hit from here",
        ..Beside::default()
    };
    let headline = match past.closed {
        Some(closed) => blocked_headline(closed, &others.blockers),
        None => headline(&answer, units),
    };
    let mut around = Vec::new();
    around.extend(blocked_words(others.blocked_share, &others.blockers));
    around.extend(stance.as_ref().and_then(|s| stance_words(s, units)));
    if let Some((end, _)) = &run {
        around.push(format!("{}.", first_large(&cue_words(end, gear, units))));
    }
    Ok(Answer {
        headline,
        lines: shot_lines(&answer, &beside, units),
        around,
        // Where there is no shot there is nothing to say of a chance.
        chance: chance_line(&answer, units).filter(|_| playable && answer.drop.is_some()),
        drawing: Drawing::new(gear, shot, &past.solution),
        shot: answer,
        others,
        cue: run.map(|(end, path)| CueWay {
            end: end.end,
            at: end.at,
            path: path.into_iter().map(place_mm).collect(),
        }),
        stance,
    })
}

/// Adds what the player makes of it past the other balls, where one is asked for.
fn with_aims(
    setup: &Setup,
    answer: ShotAnswer,
    asked: &Asked,
    past: &PastOthers,
    with_range: bool,
) -> ShotAnswer {
    let arm_times = asked.stance(past).map_or(1.0, |s| s.arm_factor);
    let Some(player) = &asked.player else {
        return answer;
    };
    let (gear, shot) = (&asked.gear.gear, &asked.shot);
    let straights = setup.straights(&asked.gear, &player.error, &shot.stroke);
    let open = past.open_rad(gear, shot);
    let aims = Aims {
        player,
        arm_times,
        open_rad: open.as_deref(),
        with_range,
    };
    let solving = Solving {
        shot,
        solution: &past.solution,
    };
    let add = || answer.with_aims(gear, &straights, &solving, &aims);
    if with_range {
        // In the common pool it would wait for long work.
        setup.lanes.pool().install(add)
    } else {
        add()
    }
}

pub(super) fn route() -> Route {
    let about = About::new(
        "/api/v1/shot",
        "One shot: its margin, in words, as numbers and as outlines to draw",
        json!({
            "cue": "3,2.3", "object": "6,2.6", "pocket": "foot-left", "level": "club", "band": true,
            "balls": ["7,4.5,2.55"], "hand": "right"
        }),
    );
    Route::solving(about, Lane::Light, answered)
}
