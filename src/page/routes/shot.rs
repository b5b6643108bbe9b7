//! `POST /api/v1/shot`: one shot, solved, in words and as a drawing.

use axum::Json;
use axum::extract::State;
use axum::http::Method;
use axum::response::Response;
use axum::routing::post;
use serde::Serialize;
use serde_json::json;

use super::Route;
use super::ask::{Asked, OBJECT, Sent, ShotAsk, shot_properties};
use super::heavy::answer;
use crate::answer::{Aims, Beside, ShotAnswer, chance_line, shot_lines};
use crate::layout::{
    EndAnswer, Forward, StanceAnswer, Table, blocked_words, cue_words, first_large, solve_past,
    stance_words,
};
use crate::page::drawing::Drawing;
use crate::page::fault::ApiFault;
use crate::page::headline::{Headline, blocked_headline, headline};
use crate::page::lanes::Lane;
use crate::page::plan::{PlaceMm, place_mm};
use crate::page::schema::{
    Schema, list, maybe, maybe_number, maybe_text, number, object, options, place, reference, text,
    truth,
};
use crate::page::state::{Setup, Shared};
use crate::window::band;

#[derive(Debug, Serialize)]
struct Answer {
    headline: Headline,
    lines: Vec<String>,
    /// What the rest of the table does to it, in words.
    around: Vec<String>,
    chance: Option<String>,
    shot: ShotAnswer,
    drawing: Drawing,
    others: Others,
    cue: Option<CueWay>,
    stance: Option<StanceAnswer>,
}

/// Other balls in the way.
#[derive(Debug, Serialize)]
struct Others {
    blocked_share: f64,
    blockers: Vec<String>,
}

/// Where the cue ball goes when aimed right.
#[derive(Debug, Serialize)]
struct CueWay {
    end: &'static str,
    at: Option<String>,
    path: Vec<PlaceMm>,
}

async fn shot(State(shared): State<Shared>, sent: Sent<ShotAsk>) -> Result<Response, ApiFault> {
    let Json(mut ask) = sent?;
    answer(&shared, Lane::Light, move |setup| {
        let wants_band = ask.take::<bool>("band")?.unwrap_or(false);
        answered(setup, &ask.read(setup)?, wants_band)
    })
    .await
}

fn answered(setup: &Setup, asked: &Asked, wants_band: bool) -> Result<Answer, ApiFault> {
    let units = setup.units;
    let (gear, shot) = (&asked.gear.gear, &asked.shot);
    let table = Table::new(gear, &asked.layout);
    let past = solve_past(&table, shot, OBJECT)?;
    let band = if wants_band {
        Some(band(gear, shot)?)
    } else {
        None
    };
    let stance = asked.stance(&past);
    let mut answer = ShotAnswer::new(gear, shot, &past.solution, band.as_ref());
    if let Some(player) = &asked.player {
        let arm_factor = stance.as_ref().map_or(1.0, |s| s.arm_factor);
        let straights = setup.straights(&asked.gear, &player.error, &shot.stroke);
        let aims = Aims {
            player,
            arm_times: arm_factor,
            with_range: false,
        };
        answer = answer.with_aims(gear, &straights, (shot, &past.solution), &aims);
    }
    let label = |i: &usize| asked.layout.balls[*i].label.clone();
    let others = Others {
        blocked_share: past.blocked_share,
        blockers: past.blockers.iter().map(label).collect(),
    };
    let run = past
        .played
        .as_ref()
        .map(|played| Forward::new(&table, played).outcome(0.0, true).cue);
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
    around.extend(stance.as_ref().and_then(stance_words));
    if let Some(run) = &run {
        let end = EndAnswer::new(&table, run.end, run.at);
        around.push(format!("{}.", first_large(&cue_words(&end, gear))));
    }
    Ok(Answer {
        headline,
        lines: shot_lines(&answer, &beside, units),
        around,
        // Where there is no shot there is nothing to say of a chance.
        chance: chance_line(&answer, units).filter(|_| answer.drop.is_some()),
        drawing: Drawing::new(gear, shot, &past.solution),
        shot: answer,
        others,
        cue: run.map(|run| {
            let end = EndAnswer::new(&table, run.end, run.at);
            CueWay {
                end: end.end,
                at: end.at,
                path: run.path.into_iter().map(place_mm).collect(),
            }
        }),
        stance,
    })
}

