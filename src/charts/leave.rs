//! The leave: from where the next ball goes how often, and where this shot's cue ball comes to lie
//! with roll, stun and draw.

use kurbo::Point;

use super::chart::Found;
use super::fault::ChartError;
use super::layout::played_and_labelled;
use super::places::{LEVELS_IN_TEN, draw_map};
use super::view::{BallLook, View, ball, path};
use super::words::leave::{self as words, Into};
use super::words::room::MAKES;
use crate::draw::canvas::{Anchor, Canvas, Paint, Stroke, Text};
use crate::draw::colour::{self, Rgb};
use crate::draw::contour::Grid;
use crate::draw::heat::{Levels, Shown};
use crate::draw::theme::{MARKERS, Marker, Theme};
use crate::draw::{DrawError, Picture, Size};
use crate::layout::{Candidate, LeaveMap, RestingArea, Table};

/// As listed.
pub const CHART: Found = Found {
    name: "leave",
    question: "Where does the cue ball come to lie, and what does it leave?",
};

/// Neighbouring stops farther apart than this lie on different ways of the cue ball, m (assumption:
/// for the eye).
const APART_M: f64 = 0.10;

/// What is drawn.
#[derive(Debug, Clone, Copy)]
pub struct LeaveScene<'a> {
    /// The table before the shot.
    pub table: &'a Table<'a>,
    /// The shot that leaves.
    pub shot: &'a Candidate,
    /// What it leaves.
    pub map: &'a LeaveMap,
    /// Who plays.
    pub who: &'a str,
}

/// Draws the leave.
///
/// # Errors
/// [`ChartError`]: no room.
pub fn draw_leave(scene: &LeaveScene<'_>, size: Size) -> Result<Picture, ChartError> {
    let (table, map) = (scene.table, scene.map);
    let label = |i: usize| &table.layout.balls[i].label;
    let shot = Into {
        ball: label(scene.shot.ball),
        pocket: scene.shot.pocket,
    };
    let next = Into {
        ball: label(map.next_ball),
        pocket: map.next_pocket,
    };
    let caption = words::caption(&shot, &next, &map.resting, scene.who);
    let levels = Levels {
        at: LEVELS_IN_TEN.to_vec(),
        title: MAKES.to_owned(),
        mark: "",
    };
    let grid = grid(map)?;
    draw_map(
        table.gear,
        size,
        &caption,
        Shown {
            grid: &grid,
            levels: &levels,
        },
        |canvas, view, theme| {
            over(canvas, view, theme, scene);
        },
    )
}

/// The map's cells as a grid, in ten.
fn grid(map: &LeaveMap) -> Result<Grid, ChartError> {
    let columns = usize::try_from(map.columns).unwrap_or(usize::MAX);
    let xs = map.cells.iter().take(columns).map(|c| c.x_m).collect();
    let ys = map
        .cells
        .iter()
        .step_by(columns.max(1))
        .map(|c| c.y_m)
        .collect();
    let values = map
        .cells
        .iter()
        .map(|c| c.chance.map_or(f64::NAN, |p| 10.0 * p))
        .collect();
    let empty = |_| DrawError::Empty {
        what: words::MAP.to_owned(),
        why: words::EMPTY,
    };
    Ok(Grid::new(xs, ys, values).map_err(empty)?)
}

fn over(canvas: &mut Canvas, view: &View, theme: &Theme, scene: &LeaveScene<'_>) {
    let (table, map) = (scene.table, scene.map);
    played_and_labelled(canvas, table, view, &[map.next_ball], Some(scene.shot.ball));
    let cue = 0.5 * table.gear.balls.cue_diameter_m;
    ball(canvas, view, table.layout.cue, cue, BallLook::Cue);
    let ways: Vec<(&RestingArea, Marker)> = map.resting.iter().zip(MARKERS).collect();
    // all the white below, so that no way hides another's marks
    for (area, marker) in &ways {
        for pair in joined(area) {
            path(
                canvas,
                view,
                pair,
                &Stroke::new(Rgb::WHITE, 2.0 * theme.line),
            );
        }
        for stop in &area.stops {
            marker.draw(canvas, view.map(*stop), 0.9 * theme.marker, Rgb::WHITE);
        }
    }
    for (area, marker) in &ways {
        stops(canvas, view, theme, area, *marker);
    }
    for (area, _) in &ways {
        named(canvas, view, theme, area);
    }
}

/// Neighbouring stops on one way of the cue ball.
fn joined(area: &RestingArea) -> impl Iterator<Item = &[Point]> {
    let near = |p: &&[Point]| p[0].distance(p[1]) < APART_M;
    area.stops.windows(2).filter(near)
}

/// The stops of a way of hitting, joined where they lie on one way of the cue ball.
fn stops(canvas: &mut Canvas, view: &View, theme: &Theme, area: &RestingArea, marker: Marker) {
    canvas.open_group(&[
        ("class", "resting"),
        ("data-hit", area.hit.name()),
        ("data-stops", &area.stops.len().to_string()),
    ]);
    for pair in joined(area) {
        path(canvas, view, pair, &Stroke::new(colour::INK, theme.hair));
    }
    for stop in &area.stops {
        marker.draw(canvas, view.map(*stop), 0.5 * theme.marker, colour::INK);
    }
    canvas.close_group();
}

/// The way of hitting beside its middle stop.
fn named(canvas: &mut Canvas, view: &View, theme: &Theme, area: &RestingArea) {
    let Some(middle) = area.stops.get(area.stops.len() / 2) else {
        return;
    };
    let (at, off) = (view.map(*middle), 1.6 * theme.marker);
    let size = 0.95 * theme.tick;
    let tries = [
        (Point::new(at.x + off, at.y - off), Anchor::Start),
        (Point::new(at.x - off, at.y - off), Anchor::End),
        (Point::new(at.x + off, at.y + off), Anchor::Start),
        (Point::new(at.x - off, at.y + off), Anchor::End),
        (Point::new(at.x, at.y + 2.5 * off), Anchor::Middle),
        (Point::new(at.x, at.y - 2.5 * off), Anchor::Middle),
    ];
    let text = |(at, anchor): (Point, Anchor)| {
        Text::new(area.hit.name(), at, size)
            .bold()
            .anchor(anchor)
            .centred()
    };
    let inside = canvas.area();
    let clear = |t: &Text<'_>| {
        let b = t.bounds().inflate(3.0, 2.0);
        inside.contains_rect(b) && canvas.is_free(b)
    };
    let chosen = tries
        .into_iter()
        .map(text)
        .find(clear)
        .unwrap_or_else(|| text(tries[0]));
    canvas.rect(chosen.bounds().inflate(3.0, 2.0), &Paint::fill(Rgb::WHITE));
    canvas.text(&chosen);
}
