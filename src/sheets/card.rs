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

use super::fault::SheetError;
use super::page::{Sheet, shortened};
use super::parts::{AROUND_MM, Style, block, of_ten, piece};
use super::rose::RoseError;
use crate::draw::canvas::{Anchor, Canvas, Stroke as Line, Text};
use crate::draw::colour;
use crate::draw::tags::Tag;
use crate::draw::text::{self, Weight};
use crate::gear::Gear;
use crate::player::{Player, chance_of_solution};
use crate::pocket::PocketKind;
use crate::units::{Angle, Side, UnitSystem};
use crate::window::{AbstractShot, Shot, ShotError, Solution, Stroke, solve, stroke_said};

/// Width and height of one side, mm (published: ISO/IEC 7810, ID-1).
pub const CARD_MM: (f64, f64) = (85.6, 53.98);
/// Thickness of a bank card, mm (published: ISO/IEC 7810, ID-1).
const BANK_CARD_MM: f64 = 0.76;
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
/// [`RoseError`]: distances or a stroke out of range, a player's name too long for the card.
pub fn card_sheet(gear: &Gear, card: &Card, style: &Style) -> Result<Sheet, RoseError> {
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
    let what = if card.player.is_some() {
        "Chances"
    } else {
        "Room"
    };
    let mut sheet = style.sheet(
        format!("{what} by cut and distance: {}", gear.name),
        "A card of numbers by cut and distance, to fold to the size of a bank card.",
    );
    sheet.heading(if card.player.is_some() {
        "How often does it go in?"
    } else {
        "How much room is there?"
    })?;
    sheet.paragraph(&reading(gear, card, style))?;
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
    let mut top = edge.y0;
    for (k, face) in faces.iter().enumerate() {
        if k > 0 {
            canvas.part(Tag::Artifact);
            canvas.line(Point::new(edge.x0, top), Point::new(edge.x1, top), &fold);
            let beside = Point::new(edge.x1 + 3.0, top + 1.0);
            canvas.text(&Text::new("fold", beside, style.label_mm()));
        }
        let side = Rect::new(edge.x0, top, edge.x1, top + high).inset(-3.5);
        draw(canvas, side, (gear, card, style), face)?;
        top += high;
    }
    sheet.space(AROUND_MM);
    sheet.paragraph(style.scissors())?;
    Ok(sheet)
}

fn reading(gear: &Gear, card: &Card, style: &Style) -> String {
    let stroke = format!(
        "Square in to a corner pocket of {}, {}, {} at the pocket.",
        gear.name,
        stroke_said(&card.stroke, style.units),
        style.speed(card.stroke.pace_m_s)
    );
    match (&card.player, style.plain) {
        (Some(_), true) => "A card for your pocket. Cut along the outer line and fold it twice. Play a shot ten times: so many go in.".to_owned(),
        (None, true) => format!("A card for your pocket. Cut along the outer line and fold it. So many {} you may be off.", room_unit(style)),
        (Some(player), false) => format!(
            "Makes in ten of a {}{}. Rows: the cut. Columns: between the balls, centre to centre. One side of the card for each distance to the pocket. {stroke}",
            player.who,
            if player.assumed || player.who.contains("player") { "" } else { " player" },
        ),
        (None, false) => format!(
            "Room each side for a ball that goes in untouched. Rows: the cut. First column: at the ghost ball, in {}, whatever the distance between the balls. The others: degrees the aim may be off, by the distance between the balls, centre to centre. One side of the card for each distance to the pocket. {stroke}",
            room_unit(style)
        ),
    }
}

/// Lines of the large letters of plain cards that fit a side.
const MOST_LINES: usize = 6;

/// The side of plain cards that says what the numbers are; it fits whatever the names.
fn meaning(gear: &Gear, card: &Card, style: &Style, width_mm: f64) -> String {
    let size = style.label_mm();
    let named = |words: String| shortened(&words, size, width_mm, 2).join("\n");
    let table = named(format!("Table: {}.", gear.name));
    let unit = match style.units {
        UnitSystem::Metric => "cm",
        UnitSystem::Inches => "inches",
    };
    let most = match &card.player {
        Some(player) => format!(
            "Of ten, so many go in.\nTop: balls apart, {unit}.\n{}\n{table}",
            named(format!("For {}.", player.who)),
        ),
        None => format!(
            "You may be off so many {}, left or right.\nTop: to the pocket.\n{table}",
            match style.units {
                UnitSystem::Metric => "mm",
                UnitSystem::Inches => "bank cards",
            }
        ),
    };
    // Left out where long names take its place: the rows say it by themselves.
    let all = format!("{most}\nSide: how much you hit.");
    if text::wrap(&all, size, Weight::Regular, width_mm).len() <= MOST_LINES {
        all
    } else {
        most
    }
}

