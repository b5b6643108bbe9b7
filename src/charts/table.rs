//! The gear's table, to scale, with its measures, and how places on it are said: diamonds counted from
//! the head rail and from the right rail, pockets by name, and a ball as an example.

use kurbo::{Point, Rect, Vec2};

use super::chart::Chart;
use super::fault::ChartError;
use super::request::{Request, Subject};
use super::view::{OBJECT_NUMBER, RAIL_M, View, furniture, lie_for, object_ball, spots};
use super::words::coordinates as words;
use super::words::table::caption;
use crate::draw::Picture;
use crate::draw::canvas::{Anchor, Canvas, Stroke, Text};
use crate::draw::colour;
use crate::draw::text::{self, Weight};
use crate::draw::theme::{Board, Theme};
use crate::gear::{Gear, Marks};
use crate::pocket::{PocketKind, PocketName};
use crate::speech::Speech;

/// The gear's table, to scale, with its measures.
#[derive(Debug, Clone, Copy)]
pub struct TableChart;

/// The ball of the example, diamonds from the head rail and from the right rail.
const EXAMPLE: (f64, f64) = (6.0, 2.5);
/// The same where there are no diamonds, from the top and the left cushion, m.
const FROM_TOP_M: f64 = 0.6;
const FROM_LEFT_M: f64 = 0.3;
/// Wood to the numbers and to the names, letters (for the eye).
const NUMBER: f64 = 0.9;
const NAME: f64 = 2.3;
/// Room around the wood for both, letters.
const AROUND: f64 = 3.2;

impl Chart for TableChart {
    fn name(&self) -> &'static str {
        "table"
    }

    fn question(&self) -> &'static str {
        "What does this table look like to scale, and how are places on it said?"
    }

    fn subject(&self) -> Subject {
        Subject::Gear
    }

    fn draw(&self, request: &Request) -> Result<Picture, ChartError> {
        let gear = &request.gear;
        let mut caption = caption(gear);
        let how = match spots(gear.bed.marks).last() {
            None => words::how_places_are_said(EXAMPLE.0, EXAMPLE.1),
            Some(spot) => words::how_places_are_measured(spot.name(), FROM_TOP_M, FROM_LEFT_M),
        };
        caption.footer = format!("{how} {}", caption.footer);
        let mut board = Board::new(request.size, &caption);
        board.need(160.0, 80.0)?;
        let theme = board.theme;
        let room = board.body.inset(-AROUND * theme.tick);
        let view = View::whole(gear, room, lie_for(request.size));
        let canvas = &mut board.canvas;
        furniture(canvas, gear, &view, theme.hair);
        match gear.bed.marks {
            Marks::Diamonds => numbers(canvas, gear, &view, &theme),
            Marks::Snooker | Marks::English => name_spots(canvas, gear, &view, &theme),
        }
        names(canvas, gear, &view, &theme);
        example(canvas, gear, &view, &theme);
        Ok(board.finish(&caption)?)
    }
}

/// A place outside the wood: so many letters beyond it, outwards of a rail.
fn beyond(view: &View, theme: &Theme, at: Point, out: Vec2, letters: f64) -> Point {
    view.map(at + out * RAIL_M) + view.direction(out) * (letters * theme.tick)
}

/// The diamonds' numbers on all four rails: 0 to 8 along, 0 to 4 across.
fn numbers(canvas: &mut Canvas, gear: &Gear, view: &View, theme: &Theme) {
    let (l, w) = (gear.bed.length_m, gear.bed.width_m);
    let mut say = |value: u32, at: Point, out: Vec2| {
        let said = value.to_string();
        let at = beyond(view, theme, at, out, NUMBER);
        let text = Text::new(&said, at, theme.tick).anchor(Anchor::Middle);
        canvas.text(&text.centred());
    };
    for k in 0..=8 {
        let x = f64::from(k) * l / 8.0;
        say(k, Point::new(x, 0.0), Vec2::new(0.0, -1.0));
        say(k, Point::new(x, w), Vec2::new(0.0, 1.0));
    }
    for k in 0..=4 {
        let y = f64::from(k) * w / 4.0;
        say(k, Point::new(0.0, y), Vec2::new(-1.0, 0.0));
        say(k, Point::new(l, y), Vec2::new(1.0, 0.0));
    }
}

/// Spots by name, beside them.
fn name_spots(canvas: &mut Canvas, gear: &Gear, view: &View, theme: &Theme) {
    for spot in spots(gear.bed.marks) {
        let beside = view.map(gear.bed.spot(*spot)) + Vec2::new(0.7 * theme.tick, 0.0);
        let said = spot.name().replace("-spot", "").replace('-', " ");
        let text = Text::new(&said, beside, theme.tick).colour(colour::SOFT_INK);
        canvas.text(&text.centred());
    }
}

