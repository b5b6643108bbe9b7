//! What is our own table like? The measuring form on paper: where each reading of a pocket is taken, and
//! boxes for it, pocket by pocket; balls, bed and cloth below; for rounded jaws gauges to cut out.
//!
//! Sketches are no measure. Only the gauges are at true size: concave cards to hold against a jaw. What is
//! asked for is what the measuring form takes as a file, under the same names.

use kurbo::{Point, Rect, Size, Vec2};
use serde::Serialize;

use super::fault::SheetError;
use super::page::Sheet;
use super::parts::{
    AROUND_MM, Style, Table, blanks, block, dimension, fine_arc, label, row_mm, table,
};
use super::pocket::asked;
use super::words::cut::care;
use super::words::readings as words;
use super::words::readings::Shown;
use crate::charts::view::PocketOutline;
use crate::draw::canvas::{Anchor, Canvas, Paint, Stroke, Unit};
use crate::draw::colour;
use crate::field::Field;
use crate::gear::Gear;
use crate::measure::{Quantity, RampRun, rails};
use crate::pocket::{PocketKind, PocketName};
use crate::speech::{Caution, Speech};

/// A jaw rounded by more than this shows no point to measure from, m (assumption).
const ROUNDED_M: f64 = 5e-3;
/// Width and height of a sketch of a pocket, mm.
const SKETCH_MM: Size = Size::new(78.0, 52.0);
/// Gauges as shares of the table's own rounding (assumption: half to half as much again).
const GAUGES: [f64; 5] = [0.5, 0.75, 1.0, 1.25, 1.5];
/// Gauges come in steps of this, m.
const GAUGE_STEP_M: f64 = 5e-3;
/// Rows to write on for what is measured once a table.
const BOXES: usize = 3;

/// The form, with gauges where jaws are rounded.
///
/// # Errors
/// [`SheetError`].
pub fn readings_sheet(gear: &Gear, style: &Style) -> Result<Sheet, SheetError> {
    style.printed_on(gear, |style| laid_out(gear, style))
}

fn laid_out(gear: &Gear, style: &Style) -> Result<Sheet, SheetError> {
    let mut sheet = style.sheet(words::title(gear), words::ABOUT);
    sheet.heading(words::QUESTION)?;
    sheet.paragraph(&words::how(style))?;
    blanks(&mut sheet, style, words::NAME_AND_DAY)?;
    for kind in [PocketKind::Corner, PocketKind::Side] {
        pockets(&mut sheet, gear, kind, style)?;
    }
    rest(&mut sheet, gear, style)?;
    rolls(&mut sheet, gear, style)?;
    let rounded: Vec<PocketKind> = [PocketKind::Corner, PocketKind::Side]
        .into_iter()
        .filter(|kind| is_rounded(gear, *kind))
        .collect();
    if !rounded.is_empty() {
        gauges(&mut sheet, gear, &rounded, style)?;
    }
    let mut cautions = vec![Caution::Rail];
    if !rounded.is_empty() {
        cautions.push(Caution::Scissors);
    }
    sheet.space(2.0);
    sheet.paragraph(&care(&cautions, style))?;
    let then = words::then();
    if !style.plain && !then.is_empty() {
        sheet.paragraph(&then)?;
    }
    Ok(sheet)
}

fn is_rounded(gear: &Gear, kind: PocketKind) -> bool {
    kind.spec(gear).jaw_radius_m > ROUNDED_M
}

/// What the form asks of each pocket of a kind.
#[must_use]
pub fn of_pockets(gear: &Gear, kind: PocketKind) -> Vec<Quantity> {
    if is_rounded(gear, kind) {
        vec![
            Quantity::Fall(kind),
            Quantity::Rounding(kind),
            Quantity::Shelf(kind),
        ]
    } else {
        vec![
            Quantity::Mouth(kind),
            Quantity::Gap(kind),
            Quantity::Throat(kind),
            Quantity::Shelf(kind),
        ]
    }
}

