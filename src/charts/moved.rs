//! What moves the aim, in a picture: the right line for each setting, of the cue ball and of the
//! stick.

use kurbo::{Point, Rect};

use super::ChartError;
use super::chart::Found;
use super::panels::{empty, middle, steps};
use super::words::ways as words;
use crate::aims::MoveRow;
use crate::draw::canvas::{Stroke, Text};
use crate::draw::colour::{self, BLUE, Rgb, VERMILLION};
use crate::draw::plot::{Axis, Frame, Room};
use crate::draw::theme::{Board, Caption, Marker, Theme};
use crate::draw::{Picture, Size};

/// As listed.
pub const CHART: Found = Found {
    name: "aims-moves",
    question: "What moves the aim?",
};

/// One of the two halves of the picture.
struct Side {
    name: &'static str,
    value: fn(&MoveRow) -> Option<f64>,
    ink: Rgb,
    marker: Marker,
    /// Whether the settings are written beside it.
    named: bool,
}

const SIDES: [Side; 2] = [
    Side {
        name: words::CUE_BALL,
        value: |r| r.ball_thinner_mm,
        ink: BLUE,
        marker: Marker::Disc,
        named: true,
    },
    Side {
        name: words::STICK,
        value: |r| r.stick_thinner_mm,
        ink: VERMILLION,
        marker: Marker::Square,
        named: false,
    },
];

/// Share of the width for the half that carries the settings' names (assumption: they need it).
const FIRST_HALF: f64 = 0.56;

/// What moves the aim: the cue ball's line on the left, the stick's on the right, in mm at the ghost
/// ball against the shot as asked.
///
/// # Errors
/// [`ChartError`]: nothing to draw, no room.
pub fn moved(caption: &Caption, rows: &[MoveRow], size: Size) -> Result<Picture, ChartError> {
    let known: Vec<&MoveRow> = rows
        .iter()
        .filter(|r| r.ball_thinner_mm.is_some())
        .collect();
    if known.is_empty() {
        return Err(empty(caption, words::NO_SETTING).into());
    }
    let mut board = Board::new(size, caption);
    board.need(320.0, 240.0)?;
    let theme = board.theme;
    let middle_x = board.body.x0 + FIRST_HALF * board.body.width();
    for side in &SIDES {
        let body = if side.named {
            Rect {
                x1: middle_x,
                ..board.body
            }
        } else {
            Rect {
                x0: middle_x,
                ..board.body
            }
        };
        let frame = side.frame(&theme, body, &known)?;
        let canvas = &mut board.canvas;
        frame.draw(canvas, &theme)?;
        let at = Point::new(frame.plot.x0, frame.plot.y0 - 0.5 * theme.label);
        canvas.text(&Text::new(side.name, at, theme.label).bold());
        let zero = Stroke::new(colour::SOFT_INK, theme.hair);
        frame.line(canvas, &[(0.0, 0.0), (0.0, frame.y.to)], &zero)?;
        for (k, row) in known.iter().enumerate() {
            let Some(mm) = (side.value)(row) else {
                continue;
            };
            let y = frame.y.to - middle(k);
            let line = Stroke::new(side.ink, theme.line);
            frame.line(canvas, &[(0.0, y), (mm, y)], &line)?;
            side.marker
                .draw(canvas, frame.at(mm, y), theme.marker, side.ink);
        }
        canvas.close_group();
    }
    Ok(board.finish(caption)?)
}

impl Side {
    fn frame(&self, theme: &Theme, body: Rect, rows: &[&MoveRow]) -> Result<Frame, ChartError> {
        let count = middle(rows.len()) - middle(0);
        let far = rows.iter().filter_map(|r| (self.value)(r)).map(f64::abs);
        let reach = (1.15 * far.fold(0.0, f64::max)).max(0.1);
        let named = |r: &MoveRow| match (self.named, r.what) {
            (false, _) => String::new(),
            (true, "as asked") => r.setting.clone(),
            (true, what) => format!("{what}: {}", r.setting),
        };
        let names = rows
            .iter()
            .enumerate()
            .map(|(k, r)| (count - middle(k), named(r)))
            .collect();
        let tick = [0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0]
            .into_iter()
            .find(|step| 3.0 * step >= reach)
            .unwrap_or(reach);
        let x = Axis::linear(words::THINNER, -reach, reach).with_ticks(steps(tick, -reach, reach));
        let y = Axis::linear("", 0.0, count).with_ticks(names);
        let room = Room {
            top: 1.6 * theme.label,
            ..Room::default()
        };
        Ok(Frame::fit(theme, body, x, y, room)?)
    }
}
