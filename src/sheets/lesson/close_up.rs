//! The room of one shot at true size: the balls at contact, the strip the cue ball's middle comes
//! along, the fullest and the thinnest hit.

use kurbo::{Point, Rect, Vec2};

use crate::draw::canvas::{Anchor, Canvas, Paint, Stroke};
use crate::draw::colour;
use crate::draw::tags::Tag;
use crate::draw::text::{self, Weight};
use crate::gear::Gear;
use crate::sheets::diagram::Placed;
use crate::sheets::drill::Drill;
use crate::sheets::fault::BookletError;
use crate::sheets::page::Sheet;
use crate::sheets::parts::{Style, block, block_height, fine_arc, label};
use crate::sheets::words::lesson as words;
use crate::sheets::words::rose::{GHOST_BALL, OBJECT_BALL, TO_POCKET};
use crate::window::{AimWindow, Part};

/// The room of one shot at true size: the balls at contact, the strip the cue ball's middle comes
/// along, the fullest and the thinnest hit.
pub(super) struct CloseUp {
    cut_rad: f64,
    /// Room to the left and to the right of the shooter, mm.
    room_mm: (f64, f64),
    /// How the ball goes in within it.
    how: Part,
}

/// Length of the strip, mm.
const STRIP_MM: f64 = 42.0;

impl CloseUp {
    /// The untouched part, or the widest that there is.
    pub(super) fn new(window: &AimWindow) -> Option<Self> {
        let (how, part) = window.best_part()?;
        let (low, high) = part.interval_rad();
        let at = |angle: f64| 1e3 * window.aim.travel_m * angle.tan();
        Some(Self {
            cut_rad: window.cut_rad,
            room_mm: (at(high), -at(low)),
            how,
        })
    }

    fn above_mm(gear: &Gear, style: &Style) -> f64 {
        1e3 * (gear.contact_distance_m() + gear.object_radius_m()) + 11.0 + style.label_mm()
    }

    /// Height it takes, mm.
    fn height_mm(&self, gear: &Gear, style: &Style) -> f64 {
        let strip = (STRIP_MM + 4.0) * self.cut_rad.cos() + 1.5 * style.label_mm();
        Self::above_mm(gear, style) + strip.max(1e3 * gear.cue_radius_m() + 3.0)
    }

