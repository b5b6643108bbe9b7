//! `POST /api/v1/places`: how much room the shot has from every place of the cue ball.
//!
//! What the pocket takes from the object ball does not depend on the cue ball, so it is solved once
//! for the whole map.

use axum::Json;
use axum::extract::State;
use axum::http::{Method, StatusCode};
use axum::routing::post;
use kurbo::Point;
use rayon::prelude::*;
use serde::Serialize;
use serde_json::json;

use super::Route;
use super::ask::{Asked, OBJECT, Sent, ShotAsk, shot_properties};
use crate::explorer::fault::ApiFault;
use crate::explorer::schema::{list, maybe, maybe_number, number, object, options, text};
use crate::explorer::state::Shared;
use crate::layout::{Ball, DropSet, Stance, Table, direct, stance};
use crate::motion::BallBody;
use crate::pocket::{PocketName, PocketShape, accept};
use crate::window::NoWindow;

/// Most columns or rows (assumption: finer than any screen shows).
const MOST: usize = 256;

#[derive(Debug, Serialize)]
struct Map {
    columns: usize,
    rows: usize,
    /// First and last place of the cue ball's centre.
    from_mm: [f64; 2],
    to_mm: [f64; 2],
    status: String,
    /// Rows from the right rail to the left, each from the head to the foot.
    direct_deg: Vec<Vec<Option<f64>>>,
    chance: Option<Vec<Vec<Option<f64>>>>,
}

async fn places(State(shared): State<Shared>, sent: Sent<ShotAsk>) -> Result<Json<Map>, ApiFault> {
    let Json(mut ask) = sent?;
    let columns = size("columns", ask.take("columns")?.unwrap_or(96))?;
    let rows = size("rows", ask.take("rows")?.unwrap_or(48))?;
    let asked = ask.read(&shared)?;
    if asked.shot.frame.name.is_none() {
        return Err(ApiFault::value(
            "a map needs a shot on the table: give cue, object and pocket",
        ));
    }
    let solved = tokio::task::spawn_blocking(move || map(&asked, columns, rows)).await;
    match solved {
        Ok(map) => Ok(Json(map?)),
        Err(_) => Err(ApiFault::new(
            StatusCode::INTERNAL_SERVER_ERROR,
            "the map could not be solved; report the request that led here",
        )),
    }
}

fn size(name: &str, wanted: usize) -> Result<usize, ApiFault> {
    if (2..=MOST).contains(&wanted) {
        Ok(wanted)
    } else {
        Err(ApiFault::value(format!(
            "{name} is {wanted}; it must be from 2 to {MOST}"
        )))
    }
}

/// Direct window in degrees and chance at one place; nothing where no shot is.
type Cell = Option<(f64, Option<f64>)>;

fn map(asked: &Asked, columns: usize, rows: usize) -> Result<Map, ApiFault> {
    let gear = &asked.gear.gear;
    let edge = gear.cue_contact_radius_m();
    let table = Table::new(gear, &asked.layout);
    let pocket = asked.shot.frame.name.unwrap_or(PocketName::FootLeft);
    let pace_m_s = asked.shot.stroke.pace_m_s;
    let body = BallBody::object(gear);
    let shape = PocketShape::new(gear, asked.shot.frame.kind, &body);
    // A ball in the jaws has no window, whatever stands round it.
    let accepted = accept(&shape, &gear.cloth, &body, asked.shot.object, pace_m_s)?;
    let (status, cells) = match accepted {
        Ok(_) => match table.drop_set(OBJECT, pocket, pace_m_s)? {
            Ok(set) if set.open.is_empty() => {
                (NoWindow::Blocked.name(), vec![vec![None; columns]; rows])
            }
            Ok(set) => ("ok", solved(asked, &table, &set, columns, rows)),
            Err(no) => (NoWindow::from(no).name(), vec![vec![None; columns]; rows]),
        },
        Err(no) => (NoWindow::from(no).name(), vec![vec![None; columns]; rows]),
    };
    let pick = |f: fn(&(f64, Option<f64>)) -> Option<f64>| -> Vec<Vec<Option<f64>>> {
        let row = |r: &Vec<Cell>| {
            r.iter()
                .map(|c| c.as_ref().and_then(f).map(rounded))
                .collect()
        };
        cells.iter().map(row).collect()
    };
    Ok(Map {
        columns,
        rows,
        from_mm: [edge * 1e3; 2],
        to_mm: [gear.bed.length_m, gear.bed.width_m].map(|size| (size - edge) * 1e3),
        status: status.to_owned(),
        direct_deg: pick(|c| Some(c.0)),
        chance: asked.player.is_some().then(|| pick(|c| c.1)),
    })
}