pub(super) fn route() -> Route {
    let mut asked = shot_properties();
    asked.push((
        "band",
        truth("Solve again over the assumed bounce of jaws and rails"),
    ));
    Route {
        path: "/api/v1/shot",
        method: Method::POST,
        summary: "One shot: its room, in words, as numbers and as outlines to draw",
        request: Some(options(&asked)),
        example: Some(json!({
            "cue": "3,2.3", "object": "6,2.6", "pocket": "foot-left", "level": "club", "band": true,
            "balls": ["7,4.5,2.55"], "hand": "right"
        })),
        response: object(&[
            ("headline", reference("Headline")),
            ("lines", list(text("A sentence"), "The answer in words")),
            (
                "around",
                list(
                    text("A sentence"),
                    "Other balls in the way, stance, where the cue ball goes",
                ),
            ),
            ("chance", maybe_text("The player's chance in words")),
            ("shot", reference("Shot")),
            ("drawing", reference("Drawing")),
            (
                "others",
                object(&[
                    (
                        "blocked_share",
                        number("Share of the directions that other balls take, 0 to 1"),
                    ),
                    ("blockers", list(text("A name"), "Balls that do")),
                ]),
            ),
            ("cue", maybe(cue_way())),
            ("stance", maybe(reference("Stance"))),
        ]),
        components: components(),
        handler: post(shot),
    }
}

fn components() -> Vec<(&'static str, Schema)> {
    vec![
        (
            "Headline",
            object(&[
                ("number", text("`7 in 10`")),
                ("words", text("`for a club player, assumed`")),
            ]),
        ),
        ("Window", window()),
        ("Piece", piece()),
        ("Stick", stick()),
        ("Why", why()),
        ("Shot", shot_schema()),
        (
            "Ghosts",
            object(&[
                ("fullest", place("Centre, mm")),
                ("thinnest", place("Centre, mm")),
            ]),
        ),
        (
            "Disc",
            object(&[("at", place("Centre, mm")), ("radius_mm", number("Radius"))]),
        ),
        ("Drawing", drawing()),
        ("Stance", stance_schema()),
    ]
}

fn cue_way() -> Schema {
    object(&[
        ("end", text("rest, scratch or ball")),
        ("at", maybe_text("The pocket or the ball")),
        (
            "path",
            list(place("mm"), "From the ghost ball on, when aimed right"),
        ),
    ])
}

fn stance_schema() -> Schema {
    object(&[
        (
            "place",
            object(&[
                ("x_mm", number("From the head rail")),
                ("y_mm", number("From the right rail")),
            ]),
        ),
        ("needed_mm", number("From there to the cue ball")),
        ("needs_rest", truth("Farther than the player reaches")),
        (
            "other_hand_reaches",
            truth("With the cue in the other hand the player would reach"),
        ),
        ("over_rail", truth("The cue is raised over the rail")),
        ("over_ball", maybe_text("The cue is raised over this ball")),
        (
            "arm_factor",
            number("Factor on the arm's part of the error, assumed"),
        ),
    ])
}

fn window() -> Schema {
    object(&[
        ("thick_deg", number("Room towards a fuller hit")),
        ("thin_deg", number("Room towards a thinner hit")),
        ("total_deg", number("Both together")),
        ("thick_ghost_mm", number("The same at the ghost ball")),
        ("thin_ghost_mm", number("The same at the ghost ball")),
        ("thick_contact_mm", number("Shift of the contact point")),
        ("thin_contact_mm", number("Shift of the contact point")),
        ("thick_tip_mm", number("Error at the tip")),
        ("thin_tip_mm", number("Error at the tip")),
        (
            "from_deg",
            number("Object-ball direction off the line to the middle of the pocket"),
        ),
        (
            "to_deg",
            number("Object-ball direction off the line to the middle of the pocket"),
        ),
        ("effective_pocket_mm", number("Effective pocket size")),
    ])
}

fn piece() -> Schema {
    object(&[
        (
            "from_deg",
            number("Object-ball direction off the line to the middle of the pocket"),
        ),
        ("to_deg", number("The same, other end")),
        ("how", text("clean, jaw or rail")),
        (
            "aim_from_deg",
            maybe_number("Cue-ball direction for from_deg"),
        ),
        ("aim_to_deg", maybe_number("Cue-ball direction for to_deg")),
    ])
}

fn stick() -> Schema {
    object(&[
        (
            "direction_deg",
            number("Direction in which the stick points"),
        ),
        (
            "left_of_ghost_mm",
            number("How far left of the ghost ball's middle it points"),
        ),
        ("left_of_ghost_deg", number("The same as an angle")),
        ("squirt_deg", number("Squirt, left positive")),
        ("swerve_deg", number("Swerve by the contact")),
        ("tip_across_mm", number("The tip right of the middle")),
        ("tip_height_mm", number("The tip above the middle")),
        ("elevation_deg", number("Elevation of the stick")),
        ("speed_m_s", number("Cue-ball speed off the tip")),
    ])
}

fn why() -> Schema {
    let factor = |says| number(says);
    object(&[
        (
            "factors",
            object(&[
                ("object_distance", factor("Object ball to the pocket")),
                ("pocket_angle", factor("Angle into the pocket")),
                ("pace", factor("Speed")),
                ("cue_distance", factor("Cue ball to object ball")),
                ("cut", factor("Cut")),
                ("throw", factor("Throw and side")),
                ("others", factor("Other balls and the ends of rails")),
                ("dies_short", factor("Strokes that are not too soft")),
                ("rest", factor("What these leave")),
            ]),
        ),
        ("product", number("All factors together")),
        ("main", list(text("A factor"), "Those to name")),
        (
            "mostly_jaws",
            truth("Most of what drops does so off jaws and rail"),
        ),
    ])
}