/// One kind of pocket: where to measure, and a row for each.
fn pockets(
    sheet: &mut Sheet,
    gear: &Gear,
    kind: PocketKind,
    style: &Style,
) -> Result<(), SheetError> {
    let of = of_pockets(gear, kind);
    let names = names_of(kind);
    #[expect(clippy::cast_precision_loss, reason = "a handful of rows")]
    let rows_mm = row_mm(style) * (names.len() + 1) as f64;
    sheet.space(3.0);
    sheet.heading_with(words::heading(kind), SKETCH_MM.height + rows_mm + 4.0)?;
    let shows = words::sketch_shows(kind, is_rounded(gear, kind));
    let (canvas, strip) = sheet.figure("where to measure", shows, SKETCH_MM.height)?;
    let sketch = Sketch::new(gear, kind, strip, style);
    sketch.draw(canvas, &of, style);
    let said = where_to(gear, kind, Shown::Printed, style);
    if style.plain {
        // Large letters have no room beside the sketch.
        for words in &said {
            sheet.paragraph(words)?;
        }
    } else {
        let mut at = Rect::new(
            strip.x0 + SKETCH_MM.width + 6.0,
            strip.y0,
            strip.x1,
            strip.y1,
        );
        for words in &said {
            at.y0 = block(canvas, words, style.body_mm(), at)? + 1.5;
        }
    }
    sheet.space(1.5);
    let head: Vec<String> = std::iter::once(String::new())
        .chain((1..).zip(&of).map(|(k, q)| words::column(k, *q, style)))
        .collect();
    let speech = style.speech();
    let rows: Vec<Vec<String>> = names
        .iter()
        .map(|name| vec![speech.pocket_name(*name).to_owned()])
        .collect();
    table(
        sheet,
        style,
        &Table {
            columns: COLUMNS[of.len() - 3],
            head: &head,
            rows: &rows,
        },
    )
}

fn names_of(kind: PocketKind) -> Vec<PocketName> {
    let all = PocketName::ALL.into_iter();
    all.filter(|name| name.kind() == kind).collect()
}

/// Where each reading of a kind of pocket is taken, in words.
fn where_to(gear: &Gear, kind: PocketKind, shown: Shown, style: &Style) -> Vec<String> {
    let depth = throat_depth(gear, kind, style);
    (1..)
        .zip(of_pockets(gear, kind))
        .map(|(number, quantity)| words::reading(number, quantity, depth.as_deref(), shown, style))
        .collect()
}

/// How far behind the mouth the throat is measured, as it is typed, where it is not as deep as the shelf.
#[must_use]
pub fn throat_depth(gear: &Gear, kind: PocketKind, style: &Style) -> Option<String> {
    asked(gear, kind, style).throat_depth
}

/// Where columns begin, of three and of four readings.
const COLUMNS: [&[f64]; 2] = [&[0.0, 0.28, 0.52, 0.76], &[0.0, 0.24, 0.43, 0.62, 0.81]];

/// What the form asks once of a table: the cue ball by itself where it is another one.
#[must_use]
pub fn of_table(gear: &Gear) -> Vec<Quantity> {
    let balls = &gear.balls;
    let apart = |a: f64, b: f64| (a - b).abs() > f64::EPSILON;
    let own_cue_ball = apart(balls.cue_diameter_m, balls.object_diameter_m)
        || apart(balls.cue_mass_kg, balls.object_mass_kg);
    let is_asked = |q: &Quantity| match q {
        Quantity::TableLength
        | Quantity::TableWidth
        | Quantity::BallDiameter
        | Quantity::BallWeight
        | Quantity::Lag
        | Quantity::Run => true,
        Quantity::CueBallDiameter | Quantity::CueBallWeight => own_cue_ball,
        _ => false,
    };
    Quantity::ALL.into_iter().filter(is_asked).collect()
}

