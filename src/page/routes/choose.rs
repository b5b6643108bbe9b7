//! `POST /api/v1/choose`: the shots of a layout, best first.

use axum::Json;
use axum::extract::State;
use axum::http::Method;
use axum::response::Response;
use axum::routing::post;
use serde::{Deserialize, Serialize};
use serde_json::json;

use super::Route;
use super::ask::{
    Sent, gear_properties, player_properties, reach_properties, stroke_properties, who_aims,
};
use super::heavy::answer;
use crate::gear::Gear;
use crate::layout::{
    ChoiceAnswer, ChooseOptions, Layout, Prefer, ReachRequest, SpokenShot, Table, choose, played,
};
use crate::page::fault::ApiFault;
use crate::page::lanes::Lane;
use crate::page::schema::{
    Schema, list, maybe, maybe_number, maybe_text, number, object, options, reference, text, truth,
};
use crate::page::state::{GearRequest, Setup, Shared};
use crate::player::{Level, Player, PlayerRequest};
use crate::request::StrokeRequest;
use crate::units::Side;

#[derive(Debug, Default, Deserialize)]
#[serde(default, expecting = "an object")]
struct Ask {
    layout: String,
    direct_only: bool,
    #[serde(flatten)]
    stroke: StrokeRequest,
    #[serde(flatten)]
    player: PlayerRequest,
    student: Option<String>,
    #[serde(flatten)]
    reach: ReachRequest,
    #[serde(flatten)]
    gear: GearRequest,
    #[serde(flatten)]
    rest: std::collections::BTreeMap<String, serde_json::Value>,
}

#[derive(Debug, Serialize)]
struct Answer {
    choice: ChoiceAnswer,
    /// The shots in words, in the same order.
    said: Vec<SpokenShot>,
}

async fn choices(State(shared): State<Shared>, sent: Sent<Ask>) -> Result<Response, ApiFault> {
    let Json(ask) = sent?;
    answer(&shared, Lane::Long, move |setup| chosen(setup, &ask)).await
}

fn chosen(setup: &Setup, ask: &Ask) -> Result<Answer, ApiFault> {
    if let Some(name) = ask.rest.keys().next() {
        return Err(ApiFault::unknown(name));
    }
    let gear = setup.gear(&ask.gear)?;
    let layout = Layout::parse(&ask.layout, &gear.gear)?;
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
    answered(setup, &gear.gear, &layout, &options, &player.who)
}

fn answered(
    setup: &Setup,
    gear: &Gear,
    layout: &Layout,
    options: &ChooseOptions,
    who: &str,
) -> Result<Answer, ApiFault> {
    let table = Table::new(gear, layout).until(setup.stop.clone());
    let found = choose(&table, options, &|_| {})?;
    setup.stop.check()?;
    let choice = ChoiceAnswer::new(&table, &found, who, options);
    let said = choice
        .shots
        .iter()
        .map(|shot| SpokenShot::new(shot, gear, setup.units))
        .collect();
    Ok(Answer { choice, said })
}

pub(super) fn route() -> Route {
    let mut asked = vec![
        (
            "layout",
            text("A layout file's text, as `thincut choose` reads it"),
        ),
        ("direct_only", truth("No banks, combinations or kicks")),
    ];
    asked.extend(stroke_properties());
    asked.extend(player_properties());
    asked.extend(reach_properties());
    asked.extend(gear_properties());
    let said = object(&[
        ("called", text("`Play the 7 into the foot-right pocket`")),
        ("chance", text("`6 in 10`")),
        ("why", text("What makes it that hard")),
        ("then", text("Where the cue ball goes, and what is next")),
        ("miss", text("What misses leave")),
    ]);
    Route {
        path: "/api/v1/choose",
        method: Method::POST,
        summary: "The shots of a layout, best first",
        request: Some(options(&asked)),
        example: Some(json!({
            "layout": "ball,x,y\ncue,3.2,1.4\n2,6.1,2.9\n7,7.2,0.8\n", "level": "club", "hand": "left"
        })),
        response: object(&[
            ("choice", choice()),
            ("said", list(said, "The shots in words, in the same order")),
        ]),
        components: vec![("Place", place()), ("End", end()), ("Choice", shot())],
        handler: post(choices),
    }
}

