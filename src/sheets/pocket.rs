//! What shape are the pockets? Their outline at true size, to cut out and lay into a real one.
//!
//! The piece ends at the noses, the jaws, the facings and the edge of the slate cut, all at the
//! gear's numbers; in front of the mouth it is cut off square, for the eye only. What the sheet asks
//! to measure is what `thincut table measure` takes: its throat lies as deep as the shelf, or has its
//! depth printed with it.

use kurbo::{Point, Rect, Vec2};

use super::fault::SheetError;
use super::page::Sheet;
use super::parts::{Style, Table, dimension, fine_arc, label, table};
use super::words::cut::scissors;
use super::words::pocket as words;
pub use super::words::pocket::Asked;
use crate::charts::view::PocketOutline;
use crate::draw::canvas::{Anchor, Canvas, Paint, Stroke};
use crate::draw::colour;
use crate::draw::text;
use crate::gear::Gear;
use crate::pocket::PocketKind;
use crate::units::UnitSystem;

/// Mouth line to the front edge of the piece beyond a ball, mm (assumption: room to hold it).
const FRONT_MM: f64 = 11.0;
/// Largest half width of the piece, mm (fits both papers).
const HALF_MM: f64 = 84.0;
/// Behind a shorter shelf the throat is measured where the facings end, mm (assumption: nearer to the
/// mouth a millimetre of it is more than two degrees of the facings).
const SHALLOW_MM: f64 = 15.0;

/// What the sheet asks to measure of a kind of pocket.
#[must_use]
pub fn asked(gear: &Gear, kind: PocketKind, style: &Style) -> Asked {
    let outline = Outline::new(gear, kind, style.units);
    Asked {
        mouth: style.measure(1e-3 * outline.mouth_mm),
        throat: style.measure(1e-3 * outline.throat_mm()),
        throat_depth: outline.own_depth_mm.map(|mm| {
            let rounded = |x: f64| (1e3 * x).round() / 1e3;
            match style.units {
                UnitSystem::Metric => format!("{}mm", rounded(mm)),
                UnitSystem::Inches => format!("{}in", rounded(mm / 25.4)),
            }
        }),
        shelf: style.measure(1e-3 * outline.shelf_mm),
    }
}

/// Corner and side pocket, one page each.
///
/// # Errors
/// [`SheetError::TooLarge`] for a pocket larger than the paper.
pub fn pocket_sheet(gear: &Gear, style: &Style) -> Result<Sheet, SheetError> {
    style.printed_on(gear, |style| laid_out(gear, style))
}

fn laid_out(gear: &Gear, style: &Style) -> Result<Sheet, SheetError> {
    let mut sheet = style.sheet(words::title(gear), words::ABOUT);
    for kind in [PocketKind::Corner, PocketKind::Side] {
        page(&mut sheet, gear, kind, style)?;
    }
    Ok(sheet)
}

fn page(sheet: &mut Sheet, gear: &Gear, kind: PocketKind, style: &Style) -> Result<(), SheetError> {
    sheet.break_page();
    sheet.heading(&words::heading(gear, kind))?;
    sheet.paragraph(words::how_to_lay(style))?;
    let outline = Outline::new(gear, kind, style.units);
    let asked = asked(gear, kind, style);
    let shows = words::shows(kind, &asked);
    let (canvas, strip) = sheet.figure("the pocket", shows, outline.height_mm())?;
    let half = outline.half_width_mm();
    if 2.0 * half > strip.width() {
        return Err(SheetError::TooLarge {
            what: format!("the {kind} pocket"),
            width_mm: 2.0 * half,
            height_mm: outline.height_mm(),
            room_width_mm: strip.width(),
            room_height_mm: strip.height(),
        });
    }
    outline.draw(canvas, strip, gear, style);
    sheet.space(1.0);
    // On both: the pages may be handed to two people.
    sheet.paragraph(&scissors(style))?;
    measured(sheet, gear, kind, &asked, style)
}

/// The piece, mm: mouth's middle at the origin, x into the pocket, y to the left.
struct Outline {
    piece: Vec<Point>,
    /// Where the throat is measured.
    throat: (Point, Point),
    /// How deep that is, where it is not as deep as the shelf.
    own_depth_mm: Option<f64>,
    /// Where the facings end.
    end_mm: f64,
    mouth_mm: f64,
    shelf_mm: f64,
    front_mm: f64,
}

