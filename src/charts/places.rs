//! Cue-ball places: how much room each leaves for one object ball and pocket.
//!
//! The pocket is solved once, then every place by itself on all cores.

use kurbo::{Point, Rect};
use rayon::prelude::*;

use super::scene::laid;
use super::view::{BallLook, OBJECT_NUMBER, View, ball, furniture, lie_for, object_ball};
use super::words::{places as words, room, spoken_on};
use super::{Around, Chart, ChartError, Choice, Request, RoomUnit};
use crate::draw::canvas::Canvas;
use crate::draw::contour::Grid;
use crate::draw::heat::{Levels, Shown, legend, legend_width, paint};
use crate::draw::theme::{Board, Caption, Theme};
use crate::draw::{DrawError, Picture, Size};
use crate::gear::Gear;
use crate::layout::{FromPlace, FromPlaces, Table};
use crate::player::{AimError, Aimed};
use crate::pocket::{PocketFrame, PocketName};
use crate::window::{NoWindow, Shot, Solved, accept_shot, no_window_words, solve_many};

/// Places along and across the table.
const ALONG: u32 = 200;
const ACROSS: u32 = 100;
/// Steps, degrees each side.
const LEVELS_DEG: [f64; 8] = [0.02, 0.05, 0.1, 0.2, 0.3, 0.5, 1.0, 2.0];

/// Steps, makes in ten.
pub(crate) const LEVELS_IN_TEN: [f64; 9] = [1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0];

/// The map of cue-ball places.
#[derive(Debug, Clone, Copy)]
pub struct PlacesChart;

/// Room each side in degrees (untouched or off the jaws) for the cue ball at each place of the bed,
/// in metres; NaN where the shot cannot be made. The shot's own cue ball plays no part.
///
/// # Errors
/// [`ChartError`] when the object ball cannot drop at all.
pub fn rooms(gear: &Gear, frame: &PocketFrame, shot: &Shot) -> Result<Grid, ChartError> {
    valued(gear, frame, shot, |solved| {
        let direct = solved.window.direct?;
        Some(0.5 * direct.total_rad().to_degrees())
    })
}

/// A player's chance, times ten, for the cue ball at each place; else as [`rooms`].
///
/// # Errors
/// As [`rooms`].
pub fn chances(
    gear: &Gear,
    frame: &PocketFrame,
    shot: &Shot,
    player: &AimError,
) -> Result<Grid, ChartError> {
    valued(gear, frame, shot, |solved| {
        let aimed = Aimed {
            acceptance: Some(solved.acceptance),
            ..Aimed::new(gear, shot, solved.window)
        };
        Some(10.0 * aimed.quick(player))
    })
}