/// Bed, balls and cloth: three boxes each.
fn rest(sheet: &mut Sheet, gear: &Gear, style: &Style) -> Result<(), SheetError> {
    let rows: Vec<Vec<String>> = of_table(gear)
        .into_iter()
        .map(|quantity| vec![style.speech().said(&words::once(quantity))])
        .collect();
    sheet.space(3.0);
    sheet.heading_with(words::REST, 3.0 * row_mm(style))?;
    let head: Vec<String> = std::iter::once(String::new())
        .chain((1..=BOXES).map(|k| k.to_string()))
        .collect();
    table(
        sheet,
        style,
        &Table {
            columns: &[0.0, 0.55, 0.7, 0.85],
            head: &head,
            rows: &rows,
        },
    )?;
    sheet.space(1.5);
    sheet.paragraph(&words::strokes(style))
}

/// Height of the sketch of rolls off a rail, mm.
const ROLLS_MM: f64 = 50.0;

/// The ramp: how far it sends a ball, and where balls rest that it sends at a rail.
fn rolls(sheet: &mut Sheet, gear: &Gear, style: &Style) -> Result<(), SheetError> {
    let speech = style.speech();
    let run = RampRun::that_fits(gear, rails::SPEED_M_S);
    sheet.space(3.0);
    sheet.heading_with(words::ROLLS, ROLLS_MM + 4.0 * row_mm(style))?;
    let shows = words::rolls_show();
    let (canvas, strip) = sheet.figure("rolls off a rail", shows, ROLLS_MM)?;
    rail_sketch(canvas, strip, style);
    sheet.paragraph(&words::rolls(&run, style, speech))?;
    let head: Vec<String> = std::iter::once(String::new())
        .chain((1..=BOXES).map(|k| k.to_string()))
        .collect();
    let rows: Vec<Vec<String>> = words::roll_rows(&run, style)
        .into_iter()
        .map(|r| vec![speech.said(&r)])
        .collect();
    table(
        sheet,
        style,
        &Table {
            columns: &[0.0, 0.55, 0.7, 0.85],
            head: &head,
            rows: &rows,
        },
    )
}

/// The form for a screen: the same sketches, words and questions.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct ScreenForm {
    /// How to go about it.
    pub how: String,
    /// Corner pockets and side pockets.
    pub pockets: Vec<PocketsAsked>,
    /// Over what is measured once.
    pub heading: String,
    /// What is measured once.
    pub once: Vec<Asked>,
    /// How the strokes of those are read.
    pub strokes: String,
    /// The ramp, and rolls off a rail.
    pub rolls: RollsAsked,
    /// Where something could hurt.
    pub care: String,
}

/// One kind of pocket.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct PocketsAsked {
    /// `corner` or `side`.
    pub kind: &'static str,
    /// Over them.
    pub heading: String,
    /// Where to measure.
    pub sketch: SketchDrawn,
    /// The same in words, a line each.
    pub words: Vec<String>,
    /// What is measured of each.
    pub of: Vec<Asked>,
    /// Whether jaws are rounded, and fitted with gauges from the paper.
    pub rounded: bool,
    /// The pockets, as the program calls them and as they are said.
    pub pockets: Vec<[&'static str; 2]>,
}

/// A sketch; it is no measure.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct SketchDrawn {
    /// What it shows, in words.
    pub shows: String,
    /// As SVG.
    pub svg: String,
}

/// A question of the form.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct Asked {
    /// What is measured, as readings are given: `corner-mouth`.
    pub of: &'static str,
    /// As the form says it.
    pub words: String,
}

/// Rolls from a ramp.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
pub struct RollsAsked {
    /// Over them.
    pub heading: String,
    /// Where balls come to rest.
    pub sketch: SketchDrawn,
    /// How to roll.
    pub words: String,
    /// What is written down.
    pub of: Vec<Asked>,
}

/// The form of a table for a screen.
#[must_use]
pub fn screen_form(gear: &Gear, style: &Style) -> ScreenForm {
    style.printed_on(gear, |style| on_screen(gear, style))
}

