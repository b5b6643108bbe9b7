//! How do the jaws bounce? The ramp test: where the ramp stands, a strip of marks at true size to lay
//! across the mouth, and boxes for what drops.
//!
//! The strip is as long as the mouth is wide between the jaw points, so that it lies in the middle by
//! itself; its front edge is the mouth line. Marks are millimetres from its middle, left and right as seen
//! facing the pocket, as the tallies are typed. The sketch of the ramp is no measure: its numbers are.

use kurbo::{Point, Rect, Vec2};

use super::drill::{BOX_MM, score_boxes};
use super::fault::SheetError;
use super::page::Sheet;
use super::parts::{AROUND_MM, Style, dimension, label, piece};
use super::words::cut::care;
use super::words::jaws as words;
use crate::charts::view::PocketOutline;
use crate::draw::canvas::{Anchor, Canvas, Paint, Stroke, Text};
use crate::draw::colour;
use crate::draw::tags::Tag;
use crate::gear::Gear;
use crate::measure::jaws::{Plan, ROLLS, Ramp, mark_name};
use crate::pocket::PocketKind;
use crate::speech::Caution;
use crate::units::{Length, speak};

/// Depth of the strip, mm: as many rows of numbers as there are levels.
const STRIP_MM: f64 = 24.0;
const LEVELS: u32 = 3;
/// Paper millimetres a metre of the table, in the sketch.
const SKETCH: f64 = 110.0;
/// Height of the sketch, mm.
const SKETCH_MM: f64 = 98.0;
/// Length and width of the ramp in the sketch, m.
const RAMP_M: (f64, f64) = (0.16, 0.04);

/// The ramp, the strip of marks and the boxes.
///
/// # Errors
/// [`SheetError::TooLarge`] for a mouth wider than the paper.
pub fn jaws_sheet(gear: &Gear, kind: PocketKind, style: &Style) -> Result<Sheet, SheetError> {
    let mut plan = Plan::new(gear, Ramp::usual(kind));
    if style.plain {
        // Large letters need room: every other mark.
        for marks in [&mut plan.left_mm, &mut plan.right_mm] {
            *marks = marks.iter().copied().step_by(2).collect();
        }
    }
    style.printed_on(gear, |style| laid_out(gear, &plan, style))
}

fn laid_out(gear: &Gear, plan: &Plan, style: &Style) -> Result<Sheet, SheetError> {
    let mut sheet = style.sheet(words::title(gear, plan), words::ABOUT);
    sheet.heading(words::QUESTION)?;
    sheet.paragraph(&words::why(style))?;
    let shows = words::sketch_shows(plan, style);
    let (canvas, strip) = sheet.figure("where the ramp stands", shows, SKETCH_MM)?;
    Sketch::new(gear, plan, strip).draw(canvas, style);
    sheet.space(2.0);
    sheet.paragraph(&words::ramp(plan, style))?;
    sheet.paragraph(&words::lay(plan, style))?;
    sheet.space(AROUND_MM);
    let (canvas, strip) = sheet.figure("the strip", words::strip_shows(plan), STRIP_MM)?;
    let wide = 1e3 * plan.ramp.kind.spec(gear).mouth_m;
    if wide > strip.width() {
        return Err(SheetError::TooLarge {
            what: format!("the strip for the {} mouth", plan.ramp.kind),
            width_mm: wide,
            height_mm: STRIP_MM,
            room_width_mm: strip.width(),
            room_height_mm: strip.height(),
        });
    }
    marks(canvas, strip, wide, plan, style);
    sheet.space(AROUND_MM);
    sheet.paragraph(&care(&[Caution::Scissors, Caution::Rail], style))?;
    tallies(&mut sheet, gear, plan, style)?;
    Ok(sheet)
}