impl Outline {
    fn new(gear: &Gear, kind: PocketKind, units: UnitSystem) -> Self {
        let (spec, shape) = (kind.spec(gear), PocketOutline::new(gear, kind));
        let mm = |p: &Point| Point::new(1e3 * p.x, 1e3 * p.y);
        let left: Vec<Point> = shape.left.iter().map(mm).collect();
        let front_mm = 1e3 * gear.balls.object_diameter_m + FRONT_MM;
        let start = left.first().copied().unwrap_or_default();
        let end = left.last().copied().unwrap_or_default();
        let mirrored = |p: Point| Point::new(p.x, -p.y);
        // The rail leaves the jaw backwards and outwards, until the piece is wide enough.
        let (sin, cos) = kind.rail_angle_rad().sin_cos();
        let along = ((HALF_MM - start.y) / sin).clamp(0.0, front_mm / cos.max(0.1));
        let rail = start + Vec2::new(-cos, sin) * along;
        let mut half = vec![Point::new(-front_mm, rail.y), rail];
        half.extend(left);
        let centre = mm(&shape.cutout_centre);
        let to_facing = (end - centre).atan2();
        let arc = fine_arc(
            centre,
            1e3 * shape.cutout_radius_m,
            to_facing,
            std::f64::consts::TAU - to_facing,
        );
        let right: Vec<Point> = half.iter().rev().map(|p| mirrored(*p)).collect();
        let piece = half.into_iter().chain(arc).chain(right).collect();
        let shelf_mm = 1e3 * spec.shelf_m;
        let own_depth_mm = (shelf_mm < SHALLOW_MM).then(|| round_depth_mm(end.x, units));
        let depth_mm = own_depth_mm.unwrap_or(shelf_mm);
        let square_rad = std::f64::consts::PI - kind.rail_angle_rad();
        let closing_rad = spec.facing_angle_rad - square_rad;
        let throat = Point::new(
            depth_mm,
            500.0 * spec.mouth_m - depth_mm * closing_rad.tan(),
        );
        Self {
            piece,
            throat: (throat, mirrored(throat)),
            own_depth_mm,
            end_mm: end.x,
            mouth_mm: 1e3 * spec.mouth_m,
            shelf_mm,
            front_mm,
        }
    }

    fn deepest_mm(&self) -> f64 {
        self.end_mm.max(self.shelf_mm) + 9.0
    }

    fn height_mm(&self) -> f64 {
        self.deepest_mm() + self.front_mm + 2.0
    }

    fn half_width_mm(&self) -> f64 {
        self.piece.iter().map(|p| p.y.abs()).fold(0.0, f64::max)
    }

    fn draw(&self, canvas: &mut Canvas, strip: Rect, gear: &Gear, style: &Style) {
        let origin = Point::new(strip.center().x, strip.y0 + self.deepest_mm());
        // Into the pocket is up the page, left stays left.
        let map = |p: Point| Point::new(origin.x - p.y, origin.y - p.x);
        let piece: Vec<Point> = self.piece.iter().map(|p| map(*p)).collect();
        canvas.open_group(&[("class", "pocket")]);
        canvas.polygon(&piece, &Paint::line(Stroke::new(colour::INK, 0.5)));
        canvas.close_group();
        let radius = 1e3 * gear.object_radius_m();
        let gap = if style.plain { 9.5 } else { 3.0 };
        let ball = Point::new(-radius - gap, 0.0);
        canvas.circle(
            map(ball),
            radius,
            &Paint::line(Stroke::new(colour::INK, 0.3)),
        );
        let middle = map(ball) + Vec2::new(0.0, 0.3 * style.label_mm());
        label(canvas, style, words::ball(style), middle, Anchor::Middle);
        self.dimensions(canvas, map, style);
    }

