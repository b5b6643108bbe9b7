//! `POST /api/v1/ladder` and `/marks`: graded drills for a player, a mark for each of a group.

use std::collections::BTreeMap;

use axum::Json;
use axum::extract::State;
use axum::http::Method;
use axum::response::Response;
use axum::routing::post;
use serde::Deserialize;
use serde_json::{Value, json};

use super::Route;
use super::ask::{Sent, gear_properties, reach_properties};
use super::heavy::{answer, at_most};
use crate::answer::or_club;
use crate::field::Field;
use crate::ladder::{
    LadderAnswer, LadderRequest, MarksAnswer, MarksWishes, Student, chance_of_makes, ladder_until,
    marks_until, students,
};
use crate::layout::ReachRequest;
use crate::page::fault::ApiFault;
use crate::page::lanes::Lane;
use crate::page::schema::{
    Schema, list, number, object, options, reference, text, truth, with_optional,
};
use crate::page::state::{GearRequest, Setup, Shared};
use crate::player::{AimError, Player, PlayerRequest};
use crate::request::{StrokeRequest, pocket_name};
use crate::units::{Position, Side};

#[derive(Debug, Default, Deserialize)]
#[serde(default, expecting = "an object")]
struct LadderAsk {
    #[serde(flatten)]
    wishes: LadderRequest,
    #[serde(flatten)]
    stroke: StrokeRequest,
    #[serde(flatten)]
    gear: GearRequest,
    #[serde(flatten)]
    player: PlayerRequest,
    student: Option<String>,
    #[serde(flatten)]
    reach: ReachRequest,
    #[serde(flatten)]
    rest: BTreeMap<String, Value>,
}

#[derive(Debug, Default, Deserialize)]
#[serde(default, expecting = "an object")]
struct MarksAsk {
    students: Vec<String>,
    chance: Option<String>,
    object: Option<String>,
    pocket: Option<String>,
    #[serde(flatten)]
    stroke: StrokeRequest,
    #[serde(flatten)]
    gear: GearRequest,
    #[serde(flatten)]
    rest: BTreeMap<String, Value>,
}

/// Most students of one marks sheet (assumption: two school classes).
const MOST_STUDENTS: usize = 60;

/// Most balls in the way of a ladder: with the object ball as many as fit any game.
const MOST_OBSTACLES: usize = 21;

fn known_only(rest: &BTreeMap<String, Value>) -> Result<(), ApiFault> {
    match rest.keys().next() {
        Some(name) => Err(ApiFault::value(format!(
            "\"{name}\" is not known here; see /api/v1/openapi.json for what is"
        ))),
        None => Ok(()),
    }
}

/// A student on left cuts, and the aim on right cuts where it differs.
fn on_both_cuts(setup: &Setup, label: &str) -> Result<(Player, Option<AimError>), ApiFault> {
    let left = setup.student(label, || Side::Left)?;
    let right = setup.student(label, || Side::Right)?.error;
    let differs = Some(right).filter(|r| *r != left.error);
    Ok((left, differs))
}

fn draw_up(setup: &Setup, ask: &LadderAsk) -> Result<LadderAnswer, ApiFault> {
    known_only(&ask.rest)?;
    at_most("obstacle", ask.wishes.obstacle.len(), MOST_OBSTACLES)?;
    let gear = setup.gear(&ask.gear)?;
    let (player, right, known) = match &ask.student {
        Some(label) => {
            let (player, right) = on_both_cuts(setup, label)?;
            let student = setup.desk()?.read(|log| log.student(label))?;
            (player, right, student.reach())
        }
        None => (or_club(ask.player.player()?), None, None),
    };
    let mut wishes = ask.wishes.wishes(&gear.gear, player.error, &ask.stroke)?;
    wishes.right = right;
    wishes.reach = ask.reach.reach_or(known)?;
    let found = ladder_until(&gear.gear, &wishes, &setup.stop)?;
    Ok(LadderAnswer::new(&gear.gear, &found, &player, setup.units))
}

async fn solve_ladder(
    State(shared): State<Shared>,
    sent: Sent<LadderAsk>,
) -> Result<Response, ApiFault> {
    let Json(ask) = sent?;
    answer(&shared, Lane::Long, move |setup| draw_up(setup, &ask)).await
}

