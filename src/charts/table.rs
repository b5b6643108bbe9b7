//! The gear's table, to scale, with its measures.

use kurbo::Point;

use super::chart::Chart;
use super::fault::ChartError;
use super::request::{Request, Subject};
use super::view::{BallLook, View, ball, furniture, lie_for};
use crate::draw::Picture;
use crate::draw::theme::{Board, Caption};

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
        let mm = |m: f64| format!("{:.0} mm", 1000.0 * m);
        let caption = Caption {
            title: format!("{}: to scale", gear.spoken()),
            subtitle: format!(
                "{} by {} between the noses; corner mouth {}, side mouth {}; ball {:.2} mm",
                mm(gear.bed.length_m),
                mm(gear.bed.width_m),
                mm(gear.corner.mouth_m),
                mm(gear.side.mouth_m),
                1000.0 * gear.balls.object_diameter_m
            ),
            footer: "Width of the wood and depth of the cushions are for the eye only.".to_owned(),
            desc: format!(
                "A {} from above with six pockets and diamonds; a ball on the foot spot.",
                gear.spoken()
            ),
        };
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