fn on_screen(gear: &Gear, style: &Style) -> ScreenForm {
    let speech = style.speech();
    let said = |words: &str| speech.said(words);
    let kinds = [PocketKind::Corner, PocketKind::Side];
    ScreenForm {
        how: said(&words::how(style)),
        pockets: kinds
            .map(|kind| pockets_on_screen(gear, kind, style))
            .into(),
        heading: said(words::REST),
        once: of_table(gear)
            .into_iter()
            .map(|q| asked_for(q.field(), &words::once(q), speech))
            .collect(),
        strokes: said(&words::strokes(style)),
        rolls: rolls_on_screen(gear, style),
        care: said(&care(&[Caution::Rail], style)),
    }
}

fn asked_for(field: Field, words: &str, speech: Speech) -> Asked {
    Asked {
        of: field.name(),
        words: speech.said(words),
    }
}

fn pockets_on_screen(gear: &Gear, kind: PocketKind, style: &Style) -> PocketsAsked {
    let speech = style.speech();
    let rounded = is_rounded(gear, kind);
    let of = of_pockets(gear, kind);
    let shows = speech.said(&words::sketch_shows(kind, rounded));
    PocketsAsked {
        kind: kind.name(),
        heading: speech.said(words::heading(kind)),
        sketch: drawn(SKETCH_MM, shows, |canvas, strip| {
            Sketch::new(gear, kind, strip, style).draw(canvas, &of, style);
        }),
        words: where_to(gear, kind, Shown::OnScreen, style)
            .iter()
            .map(|line| speech.said(line))
            .collect(),
        of: (1..)
            .zip(&of)
            .map(|(k, q)| asked_for(q.field(), &words::column(k, *q, style), speech))
            .collect(),
        rounded,
        pockets: names_of(kind)
            .into_iter()
            .map(|name| [name.name(), speech.pocket(name)])
            .collect(),
    }
}

fn rolls_on_screen(gear: &Gear, style: &Style) -> RollsAsked {
    let speech = style.speech();
    let run = RampRun::that_fits(gear, rails::SPEED_M_S);
    let shows = speech.said(words::rolls_show());
    RollsAsked {
        heading: speech.said(words::ROLLS),
        sketch: drawn(ROLLS_SKETCH_MM, shows, |canvas, strip| {
            // Its numbers are read on a phone too.
            let large = Style {
                plain: true,
                ..*style
            };
            rail_sketch(canvas, strip, &large);
        }),
        words: speech.said(&words::rolls(&run, style, speech)),
        of: words::rolls_asked(&run)
            .map(|(field, words)| asked_for(field, &words, speech))
            .into(),
    }
}

/// Width and height of the sketch of rolls on a screen, mm: what is drawn of it.
const ROLLS_SKETCH_MM: Size = Size::new(156.0, ROLLS_MM);

fn drawn(size: Size, shows: String, draw: impl FnOnce(&mut Canvas, Rect)) -> SketchDrawn {
    let mut canvas = Canvas::new(size.width, size.height, Unit::Mm);
    let strip = canvas.area();
    draw(&mut canvas, strip);
    SketchDrawn {
        svg: canvas.finish(&shows, &shows),
        shows,
    }
}

/// A ramp in a sketch, from its foot backwards.
fn ramp(canvas: &mut Canvas, foot: Point, back: Vec2) {
    let across = Vec2::new(-back.y, back.x) * 2.0;
    let end = foot + back * 12.0;
    let corners = [foot + across, foot - across, end - across, end + across];
    canvas.polygon(&corners, &Paint::line(Stroke::new(colour::INK, 0.3)));
    canvas.circle(foot, 0.7, &Paint::fill(colour::INK));
}