fn mark_out(setup: &Setup, ask: &MarksAsk) -> Result<MarksAnswer, ApiFault> {
    known_only(&ask.rest)?;
    let named = ask.students.iter().flat_map(|s| s.split(',')).count();
    at_most("students", named, MOST_STUDENTS)?;
    let gear = setup.gear(&ask.gear)?;
    // A plain label is somebody in the practice log.
    let known = |label: &str| -> Result<Student, String> {
        let (player, right) = on_both_cuts(setup, label).map_err(ApiFault::into_message)?;
        Ok(Student {
            label: label.to_owned(),
            error: player.error,
            right,
            who: player.who,
            assumed: false,
        })
    };
    let group = students(&ask.students, &known)?;
    let wishes = MarksWishes {
        chance: chance_of_makes(Field::Chance, ask.chance.as_deref().unwrap_or("7"))?,
        object: match &ask.object {
            Some(text) => Some(text.parse::<Position>()?),
            None => None,
        },
        pocket: match &ask.pocket {
            Some(name) => Some(pocket_name(Field::Pocket, name)?),
            None => None,
        },
        stroke: ask.stroke.stroke(&gear.gear)?,
    };
    let sheet = marks_until(&gear.gear, &group, &wishes, &setup.stop)?;
    Ok(MarksAnswer::new(&gear.gear, &sheet, &group, Vec::new()))
}

async fn solve_marks(
    State(shared): State<Shared>,
    sent: Sent<MarksAsk>,
) -> Result<Response, ApiFault> {
    let Json(ask) = sent?;
    answer(&shared, Lane::Long, move |setup| mark_out(setup, &ask)).await
}

/// How every shot is hit, and on what.
fn hit_properties() -> Vec<(&'static str, Schema)> {
    let mut all = vec![
        (
            "pace",
            text("Speed of the object ball at the pocket, `1m/s`"),
        ),
        ("roll", text("Roll ratio at contact")),
        ("hit", text("stun, roll, draw or follow")),
        ("side", text("Side spin ratio, outside positive")),
        ("bridge", text("Length of the bridge")),
    ];
    all.extend(gear_properties());
    all
}

pub(super) fn ladder_route() -> Route {
    let mut asked = vec![
        ("rungs", text("How many rungs; 10 when absent")),
        (
            "from",
            text("Makes in ten at the first rung; 9 when absent"),
        ),
        ("to", text("Makes in ten at the last rung; 3 when absent")),
        (
            "practise",
            text("thin-cuts, long-straight, side-pocket, along-the-rail or mixed"),
        ),
        ("pockets", text("A list of pockets; all when absent")),
        ("cuts", text("Range of cuts, `10deg..half-ball`")),
        ("cuts-to", text("even, left, right or any")),
        ("object", text("The one place of the object ball")),
        ("obstacle", list(text("A place"), "Balls in the way")),
        ("mirrored", truth("For the other hand")),
        ("seed", text("Another number gives other shots")),
        ("level", text("A level; club when nobody is named")),
        ("arm", text("Spread of the stroke, instead of a level")),
        ("picture", text("Spread of seeing, with arm")),
        ("sigma", text("Spread as one number")),
        ("bias", text("Steady error of the direction")),
        ("arm-growth", text("Growth of the arm's part per m/s")),
        ("student", text("A student of the practice log")),
    ];
    asked.extend(reach_properties());
    asked.extend(hit_properties());
    Route {
        path: "/api/v1/ladder",
        method: Method::POST,
        summary: "Shots that lead a player up evenly",
        request: Some(options(&asked)),
        example: Some(
            json!({"level": "club", "rungs": "2", "from": "8", "to": "5", "hand": "left", "reach": "700mm"}),
        ),
        response: reference("Ladder"),
        components: vec![("Ladder", ladder_schema()), ("Rung", rung())],
        handler: post(solve_ladder),
    }
}

fn ladder_schema() -> Schema {
    let optional = [
        ("code", text("Code with its check character")),
        ("stroke_lengths", number("The stroke in table lengths")),
        ("hand", text("left or right")),
        ("reach_mm", number("Reach over the table")),
        ("obstacles", list(text("A place"), "Balls in the way")),
        ("obstacle_words", list(text("A place"), "The same in words")),
    ];
    let needed = [
        ("gear", text("Name of the equipment")),
        ("player", text("Who climbs")),
        ("player_assumed", truth("Whether that is an assumption")),
        ("practise", text("What it practises")),
        ("mirrored", truth("Whether it is mirrored")),
        ("seed", number("Seed")),
        ("pace_m_s", number("Object-ball speed at the pocket")),
        ("confidence", number("Of the pass rule")),
        (
            "margin_in_ten",
            number("By how much the player to rule out is worse"),
        ),
        ("rungs", list(reference("Rung"), "Easiest first")),
    ];
    with_optional(&needed, &optional)
}