fn choice() -> Schema {
    object(&[
        ("gear", text("Equipment")),
        ("player", text("Who aims")),
        (
            "pace_m_s",
            maybe_number("Speed at the pocket of direct shots, where a pace was given"),
        ),
        (
            "stroke_lengths",
            maybe_number("The stroke of all shots in table lengths, where one was given"),
        ),
        ("shots", list(reference("Choice"), "Best first")),
        (
            "refused",
            list(
                object(&[
                    ("ball", text("Ball")),
                    ("pocket", text("Pocket")),
                    (
                        "reason",
                        text(
                            "no-drop, object-ball-blocked, cue-ball-blocked, out-of-reach or too-close",
                        ),
                    ),
                    ("blockers", list(text("A name"), "Balls in the way")),
                ]),
                "Direct shots that are not on",
            ),
        ),
        ("no_shot", truth("Nothing is worth trying")),
        (
            "least_bad",
            maybe(object(&[
                ("ball", text("Ball")),
                ("aim_deg", number("Direction, 0 to 360")),
                ("chance", number("Chance to hit it first")),
            ])),
        ),
    ])
}

fn place() -> Schema {
    object(&[
        ("x_mm", number("From the head rail")),
        ("y_mm", number("From the right rail")),
    ])
}

fn end() -> Schema {
    object(&[
        ("end", text("rest, scratch or ball")),
        ("at", maybe_text("The pocket or the ball")),
        ("place", reference("Place")),
    ])
}

fn shot() -> Schema {
    let direction = object(&[
        ("from_deg", number("Relative to the aim")),
        ("to_deg", number("Relative to the aim")),
        ("how", text("clean, jaw or rail")),
    ]);
    let miss = object(&[
        (
            "side",
            text("too full, too thin, or that the cue ball misses the ball"),
        ),
        ("chance", number("How often")),
        ("object", reference("Place")),
        ("dropped", maybe_text("Pocket it drops into by luck")),
        ("cue", reference("End")),
    ]);
    let next = object(&[
        ("ball", text("Ball")),
        ("pocket", text("Pocket")),
        ("chance", number("Chance, on average over the makes")),
        (
            "free_share",
            number("Share of the makes after which the cue ball touches no other ball"),
        ),
    ]);
    object(&[
        ("family", text("direct, bank, combination or kick")),
        ("cushions", number("Of a bank or kick")),
        ("ball", text("To be pocketed")),
        ("first", text("Met first by the cue ball")),
        ("pocket", text("Pocket")),
        ("chance", number("To make it")),
        ("chance_and_keep", number("To make it without a scratch")),
        ("scratch_chance", number("To scratch, made or not")),
        ("aim_deg", number("Direction of the cue ball, 0 to 360")),
        ("sigma_deg", number("Spread of that direction")),
        ("cut_deg", number("Cut of the first ball")),
        ("cut_side", text("left or right")),
        ("cue_travel_mm", number("Travel of the cue ball")),
        ("cue_speed_m_s", number("Its speed at contact")),
        (
            "pace_m_s",
            maybe_number("Speed of the dropping ball at the pocket"),
        ),
        (
            "stroke_lengths",
            maybe_number("The stroke in table lengths, with nothing in the way"),
        ),
        ("directions", list(direction, "Those that make it")),
        ("blocked_share", number("Share that other balls take")),
        ("blockers", list(text("A name"), "Balls that do")),
        ("stance", reference("Stance")),
        ("cue", reference("End")),
        ("cue_path", list(reference("Place"), "Its way")),
        ("misses", list(miss, "What they leave")),
        ("next", maybe(next)),
    ])
}