/// The strip: its lower edge is the mouth line, where the marks end.
fn marks(canvas: &mut Canvas, strip: Rect, wide: f64, plan: &Plan, style: &Style) {
    let middle = Point::new(strip.center().x, strip.y1);
    let edge = Rect::new(
        middle.x - 0.5 * wide,
        strip.y0,
        middle.x + 0.5 * wide,
        strip.y1,
    );
    piece(canvas, edge);
    canvas.open_group(&[("class", "marks")]);
    let line = |canvas: &mut Canvas, mm: f64, long: f64, wide: f64| {
        let at = middle - Vec2::new(mm, 0.0);
        canvas.line(
            at,
            at - Vec2::new(0.0, long),
            &Stroke::new(colour::INK, wide),
        );
    };
    line(canvas, 0.0, 6.0, 0.4);
    let up = |mm: f64, long: f64| middle - Vec2::new(mm, long + 1.0);
    label(canvas, style, "0", up(0.0, 6.0), Anchor::Middle);
    // Numbers stand on levels, so that marks two millimetres apart do not run into each other; the letter
    // of a side stands once.
    let level = style.label_mm() + 1.0;
    for (side, marks) in [(1.0, &plan.left_mm), (-1.0, &plan.right_mm)] {
        for (k, mm) in (0_u32..).zip(marks) {
            let long = 4.0 + level * f64::from(k % LEVELS);
            line(canvas, side * mm, long, 0.25);
            let number = format!("{mm:.0}");
            label(canvas, style, &number, up(side * mm, long), Anchor::Middle);
        }
        let name = if side > 0.0 { "L" } else { "R" };
        let beside = marks.first().map_or(20.0, |mm| mm - 9.0);
        label(canvas, style, name, up(side * beside, 3.0), Anchor::Middle);
    }
    canvas.close_group();
}

/// Where the ramp stands, seen from above, into the pocket up the page.
struct Sketch<'a> {
    plan: &'a Plan,
    outline: PocketOutline,
    origin: Point,
}

impl<'a> Sketch<'a> {
    fn new(gear: &Gear, plan: &'a Plan, strip: Rect) -> Self {
        let outline = PocketOutline::new(gear, plan.ramp.kind);
        let deepest_m = outline.cutout_centre.x + outline.cutout_radius_m;
        Self {
            plan,
            origin: Point::new(strip.center().x, strip.y0 + SKETCH * deepest_m + 1.0),
            outline,
        }
    }

    /// From the pocket's frame, m, onto the paper.
    fn at(&self, p: Point) -> Point {
        Point::new(self.origin.x - SKETCH * p.y, self.origin.y - SKETCH * p.x)
    }

    fn draw(&self, canvas: &mut Canvas, style: &Style) {
        let ink = Stroke::new(colour::INK, 0.4);
        let (sin, cos) = self.plan.ramp.kind.rail_angle_rad().sin_cos();
        let rail_m = match self.plan.ramp.kind {
            PocketKind::Corner => 0.58,
            PocketKind::Side => 0.4,
        };
        for (side, points) in [(1.0, &self.outline.left), (-1.0, &self.outline.right)] {
            let jaw = points.first().copied().unwrap_or_default();
            let end = jaw + Vec2::new(-cos, side * sin) * rail_m;
            let line: Vec<Point> = std::iter::once(end).chain(points.iter().copied()).collect();
            let line: Vec<Point> = line.into_iter().map(|p| self.at(p)).collect();
            canvas.polyline(&line, &ink);
        }
        canvas.circle(
            self.at(self.outline.cutout_centre),
            SKETCH * self.outline.cutout_radius_m,
            &Paint::line(Stroke::new(colour::SOFT_INK, 0.2)),
        );
        let foot = self.plan.ramp.foot();
        for mm in [
            self.plan.left_mm.last().copied(),
            self.plan.right_mm.last().map(|mm| -mm),
        ] {
            let mark = Point::new(0.0, 1e-3 * mm.unwrap_or(0.0));
            let line = Stroke::new(colour::SOFT_INK, 0.2).dashed(&[6.0, 5.0]);
            canvas.line(self.at(foot), self.at(mark), &line);
        }
        // The ramp lies behind its foot, along the way to the middle.
        let back = foot.to_vec2() / foot.to_vec2().hypot();
        let across = Vec2::new(-back.y, back.x) * (0.5 * RAMP_M.1);
        let corners = [
            foot + across,
            foot - across,
            foot + back * RAMP_M.0 - across,
            foot + back * RAMP_M.0 + across,
        ];
        let corners: Vec<Point> = corners.into_iter().map(|p| self.at(p)).collect();
        canvas.polygon(&corners, &Paint::line(Stroke::new(colour::INK, 0.3)));
        canvas.circle(self.at(foot), 0.9, &Paint::fill(colour::INK));
        let beside = self.at(foot + back * (0.5 * RAMP_M.0)) + Vec2::new(6.0, 1.0);
        label(canvas, style, words::RAMP, beside, Anchor::Start);
        self.measures(canvas, foot, style);
    }