/// The window from every place, rows in parallel.
fn solved(
    asked: &Asked,
    table: &Table<'_>,
    set: &DropSet,
    columns: usize,
    rows: usize,
) -> Vec<Vec<Cell>> {
    let gear = &asked.gear.gear;
    let edge = gear.cue_contact_radius_m();
    #[expect(clippy::cast_precision_loss, reason = "at most 256")]
    let at = |k: usize, count: usize, size: f64| {
        edge + (size - 2.0 * edge) * k as f64 / (count - 1) as f64
    };
    let row = |r: usize| -> Vec<Cell> {
        let y = at(r, rows, gear.bed.width_m);
        let mut layout = asked.layout.clone();
        (0..columns)
            .map(|c| {
                layout.cue = Point::new(at(c, columns, gear.bed.length_m), y);
                cell(asked, &table.with_layout(&layout), set)
            })
            .collect()
    };
    (0..rows).into_par_iter().map(row).collect()
}

/// One place of the cue ball.
fn cell(asked: &Asked, table: &Table<'_>, set: &DropSet) -> Cell {
    let cue = table.layout.cue;
    let apart = |b: &Ball| (b.at - cue).hypot();
    if table
        .layout
        .balls
        .iter()
        .any(|b| apart(b) < table.cue_object_m)
    {
        return None;
    }
    let played = direct(table, Ok(set), &asked.shot.stroke).ok()?;
    let window = played.window()?;
    let room = window.direct.or(window.drop)?.total_rad().to_degrees();
    let chance = asked.player.as_ref().map(|player| {
        let stance = asked
            .reach
            .map(|reach| stance(table, played.aim_rad, reach));
        played.chance(
            &player.error,
            stance.as_ref().map_or(1.0, Stance::arm_factor),
        )
    });
    Some((room, chance))
}

/// Four decimals: a colour shows two at most.
fn rounded(value: f64) -> f64 {
    (value * 1e4).round() / 1e4
}

pub(super) fn route() -> Route {
    let mut asked = shot_properties();
    asked.push((
        "columns",
        number("Places along the table, 2 to 256; 96 when absent"),
    ));
    asked.push(("rows", number("Places across, 2 to 256; 48 when absent")));
    let grid = || {
        list(
            list(maybe_number("A place"), "A row"),
            "Rows from the right rail to the left",
        )
    };
    Route {
        path: "/api/v1/places",
        method: Method::POST,
        summary: "The room from every place of the cue ball, for one object ball and pocket",
        request: Some(options(&asked)),
        example: Some(json!({
            "cue": "3,2.3", "object": "6,2.6", "pocket": "foot-left", "level": "club",
            "columns": 12, "rows": 6
        })),
        response: object(&[
            ("columns", number("Places along the table")),
            ("rows", number("Places across")),
            (
                "from_mm",
                list(number("mm"), "First place of the cue ball's centre"),
            ),
            ("to_mm", list(number("mm"), "Last place")),
            ("status", text("ok, or why there is no map")),
            ("direct_deg", grid()),
            ("chance", maybe(grid())),
        ]),
        components: Vec::new(),
        handler: post(places),
    }
}