/// The map of what `value` makes of the window at each place.
fn valued(
    gear: &Gear,
    frame: &PocketFrame,
    shot: &Shot,
    value: impl Fn(Solved<'_>) -> Option<f64> + Sync,
) -> Result<Grid, ChartError> {
    let acceptance = accept_shot(gear, shot)
        .map_err(|e| ChartError::NoRoom(e.to_string()))?
        .map_err(|no| ChartError::NoRoom(no_window_words(NoWindow::from(no)).to_owned()))?;
    let (xs, ys) = steps(gear);
    let row = |y: f64| -> Vec<f64> {
        let places = xs.iter().map(|x| frame.to_pocket(Point::new(*x, y)));
        solve_many(gear, &acceptance, &places.collect::<Vec<_>>(), &shot.stroke)
            .into_iter()
            .map(|w| {
                w.ok()
                    .and_then(|window| {
                        value(Solved {
                            acceptance: &acceptance,
                            window: &window,
                        })
                    })
                    .unwrap_or(f64::NAN)
            })
            .collect()
    };
    let values = ys.par_iter().flat_map_iter(|y| row(*y)).collect();
    mapped(xs, ys, values)
}

/// Places along and across.
fn steps(gear: &Gear) -> (Vec<f64>, Vec<f64>) {
    let edge = 0.5 * gear.balls.cue_diameter_m;
    let steps = |length: f64, count: u32| -> Vec<f64> {
        (0..count)
            .map(|k| edge + (length - 2.0 * edge) * f64::from(k) / f64::from(count - 1))
            .collect()
    };
    (
        steps(gear.bed.length_m, ALONG),
        steps(gear.bed.width_m, ACROSS),
    )
}

fn mapped(xs: Vec<f64>, ys: Vec<f64>, values: Vec<f64>) -> Result<Grid, ChartError> {
    let empty = |_| DrawError::Empty {
        what: words::MAP.to_owned(),
        why: words::EMPTY,
    };
    Ok(Grid::new(xs, ys, values).map_err(empty)?)
}

/// The map past other balls and as the player has to stand: chances times ten, or the room each
/// side in degrees where nobody aims.
fn past_others(
    gear: &Gear,
    around: &Around,
    pocket: PocketName,
    shot: &Shot,
    player: Option<&AimError>,
) -> Result<Grid, ChartError> {
    let table = Table::new(gear, &around.layout);
    let set = table
        .drop_set(around.played(), pocket, shot.stroke.pace_m_s)
        .map_err(|e| ChartError::NoRoom(e.to_string()))?
        .map_err(|no| ChartError::NoRoom(no_window_words(NoWindow::from(no)).to_owned()))?;
    if set.open.is_empty() {
        return Err(ChartError::NoRoom(
            no_window_words(NoWindow::Blocked).to_owned(),
        ));
    }
    let from = FromPlaces {
        table: &table,
        set: &set,
        stroke: &shot.stroke,
        player,
        reach: around.reach,
    };
    let value = |place: &FromPlace| match place.chance {
        Some(chance) => Some(10.0 * chance),
        None => Some(0.5 * place.played.window()?.direct?.total_rad().to_degrees()),
    };
    let (xs, ys) = steps(gear);
    let values = ys
        .par_iter()
        .flat_map_iter(|y| from.along(xs.iter().map(|x| Point::new(*x, *y))))
        .map(|place| place.as_ref().and_then(value).unwrap_or(f64::NAN))
        .collect();
    mapped(xs, ys, values)
}

/// What is drawn: the map, its steps, and what the colour means.
fn content(
    request: &Request,
    frame: &PocketFrame,
    shot: &Shot,
) -> Result<(Grid, Levels, String), ChartError> {
    let gear = &request.gear;
    let player = request.player.as_ref().map(|p| &p.error);
    let past = match (&request.around, shot.frame.name) {
        (Some(around), Some(pocket)) => Some(past_others(gear, around, pocket, shot, player)?),
        _ => None,
    };
    let own = |plain: &dyn Fn() -> Result<Grid, ChartError>| past.clone().map_or_else(plain, Ok);
    Ok(match &request.player {
        None => (
            own(&|| rooms(gear, frame, shot))?,
            Levels {
                at: LEVELS_DEG.to_vec(),
                title: room::each_side(RoomUnit::Degrees).to_owned(),
                mark: "°",
            },
            room::JAWS_COUNTED.to_owned(),
        ),
        Some(player) => (
            own(&|| chances(gear, frame, shot, &player.error))?,
            Levels {
                at: LEVELS_IN_TEN.to_vec(),
                title: room::MAKES.to_owned(),
                mark: "",
            },
            player.who.clone(),
        ),
    })
}

impl Chart for PlacesChart {
    fn name(&self) -> &'static str {
        "places"
    }

    fn question(&self) -> &'static str {
        "From where is this ball easy to pocket?"
    }

    fn choices(&self) -> &'static [Choice] {
        &[Choice::Player]
    }

    fn draw(&self, request: &Request) -> Result<Picture, ChartError> {
        let (gear, shot) = (&request.gear, request.shot(self.name())?);
        let (frame, cue, object) = laid(gear, shot)?;
        let (grid, levels, meaning) = content(request, &frame, shot)?;
        let caption = words::caption(&words::Mapped {
            gear,
            stroke: &shot.stroke,
            pocket: frame.name,
            meaning: &meaning,
            legend: &levels.title,
            stance: request.counts_stance(),
        });
        let caption = spoken_on(gear, &caption);
        let radius = gear.object_radius_m();
        let mark = request.options.mark_shot;
        draw_map(
            gear,
            request.size,
            &caption,
            Shown {
                grid: &grid,
                levels: &levels,
            },
            |canvas, view, _| {
                for other in request.others() {
                    ball(canvas, view, other, radius, BallLook::Other);
                }
                object_ball(canvas, view, object, radius, OBJECT_NUMBER);
                if mark {
                    ball(canvas, view, cue, gear.cue_radius_m(), BallLook::Cue);
                }
            },
        )
    }
}

/// A map over the whole table with its legend; `over` draws what lies on it.
pub(crate) fn draw_map(
    gear: &Gear,
    size: Size,
    caption: &Caption,
    shown: Shown<'_>,
    over: impl FnOnce(&mut Canvas, &View, &Theme),
) -> Result<Picture, ChartError> {
    let levels = shown.levels;
    let mut board = Board::new(size, caption);
    board.need(240.0, 120.0)?;
    let (theme, body) = (board.theme, board.body);
    let side = legend_width(&theme, levels) + 3.0 * theme.label;
    let room = Rect::new(body.x0, body.y0, body.x1 - side, body.y1);
    let view = View::whole(gear, room, lie_for(size));
    let canvas = &mut board.canvas;
    furniture(canvas, gear, &view, theme.hair);
    let map = |p: Point| view.map(p);
    let corner = Point::new(gear.bed.length_m, gear.bed.width_m);
    let keep = Rect::from_points(view.map(Point::ORIGIN), view.map(corner));
    paint(canvas, &theme, shown, &map, keep)?;
    over(canvas, &view, &theme);
    let tall = 0.8 * body.height();
    let place = Rect::new(
        body.x1 - side + 0.8 * theme.label,
        body.center().y - 0.5 * tall,
        body.x1 - side + 2.0 * theme.label,
        body.center().y + 0.5 * tall,
    );
    legend(canvas, &theme, levels, place);
    Ok(board.finish(caption)?)
}