    /// From the noses to the ramp's foot.
    fn measures(&self, canvas: &mut Canvas, foot: Point, style: &Style) {
        let (sin, cos) = self.plan.ramp.kind.rail_angle_rad().sin_cos();
        let [a, b] = self.plan.foot_m;
        let said = [a, b].map(|m| speak::small_length(Length::from_m(m), style.units));
        let ends = match self.plan.ramp.kind {
            // Square to either rail.
            PocketKind::Corner => [
                foot + Vec2::new(sin, cos) * a,
                foot + Vec2::new(sin, -cos) * b,
            ],
            PocketKind::Side => [foot + Vec2::new(a, 0.0), foot + Vec2::new(0.0, b)],
        };
        let sides = [Anchor::End, Anchor::Start];
        for ((end, words), anchor) in ends.into_iter().zip(said).zip(sides) {
            dimension(canvas, self.at(foot), self.at(end));
            let away = if anchor == Anchor::End { -2.0 } else { 2.0 };
            let level = self.plan.ramp.kind == PocketKind::Side && anchor == Anchor::Start;
            let (off, anchor) = if level {
                (Vec2::new(0.0, -1.4), Anchor::End)
            } else {
                (Vec2::new(away, 3.5), anchor)
            };
            label(
                canvas,
                style,
                &words,
                self.at(foot.midpoint(end)) + off,
                anchor,
            );
        }
    }
}

/// Boxes for each mark, and how the counts become a table.
fn tallies(sheet: &mut Sheet, gear: &Gear, plan: &Plan, style: &Style) -> Result<(), SheetError> {
    let size = style.body_mm();
    let marks = plan.marks_mm();
    let how = words::tally(style);
    #[expect(clippy::cast_precision_loss, reason = "a dozen marks")]
    let rows_mm = (BOX_MM + 1.6) * marks.len() as f64;
    sheet.heading_with(words::TALLY, sheet.paragraph_mm(&how) + rows_mm)?;
    sheet.paragraph(&how)?;
    for mark_mm in &marks {
        let name = mark_name(*mark_mm);
        let (canvas, strip) = sheet.reserve("a mark with its boxes", BOX_MM + 1.6)?;
        canvas.part(Tag::Figure(words::boxes(&name)));
        let base = strip.y0 + 0.5 * BOX_MM + 0.36 * size;
        canvas.text(&Text::new(&name, Point::new(strip.x0, base), size).bold());
        let first = Point::new(strip.x0 + 14.0, strip.y0);
        score_boxes(canvas, first, ROLLS, ROLLS);
        let after = strip.x0 + 14.0 + f64::from(ROLLS) * (BOX_MM + 1.0) + 5.0;
        let said = words::dropped(style);
        canvas.text(&Text::new(said, Point::new(after, base), size));
        let rule = after + 20.0;
        let stroke = Stroke::new(colour::SOFT_INK, 0.2);
        canvas.line(
            Point::new(rule, base + 0.6),
            Point::new(rule + 18.0, base + 0.6),
            &stroke,
        );
    }
    let then = words::then(gear, plan);
    if style.plain || then.is_empty() {
        return Ok(());
    }
    sheet.space(2.0);
    sheet.paragraph(&then)
}
