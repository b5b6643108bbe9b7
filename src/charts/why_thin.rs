//! How far may the tip be off? The margin of every hit and distance at life size: two blocks with the
//! gap that the tip has, the millimetres and the makes in ten beside it.
//!
//! The gap is drawn as wide as it is (a CSS pixel is 1/96 in), so that somebody can hold a tip to it;
//! everything else takes the size of the picture.

use kurbo::{Point, Rect};

use super::margins::{Asked, MarginTable};
use super::poster::{self, Gaps, Look};
use super::words::why_thin as words;
use super::{Chart, ChartError, Choice, Request, Subject};
use crate::draw::Picture;
use crate::draw::canvas::Text;
use crate::draw::text::{Block, LINE_EM, Weight};
use crate::draw::theme::Board;

/// CSS pixels a millimetre (published: CSS Values, 1 in = 96 px).
const PX_A_MM: f64 = 96.0 / 25.4;

/// How far the tip may be off.
#[derive(Debug, Clone, Copy)]
pub struct WhyThinChart;

impl Chart for WhyThinChart {
    fn name(&self) -> &'static str {
        "why-thin"
    }

    fn question(&self) -> &'static str {
        "How far may the tip be off, full and thin, near and far?"
    }

    fn subject(&self) -> Subject {
        Subject::Hits
    }

    fn choices(&self) -> &'static [Choice] {
        &[Choice::Player]
    }

    fn draw(&self, request: &Request) -> Result<Picture, ChartError> {
        let grid = &request.grid;
        let asked = Asked {
            kind: grid.kind,
            to_pocket_m: match grid.to_pockets_m[..] {
                [one] => Some(one),
                _ => None,
            },
            approach_rad: grid.approach_rad,
            stroke: grid.stroke,
            player: request.player.clone(),
            units: request.units,
        };
        let table = MarginTable::new(&request.gear, &asked)?;
        if table.ends_m().is_none() {
            return Err(ChartError::NoRoom(words::NOTHING.to_owned()));
        }
        let caption = words::caption(&table, &request.gear);
        let mut board = Board::new(request.size, &caption);
        board.need(230.0, 200.0)?;
        let look = Look {
            mm: PX_A_MM,
            letters: board.theme.label,
            hair: board.theme.hair,
            plain: false,
        };
        let said = words::halves(&table);
        let below = Block {
            size: 1.05 * look.letters,
            smallest: 0.6 * look.letters,
            weight: Weight::Bold,
            max_width: board.body.width(),
            max_lines: 1,
        }
        .fit(&said);
        let mut base = board.body.y1;
        for line in below.lines.iter().rev() {
            let at = Point::new(board.body.x0, base);
            board.canvas.text(&Text::new(line, at, below.size).bold());
            base -= LINE_EM * below.size;
        }
        let area = Rect {
            y1: base,
            ..board.body
        };
        poster::draw(&mut board.canvas, area, &Gaps::of(&table), &look);
        Ok(board.finish(&caption)?)
    }
}