fn face_title(gear: &Gear, card: &Card, style: &Style, face: &Face) -> String {
    let name = &gear.name;
    let who = card.player.as_ref().map_or("", |p| p.who.as_str());
    match face {
        Face::Chances(m) if style.plain => {
            format!("Pocket {} away", style.distance(*m))
        }
        Face::Chances(m) => format!(
            "Makes in ten by cut and distance between the balls, {} to the pocket; {who}; {name}",
            style.distance(*m)
        ),
        Face::Room(m) => format!(
            "Untouched, {} to the pocket; {name}. Room each side: {} at the ghost ball, then degrees of aim by the distance between the balls",
            style.distance(*m),
            match style.units {
                UnitSystem::Metric => "mm",
                UnitSystem::Inches => "inches",
            }
        ),
        Face::PlainRoom => match style.units {
            UnitSystem::Metric => "Off by how many mm?",
            UnitSystem::Inches => "Off by how many cards?",
        }
        .to_owned(),
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
    let solved = move |cut_rad: f64, at: (f64, f64)| solution(gear, card, cut_rad, at);
    match *face {
        Face::Meaning => Vec::new(),
        Face::PlainRoom => card
            .to_pocket_m
            .into_iter()
            .map(|m| Column {
                // With its unit: the cells have another.
                head: match style.units {
                    UnitSystem::Metric => style.distance(m),
                    UnitSystem::Inches => head(m, style),
                },
                cell: Box::new(move |cut| {
                    Ok(room_words(least_room_mm(gear, card, cut, m)?, style))
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
                        plain_head(apart, style)
                    } else {
                        head(apart, style)
                    },
                    cell: Box::new(move |cut| {
                        let (shot, solution) = solved(cut, (apart, m))?;
                        Ok(player.map_or_else(String::new, |p| {
                            chance_words((gear, &shot), &solution, p, style)
                        }))
                    }),
                })
                .collect()
        }
        Face::Room(m) => {
            let room = room_column(gear, card, style, m);
            let degrees = card.apart_m.into_iter().map(|apart| Column {
                head: head(apart, style),
                cell: Box::new(move |cut| {
                    let room = solved(cut, (apart, m))?.1.window.ok().and_then(|w| w.clean);
                    Ok(room.map_or_else(
                        || "–".to_owned(),
                        |r| degrees(0.5 * r.total_rad().to_degrees()),
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
        head: match style.units {
            UnitSystem::Metric => "mm",
            UnitSystem::Inches => "in",
        }
        .to_owned(),
        cell: Box::new(move |cut| Ok(room_words(least_room_mm(gear, card, cut, m)?, style))),
    }
}

/// Two figures of a small angle.
fn degrees(deg: f64) -> String {
    if deg < 0.0995 {
        format!("{deg:.3}°")
    } else {
        format!("{deg:.2}°")
    }
}

/// A distance over a column, on plain cards without its unit.
fn plain_head(m: f64, style: &Style) -> String {
    match style.units {
        UnitSystem::Metric => format!("{:.0}", 100.0 * m),
        UnitSystem::Inches => format!("{:.0}", m / 0.0254),
    }
}

/// The same with it: half feet as feet, anything else in inches, which are shorter.
fn head(m: f64, style: &Style) -> String {
    let inches = (m / 0.0254).round();
    match style.units {
        UnitSystem::Metric => style.distance(m),
        UnitSystem::Inches if inches % 6.0 == 0.0 => style.distance(m),
        UnitSystem::Inches => format!("{inches:.0}\u{a0}in"),
    }
}

fn draw(
    canvas: &mut Canvas,
    side: Rect,
    (gear, card, style): (&Gear, &Card, &Style),
    face: &Face,
) -> Result<(), RoseError> {
    let size = if style.plain { style.label_mm() } else { 2.9 };
    if matches!(face, Face::Meaning) {
        let words = meaning(gear, card, style, side.width());
        block(canvas, &words, size, side)?;
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
    let mut write = |words: &str, (row, column): (u8, i8), bold: bool| {
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
        let t = Text::new(words, place, size).anchor(Anchor::End);
        canvas.text(&if bold { t.bold() } else { t });
    };
    let corner = match face {
        Face::PlainRoom => "",
        _ if style.plain => top_unit(style),
        _ => "cut",
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

/// The unit over the columns of plain cards.
fn top_unit(style: &Style) -> &'static str {
    match style.units {
        UnitSystem::Metric => "cm",
        UnitSystem::Inches => "in",
    }
}

fn solution(
    gear: &Gear,
    card: &Card,
    cut_rad: f64,
    (apart_m, to_pocket_m): (f64, f64),
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

/// Makes in ten.
fn chance_words(
    (gear, shot): (&Gear, &Shot),
    solution: &Solution,
    player: &Player,
    style: &Style,
) -> String {
    match chance_of_solution(gear, shot, solution, &player.error) {
        p if p < 0.05 => if style.plain { "<1" } else { "<0.5" }.to_owned(),
        p if p > 0.95 => if style.plain { ">9" } else { ">9.5" }.to_owned(),
        p if style.plain => format!("{:.0}", of_ten(p).clamp(1.0, 9.0)),
        p => format!("{:.1}", 10.0 * p),
    }
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
        let window = solution(gear, card, cut_rad, (apart_m, to_pocket_m))?
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

/// Room without its unit; whole millimetres or bank cards on plain cards, never more than there is.
fn room_words(mm: Option<f64>, style: &Style) -> String {
    let Some(mm) = mm else {
        return "–".to_owned();
    };
    let cards = (mm / BANK_CARD_MM).floor();
    match (style.plain, style.units) {
        (false, UnitSystem::Metric) => format!("{mm:.1}"),
        (false, UnitSystem::Inches) if mm < 2.5 => format!("{:.3}", mm / 25.4),
        (false, UnitSystem::Inches) => format!("{:.2}", mm / 25.4),
        (true, UnitSystem::Metric) if mm < 1.0 => "<1".to_owned(),
        (true, UnitSystem::Metric) => format!("{:.0}", mm.floor()),
        (true, UnitSystem::Inches) if cards < 1.0 => "<1".to_owned(),
        (true, UnitSystem::Inches) => format!("{cards:.0}"),
    }
}

/// The unit of the room, spelled out.
fn room_unit(style: &Style) -> &'static str {
    match (style.plain, style.units) {
        (_, UnitSystem::Metric) => "millimetres",
        (false, UnitSystem::Inches) => "inches",
        (true, UnitSystem::Inches) => "bank cards, one on the other,",
    }
}
