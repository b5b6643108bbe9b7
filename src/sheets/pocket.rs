//! What shape are the pockets? Their outline at true size, to cut out and lay into a real one.
//!
//! The piece ends at the noses, the jaws, the facings and the edge of the slate cut, all at the
//! gear's numbers; in front of the mouth it is cut off square, for the eye only.

use kurbo::{Point, Rect, Vec2};

use super::page::{Sheet, SheetError};
use super::parts::{Style, Table, dimension, fine_arc, label, table};
use crate::charts::colour;
use crate::charts::svg::{Anchor, Canvas, Paint, Stroke};
use crate::charts::table::PocketOutline;
use crate::charts::text;
use crate::gear::Gear;
use crate::pocket::PocketKind;

/// Mouth line to the front edge of the piece beyond a ball, mm (assumption: room to hold it).
const FRONT_MM: f64 = 11.0;
/// Largest half width of the piece, mm (fits both papers).
const HALF_MM: f64 = 84.0;

/// Corner and side pocket, one page each.
///
/// # Errors
/// [`SheetError::TooLarge`] for a pocket larger than the paper.
pub fn pocket_sheet(gear: &Gear, style: &Style) -> Result<Sheet, SheetError> {
    let mut sheet = style.sheet(
        format!("Pockets of {} at true size", gear.name),
        "Outlines of the corner and the side pocket at true size, to cut out, with a ball.",
    );
    for kind in [PocketKind::Corner, PocketKind::Side] {
        page(&mut sheet, gear, kind, style)?;
    }
    Ok(sheet)
}

fn page(sheet: &mut Sheet, gear: &Gear, kind: PocketKind, style: &Style) -> Result<(), SheetError> {
    sheet.break_page();
    let name = match kind {
        PocketKind::Corner => "Corner",
        PocketKind::Side => "Side",
    };
    sheet.heading(&format!("{name} pocket of {}", gear.name))?;
    sheet.paragraph(if style.plain {
        "Cut along the thick line. Lay the paper into the pocket, flat on the table. Does it fit?"
    } else {
        "Cut along the thick line and lay the piece flat on the table, its point in the pocket: the noses, facings and slate of this gear end at its edges. Where it does not fit, your pocket differs; measure, and write it below."
    })?;
    let outline = Outline::new(gear, kind);
    let shows = format!(
        "Outline of the {kind} pocket at true size, with a ball: mouth {}, throat {}, shelf {}.",
        style.measure(1e-3 * outline.mouth_mm),
        style.measure(1e-3 * outline.throat_mm()),
        style.measure(1e-3 * outline.shelf_mm)
    );
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
    sheet.paragraph(style.scissors())?;
    measured(sheet, gear, kind, style)
}

/// The piece, mm: mouth's middle at the origin, x into the pocket, y to the left.
struct Outline {
    piece: Vec<Point>,
    throat: (Point, Point),
    mouth_mm: f64,
    shelf_mm: f64,
    front_mm: f64,
}

impl Outline {
    fn new(gear: &Gear, kind: PocketKind) -> Self {
        let (spec, shape) = (kind.spec(gear), PocketOutline::new(gear, kind));
        let mm = |p: &Point| Point::new(1e3 * p.x, 1e3 * p.y);
        let left: Vec<Point> = shape.left.iter().map(mm).collect();
        let front_mm = 1e3 * gear.balls.object_diameter_m + FRONT_MM;
        let start = left.first().copied().unwrap_or_default();
        let throat = left.last().copied().unwrap_or_default();
        let mirrored = |p: Point| Point::new(p.x, -p.y);
        // The rail leaves the jaw backwards and outwards, until the piece is wide enough.
        let (sin, cos) = kind.rail_angle_rad().sin_cos();
        let along = ((HALF_MM - start.y) / sin).clamp(0.0, front_mm / cos.max(0.1));
        let rail = start + Vec2::new(-cos, sin) * along;
        let mut half = vec![Point::new(-front_mm, rail.y), rail];
        half.extend(left);
        let centre = mm(&shape.cutout_centre);
        let to_facing = (throat - centre).atan2();
        let arc = fine_arc(
            centre,
            1e3 * shape.cutout_radius_m,
            to_facing,
            std::f64::consts::TAU - to_facing,
        );
        let right: Vec<Point> = half.iter().rev().map(|p| mirrored(*p)).collect();
        let piece = half.into_iter().chain(arc).chain(right).collect();
        Self {
            piece,
            throat: (throat, mirrored(throat)),
            mouth_mm: 1e3 * spec.mouth_m,
            shelf_mm: 1e3 * spec.shelf_m,
            front_mm,
        }
    }