    /// Where "too full" and "too thin" stand beside the strip, from the middle of the ghost ball: the
    /// side, left positive, and the place.
    fn sides(&self) -> [(&'static str, f64, Vec2); 2] {
        let (way, left) = self.axes();
        // The object ball lies on the fuller side.
        let fuller = if self.cut_rad >= 0.0 { 1.0 } else { -1.0 };
        [(words::TOO_FULL, fuller), (words::TOO_THIN, -fuller)].map(|(said, side)| {
            let room = if side > 0.0 {
                self.room_mm.0
            } else {
                self.room_mm.1
            };
            let place = left * (side * (room + 3.0)) - way * (STRIP_MM - 4.0);
            (said, side, place)
        })
    }

    /// The way of the cue ball and its left, up the page to the pocket.
    fn axes(&self) -> (Vec2, Vec2) {
        // Cut to the left, the cue ball comes from the left below.
        let way = Vec2::new(self.cut_rad.sin(), -self.cut_rad.cos());
        (way, Vec2::new(way.y, -way.x))
    }

    /// How far it reaches to the left and to the right of the ghost ball's middle, mm.
    fn reach_mm(&self, gear: &Gear, style: &Style) -> (f64, f64) {
        let wide = |said: &str| text::width(said, style.label_mm(), Weight::Regular);
        let ball = 1e3 * gear.object_radius_m().max(gear.cue_radius_m())
            + self.room_mm.0.max(self.room_mm.1);
        let mut reach = (ball, ball.max(3.0 + wide(TO_POCKET)));
        let (_, left) = self.axes();
        for (said, side, place) in self.sides() {
            if (left * side).x < 0.0 {
                reach.0 = reach.0.max(wide(said) - place.x);
                reach.1 = reach.1.max(place.x);
            } else {
                reach.0 = reach.0.max(-place.x);
                reach.1 = reach.1.max(place.x + wide(said));
            }
        }
        reach
    }

    /// The shot on the table and what to look at on the left, the balls at true size on the right.
    pub(super) fn print(
        &self,
        sheet: &mut Sheet,
        drill: &Drill,
        gear: &Gear,
        style: &Style,
    ) -> Result<(), BookletError> {
        let width = style.small(1e-3 * (self.room_mm.0 + self.room_mm.1));
        let title = words::true_size(&drill.name, style);
        let strip_words = words::strip(&width, self.how, style);
        let reach = self.reach_mm(gear, style);
        let column_mm = sheet.room().width() - reach.0 - reach.1 - 5.0;
        let size = style.body_mm();
        let table_mm = 0.56 * column_mm;
        let text_mm = block_height(&strip_words, size, column_mm);
        let high = self.height_mm(gear, style).max(table_mm + 4.0 + text_mm);
        sheet.heading_with(&title, high)?;
        let (canvas, strip) = sheet.figure("the room at true size", drill.alt(), high)?;
        let table = Rect::from_origin_size(strip.origin(), (column_mm, table_mm));
        let places = drill.places();
        Placed::new(gear, places)?.draw(canvas, gear, table, &[]);
        let place = Rect::new(strip.x0, table.y1 + 4.0, table.x1, strip.y1);
        block(canvas, &strip_words, size, place)?;
        canvas.part(Tag::Figure(words::strip_shows(&width)));
        let ghost = Point::new(strip.x1 - reach.1, strip.y0 + Self::above_mm(gear, style));
        self.draw(canvas, ghost, gear, style);
        Ok(())
    }

    fn draw(&self, canvas: &mut Canvas, ghost: Point, gear: &Gear, style: &Style) {
        let gap = 1e3 * gear.contact_distance_m();
        let (object_r, cue_r) = (1e3 * gear.object_radius_m(), 1e3 * gear.cue_radius_m());
        let object = ghost - Vec2::new(0.0, gap);
        let (way, left) = self.axes();
        let at = |along: f64, across: f64| ghost - way * along + left * across;
        let (to_left, to_right) = self.room_mm;
        let corners = [
            at(0.0, to_left),
            at(STRIP_MM, to_left),
            at(STRIP_MM, -to_right),
            at(0.0, -to_right),
        ];
        canvas.polygon(&corners, &Paint::fill(colour::BLUE));
        let rim = Stroke::new(colour::INK, 0.3);
        canvas.circle(
            object,
            object_r,
            &Paint::fill(colour::GRID).edged(rim.clone()),
        );
        for across in [to_left, -to_right] {
            let hit = touching(ghost + left * across, way, object, gap);
            let outline = fine_arc(hit, cue_r, 0.0, std::f64::consts::TAU);
            canvas.polyline(&outline, &Stroke::new(colour::BLUE, 0.25));
        }
        let top = object - Vec2::new(0.0, object_r + 1.0);
        let tip = top - Vec2::new(0.0, 9.0);
        canvas.arrow(top, tip, &Stroke::new(colour::INK, 0.8));
        let mut say = |said: &str, at: Point, anchor| label(canvas, style, said, at, anchor);
        let beside = tip + Vec2::new(3.0, 0.8 * style.label_mm());
        say(TO_POCKET, beside, Anchor::Start);
        let down = Vec2::new(0.0, 0.35 * style.label_mm());
        say(OBJECT_BALL, object + down, Anchor::Middle);
        say(
            GHOST_BALL,
            ghost - Vec2::new(0.0, 0.3 * cue_r) + down,
            Anchor::Middle,
        );
        for (said, side, place) in self.sides() {
            let outwards = (left * side).x;
            let anchor = if outwards < 0.0 {
                Anchor::End
            } else {
                Anchor::Start
            };
            say(said, ghost + place + down, anchor);
        }
    }
}

/// Where a ball coming along a line first touches another: `distance` from its centre.
fn touching(through: Point, way: Vec2, other: Point, distance: f64) -> Point {
    let to = other - through;
    let ahead = to.dot(way);
    let miss2 = to.hypot2() - ahead * ahead;
    through + way * (ahead - (distance * distance - miss2).max(0.0).sqrt())
}
