//! What are the chances, or how much room is there, by cut and distance? A card that folds to the
//! size of a bank card.
//!
//! With a player the numbers are makes in ten by the distance between the balls, one side of the card
//! for each distance to the pocket. Without one they are the room for a ball that goes in untouched:
//! one column of millimetres each side at the ghost ball, which do not change with the distance between
//! the balls, and the degrees of aim they leave, which do. Square in to a corner pocket.
//!
//! Plain cards have no degrees: their room stands on one side, by the distance to the pocket. What the
//! numbers mean, for whom and on which table, is a side of its own there, so that it stays with them
//! when the card is cut out.

use kurbo::{Point, Rect, Vec2};

use super::fault::{SheetError, ShotSheetError};
use super::page::{Sheet, shortened};
use super::parts::{AROUND_MM, Style, block, piece};
use super::words::card as words;
use super::words::cut::scissors;
use crate::answer::who_is_words;
use crate::draw::canvas::{Anchor, Canvas, Stroke as Line, Text};
use crate::draw::colour;
use crate::draw::tags::Tag;
use crate::draw::text::{self, Weight};
use crate::gear::Gear;
use crate::player::{Player, chance_of_solution};
use crate::pocket::PocketKind;
use crate::units::{Angle, Side, UnitSystem};
use crate::window::{AbstractShot, Shot, ShotError, Solution, Stroke, solve};

/// Width and height of one side, mm (published: ISO/IEC 7810, ID-1).
pub const CARD_MM: (f64, f64) = (85.6, 53.98);
/// Cuts of the rows, degrees.
const CUTS_DEG: [f64; 6] = [0.0, 15.0, 30.0, 45.0, 60.0, 70.0];
/// The rows of plain cards: how much of the ball is hit.
const HITS: [(f64, &str); 4] = [
    (1.0, "full"),
    (0.75, "¾ ball"),
    (0.5, "½ ball"),
    (0.25, "¼ ball"),
];
/// Most letters of a name on a card.
const LONGEST_NAME: usize = 34;

/// What stands on the card.
#[derive(Debug, Clone, PartialEq)]
pub struct Card {
    /// Who plays; room instead of chances when nobody is given.
    pub player: Option<Player>,
    /// Between the balls, centre to centre, m: the columns. Plain cards show the first three.
    pub apart_m: [f64; 4],
    /// Object ball to the pocket, m: one side of the card each.
    pub to_pocket_m: [f64; 2],
    /// How it is hit.
    pub stroke: Stroke,
}

impl Default for Card {
    /// Half a metre to two metres between the balls, half a metre and 1.2 m to the pocket.
    fn default() -> Self {
        Self {
            player: None,
            apart_m: [0.5, 1.0, 1.5, 2.0],
            to_pocket_m: [0.5, 1.2],
            stroke: Stroke::centre_ball(),
        }
    }
}

/// What one side of the card has.
enum Face {
    /// Chances by the distance between the balls, so far from the pocket.
    Chances(f64),
    /// Room in millimetres, and in degrees by the distance between the balls.
    Room(f64),
    /// Room by the distance to the pocket.
    PlainRoom,
    /// What the numbers mean.
    Meaning,
}

fn faces(card: &Card, style: &Style) -> Vec<Face> {
    let [near, far] = card.to_pocket_m;
    match (card.player.is_some(), style.plain) {
        (true, false) => vec![Face::Chances(near), Face::Chances(far)],
        (true, true) => vec![Face::Chances(near), Face::Chances(far), Face::Meaning],
        (false, false) => vec![Face::Room(near), Face::Room(far)],
        (false, true) => vec![Face::PlainRoom, Face::Meaning],
    }
}

/// The card on one page.
///
/// # Errors
/// [`ShotSheetError`]: distances or a stroke out of range, a player's name too long for the card.
pub fn card_sheet(gear: &Gear, card: &Card, style: &Style) -> Result<Sheet, ShotSheetError> {
    style.printed_on(gear, |style| laid_out(gear, card, style))
}

