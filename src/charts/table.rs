//! The gear's table, to scale, with its measures.

use kurbo::Point;

use super::chart::Chart;
use super::fault::ChartError;
use super::request::{Request, Subject};
use super::view::{BallLook, View, ball, furniture, lie_for};
use super::words::table::caption;
use crate::draw::Picture;
use crate::draw::theme::Board;

/// The gear's table, to scale, with its measures.
#[derive(Debug, Clone, Copy)]
pub struct TableChart;

impl Chart for TableChart {
    fn name(&self) -> &'static str {
        "table"
    }

    fn question(&self) -> &'static str {
        "What does this table look like, to scale?"
    }

    fn subject(&self) -> Subject {
        Subject::Gear
    }

    fn draw(&self, request: &Request) -> Result<Picture, ChartError> {
        let gear = &request.gear;
        let caption = caption(gear);
        let mut board = Board::new(request.size, &caption);
        board.need(160.0, 80.0)?;
        let lie = lie_for(request.size);
        let view = View::whole(gear, board.body, lie);
        furniture(&mut board.canvas, gear, &view, board.theme.hair);
        let spot = Point::new(0.75 * gear.bed.length_m, 0.5 * gear.bed.width_m);
        ball(
            &mut board.canvas,
            &view,
            spot,
            gear.object_radius_m(),
            BallLook::Object,
        );
        Ok(board.finish(&caption)?)
    }
}
