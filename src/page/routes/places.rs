//! `POST /api/v1/places`: how much room the shot has from every place of the cue ball.
//!
//! What the pocket takes from the object ball does not depend on the cue ball, so it is solved once
//! for the whole map.

use kurbo::Point;
use rayon::prelude::*;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::json;

use crate::layout::{DropSet, FromPlace, FromPlaces, Stance, Table};
use crate::page::ask::{Asked, OBJECT, ShotAsk};
use crate::page::fault::ApiFault;
use crate::page::lanes::Lane;
use crate::page::route::{About, Route};
use crate::page::state::Setup;
use crate::pocket::PocketName;
use crate::stop::{Stop, Stopped};
use crate::window::{NoWindow, accept_shot};

/// Most columns or rows (assumption: finer than any screen shows).
const MOST: usize = 256;

/// A shot, and how fine a map of it.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(expecting = "an object")]
struct Ask {
    #[serde(flatten)]
    shot: ShotAsk,
    /// Places along the table, 2 to 256.
    #[serde(default = "columns")]
    columns: usize,
    /// Places across, 2 to 256.
    #[serde(default = "rows")]
    rows: usize,
}

fn columns() -> usize {
    96
}

fn rows() -> usize {
    48
}

#[derive(Debug, Serialize, JsonSchema)]
struct Map {
    /// Places along the table.
    columns: usize,
    /// Places across.
    rows: usize,
    /// First place of the cue ball's centre.
    from_mm: [f64; 2],
    /// Last place of the cue ball's centre.
    to_mm: [f64; 2],
    /// `ok`, or why there is no map.
    status: &'static str,
    /// Rows from the right rail to the left, each from the head to the foot.
    direct_deg: Vec<Vec<Option<f64>>>,
    /// The player's chance, 0 to 1, rows as above.
    chance: Option<Vec<Vec<Option<f64>>>>,
    stance: Option<Awkward>,
    /// How one has to stand, rows as above, a letter a place: `.` as usual, `r` over the rail, `e` with the rest, `b` both; where a player's reach is known.
    awkward: Option<Vec<String>>,
}

/// What makes some places harder than the room alone.
#[derive(Debug, Clone, Copy, Default, Serialize, JsonSchema)]
struct Awkward {
    /// From some places the cue is raised over a rail.
    over_rail: bool,
    /// Some places take the rest.
    needs_rest: bool,
}