/// A rail from above at the top, a roll straight at it on the left and one at 45° on the right.
fn rail_sketch(canvas: &mut Canvas, strip: Rect, style: &Style) {
    let nose = strip.y0 + 4.0;
    let ink = Stroke::new(colour::INK, 0.45);
    let thin = Stroke::new(colour::SOFT_INK, 0.2).dashed(&[6.0, 5.0]);
    canvas.line(
        Point::new(strip.x0 + 6.0, nose),
        Point::new(strip.x1 - 6.0, nose),
        &ink,
    );
    let ball = Paint::line(Stroke::new(colour::INK, 0.3));
    let radius = 2.2;
    let say = |canvas: &mut Canvas, words: &str, at: Point| {
        label(canvas, style, words, at, Anchor::Middle);
    };
    // Straight: there and back along one line.
    let foot = Point::new(strip.x0 + 36.0, nose + 26.0);
    canvas.line(foot, Point::new(foot.x, nose), &thin);
    ramp(canvas, foot, Vec2::new(0.0, 1.0));
    let rests = Point::new(foot.x + 12.0, nose + 31.0);
    canvas.line(Point::new(foot.x, nose), rests, &thin);
    canvas.circle(rests, radius, &ball);
    let near = Point::new(rests.x, rests.y - radius);
    dimension(canvas, Point::new(rests.x, nose), near);
    say(canvas, "1", Point::new(rests.x + 3.0, nose + 15.0));
    // At 45°: along and out.
    let start = Point::new(strip.x0 + 84.0, nose + 19.0);
    let meets = Point::new(start.x + 19.0, nose);
    canvas.line(start, meets, &thin);
    let slant = std::f64::consts::FRAC_1_SQRT_2;
    ramp(canvas, start, Vec2::new(-slant, slant));
    let rests = Point::new(meets.x + 40.0, nose + 13.0);
    canvas.line(meets, rests, &thin);
    canvas.circle(rests, radius, &ball);
    dimension(
        canvas,
        Point::new(rests.x, nose),
        Point::new(rests.x, rests.y - radius),
    );
    say(canvas, "3", Point::new(rests.x + 3.5, nose + 7.0));
    let below = nose + 36.0;
    for x in [start.x, rests.x] {
        let level = Stroke::new(colour::SOFT_INK, 0.15);
        canvas.line(
            Point::new(x, nose + 20.0),
            Point::new(x, below + 1.0),
            &level,
        );
    }
    dimension(
        canvas,
        Point::new(start.x, below),
        Point::new(rests.x, below),
    );
    say(
        canvas,
        "2",
        Point::new(0.5 * (start.x + rests.x), below - 1.2),
    );
}

/// A pocket from above, into it up the page.
struct Sketch {
    outline: PocketOutline,
    rail_rad: f64,
    origin: Point,
    /// Paper millimetres a metre.
    scale: f64,
    half_mouth_m: f64,
    shelf_m: f64,
    throat: Point,
    ball_m: f64,
    nose_m: f64,
}

impl Sketch {
    fn new(gear: &Gear, kind: PocketKind, strip: Rect, style: &Style) -> Self {
        let spec = kind.spec(gear);
        let outline = PocketOutline::new(gear, kind);
        let deep = match asked(gear, kind, style).throat_depth {
            Some(_) => outline.left.last().map_or(spec.shelf_m, |end| end.x),
            None => spec.shelf_m,
        };
        let closing = spec.facing_angle_rad - (std::f64::consts::PI - kind.rail_angle_rad());
        let half = 0.5 * spec.mouth_m;
        let end_m = outline.left.last().map_or(0.0, |end| end.x);
        let deepest_m = end_m.max(spec.shelf_m);
        let scale = (SKETCH_MM.width - 4.0) / (spec.mouth_m + 0.13);
        Self {
            rail_rad: kind.rail_angle_rad(),
            origin: Point::new(
                strip.x0 + 0.5 * SKETCH_MM.width,
                strip.y0 + scale * deepest_m + 1.4 * style.label_mm() + 1.0,
            ),
            scale,
            half_mouth_m: half,
            shelf_m: spec.shelf_m,
            throat: Point::new(deep, half - deep * closing.tan()),
            ball_m: gear.object_radius_m(),
            nose_m: gear.object_contact_radius_m(),
            outline,
        }
    }

    fn at(&self, x: f64, y: f64) -> Point {
        Point::new(
            self.origin.x - self.scale * y,
            self.origin.y - self.scale * x,
        )
    }

