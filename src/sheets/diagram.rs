//! A shot on the table to scale.

use kurbo::{Point, Rect};

use super::fault::BookletError;
use crate::charts::corridor::{BAND, OBJECT_RUN, ribbon};
use crate::charts::view::{self as picture, BallLook, Lie, View};
use crate::draw::canvas::Canvas;
use crate::error::UnitError;
use crate::gear::Gear;
use crate::pocket::PocketName;
use crate::request::Places;
use crate::units::Position;

/// A shot on the bed, m.
pub(super) struct Placed {
    pub(super) cue: Point,
    pub(super) object: Point,
    pub(super) pocket: PocketName,
}

impl Placed {
    pub(super) fn new(gear: &Gear, places: Places<'_>) -> Result<Self, BookletError> {
        let place = |text: &str, rho: f64| -> Result<Point, UnitError> {
            gear.bed.locate(text.parse::<Position>()?, rho)
        };
        Ok(Self {
            cue: place(places.cue, gear.cue_contact_radius_m())?,
            object: place(places.object, gear.object_contact_radius_m())?,
            pocket: places.pocket.parse().map_err(BookletError::Pocket)?,
        })
    }

    /// Places of other balls.
    pub(super) fn others(gear: &Gear, places: &[&str]) -> Result<Vec<Point>, BookletError> {
        let place = |text: &&str| {
            let place = text.parse::<Position>()?;
            gear.bed.locate(place, gear.object_contact_radius_m())
        };
        let all: Result<Vec<Point>, UnitError> = places.iter().map(place).collect();
        Ok(all?)
    }

    /// The table with its head to the left, both balls, their ways, and what stands in the way.
    pub(super) fn draw(&self, canvas: &mut Canvas, gear: &Gear, room: Rect, others: &[Point]) {
        let view = View::whole(gear, room, Lie::Wide);
        picture::furniture(canvas, gear, &view, 0.15);
        let (cue, object) = (gear.cue_radius_m(), gear.object_radius_m());
        let mouth = self.pocket.frame(gear).mouth_middle;
        ribbon(canvas, &view, &[self.object, mouth], object, OBJECT_RUN);
        let way = (mouth - self.object).normalize() * gear.contact_distance_m();
        ribbon(canvas, &view, &[self.cue, self.object - way], cue, BAND);
        for other in others {
            picture::ball(canvas, &view, *other, object, BallLook::Other);
        }
        picture::object_ball(canvas, &view, self.object, object, picture::OBJECT_NUMBER);
        picture::ball(canvas, &view, self.cue, cue, BallLook::Cue);
    }
}
