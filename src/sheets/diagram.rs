//! A shot on the table to scale.

use kurbo::{Point, Rect, Vec2};

use super::fault::BookletError;
use super::parts::Style;
use crate::charts::corridor::{BAND, OBJECT_RUN, ribbon};
use crate::charts::view::{self as picture, BallLook, Lie, View};
use crate::draw::canvas::{Anchor, Canvas, Text};
use crate::draw::colour;
use crate::draw::text;
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
/// Large balls are at least so wide, mm, where they stay apart: seen from a step away.
const LEAST_BALL_MM: f64 = 4.0;

/// Lowest diagram with numbers in large letters, mm (for the eye).
const LOW_NUMBERS_MM: f64 = 40.0;

/// What stands round a table.
#[derive(Clone, Copy)]
pub(super) struct Around {
    /// Height of the letters, mm.
    letters_mm: f64,
    /// Names of pockets, and every diamond numbered on three sides; else every second one on two.
    full: bool,
}

impl Around {
    /// Numbers and names, but on plain sheets, whose letters are as high as a rail there, and whose words
    /// say the places.
    pub(super) fn of(style: &Style) -> Option<Self> {
        (!style.plain).then_some(Self {
            letters_mm: LETTERS_MM,
            full: true,
        })
    }

    /// In a diagram so high, mm, whose words count diamonds: on plain sheets too, where there is room.
    pub(super) fn counted(gear: &Gear, style: &Style, high_mm: f64) -> Option<Self> {
        if style.plain {
            let is_counted = gear.bed.marks == Marks::Diamonds && high_mm >= LOW_NUMBERS_MM;
            return is_counted.then_some(Self {
                letters_mm: style.label_mm(),
                full: false,
            });
        }
        Self::of(style)
    }

    /// What it takes on the left and below, mm.
    fn row_mm(&self) -> f64 {
        2.0 * BESIDE * self.letters_mm
    }

    /// What it takes above, mm.
    fn top_mm(&self) -> f64 {
        if self.full { self.row_mm() } else { 0.0 }
    }
}

/// Height of a table that is so wide with what stands round it, mm.
pub(super) fn table_mm(gear: &Gear, width_mm: f64, around: Option<Around>) -> f64 {
    let row = around.map_or(0.0, |a| a.row_mm());
    let top = around.map_or(0.0, |a| a.top_mm());
    shape(gear) * (width_mm - row) + row + top
}

/// Height of a table with its rails over its length.
fn shape(gear: &Gear) -> f64 {
    (gear.bed.width_m + 2.0 * picture::RAIL_M) / (gear.bed.length_m + 2.0 * picture::RAIL_M)
}

/// The table with its head to the left in a part of a page, and what stands round it.
pub(super) fn table(canvas: &mut Canvas, gear: &Gear, room: Rect, around: Option<Around>) -> View {
    let row = around.map_or(0.0, |a| a.row_mm());
    let top = around.map_or(0.0, |a| a.top_mm());
    let inner = Rect::new(room.x0 + row, room.y0 + top, room.x1, room.y1 - row);
    let view = View::whole(gear, inner, Lie::Wide);
    picture::furniture(canvas, gear, &view, 0.15);
    if let Some(around) = around {
        around.draw(canvas, gear, &view, room);
    }
    view
}