fn laid_out(gear: &Gear, card: &Card, style: &Style) -> Result<Sheet, ShotSheetError> {
    if let Some(player) = &card.player
        && player.who.chars().count() > LONGEST_NAME
    {
        return Err(SheetError::TooLong {
            what: "the player's name",
            text: player.who.clone(),
            most: LONGEST_NAME,
        }
        .into());
    }
    let player = card.player.as_ref();
    let mut sheet = style.sheet(words::title(gear, player.is_some()), words::ABOUT);
    sheet.heading(words::question(player.is_some()))?;
    sheet.paragraph(&words::reading(gear, player, &card.stroke, style))?;
    let who = player.and_then(|p| who_is_words(gear, &p.who, style.speech()));
    if let Some(who) = who.filter(|_| !style.plain) {
        sheet.paragraph(&who)?;
    }
    sheet.space(AROUND_MM);
    let (wide, high) = CARD_MM;
    let faces = faces(card, style);
    #[expect(clippy::cast_precision_loss, reason = "three at most")]
    let count = faces.len() as f64;
    let (canvas, strip) = sheet.reserve("the card", count * high)?;
    canvas.part(Tag::Artifact);
    let left = strip.center().x - 0.5 * wide;
    let edge = Rect::new(left, strip.y0, left + wide, strip.y1);
    piece(canvas, edge);
    let fold = Line::new(colour::SOFT_INK, 0.2).dashed(&[2.0, 8.0]);
    let printed = Printed { gear, card, style };
    let mut top = edge.y0;
    for (k, face) in faces.iter().enumerate() {
        if k > 0 {
            canvas.part(Tag::Artifact);
            canvas.line(Point::new(edge.x0, top), Point::new(edge.x1, top), &fold);
            let beside = Point::new(edge.x1 + 3.0, top + 1.0);
            canvas.text(&Text::new(words::FOLD, beside, style.label_mm()));
        }
        let side = Rect::new(edge.x0, top, edge.x1, top + high).inset(-3.5);
        draw(canvas, side, &printed, face)?;
        top += high;
    }
    sheet.space(AROUND_MM);
    sheet.paragraph(&scissors(style))?;
    Ok(sheet)
}

/// Lines of the large letters of plain cards that fit a side.
const MOST_LINES: usize = 6;

/// The side of plain cards that says what the numbers are; it fits whatever the names.
fn meaning(gear: &Gear, card: &Card, style: &Style, width_mm: f64) -> String {
    let size = style.label_mm();
    let named = |said: String| shortened(&said, size, width_mm, 2).join("\n");
    let table = named(words::on_table(gear));
    let who = card.player.as_ref().map(|p| named(words::for_whom(p)));
    let most = words::meaning(who.as_deref(), &table, style);
    // Left out where long names take its place: the rows say it by themselves.
    let all = format!("{most}\n{}", words::SIDE);
    if text::wrap(&all, size, Weight::Regular, width_mm).len() <= MOST_LINES {
        all
    } else {
        most
    }
}

fn face_title(gear: &Gear, card: &Card, style: &Style, face: &Face) -> String {
    let who = card.player.as_ref().map_or("", |p| p.who.as_str());
    match face {
        Face::Chances(m) => words::chances_title(gear, who, *m, style),
        Face::Room(m) => words::room_title(gear, *m, style),
        Face::PlainRoom => words::plain_room_title(style).to_owned(),
        Face::Meaning => String::new(),
    }
}

/// The cuts of the rows and what they are called.
fn cuts(style: &Style) -> Vec<(f64, String)> {
    if style.plain {
        let hit = |(f, n): (f64, &str)| (Angle::from_ball_fraction(f).rad(), n.to_owned());
        HITS.into_iter().map(hit).collect()
    } else {
        let cut = |d: f64| (d.to_radians(), format!("{d:.0}°"));
        CUTS_DEG.into_iter().map(cut).collect()
    }
}

/// A column: its head, and its cell for each cut.
struct Column<'a> {
    head: String,
    cell: Box<dyn Fn(f64) -> Result<String, ShotError> + 'a>,
}

/// The columns of a side.
fn columns<'a>(gear: &'a Gear, card: &'a Card, style: &'a Style, face: &Face) -> Vec<Column<'a>> {
    let solved = move |cut_rad: f64, apart_m: f64, to_pocket_m: f64| {
        solution(gear, card, cut_rad, apart_m, to_pocket_m)
    };
    match *face {
        Face::Meaning => Vec::new(),
        Face::PlainRoom => card
            .to_pocket_m
            .into_iter()
            .map(|m| Column {
                // With its unit: the cells have another.
                head: match style.units {
                    UnitSystem::Metric => style.distance(m),
                    UnitSystem::Inches => words::head(m, style),
                },
                cell: Box::new(move |cut| {
                    Ok(words::room(least_room_mm(gear, card, cut, m)?, style))
                }),
            })
            .collect(),
        Face::Chances(m) => {
            let most = if style.plain { 3 } else { 4 };
            let player = card.player.as_ref();
            card.apart_m
                .into_iter()
                .take(most)
                .map(|apart| Column {
                    head: if style.plain {
                        words::plain_head(apart, style)
                    } else {
                        words::head(apart, style)
                    },
                    cell: Box::new(move |cut| {
                        let (shot, solution) = solved(cut, apart, m)?;
                        Ok(player.map_or_else(String::new, |p| {
                            words::makes(
                                chance_of_solution(gear, &shot, &solution, &p.error),
                                style,
                            )
                        }))
                    }),
                })
                .collect()
        }
        Face::Room(m) => {
            let room = room_column(gear, card, style, m);
            let degrees = card.apart_m.into_iter().map(|apart| Column {
                head: words::head(apart, style),
                cell: Box::new(move |cut| {
                    let room = solved(cut, apart, m)?.1.window.ok().and_then(|w| w.clean);
                    Ok(room.map_or_else(
                        || words::NOTHING.to_owned(),
                        |r| words::degrees(0.5 * r.total_rad().to_degrees()),
                    ))
                }),
            });
            std::iter::once(room).chain(degrees).collect()
        }
    }
}