fn rung() -> Schema {
    let pass = object(&[
        ("makes", number("Makes needed")),
        ("tries", number("Out of so many")),
        (
            "ruled_out_in_ten",
            number("Makes in ten of the player ruled out"),
        ),
        ("by_luck", number("How often that player passes by luck")),
        (
            "passes",
            number("How often a student of this chance passes"),
        ),
    ]);
    let optional = [
        ("gap_mm", number("Least gap to a ball in the way")),
        (
            "awkward",
            list(text("A reason"), "What is awkward to reach"),
        ),
    ];
    let needed = [
        ("rung", number("From 1")),
        ("cue", text("Cue ball")),
        ("object", text("Object ball")),
        ("pocket", text("Pocket")),
        ("cue_words", text("The cue ball's place in words")),
        ("object_words", text("The object ball's place in words")),
        ("makes_in_ten", number("Makes in ten")),
        ("asked_in_ten", number("Makes in ten asked for")),
        ("met", truth("Whether it is near enough")),
        ("cut_deg", number("Throw-free cut")),
        ("cut_side", text("left, right or straight")),
        ("cue_travel_mm", number("Cue ball to ghost ball")),
        ("to_pocket_mm", number("Object ball to the mouth")),
        ("off_square_deg", number("Off square to the pocket")),
        (
            "set_off_low_in_ten",
            number("Fewest makes when set a little off"),
        ),
        (
            "set_off_high_in_ten",
            number("Most makes when set a little off"),
        ),
        ("steady", truth("Whether it stays this rung then")),
        (
            "harder",
            list(text("A reason"), "Why it is harder than the one before"),
        ),
        ("pass", pass),
        ("pace_m_s", number("Object-ball speed at the pocket")),
        (
            "blocked_share",
            number("Share of the room that other balls take"),
        ),
    ];
    with_optional(&needed, &optional)
}

pub(super) fn marks_route() -> Route {
    let mut asked = vec![
        (
            "students",
            list(
                text("A=club, or a label of the practice log"),
                "The group, at most 60",
            ),
        ),
        ("chance", text("Makes in ten for everybody; 7 when absent")),
        ("object", text("Object ball; chosen when absent")),
        ("pocket", text("Pocket; chosen when absent")),
    ];
    asked.extend(hit_properties());
    Route {
        path: "/api/v1/marks",
        method: Method::POST,
        summary: "From where one shot is equally hard for a whole group",
        request: Some(options(&asked)),
        example: Some(json!({"students": ["A=starting", "B=club"], "chance": "7"})),
        response: reference("Marks"),
        components: vec![("Marks", marks_schema())],
        handler: post(solve_marks),
    }
}

fn marks_schema() -> Schema {
    let mark = object(&[
        ("student", text("Whose")),
        ("player", text("Who that is taken to be")),
        (
            "distance_mm",
            number("From the object ball along the string"),
        ),
        ("cue", text("The cue ball there")),
        ("makes_in_ten", number("Makes in ten from there")),
    ]);
    let turn = object(&[
        ("from_min", number("From the start")),
        ("to_min", number("To")),
        ("shoots", list(text("Who"), "At each table")),
        ("sets", list(text("Who"), "At each table")),
        ("rests", list(text("Who"), "Away from the tables")),
    ]);
    let needed = [
        ("gear", text("Name of the equipment")),
        ("asked_in_ten", number("Makes in ten asked for")),
        ("object", text("Object ball")),
        ("object_words", text("The same in words")),
        ("pocket", text("Pocket")),
        ("string_to", text("Where the string ends")),
        ("string_words", text("The same in words")),
        ("cut_deg", number("Cut at the first mark")),
        ("marks", list(mark, "Nearest first")),
        ("rotation", list(turn, "Who is where when")),
    ];
    with_optional(&needed, &[("code", text("Code with its check character"))])
}
