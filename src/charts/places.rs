//! Cue-ball places: how much room each leaves for one object ball and pocket.
//!
//! The pocket is solved once, then every place by itself on all cores.

use kurbo::{Point, Rect};
use rayon::prelude::*;

use super::contour::Grid;
use super::heat::{Levels, legend, legend_width, paint};
use super::shot::laid;
use super::table::{BallLook, View, ball, furniture, lie_for};
use super::theme::{Board, Caption};
use super::{Chart, ChartError, Picture, Request};
use crate::gear::Gear;
use crate::motion::BallBody;
use crate::pocket::{PocketFrame, PocketShape, accept};
use crate::window::{Shot, solve_with};

/// Places along and across the table.
const ALONG: u32 = 200;
const ACROSS: u32 = 100;
/// Steps, degrees each side.
const LEVELS_DEG: [f64; 8] = [0.02, 0.05, 0.1, 0.2, 0.3, 0.5, 1.0, 2.0];

/// The map of cue-ball places.
#[derive(Debug, Clone, Copy)]
pub struct PlacesChart;

/// Room each side in degrees (untouched or off the jaws) for the cue ball at each place of the bed,
/// in metres; NaN where the shot cannot be made. The shot's own cue ball plays no part.
///
/// # Errors
/// [`ChartError`] when the object ball cannot drop at all.
pub fn rooms(gear: &Gear, frame: &PocketFrame, shot: &Shot) -> Result<Grid, ChartError> {
    let body = BallBody::object(gear);
    let shape = PocketShape::new(gear, frame.kind, &body);
    let pace = shot.stroke.pace_m_s;
    let acceptance = accept(&shape, &gear.cloth, &body, shot.object, pace)
        .map_err(|e| ChartError::NoRoom(e.to_string()))?
        .map_err(|no| ChartError::NoRoom(crate::window::NoWindow::from(no).name().to_owned()))?;
    let edge = 0.5 * gear.balls.cue_diameter_m;
    let steps = |length: f64, count: u32| -> Vec<f64> {
        (0..count)
            .map(|k| edge + (length - 2.0 * edge) * f64::from(k) / f64::from(count - 1))
            .collect()
    };
    let (xs, ys) = (
        steps(gear.bed.length_m, ALONG),
        steps(gear.bed.width_m, ACROSS),
    );
    let values = ys
        .par_iter()
        .flat_map_iter(|y| xs.iter().map(move |x| Point::new(*x, *y)))
        .map(|place| {
            let cue = frame.to_pocket(place);
            solve_with(gear, &acceptance, cue, &shot.stroke)
                .ok()
                .and_then(|w| w.direct)
                .map_or(f64::NAN, |w| 0.5 * w.total_rad().to_degrees())
        })
        .collect();
    Grid::new(xs, ys, values).map_err(|_| ChartError::Empty {
        what: "the map of places".to_owned(),
        why: "the table has no room for the cue ball",
    })
}

impl Chart for PlacesChart {
    fn name(&self) -> &'static str {
        "places"
    }

    fn question(&self) -> &'static str {
        "From where is this ball easy to pocket?"
    }

    fn draw(&self, request: &Request) -> Result<Picture, ChartError> {
        let (gear, shot) = (&request.gear, request.shot(self.name())?);
        let (frame, _, object) = laid(gear, shot)?;
        let grid = rooms(gear, &frame, shot)?;
        let levels = Levels {
            at: LEVELS_DEG.to_vec(),
            title: "room each side (degrees)".to_owned(),
        };
        let pocket = frame.name.map_or("pocket", |n| n.name());
        let caption = Caption {
            title: "From where is this ball easy to pocket?".to_owned(),
            subtitle: format!(
                "Cue ball anywhere, object ball as drawn, into the {pocket} pocket; untouched or off the jaws; {}",
                gear.name
            ),
            footer: format!(
                "Blank: it cannot be hit from there. Assumed: {} m/s at the pocket, roll {}, standard bounce of jaws.",
                shot.stroke.pace_m_s, shot.stroke.roll
            ),
            desc: format!(
                "The table from above, coloured by the room the cue ball's direction has at each place, for the {pocket} pocket."
            ),
        };
        let mut board = Board::new(request.size, &caption);
        board.need(240.0, 120.0)?;
        let (theme, body) = (board.theme, board.body);
        let side = legend_width(&theme, &levels) + 3.0 * theme.label;
        let room = Rect::new(body.x0, body.y0, body.x1 - side, body.y1);
        let view = View::whole(gear, room, lie_for(request.size));
        let canvas = &mut board.canvas;
        furniture(canvas, gear, &view, theme.hair);
        let map = |p: Point| view.map(p);
        let corner = Point::new(gear.bed.length_m, gear.bed.width_m);
        let keep = Rect::from_points(view.map(Point::ORIGIN), view.map(corner));
        paint(canvas, &theme, (&grid, &levels), &map, keep)?;
        let radius = gear.object_radius_m();
        ball(canvas, &view, object, radius, BallLook::Object);
        let tall = 0.8 * body.height();
        let place = Rect::new(
            body.x1 - side + 0.8 * theme.label,
            body.center().y - 0.5 * tall,
            body.x1 - side + 2.0 * theme.label,
            body.center().y + 0.5 * tall,
        );
        legend(canvas, &theme, &levels, place);
        board.finish(&caption)
    }
}