    fn draw(&self, canvas: &mut Canvas, of: &[Quantity], style: &Style) {
        let ink = Stroke::new(colour::INK, 0.45);
        let (sin, cos) = self.rail_rad.sin_cos();
        for (side, points) in [(1.0, &self.outline.left), (-1.0, &self.outline.right)] {
            let start = points.first().copied().unwrap_or_default();
            let end = start + Vec2::new(-cos, side * sin) * (0.055 / sin.max(0.5));
            let line = std::iter::once(end).chain(points.iter().copied());
            let line: Vec<Point> = line.map(|p| self.at(p.x, p.y)).collect();
            canvas.polyline(&line, &ink);
        }
        let radius = self.outline.cutout_radius_m;
        let end = self.outline.left.last().copied().unwrap_or_default();
        let to_facing = (end - self.outline.cutout_centre).atan2();
        let arc = fine_arc(
            self.outline.cutout_centre,
            radius,
            to_facing,
            std::f64::consts::TAU - to_facing,
        );
        let arc: Vec<Point> = arc.into_iter().map(|p| self.at(p.x, p.y)).collect();
        canvas.polyline(&arc, &Stroke::new(colour::SOFT_INK, 0.3));
        for (number, quantity) in (1_u32..).zip(of) {
            self.reading(canvas, number, *quantity, style);
        }
    }

    /// The mouth, in front of it, so that the balls of the gap have room; returns how far in front, m.
    fn mouth(&self, canvas: &mut Canvas) -> f64 {
        let x = -self.ball_m - 0.014;
        for side in [1.0, -1.0] {
            let y = side * self.half_mouth_m;
            let thin = Stroke::new(colour::SOFT_INK, 0.15);
            canvas.line(self.at(0.0, y), self.at(x - 0.004, y), &thin);
        }
        dimension(
            canvas,
            self.at(x, self.half_mouth_m),
            self.at(x, -self.half_mouth_m),
        );
        x
    }

    fn reading(&self, canvas: &mut Canvas, number: u32, quantity: Quantity, style: &Style) {
        let number = number.to_string();
        let say = |canvas: &mut Canvas, at: Point| {
            label(canvas, style, &number, at, Anchor::Middle);
        };
        let above = Vec2::new(0.0, -1.2);
        match quantity {
            Quantity::Mouth(_) => {
                let x = self.mouth(canvas);
                say(canvas, self.at(x, 0.0) + above);
            }
            Quantity::Gap(_) => {
                let y = self.half_mouth_m - self.nose_m;
                let line = Paint::line(Stroke::new(colour::SOFT_INK, 0.25).dashed(&[4.0, 3.0]));
                for side in [1.0, -1.0] {
                    canvas.circle(self.at(0.0, side * y), self.scale * self.ball_m, &line);
                }
                let inner = y - self.ball_m;
                if inner > 2e-3 {
                    say(canvas, self.at(0.0, 0.0) + Vec2::new(0.0, 3.6));
                } else {
                    say(canvas, self.at(-self.ball_m, 0.0) + above);
                }
            }
            Quantity::Throat(_) => {
                let (x, y) = (self.throat.x, self.throat.y);
                dimension(canvas, self.at(x, y), self.at(x, -y));
                say(canvas, self.at(x, 0.55 * y) + above);
            }
            Quantity::Shelf(_) => {
                let ends = [self.at(0.0, 0.0), self.at(self.shelf_m, 0.0)];
                dimension(canvas, ends[0], ends[1]);
                let beside = Vec2::new(2.6, if self.shelf_m < 0.012 { -4.0 } else { 2.0 });
                say(canvas, ends[0].midpoint(ends[1]) + beside);
            }
            Quantity::Fall(_) => {
                let end = self.outline.left.last().copied().unwrap_or_default();
                dimension(canvas, self.at(end.x, end.y), self.at(end.x, -end.y));
                say(canvas, self.at(end.x, 0.5 * end.y) + above);
            }
            Quantity::Rounding(_) => {
                let middle = self.outline.left.len() / 2;
                let jaw = self
                    .outline
                    .left
                    .get(middle / 2)
                    .copied()
                    .unwrap_or_default();
                let from = self.at(jaw.x - 0.02, jaw.y - 0.012);
                let stroke = Stroke::new(colour::SOFT_INK, 0.25);
                canvas.arrow(from, self.at(jaw.x, jaw.y), &stroke);
                say(canvas, from + Vec2::new(1.6, 2.4));
            }
            _ => {}
        }
    }
}

