//! One shot on the table to scale: where the cue ball may go, and what the pocket takes.
//!
//! A shot by angles is laid at the foot's left corner or the left side pocket. The wedge of cue-ball
//! directions is a band a ball wide whose margins are drawn so many times as wide; the glasses show all of
//! it larger.

use kurbo::{Point, Rect};

use super::scene::{Scene, key, laid};
use super::view::{Inset, View, furniture, inset, lie_for};
use super::words::room::NO_PART;
use super::words::shot::{self as words, Seen};
use super::words::spoken_on;
use super::{Chart, ChartError, Choice, Request, behind};
use crate::draw::Picture;
use crate::draw::canvas::Canvas;
use crate::draw::lines::data;
use crate::draw::theme::{Board, Theme};
use crate::window::no_window_words;

/// The shot from above.
#[derive(Debug, Clone, Copy)]
pub struct ShotChart;

impl Chart for ShotChart {
    fn name(&self) -> &'static str {
        "shot"
    }

    fn question(&self) -> &'static str {
        "Where may the cue ball go, and what does the pocket take?"
    }

    fn choices(&self) -> &'static [Choice] {
        &[Choice::EyeHeight]
    }

    fn draw(&self, request: &Request) -> Result<Picture, ChartError> {
        let (gear, shot) = (&request.gear, request.shot(self.name())?);
        let (frame, cue, object) = laid(gear, shot)?;
        let solution = request.solved(shot)?;
        let window = solution
            .window
            .map_err(|no| ChartError::NoRoom(no_window_words(no).to_owned()))?;
        let (how, part) = window
            .best_part()
            .ok_or_else(|| ChartError::NoRoom(NO_PART.to_owned()))?;
        let acceptance = solution
            .acceptance
            .as_ref()
            .ok_or_else(|| ChartError::NoRoom(words::NO_DROP.to_owned()))?;
        let scene = Scene {
            gear,
            frame,
            cue,
            object,
            acceptance,
            window: &window,
            part,
            others: request.others(),
        };
        let said = |seen: Seen| {
            words::caption(&words::Drawn {
                gear,
                shot,
                window: &window,
                how,
                part: &part,
                seen,
                units: request.units,
            })
        };
        if let Some(eye_m) = request.options.eye_height_m {
            return behind::draw(request, &scene, &said(behind::seen(eye_m)), eye_m);
        }
        let caption = spoken_on(&request.gear, &said(Seen::Above));
        let mut board = Board::new(request.size, &caption);
        board.need(240.0, 120.0)?;
        let theme = board.theme;
        let body = key(&mut board.canvas, &theme, board.body, &scene);
        draw_scene(&mut board.canvas, &theme, request, body, &scene);
        Ok(board.finish(&caption)?)
    }
}

/// The table, and two glasses beside or above it: the ghost ball and the pocket.
fn draw_scene(canvas: &mut Canvas, theme: &Theme, request: &Request, body: Rect, scene: &Scene) {
    let upright = request.size.height_px > request.size.width_px;
    let words = 2.0 * theme.tick;
    // A quarter of the longer side for the glasses (for the eye).
    let (room, glasses) = if upright {
        let cut = body.y0 + 0.26 * body.height();
        let top = Rect::new(body.x0, body.y0, body.x1, cut);
        (Rect::new(body.x0, cut, body.x1, body.y1), top)
    } else {
        let cut = body.x1 - 0.26 * body.width();
        let right = Rect::new(cut, body.y0, body.x1, body.y1);
        (Rect::new(body.x0, body.y0, cut, body.y1), right)
    };
    let view = View::whole(scene.gear, room, lie_for(request.size));
    canvas.open_group(&[
        ("class", "shot"),
        ("data-window-rad", &{
            let (low, high) = scene.part.interval_rad();
            data([low, high].into_iter())
        }),
        ("data-aim-rad", &scene.aim_rad().to_string()),
    ]);
    furniture(canvas, scene.gear, &view, theme.hair);
    scene.content(canvas, &view, theme.hair, None);
    canvas.close_group();
    let (w, h) = (glasses.width(), glasses.height());
    let radius = if upright {
        (0.25 * w).min(0.5 * (h - words))
    } else {
        (0.5 * w).min(0.25 * h - 0.5 * words)
    } * 0.92;
    let middle = |k: f64| {
        if upright {
            Point::new(glasses.x0 + (0.25 + 0.5 * k) * w, glasses.y0 + radius)
        } else {
            Point::new(glasses.center().x, glasses.y0 + radius + k * 0.5 * h)
        }
    };
    let mut glasses = scene.looked_at();
    // In the order of the places they look at, so that their stems do not cross.
    let along = |p: Point| {
        if upright {
            view.map(p).x
        } else {
            view.map(p).y
        }
    };
    glasses.sort_by(|a, b| along(a.0).total_cmp(&along(b.0)));
    for (k, (focus_m, reach_m)) in [0.0, 1.0].into_iter().zip(glasses) {
        let glass = Inset {
            focus_m,
            at: middle(k),
            radius,
            // Whole halves, so that the words below are exact.
            factor: (2.0 * radius / (reach_m * view.scale)).floor().max(2.0) / 2.0,
        };
        inset(canvas, theme, &view, &glass, |canvas, inner| {
            furniture(canvas, scene.gear, inner, theme.hair);
            scene.content(canvas, inner, theme.hair, Some(radius));
        });
    }
}
