//! What are the chances, or how much room is there, by cut and distance? A card that folds to the
//! size of a bank card.
//!
//! With a player the numbers are makes in ten, else millimetres of room each side at the ghost
//! ball, untouched. One side of the card for each distance to the pocket; square in to a corner
//! pocket.

use kurbo::{Point, Rect, Vec2};

use super::page::{Sheet, SheetError};
use super::parts::{AROUND_MM, Style, block, piece};
use super::rose::RoseError;
use crate::charts::colour;
use crate::charts::svg::{Anchor, Canvas, Stroke as Line, Text};
use crate::charts::tags::Tag;
use crate::gear::Gear;
use crate::player::{Player, chance_of_solution};
use crate::pocket::PocketKind;
use crate::units::{Angle, UnitSystem};
use crate::window::{AbstractShot, Shot, ShotError, Solution, Stroke, solve};

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
            stroke: Stroke::default(),
        }
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
    let (canvas, strip) = sheet.reserve("the card", 2.0 * high)?;
    canvas.part(Tag::Artifact);
    let left = strip.center().x - 0.5 * wide;
    let edge = Rect::new(left, strip.y0, left + wide, strip.y1);
    piece(canvas, edge);
    let fold = Line::new(colour::SOFT_INK, 0.2).dashed(&[2.0, 8.0]);
    let y = edge.center().y;
    canvas.line(Point::new(edge.x0, y), Point::new(edge.x1, y), &fold);
    let beside = Point::new(edge.x1 + 3.0, y + 1.0);
    canvas.text(&Text::new("fold", beside, style.label_mm()));
    for (k, to_pocket_m) in card.to_pocket_m.into_iter().enumerate() {
        let top = if k == 0 { edge.y0 } else { y };
        let side = Rect::new(edge.x0, top, edge.x1, top + high).inset(-3.5);
        face(canvas, side, (gear, card, style), to_pocket_m)?;
    }
    sheet.space(AROUND_MM);
    sheet.paragraph(style.scissors())?;
    Ok(sheet)
}

fn reading(gear: &Gear, card: &Card, style: &Style) -> String {
    let stroke = format!(
        "Square in to a corner pocket of {}, a rolling cue ball, {} m/s at the pocket.",
        gear.name, card.stroke.pace_m_s
    );
    match (&card.player, style.plain) {
        (Some(_), true) => "Play a shot ten times. So many go in. How far apart are the balls? Look along the top. How much of the ball do you hit? Look at the side.".to_owned(),
        (None, true) => format!("How many {} may you be off? How far apart are the balls? Look along the top. How much of the ball do you hit? Look at the side.", room_unit(style)),
        (Some(player), false) => format!(
            "Makes in ten of a {}{}. Rows: the cut. Columns: between the balls, centre to centre. One side of the card for each distance to the pocket. {stroke}",
            player.who,
            if player.assumed || player.who.contains("player") { "" } else { " player" },
        ),
        (None, false) => format!(
            "Room each side at the ghost ball, in {}, for a ball that goes in untouched. Rows: the cut. Columns: between the balls, centre to centre. One side of the card for each distance to the pocket. {stroke}",
            room_unit(style)
        ),
    }
}

fn face_title(gear: &Gear, card: &Card, style: &Style, to_pocket_m: f64) -> String {
    match (&card.player, style.plain) {
        (_, true) => format!("Pocket {} away", style.distance(to_pocket_m)),
        (Some(player), false) => format!(
            "Makes in ten, {} to the pocket; {}; {}",
            style.distance(to_pocket_m),
            player.who,
            gear.name
        ),
        (None, false) => format!(
            "Room each side in {}, {} to the pocket; {}",
            match style.units {
                UnitSystem::Metric => "mm",
                UnitSystem::Inches => "inches",
            },
            style.distance(to_pocket_m),
            gear.name
        ),
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

fn face(
    canvas: &mut Canvas,
    side: Rect,
    (gear, card, style): (&Gear, &Card, &Style),
    to_pocket_m: f64,
) -> Result<(), RoseError> {
    let size = if style.plain { style.label_mm() } else { 2.9 };
    let what = face_title(gear, card, style, to_pocket_m);
    let top = block(canvas, &what, size, side)?;
    let rows = cuts(style);
    let apart: &[f64] = if style.plain {
        &card.apart_m[..3]
    } else {
        &card.apart_m
    };
    #[expect(clippy::cast_precision_loss, reason = "a handful of rows")]
    let row_mm = (side.y1 - top) / (rows.len() + 1) as f64;
    let first = if style.plain { 24.0 } else { 12.0 };
    #[expect(clippy::cast_precision_loss, reason = "a handful of columns")]
    let column_mm = (side.width() - first) / apart.len() as f64;
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
    let corner = match (style.plain, style.units) {
        (false, _) => "cut",
        (true, UnitSystem::Metric) => "cm",
        (true, UnitSystem::Inches) => "in",
    };
    write(corner, (0, -1), true);
    for (c, m) in (0_i8..).zip(apart) {
        let words = match (style.plain, style.units) {
            (false, _) => style.distance(*m),
            (true, UnitSystem::Metric) => format!("{:.0}", 100.0 * m),
            (true, UnitSystem::Inches) => format!("{:.0}", m / 0.0254),
        };
        write(&words, (0, c), true);
    }
    for (r, (cut_rad, name)) in (1_u8..).zip(&rows) {
        write(name, (r, -1), true);
        for (c, apart_m) in (0_i8..).zip(apart) {
            let solution = solution(gear, card, *cut_rad, (*apart_m, to_pocket_m))?;
            write(&cell(&solution, card.player.as_ref(), style), (r, c), false);
        }
    }
    Ok(())
}

fn solution(
    gear: &Gear,
    card: &Card,
    cut_rad: f64,
    (apart_m, to_pocket_m): (f64, f64),
) -> Result<Solution, ShotError> {
    let shot = AbstractShot {
        kind: PocketKind::Corner,
        cut_rad,
        cut_left: true,
        apart_m,
        to_pocket_m,
        approach_rad: 0.0,
    };
    solve(gear, &Shot::from_angles(gear, &shot, card.stroke)?)
}

/// Makes in ten, or half the room in millimetres; a dash where there is none.
fn cell(solution: &Solution, player: Option<&Player>, style: &Style) -> String {
    if let Some(player) = player {
        return match chance_of_solution(solution, &player.error) {
            p if p < 0.05 => if style.plain { "<1" } else { "<0.5" }.to_owned(),
            p if p > 0.95 => if style.plain { ">9" } else { ">9.5" }.to_owned(),
            p if style.plain => format!("{:.0}", (10.0 * p).round().clamp(1.0, 9.0)),
            p => format!("{:.1}", 10.0 * p),
        };
    }
    let room_mm = solution.window.as_ref().ok().and_then(|w| {
        let clean = w.clean?;
        Some(0.5e3 * clean.total_rad() * w.aim.travel_m)
    });
    match room_mm {
        None => "–".to_owned(),
        Some(mm) => room_words(mm, style),
    }
}

/// Room without its unit; whole millimetres or bank cards on plain cards, never more than there is.
fn room_words(mm: f64, style: &Style) -> String {
    let cards = (mm / BANK_CARD_MM).floor();
    match (style.plain, style.units) {
        (false, UnitSystem::Metric) => format!("{mm:.1}"),
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