fn places(setup: &Setup, ask: Ask) -> Result<Map, ApiFault> {
    let net = Net {
        columns: size("columns", ask.columns)?,
        rows: size("rows", ask.rows)?,
    };
    let asked = ask.shot.read(setup)?;
    let Some(pocket) = asked.shot.frame.name else {
        return Err(ApiFault::value(
            "a map needs a shot on the table: give cue, object and pocket",
        ));
    };
    setup
        .lanes
        .pool()
        .install(|| map(&asked, pocket, net, &setup.stop))
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

/// Places of the cue ball along the table and across it.
#[derive(Clone, Copy)]
struct Net {
    columns: usize,
    rows: usize,
}

/// One place of the cue ball.
#[derive(Debug, Clone)]
struct Found {
    /// The direct window.
    room_deg: f64,
    chance: Option<f64>,
    stance: Option<Stance>,
}

/// Nothing where no shot is.
type Cell = Option<Found>;

fn map(asked: &Asked, pocket: PocketName, net: Net, stop: &Stop) -> Result<Map, ApiFault> {
    let Net { columns, rows } = net;
    let gear = &asked.gear.gear;
    let edge = gear.cue_contact_radius_m();
    let table = Table::new(gear, &asked.layout);
    // A ball in the jaws has no window, whatever stands round it.
    let accepted = accept_shot(gear, &asked.shot)?;
    let set = accepted.map(|a| table.drop_set_of(OBJECT, pocket, a));
    let (status, cells) = match &set {
        Ok(set) if !set.open.is_empty() => ("ok", solved(asked, &table, set, net, stop)?),
        Ok(_) => (NoWindow::Blocked.name(), vec![vec![None; columns]; rows]),
        Err(no) => (NoWindow::from(*no).name(), vec![vec![None; columns]; rows]),
    };
    let pick = |value: fn(&Found) -> Option<f64>| {
        let row = |r: &Vec<Cell>| {
            r.iter()
                .map(|c| c.as_ref().and_then(value).map(rounded))
                .collect()
        };
        cells.iter().map(row).collect()
    };
    let any = |what: fn(&Stance) -> bool| {
        let stances = cells.iter().flatten().flatten();
        stances.filter_map(|c| c.stance.as_ref()).any(what)
    };
    Ok(Map {
        columns,
        rows,
        from_mm: [edge * 1e3; 2],
        to_mm: [gear.bed.length_m, gear.bed.width_m].map(|size| (size - edge) * 1e3),
        status,
        awkward: asked.reach.filter(|_| asked.player.is_some()).map(|_| {
            cells
                .iter()
                .map(|r| r.iter().map(letter).collect())
                .collect()
        }),
        direct_deg: pick(|c| Some(c.room_deg)),
        chance: asked.player.is_some().then(|| pick(|c| c.chance)),
        stance: asked.reach.map(|_| Awkward {
            over_rail: any(|s| s.over_rail),
            needs_rest: any(|s| s.needs_rest),
        }),
    })
}

/// How one has to stand at a place: `.` as usual or no shot, `r` over the rail, `e` with the rest,
/// `b` both.
fn letter(cell: &Cell) -> char {
    let stance = cell.as_ref().and_then(|found| found.stance.as_ref());
    match stance.map(|s| (s.over_rail, s.needs_rest)) {
        Some((true, false)) => 'r',
        Some((false, true)) => 'e',
        Some((true, true)) => 'b',
        Some((false, false)) | None => '.',
    }
}

/// The window from every place, rows in parallel.
fn solved(
    asked: &Asked,
    table: &Table<'_>,
    set: &DropSet,
    net: Net,
    stop: &Stop,
) -> Result<Vec<Vec<Cell>>, Stopped> {
    let Net { columns, rows } = net;
    let gear = &asked.gear.gear;
    let edge = gear.cue_contact_radius_m();
    #[expect(clippy::cast_precision_loss, reason = "at most 256")]
    let at = |k: usize, count: usize, size: f64| {
        edge + (size - 2.0 * edge) * k as f64 / (count - 1) as f64
    };
    let from = FromPlaces {
        table,
        set,
        stroke: &asked.shot.stroke,
        player: asked.player.as_ref().map(|p| &p.error),
        reach: asked.reach,
    };
    let cell = |place: Option<FromPlace>| -> Cell {
        let place = place?;
        let window = place.played.window()?;
        let room = window.direct.or(window.drop)?;
        Some(Found {
            room_deg: room.total_rad().to_degrees(),
            chance: place.chance,
            stance: place.stance,
        })
    };
    let row = |r: usize| -> Result<Vec<Cell>, Stopped> {
        stop.check()?;
        let y = at(r, rows, gear.bed.width_m);
        let places = (0..columns).map(|c| Point::new(at(c, columns, gear.bed.length_m), y));
        Ok(from.along(places).into_iter().map(cell).collect())
    };
    (0..rows).into_par_iter().map(row).collect()
}

/// Four decimals: a colour shows two at most.
fn rounded(value: f64) -> f64 {
    (value * 1e4).round() / 1e4
}

pub(super) fn route() -> Route {
    let about = About::new(
        "/api/v1/places",
        "The margin from every place of the cue ball, for one object ball and pocket",
        json!({
            "cue": "3,2.3", "object": "6,2.6", "pocket": "foot-left", "level": "club",
            "columns": 12, "rows": 6
        }),
    );
    Route::solving(about, Lane::Map, places)
}