    fn dimensions(&self, canvas: &mut Canvas, map: impl Fn(Point) -> Point, style: &Style) {
        let up = Vec2::new(0.0, -1.3);
        let half = 0.5 * self.mouth_mm;
        dimension(
            canvas,
            map(Point::new(0.0, half)),
            map(Point::new(0.0, -half)),
        );
        let mouth = words::mouth(self.mouth_mm, style);
        // Below the line, beside the ball, where every pocket has room.
        let at = map(Point::new(0.0, half - 1.0)) + Vec2::new(0.0, 1.15 * style.label_mm());
        label(canvas, style, &mouth, at, Anchor::Start);
        dimension(canvas, map(self.throat.0), map(self.throat.1));
        let free = 0.5 * self.throat_mm() - 6.0;
        let throat = [words::THROAT, &style.measure(1e-3 * self.throat_mm())];
        if self.own_depth_mm.is_some() {
            let at = map(Point::new(self.throat.0.x, 0.0)) + up;
            label_within(canvas, style, throat, &Beside::wide(at, Anchor::Middle));
        } else {
            // On the piece, left of the shelf's arrow: beyond the line the slate's edge is near.
            let below = Vec2::new(0.0, 1.15 * style.label_mm());
            let at = map(Point::new(self.throat.0.x, 2.0)) + below;
            label_within(
                canvas,
                style,
                throat,
                &Beside {
                    at,
                    anchor: Anchor::End,
                    free_mm: free,
                },
            );
        }
        let shelf = [words::SHELF, &style.measure(1e-3 * self.shelf_mm)];
        dimension(
            canvas,
            map(Point::ORIGIN),
            map(Point::new(self.shelf_mm, 0.0)),
        );
        // A shelf too short for words has them beyond the slate's edge.
        let roomy = self.shelf_mm > 3.0 * style.label_mm();
        let (depth, across, anchor, free) = if roomy {
            (0.62 * self.shelf_mm, -2.0, Anchor::Start, free)
        } else {
            let above = self.shelf_mm + 0.8 * style.label_mm();
            (above, 0.0, Anchor::Middle, f64::INFINITY)
        };
        let at = map(Point::new(depth, across));
        label_within(
            canvas,
            style,
            shelf,
            &Beside {
                at,
                anchor,
                free_mm: free,
            },
        );
    }

    fn throat_mm(&self) -> f64 {
        self.throat.0.y - self.throat.1.y
    }
}

/// Where words stand, and how wide they may be.
struct Beside {
    at: Point,
    anchor: Anchor,
    free_mm: f64,
}

impl Beside {
    /// However wide.
    fn wide(at: Point, anchor: Anchor) -> Self {
        Self {
            at,
            anchor,
            free_mm: f64::INFINITY,
        }
    }
}

/// What is measured and its size, on two lines where one is too narrow for them.
fn label_within(canvas: &mut Canvas, style: &Style, [name, size]: [&str; 2], place: &Beside) {
    let both = format!("{name} {size}");
    if text::width(&both, style.label_mm(), text::Weight::Regular) <= place.free_mm {
        return label(canvas, style, &both, place.at, place.anchor);
    }
    let down = Vec2::new(0.0, text::LINE_EM * style.label_mm());
    label(canvas, style, name, place.at, place.anchor);
    label(canvas, style, size, place.at + down, place.anchor);
}

/// The deepest whole millimetre or quarter of an inch that is not beyond this; the depth itself where
/// there is none.
fn round_depth_mm(mm: f64, units: UnitSystem) -> f64 {
    let step = match units {
        UnitSystem::Metric => 1.0,
        UnitSystem::Inches => 0.25 * 25.4,
    };
    if mm < step {
        return mm;
    }
    step * (mm / step).floor()
}

/// Room to write, and how the numbers become a gear file.
fn measured(
    sheet: &mut Sheet,
    gear: &Gear,
    kind: PocketKind,
    asked: &Asked,
    style: &Style,
) -> Result<(), SheetError> {
    let deep = Outline::new(gear, kind, style.units).own_depth_mm;
    let [mouth, throat, shelf] = words::measured(deep, style);
    let rows = [
        vec![mouth, asked.mouth.clone()],
        vec![throat, asked.throat.clone()],
        vec![shelf, asked.shelf.clone()],
    ];
    let head = words::columns(style).map(str::to_owned);
    table(
        sheet,
        style,
        &Table {
            columns: &[0.0, 0.5, 0.75],
            head: &head,
            rows: &rows,
        },
    )?;
    if style.plain {
        return Ok(());
    }
    let own = words::own_table(gear, kind, asked);
    if own.is_empty() {
        return Ok(());
    }
    sheet.space(2.0);
    sheet.paragraph(&own)
}