/// The least room at a distance to the pocket.
fn room_column<'a>(gear: &'a Gear, card: &'a Card, style: &'a Style, m: f64) -> Column<'a> {
    Column {
        head: words::room_head(style).to_owned(),
        cell: Box::new(move |cut| Ok(words::room(least_room_mm(gear, card, cut, m)?, style))),
    }
}

/// A card and how it is printed.
#[derive(Clone, Copy)]
struct Printed<'a> {
    gear: &'a Gear,
    card: &'a Card,
    style: &'a Style,
}

fn draw(
    canvas: &mut Canvas,
    side: Rect,
    printed: &Printed<'_>,
    face: &Face,
) -> Result<(), ShotSheetError> {
    let Printed { gear, card, style } = *printed;
    let size = if style.plain { style.label_mm() } else { 2.9 };
    if matches!(face, Face::Meaning) {
        let meaning = meaning(gear, card, style, side.width());
        block(canvas, &meaning, size, side)?;
        return Ok(());
    }
    let top = block(canvas, &face_title(gear, card, style, face), size, side)?;
    let (rows, columns) = (cuts(style), columns(gear, card, style, face));
    #[expect(clippy::cast_precision_loss, reason = "a handful of rows")]
    let row_mm = (side.y1 - top) / (rows.len() + 1) as f64;
    let first = if style.plain { 24.0 } else { 9.0 };
    #[expect(clippy::cast_precision_loss, reason = "a handful of columns")]
    let column_mm = (side.width() - first) / columns.len() as f64;
    let at = |row: f64, column: f64| {
        let x = side.x0 + first + (column + 1.0) * column_mm;
        Point::new(x, top + (row + 1.0) * row_mm - 0.25 * row_mm)
    };
    canvas.part(Tag::Artifact);
    let y = top + 1.02 * row_mm;
    let rule = Line::new(colour::SOFT_INK, 0.2);
    canvas.line(Point::new(side.x0, y), Point::new(side.x1, y), &rule);
    let mut write = |said: &str, (row, column): (u8, i8), bold: bool| {
        let inwards = if column < 0 {
            Vec2::new(1.0, 0.0)
        } else {
            Vec2::ZERO
        };
        let place = at(f64::from(row), f64::from(column)) - inwards;
        canvas.part(Tag::Cell {
            row: u32::from(row),
            head: row == 0,
        });
        let t = Text::new(said, place, size).anchor(Anchor::End);
        canvas.text(&if bold { t.bold() } else { t });
    };
    let corner = match face {
        Face::PlainRoom => "",
        _ if style.plain => words::top_unit(style),
        _ => words::ROWS,
    };
    if !corner.is_empty() {
        write(corner, (0, -1), true);
    }
    for (c, column) in (0_i8..).zip(&columns) {
        write(&column.head, (0, c), true);
    }
    for (r, (cut_rad, name)) in (1_u8..).zip(&rows) {
        write(name, (r, -1), true);
        for (c, column) in (0_i8..).zip(&columns) {
            write(&(column.cell)(*cut_rad)?, (r, c), false);
        }
    }
    Ok(())
}

fn solution(
    gear: &Gear,
    card: &Card,
    cut_rad: f64,
    apart_m: f64,
    to_pocket_m: f64,
) -> Result<(Shot, Solution), ShotError> {
    let shot = AbstractShot {
        kind: PocketKind::Corner,
        cut_rad,
        cut_side: Side::Left,
        apart_m,
        to_pocket_m,
        approach_rad: 0.0,
    };
    let shot = Shot::from_angles(gear, &shot, card.stroke)?;
    Ok((shot, solve(gear, &shot)?))
}

/// Room each side at the ghost ball, mm: the least of the distances between the balls, which differ by
/// what throw makes of the speed. `None` where nothing goes in untouched.
fn least_room_mm(
    gear: &Gear,
    card: &Card,
    cut_rad: f64,
    to_pocket_m: f64,
) -> Result<Option<f64>, ShotError> {
    let mut least: Option<f64> = Some(f64::INFINITY);
    for apart_m in card.apart_m {
        let window = solution(gear, card, cut_rad, apart_m, to_pocket_m)?
            .1
            .window;
        let room_mm = window.ok().and_then(|w| {
            let clean = w.clean?;
            Some(0.5e3 * clean.total_rad() * w.aim.travel_m)
        });
        least = least.zip(room_mm).map(|(a, b)| a.min(b));
    }
    Ok(least)
}