impl Around {
    /// Numbers of diamonds and names of pockets, round the table; a number that a name would touch is left out.
    #[expect(
        clippy::too_many_lines,
        reason = "names first, then the numbers that stand clear of them"
    )]
    fn draw(self, canvas: &mut Canvas, gear: &Gear, view: &View, room: Rect) {
        let size = self.letters_mm;
        let (l, w) = (gear.bed.length_m, gear.bed.width_m);
        let beside = |at: Point, out: Vec2| {
            view.map(at + out * picture::RAIL_M) + view.direction(out) * (BESIDE * size)
        };
        let mut say = |said: &str, at: Point, anchor: Anchor| {
            let t = Text::new(said, at, size).colour(colour::SOFT_INK);
            canvas.text(&t.anchor(anchor).centred());
        };
        let sides = [(0.0, -1.0), (w, 1.0)];
        // How far names reach along the table.
        let mut named = Vec::new();
        let names = PocketName::ALL.into_iter().filter(|_| self.full);
        let speech = Speech::of(&gear.bed);
        for pocket in names {
            let mouth = pocket.frame(gear).mouth_middle;
            let (y, out) = sides[usize::from(mouth.y > 0.5 * w)];
            let name = speech.pocket_name(pocket);
            let wide = text::width(name, size, text::Weight::Regular);
            // Clear of the number beside it, as far as there is room.
            let diamond = view.scale * (picture::RAIL_M + l / 8.0);
            let need = (wide + 1.0 + 0.5 * size - diamond).max(0.0);
            let at = |x: f64| beside(Point::new(x, y), Vec2::new(0.0, out));
            let (at, anchor, reach) = match pocket.kind() {
                PocketKind::Side => {
                    let at = at(mouth.x);
                    (at, Anchor::Middle, (at.x - 0.5 * wide, at.x + 0.5 * wide))
                }
                PocketKind::Corner if mouth.x < 0.5 * l => {
                    let at = at(-picture::RAIL_M);
                    let x = (at.x - need).max(room.x0.min(at.x));
                    (Point::new(x, at.y), Anchor::Start, (x, x + wide))
                }
                PocketKind::Corner => {
                    let at = at(l + picture::RAIL_M);
                    let x = (at.x + need).min(room.x1.max(at.x));
                    (Point::new(x, at.y), Anchor::End, (x - wide, x))
                }
            };
            say(name, at, anchor);
            named.push((out, reach));
        }
        if gear.bed.marks != Marks::Diamonds {
            return;
        }
        let half = 0.5 * size;
        let (along, across): (&[u8], &[u8]) = if self.full {
            (&[1, 2, 3, 5, 6, 7], &[1, 2, 3])
        } else {
            (&[2, 4, 6], &[2])
        };
        for (y, out) in sides.into_iter().filter(|(_, out)| self.full || *out < 0.0) {
            for k in along {
                let at = beside(Point::new(f64::from(*k) * l / 8.0, y), Vec2::new(0.0, out));
                let touched = |(side, (from, to)): &(f64, (f64, f64))| {
                    *side * out > 0.0 && at.x + half > *from && at.x - half < *to
                };
                if !named.iter().any(touched) {
                    say(&k.to_string(), at, Anchor::Middle);
                }
            }
        }
        for k in across {
            let at = Point::new(0.0, f64::from(*k) * w / 4.0);
            say(
                &k.to_string(),
                beside(at, Vec2::new(-1.0, 0.0)),
                Anchor::Middle,
            );
        }
    }
}

/// How balls are drawn.
#[derive(Clone, Copy)]
struct Balls {
    /// Least radius, m.
    seen_m: f64,
    /// The object ball with its number.
    numbered: bool,
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
        let view = table(canvas, gear, room, Around::of(style));
        self.on(
            canvas,
            gear,
            &view,
            Balls {
                seen_m: 0.0,
                numbered: !style.plain,
            },
        );
    }

    /// The same with this round the table; balls are drawn large, with the object ball's number where letters
    /// are small.
    pub(super) fn draw_large(
        &self,
        canvas: &mut Canvas,
        gear: &Gear,
        room: Rect,
        around: Option<Around>,
    ) {
        let view = table(canvas, gear, room, around);
        let balls = Balls {
            seen_m: self.seen_m(&view),
            numbered: around.is_some_and(|a| a.full),
        };
        self.on(canvas, gear, &view, balls);
    }

    fn on(&self, canvas: &mut Canvas, gear: &Gear, view: &View, balls: Balls) {
        let (cue, object) = (gear.cue_radius_m(), gear.object_radius_m());
        let mouth = self.pocket.frame(gear).mouth_middle;
        ribbon(canvas, view, &[self.object, mouth], object, OBJECT_RUN);
        let way = (mouth - self.object).normalize() * gear.contact_distance_m();
        ribbon(canvas, view, &[self.cue, self.object - way], cue, BAND);
        let (cue, object) = (cue.max(balls.seen_m), object.max(balls.seen_m));
        for other in &self.others {
            picture::ball(canvas, view, *other, object, BallLook::Other);
        }
        if balls.numbered {
            picture::object_ball(canvas, view, self.object, object, picture::OBJECT_NUMBER);
            self.number(canvas, view, mouth, object);
        } else {
            picture::ball(canvas, view, self.object, object, BallLook::Object);
        }
        picture::ball(canvas, view, self.cue, cue, BallLook::Cue);
    }

    /// Radius at which balls are large enough to be seen and still lie apart, m.
    fn seen_m(&self, view: &View) -> f64 {
        let all: Vec<Point> = [self.cue, self.object]
            .into_iter()
            .chain(self.others.iter().copied())
            .collect();
        let nearest = (1..all.len())
            .flat_map(|k| all[..k].iter().map(move |b| (k, *b)))
            .map(|(k, b)| all[k].distance(b))
            .fold(f64::INFINITY, f64::min);
        (0.5 * LEAST_BALL_MM / view.scale).min(0.48 * nearest)
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