/// Pockets by name along the long rails, by the short one where three names do not fit; the ends by
/// theirs. Words run along their rail.
fn names(canvas: &mut Canvas, gear: &Gear, view: &View, theme: &Theme) {
    let (l, w) = (gear.bed.length_m, gear.bed.width_m);
    let speech = Speech::default();
    let wide =
        |pocket| text::width(speech.pocket(pocket), theme.tick, Weight::Regular) + theme.tick;
    let along: f64 = PocketName::ALL.map(wide).iter().sum();
    let short = 0.5 * along > (l + 2.0 * RAIL_M) * view.scale;
    for pocket in PocketName::ALL {
        let mouth = pocket.frame(gear).mouth_middle;
        let left = mouth.y > 0.5 * w;
        let (y, out) = if left { (w, 1.0) } else { (0.0, -1.0) };
        // Corners begin or end at the wood's corner, so that they stand beside their pocket.
        let (x, along) = match pocket.kind() {
            PocketKind::Side => (mouth.x, 0.0),
            PocketKind::Corner if mouth.x < 0.5 * l => (-RAIL_M, 1.0),
            PocketKind::Corner => (l + RAIL_M, -1.0),
        };
        let name = Name {
            said: if short {
                speech.pocket_name(pocket)
            } else {
                speech.pocket(pocket)
            },
            at: Point::new(x, y),
            out: Vec2::new(0.0, out),
            along: Vec2::new(along, 0.0),
        };
        name.draw(canvas, view, theme);
    }
    for (said, x, out) in [(words::HEAD, 0.0, -1.0), (words::FOOT, l, 1.0)] {
        let name = Name {
            said,
            at: Point::new(x, 0.5 * w),
            out: Vec2::new(out, 0.0),
            along: Vec2::ZERO,
        };
        name.draw(canvas, view, theme);
    }
}

/// A name beside a rail.
struct Name<'a> {
    said: &'a str,
    at: Point,
    /// Outwards of the rail.
    out: Vec2,
    /// Where the words go from there, along the rail; nowhere for their middle.
    along: Vec2,
}

impl Name<'_> {
    fn draw(&self, canvas: &mut Canvas, view: &View, theme: &Theme) {
        let at = beyond(view, theme, self.at, self.out, NAME);
        let (out, along) = (view.direction(self.out), view.direction(self.along));
        // Beside an upright rail the words run up the page.
        let upright = out.x.abs() > out.y.abs();
        let ahead = if upright { -along.y } else { along.x };
        let anchor = match ahead {
            a if a > 0.5 => Anchor::Start,
            a if a < -0.5 => Anchor::End,
            _ => Anchor::Middle,
        };
        let text = Text::new(self.said, at, theme.tick)
            .anchor(anchor)
            .colour(colour::SOFT_INK);
        let text = if upright { text.rotated(-90.0) } else { text };
        canvas.text(&text.centred());
    }
}

/// A ball with its two numbers, and lines to where they are read.
fn example(canvas: &mut Canvas, gear: &Gear, view: &View, theme: &Theme) {
    let (l, w) = (gear.bed.length_m, gear.bed.width_m);
    let diamonds = gear.bed.marks == Marks::Diamonds;
    let (at, said) = if diamonds {
        let at = Point::new(EXAMPLE.0 * l / 8.0, EXAMPLE.1 * w / 4.0);
        (at, words::place(EXAMPLE.0, EXAMPLE.1))
    } else {
        let at = Point::new(l - FROM_TOP_M, w - FROM_LEFT_M);
        (at, words::place_from(FROM_TOP_M, FROM_LEFT_M))
    };
    let read = if diamonds {
        [Point::new(at.x, 0.0), Point::new(0.0, at.y)]
    } else {
        [Point::new(l, at.y), Point::new(at.x, w)]
    };
    let thin = Stroke::new(colour::OBJECT_BALL, theme.hair).dashed(&[6.0, 4.0]);
    canvas.open_group(&[("class", "example")]);
    for rail in read {
        canvas.line(view.map(rail), view.map(at), &thin);
    }
    canvas.close_group();
    let radius = gear.object_radius_m();
    object_ball(canvas, view, at, radius, OBJECT_NUMBER);
    let aside = radius * view.scale + 0.6 * theme.tick;
    // Away from the lines to where it is read.
    let (beside, anchor) = if diamonds {
        (Vec2::new(aside, -theme.tick), Anchor::Start)
    } else {
        (Vec2::new(-aside, theme.tick), Anchor::End)
    };
    let text = Text::new(&said, view.map(at) + beside, 1.2 * theme.tick)
        .anchor(anchor)
        .bold()
        .centred();
    let plate: Rect = text.bounds().inflate(2.0, 1.0);
    let paper = crate::draw::canvas::Paint::fill(colour::Rgb::WHITE).see_through(0.85);
    canvas.rect(plate, &paper);
    canvas.text(&text);
}
