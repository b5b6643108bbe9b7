//! A shot on the table to scale.

use kurbo::{Point, Rect, Vec2};

use super::fault::BookletError;
use super::parts::Style;
use crate::charts::corridor::{BAND, OBJECT_RUN, ribbon};
use crate::charts::view::{self as picture, BallLook, Lie, View};
use crate::draw::canvas::{Anchor, Canvas, Text};
use crate::draw::colour;
use crate::error::UnitError;
use crate::gear::{Gear, Marks};
use crate::pocket::{PocketKind, PocketName};
use crate::request::Places;
use crate::speech::Speech;
use crate::units::Position;

/// Letters of the numbers and names round a table, mm (for the eye: as small as a sheet's last lines).
const LETTERS_MM: f64 = 2.2;
/// From the wood to their middle, letters.
const BESIDE: f64 = 0.75;

/// The table with its head to the left in a part of a page, its diamonds numbered and its pockets named:
/// but for plain sheets, whose letters are as high as a rail there, and whose words say the places.
pub(super) fn table(canvas: &mut Canvas, gear: &Gear, room: Rect, style: &Style) -> View {
    let row = if style.plain {
        0.0
    } else {
        2.0 * BESIDE * LETTERS_MM
    };
    let inner = Rect::new(room.x0 + row, room.y0 + row, room.x1, room.y1 - row);
    let view = View::whole(gear, inner, Lie::Wide);
    picture::furniture(canvas, gear, &view, 0.15);
    if !style.plain {
        around(canvas, gear, &view);
    }
    view
}

/// Numbers of diamonds and names of pockets, round the table.
fn around(canvas: &mut Canvas, gear: &Gear, view: &View) {
    let (l, w) = (gear.bed.length_m, gear.bed.width_m);
    let mut say = |said: &str, at: Point, out: Vec2, anchor: Anchor| {
        let wood = view.map(at + out * picture::RAIL_M);
        let beside = wood + view.direction(out) * (BESIDE * LETTERS_MM);
        let text = Text::new(said, beside, LETTERS_MM).colour(colour::SOFT_INK);
        canvas.text(&text.anchor(anchor).centred());
    };
    let speech = Speech::of(&gear.bed);
    for pocket in PocketName::ALL {
        let mouth = pocket.frame(gear).mouth_middle;
        let (y, out) = if mouth.y > 0.5 * w {
            (w, 1.0)
        } else {
            (0.0, -1.0)
        };
        let (x, anchor) = match pocket.kind() {
            PocketKind::Side => (mouth.x, Anchor::Middle),
            PocketKind::Corner if mouth.x < 0.5 * l => (-picture::RAIL_M, Anchor::Start),
            PocketKind::Corner => (l + picture::RAIL_M, Anchor::End),
        };
        let name = speech.pocket_name(pocket);
        say(name, Point::new(x, y), Vec2::new(0.0, out), anchor);
    }
    if gear.bed.marks == Marks::Diamonds {
        for k in [1, 2, 3, 5, 6, 7] {
            let (x, said) = (f64::from(k) * l / 8.0, k.to_string());
            say(
                &said,
                Point::new(x, 0.0),
                Vec2::new(0.0, -1.0),
                Anchor::Middle,
            );
            say(&said, Point::new(x, w), Vec2::new(0.0, 1.0), Anchor::Middle);
        }
        for k in 1..=3 {
            let y = f64::from(k) * w / 4.0;
            say(
                &k.to_string(),
                Point::new(0.0, y),
                Vec2::new(-1.0, 0.0),
                Anchor::Middle,
            );
        }
    }
}

/// A shot on the bed, m.
pub(super) struct Placed {
    pub(super) cue: Point,
    pub(super) object: Point,
    pub(super) pocket: PocketName,
    /// What stands in the way.
    pub(super) others: Vec<Point>,
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
            others: Vec::new(),
        })
    }

    /// The same with other balls in the way.
    pub(super) fn among(self, gear: &Gear, places: &[&str]) -> Result<Self, BookletError> {
        let place = |text: &&str| {
            let place = text.parse::<Position>()?;
            gear.bed.locate(place, gear.object_contact_radius_m())
        };
        let all: Result<Vec<Point>, UnitError> = places.iter().map(place).collect();
        Ok(Self {
            others: all?,
            ..self
        })
    }

    /// The table with its head to the left, both balls, their ways, and what stands in the way.
    pub(super) fn draw(&self, canvas: &mut Canvas, gear: &Gear, room: Rect, style: &Style) {
        let view = table(canvas, gear, room, style);
        let (cue, object) = (gear.cue_radius_m(), gear.object_radius_m());
        let mouth = self.pocket.frame(gear).mouth_middle;
        ribbon(canvas, &view, &[self.object, mouth], object, OBJECT_RUN);
        let way = (mouth - self.object).normalize() * gear.contact_distance_m();
        ribbon(canvas, &view, &[self.cue, self.object - way], cue, BAND);
        for other in &self.others {
            picture::ball(canvas, &view, *other, object, BallLook::Other);
        }
        picture::object_ball(canvas, &view, self.object, object, picture::OBJECT_NUMBER);
        picture::ball(canvas, &view, self.cue, cue, BallLook::Cue);
        if !style.plain {
            self.number(canvas, &view, mouth, object);
        }
    }

    /// The object ball's number beside it, where it is too small to carry it: on the side that neither
    /// path takes.
    fn number(&self, canvas: &mut Canvas, view: &View, mouth: Point, radius_m: f64) {
        if picture::carries_number(canvas, view, radius_m) {
            return;
        }
        let into = (self.cue - self.object).normalize();
        let on = (mouth - self.object).normalize();
        let away = -(into + on);
        let away = if away.hypot() < 0.3 {
            Vec2::new(-on.y, on.x)
        } else {
            away.normalize()
        };
        let beside = view.map(self.object)
            + view.direction(away) * (radius_m * view.scale + BESIDE * LETTERS_MM);
        let text = Text::new(picture::OBJECT_NUMBER, beside, LETTERS_MM)
            .bold()
            .anchor(Anchor::Middle);
        canvas.text(&text.centred());
    }
}