/// Concave cards at true size, to hold against a rounded jaw.
fn gauges(
    sheet: &mut Sheet,
    gear: &Gear,
    kinds: &[PocketKind],
    style: &Style,
) -> Result<(), SheetError> {
    let mut radii_m: Vec<f64> = kinds
        .iter()
        .flat_map(|kind| GAUGES.map(|share| share * kind.spec(gear).jaw_radius_m))
        .map(|r| (r / GAUGE_STEP_M).round().max(1.0) * GAUGE_STEP_M)
        .collect();
    radii_m.sort_by(f64::total_cmp);
    radii_m.dedup();
    sheet.break_page();
    sheet.heading(words::GAUGES)?;
    sheet.paragraph(&words::gauges(style))?;
    let width = sheet.room().width();
    let cards: Vec<Card> = radii_m.iter().map(|r| Card::new(1e3 * r)).collect();
    let mut rest = cards.as_slice();
    while !rest.is_empty() {
        // As many as stand beside each other.
        let mut used = 0.0;
        let fit = rest
            .iter()
            .take_while(|card| {
                used += card.wide + AROUND_MM;
                used <= width + AROUND_MM
            })
            .count()
            .max(1);
        let (row, left) = rest.split_at(fit);
        let high = row.iter().map(|c| c.high).fold(0.0, f64::max);
        sheet.space(AROUND_MM);
        let names: Vec<String> = row.iter().map(|c| words::radius(c.radius, style)).collect();
        let (canvas, strip) = sheet.figure("gauges", words::gauges_show(&names), high)?;
        let mut x = strip.x0;
        for (card, name) in row.iter().zip(&names) {
            card.draw(canvas, Point::new(x, strip.y0), name, style);
            x += card.wide + AROUND_MM;
        }
        rest = left;
    }
    Ok(())
}

/// A gauge, mm: a card whose lower edge is hollow.
struct Card {
    radius: f64,
    wide: f64,
    high: f64,
}

/// Half the angle of a gauge's arc, rad: a jaw turns by about as much (assumption).
const HALF_ARC_RAD: f64 = 0.45;
/// Depth of a gauge's card above the arc, mm.
const CARD_MM: f64 = 12.0;

impl Card {
    fn new(radius: f64) -> Self {
        let half = HALF_ARC_RAD.max((6.0 / radius).min(1.2));
        let wide = 2.0 * radius * half.sin();
        Self {
            radius,
            wide,
            high: CARD_MM + radius * (1.0 - half.cos()),
        }
    }

    fn draw(&self, canvas: &mut Canvas, corner: Point, name: &str, style: &Style) {
        let half = (0.5 * self.wide / self.radius).asin();
        let bottom = corner.y + self.high;
        // The circle's middle lies below the card.
        let centre = Point::new(
            corner.x + 0.5 * self.wide,
            bottom + self.radius * half.cos(),
        );
        let up = -std::f64::consts::FRAC_PI_2;
        let mut edge = vec![corner, Point::new(corner.x + self.wide, corner.y)];
        edge.extend(fine_arc(centre, self.radius, up + half, up - half));
        canvas.open_group(&[("class", "gauge")]);
        canvas.polygon(&edge, &Paint::line(Stroke::new(colour::INK, 0.25)));
        canvas.close_group();
        let at = Point::new(centre.x, corner.y + 1.6 + style.label_mm());
        label(canvas, style, name, at, Anchor::Middle);
    }
}
