//! `POST /api/v1/ladder` and `/marks`: graded drills for a player, a mark for each of a group.

use schemars::JsonSchema;
use serde::Deserialize;
use serde_json::json;

use crate::answer::or_club;
use crate::field::Field;
use crate::ladder::{
    LadderAnswer, LadderRequest, MarksAnswer, MarksWishes, Student, chance_of_makes, ladder_until,
    marks_until, students,
};
use crate::layout::ReachRequest;
use crate::page::ask::{Rest, at_most};
use crate::page::fault::ApiFault;
use crate::page::lanes::Lane;
use crate::page::route::{About, Route};
use crate::page::state::{GearRequest, Setup};
use crate::player::{AimError, Player, PlayerRequest};
use crate::request::{StrokeRequest, pocket_name};
use crate::units::{Position, Side};

/// A ladder, and who climbs it.
#[derive(Debug, Default, Deserialize, JsonSchema)]
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
    /// A student of the practice log, instead of a level or spreads.
    student: Option<String>,
    #[serde(flatten)]
    reach: ReachRequest,
    #[serde(flatten)]
    rest: Rest,
}

/// One shot for a group.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(default, expecting = "an object")]
struct MarksAsk {
    /// The group, at most 60: each `K=club`, or a label of the practice log.
    students: Vec<String>,
    /// Makes in ten for everybody; 7 when absent.
    chance: Option<String>,
    /// Object ball; chosen when absent.
    object: Option<String>,
    /// Pocket; chosen when absent.
    pocket: Option<String>,
    #[serde(flatten)]
    stroke: StrokeRequest,
    #[serde(flatten)]
    gear: GearRequest,
    #[serde(flatten)]
    rest: Rest,
}

/// Most students of one marks sheet (assumption: two school classes).
const MOST_STUDENTS: usize = 60;

/// Most balls in the way of a ladder: with the object ball as many as fit any game.
const MOST_OBSTACLES: usize = 21;

/// A student on left cuts, and the aim on right cuts where it differs.
fn on_both_cuts(setup: &Setup, label: &str) -> Result<(Player, Option<AimError>), ApiFault> {
    let left = setup.student(label, || Side::Left)?;
    let right = setup.student(label, || Side::Right)?.error;
    let differs = Some(right).filter(|r| *r != left.error);
    Ok((left, differs))
}

fn draw_up(setup: &Setup, ask: LadderAsk) -> Result<LadderAnswer, ApiFault> {
    ask.rest.none()?;
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
    let speech = setup.speech(&gear.gear);
    Ok(LadderAnswer::new(&gear.gear, &found, &player, speech))
}

fn mark_out(setup: &Setup, ask: MarksAsk) -> Result<MarksAnswer, ApiFault> {
    ask.rest.none()?;
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
    Ok(MarksAnswer::new(
        &gear.gear,
        &sheet,
        &group,
        Vec::new(),
        setup.speech(&gear.gear),
    ))
}

pub(super) fn ladder_route() -> Route {
    let about = About::new(
        "/api/v1/ladder",
        "Shots that lead a player up evenly",
        json!({"level": "club", "rungs": "2", "from": "8", "to": "5", "hand": "left", "reach": "700mm"}),
    );
    Route::solving(about, Lane::Long, draw_up)
}

pub(super) fn marks_route() -> Route {
    let about = About::new(
        "/api/v1/marks",
        "From where one shot is equally hard for a whole group",
        json!({"students": ["K=starting", "L=club"], "chance": "7"}),
    );
    Route::solving(about, Lane::Long, mark_out)
}
