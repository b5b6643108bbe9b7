//! `POST /api/v1/shot`: one shot, solved, in words and as a drawing.

use axum::Json;
use axum::extract::State;
use axum::http::Method;
use axum::routing::post;
use serde::Serialize;
use serde_json::json;

use super::Route;
use super::ask::{Sent, ShotAsk, shot_properties};
use crate::answer::{ShotAnswer, chance_line, shot_text};
use crate::explorer::drawing::Drawing;
use crate::explorer::fault::ApiFault;
use crate::explorer::headline::{Headline, headline};
use crate::explorer::schema::{
    Schema, list, maybe, maybe_number, maybe_text, number, object, options, place, reference, text,
    truth,
};
use crate::explorer::state::Shared;
use crate::window::{band, solve};

#[derive(Debug, Serialize)]
struct Answer {
    headline: Headline,
    lines: Vec<String>,
    chance: Option<String>,
    shot: ShotAnswer,
    drawing: Drawing,
}

async fn shot(State(shared): State<Shared>, sent: Sent<ShotAsk>) -> Result<Json<Answer>, ApiFault> {
    let Json(mut ask) = sent?;
    let wants_band = ask.take::<bool>("band")?.unwrap_or(false);
    let asked = ask.read(&shared)?;
    let (gear, shot, units) = (&asked.gear.gear, &asked.shot, shared.units);
    let solution = solve(gear, shot)?;
    let band = if wants_band {
        Some(band(gear, shot)?)
    } else {
        None
    };
    let mut answer = ShotAnswer::new(gear, shot, &solution, band.as_ref());
    if let Some(player) = &asked.player {
        answer = answer.with_player(gear, shot, &solution, player);
    }
    let text = shot_text(&answer, None, None, units);
    Ok(Json(Answer {
        headline: headline(&answer, units),
        lines: text.lines().map(str::to_owned).collect(),
        // Where there is no shot there is nothing to say of a chance.
        chance: chance_line(&answer, units).filter(|_| answer.drop.is_some()),
        drawing: Drawing::new(gear, shot, &solution),
        shot: answer,
    }))
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
            "cue": "3,2.3", "object": "6,2.6", "pocket": "foot-left", "level": "club", "band": true
        })),
        response: object(&[
            ("headline", reference("Headline")),
            ("lines", list(text("A sentence"), "The answer in words")),
            ("chance", maybe_text("The player's chance in words")),
            ("shot", reference("Shot")),
            ("drawing", reference("Drawing")),
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
        ("Shot", answer()),
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
    ]
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

fn answer() -> Schema {
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
        ("roll", number("Roll ratio")),
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
        ("makes_in_ten", maybe_number("Makes in ten")),
        (
            "equal_straight_mm",
            maybe_number("The straight shot that is as hard"),
        ),
        (
            "best_aim_deg",
            maybe_number("Best direction for this player"),
        ),
        ("best_aim_gain_in_ten", maybe_number("What it gains")),
        ("flags", list(text("A flag"), "What to know")),
        ("clean", maybe(reference("Window"))),
        ("direct", maybe(reference("Window"))),
        ("drop", maybe(reference("Window"))),
        (
            "pieces",
            list(reference("Piece"), "All accepted directions"),
        ),
        (
            "why",
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