fn shot_schema() -> Schema {
    let range = || {
        maybe(object(&[
            ("low_deg", number("Lowest")),
            ("high_deg", number("Highest")),
        ]))
    };
    let all: Vec<_> = geometry().into_iter().chain(results()).collect();
    let mut schema = object(&all);
    // Only there when asked for.
    schema["properties"]["band"] =
        object(&[("clean", range()), ("direct", range()), ("drop", range())]);
    schema
}

/// Where everything is and how it is hit.
fn geometry() -> Vec<(&'static str, Schema)> {
    vec![
        ("gear", text("Name of the equipment")),
        ("pocket", maybe_text("Pocket on the table")),
        ("kind", text("corner or side")),
        ("pace_m_s", number("Object-ball speed at the mouth")),
        (
            "stroke_lengths",
            maybe_number("The stroke in table lengths, with nothing in the way"),
        ),
        ("roll", number("Roll ratio")),
        (
            "stroke_by",
            text("arrives, as asked for, or tip, by where it strikes"),
        ),
        ("side", number("Side ratio, outside positive")),
        (
            "approach_deg",
            number("Pocket axis to the line to its middle"),
        ),
        ("cut_deg", maybe_number("Throw-free cut at the target")),
        ("cut_side", maybe_text("left or right")),
        ("apart_mm", number("Between the balls' centres")),
        ("cue_travel_mm", maybe_number("Cue ball to ghost ball")),
        ("object_to_mouth_mm", number("Object ball to the mouth")),
        (
            "centre_pocket_line_deg",
            number("Direction of the line to the middle of the pocket"),
        ),
        ("target_offset_deg", maybe_number("Target off that line")),
        ("aim_deg", maybe_number("Direction to send the cue ball")),
        (
            "centre_pocket_aim_deg",
            maybe_number("The same for the line to the middle"),
        ),
        ("throw_deg", maybe_number("Throw, fuller positive")),
        ("cue_speed_m_s", maybe_number("Cue-ball speed at contact")),
        (
            "object_speed_m_s",
            maybe_number("Object-ball speed after it"),
        ),
        ("ghost_ball_mm", maybe(place("Ghost ball's centre"))),
    ]
}

/// What comes of it.
fn results() -> Vec<(&'static str, Schema)> {
    vec![
        ("player", maybe_text("Who aims")),
        ("sigma_deg", maybe_number("Spread of the player's aim")),
        ("chance", maybe_number("Chance to make it, 0 to 1")),
        (
            "chance_low",
            maybe_number("The least as jaws and rails may bounce"),
        ),
        ("chance_high", maybe_number("The most")),
        (
            "dies_short",
            maybe_number("How often the stroke is too soft, 0 to 1"),
        ),
        (
            "equal_straight_mm",
            maybe_number("The straight shot that is as hard"),
        ),
        (
            "best_aim_deg",
            maybe_number("Best direction for this player"),
        ),
        ("best_aim_gain", maybe_number("What it gains in chance")),
        ("flags", list(text("A flag"), "What to know")),
        ("clean", maybe(reference("Window"))),
        ("direct", maybe(reference("Window"))),
        ("drop", maybe(reference("Window"))),
        (
            "pieces",
            list(reference("Piece"), "All accepted directions"),
        ),
        ("stick", maybe(reference("Stick"))),
        ("why", maybe(reference("Why"))),
        (
            "first_order",
            maybe(object(&[
                ("of", text("Which window")),
                ("pocket_opening_deg", number("Opening of the pocket")),
                ("distance_factor", number("Ball size over travel")),
                ("cut_factor", number("Cosine of the cut")),
                ("throw_factor", number("What throw does")),
                ("first_order_deg", number("The product")),
            ])),
        ),
    ]
}

fn drawing() -> Schema {
    let outline = |says| list(place("mm"), says);
    object(&[
        ("cue", reference("Disc")),
        ("object", reference("Disc")),
        ("mouth", place("Middle of the mouth")),
        (
            "wedges",
            list(
                object(&[
                    ("how", text("clean, jaw or rail")),
                    ("outline", outline("Closed")),
                ]),
                "Allowed cue-ball directions",
            ),
        ),
        ("ghost", maybe(place("Ghost ball when aimed right"))),
        ("clean", maybe(reference("Ghosts"))),
        ("direct", maybe(reference("Ghosts"))),
        ("drop", maybe(reference("Ghosts"))),
        (
            "fans",
            list(
                object(&[
                    ("how", text("clean, jaw or rail")),
                    ("outline", outline("Closed")),
                    ("path", outline("The middle direction's way")),
                ]),
                "Accepted object-ball directions",
            ),
        ),
    ])
}