    fn deepest_mm(&self) -> f64 {
        self.throat.0.x.max(self.shelf_mm) + 9.0
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
        let words = if style.plain { "ball" } else { "a ball" };
        let middle = map(ball) + Vec2::new(0.0, 0.3 * style.label_mm());
        label(canvas, style, words, middle, Anchor::Middle);
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
        let words = format!("mouth {}", style.measure(1e-3 * self.mouth_mm));
        // Below the line, beside the ball, where every pocket has room.
        let at = map(Point::new(0.0, half - 1.0)) + Vec2::new(0.0, 1.15 * style.label_mm());
        label(canvas, style, &words, at, Anchor::Start);
        dimension(canvas, map(self.throat.0), map(self.throat.1));
        let words = format!("throat {}", style.measure(1e-3 * self.throat_mm()));
        let at = Point::new(self.throat.0.x, 0.0);
        label(canvas, style, &words, map(at) + up, Anchor::Middle);
        let words = format!("shelf {}", style.measure(1e-3 * self.shelf_mm));
        dimension(
            canvas,
            map(Point::ORIGIN),
            map(Point::new(self.shelf_mm, 0.0)),
        );
        // A shelf too short for words has them beyond the slate's edge.
        let roomy = self.shelf_mm > 3.0 * style.label_mm();
        let (depth, across, anchor) = if roomy {
            (0.62 * self.shelf_mm, -2.0, Anchor::Start)
        } else {
            (self.shelf_mm + 0.8 * style.label_mm(), 0.0, Anchor::Middle)
        };
        let at = map(Point::new(depth, across));
        let free = 0.5 * self.throat_mm() - 6.0;
        if roomy && text::width(&words, style.label_mm(), text::Weight::Regular) > free {
            // Too narrow for one line beside the arrow.
            let down = Vec2::new(0.0, text::LINE_EM * style.label_mm());
            label(canvas, style, "shelf", at, anchor);
            label(
                canvas,
                style,
                &style.measure(1e-3 * self.shelf_mm),
                at + down,
                anchor,
            );
        } else {
            label(canvas, style, &words, at, anchor);
        }
    }

    fn throat_mm(&self) -> f64 {
        self.throat.0.y - self.throat.1.y
    }
}

/// Room to write.
fn measured(
    sheet: &mut Sheet,
    gear: &Gear,
    kind: PocketKind,
    style: &Style,
) -> Result<(), SheetError> {
    let spec = kind.spec(gear);
    let throat = Outline::new(gear, kind).throat_mm();
    let words = |w: &[&str]| w.iter().map(|w| (*w).to_owned()).collect::<Vec<_>>();
    let row = |name: &str, m: f64| vec![name.to_owned(), style.measure(m)];
    let rows = if style.plain {
        vec![
            row("mouth", spec.mouth_m),
            row("throat", 1e-3 * throat),
            row("shelf", spec.shelf_m),
        ]
    } else {
        vec![
            row("mouth, jaw point to jaw point", spec.mouth_m),
            row("throat, at the edge of the slate", 1e-3 * throat),
            row("shelf, mouth line to the slate's edge", spec.shelf_m),
        ]
    };
    let head = words(if style.plain {
        &["", "this sheet", "my table"]
    } else {
        &["", "on this sheet", "measured here"]
    });
    table(
        sheet,
        style,
        &Table {
            columns: &[0.0, 0.5, 0.75],
            head: &head,
            rows: &rows,
        },
    )
}
