//! One shot laid on the table, as the views from above and from behind the cue ball both show it.

use kurbo::{Point, Rect, Vec2};

use super::corridor::{BAND, Corridor, Margin};
use super::fault::ChartError;
use super::view::{BallLook, Fan, OBJECT_NUMBER, View, ball, fan, object_ball};
use super::words::shot as words;
use crate::draw::canvas::{Canvas, Paint, Stroke, Text};
use crate::draw::colour::{self, Fill};
use crate::draw::text::{self, Weight};
use crate::draw::theme::Theme;
use crate::gear::Gear;
use crate::pocket::{Acceptance, How, PocketFrame, PocketKind, PocketName};
use crate::window::{AimWindow, Part, Shot, Window, part_words};

/// Where a shot lies on a gear's bed: the pocket's frame, cue ball, object ball.
///
/// # Errors
/// [`ChartError::OffTheTable`] for a shot by angles that needs a larger table.
pub(crate) fn laid(gear: &Gear, shot: &Shot) -> Result<(PocketFrame, Point, Point), ChartError> {
    let frame = match shot.frame.name {
        Some(_) => shot.frame,
        None if shot.frame.kind == PocketKind::Side => PocketName::SideLeft.frame(gear),
        None => PocketName::FootLeft.frame(gear),
    };
    let bed = Rect::new(0.0, 0.0, gear.bed.length_m, gear.bed.width_m);
    let place = |p: Point, name, radius: f64| {
        let at = frame.to_plan(p);
        // A shot on the bed was checked when it was read. A micrometre of rounding keeps a ball frozen to a rail on the table.
        let inside = shot.frame.name.is_some() || bed.inset(-(radius - 1e-6)).contains(at);
        inside
            .then_some(at)
            .ok_or(ChartError::OffTheTable { ball: name })
    };
    let radius = gear.object_radius_m();
    let object = place(shot.object, words::OBJECT_BALL, radius)?;
    let cue = place(shot.cue, words::CUE_BALL, 0.5 * gear.balls.cue_diameter_m)?;
    Ok((frame, cue, object))
}

/// The ways a ball drops, in the order of their fills, and the parts of a window that they make.
const HOWS: [(How, Part); 3] = [
    (How::Clean, Part::Clean),
    (How::Jaw, Part::Direct),
    (How::Rail, Part::Drop),
];

pub(super) fn fill(how: How) -> usize {
    HOWS.iter().position(|(h, _)| *h == how).unwrap_or(0)
}

/// Everything drawn, on the plan.
pub(super) struct Scene<'a> {
    pub(super) gear: &'a Gear,
    pub(super) frame: PocketFrame,
    pub(super) cue: Point,
    pub(super) object: Point,
    pub(super) acceptance: &'a Acceptance,
    pub(super) window: &'a AimWindow,
    pub(super) part: Window,
    /// Balls that stand round it.
    pub(super) others: Vec<Point>,
}

impl Scene<'_> {
    /// Direction of the aim on the plan, rad.
    pub(super) fn aim_rad(&self) -> f64 {
        self.frame.axis_rad + self.window.aim_in_pocket_frame_rad()
    }

    /// The ghost ball for a cue ball sent this far off the aim.
    pub(super) fn ghost(&self, delta_rad: f64) -> Point {
        let along = Vec2::from_angle(self.aim_rad() + delta_rad);
        let to = self.object - self.cue;
        let contact = self.gear.contact_distance_m();
        let ahead = to.dot(along);
        let miss2 = to.hypot2() - ahead * ahead;
        self.cue + along * (ahead - (contact * contact - miss2).max(0.0).sqrt())
    }

    /// Where the cue ball may run, each way of going in beside the others.
    pub(super) fn corridor(&self) -> Corridor {
        let window = self.window;
        let parts = [window.drop, window.direct, window.clean];
        let parts = parts.into_iter().zip([2, 1, 0]).filter_map(|(part, fill)| {
            Some(Margin {
                fill: colour::part_fill(fill),
                ends_rad: part?.interval_rad(),
            })
        });
        Corridor {
            cue: self.cue,
            aim_rad: self.aim_rad(),
            reach_m: window.aim.travel_m,
            radius_m: self.gear.cue_radius_m(),
            margins: parts.collect(),
        }
    }

    /// How many times as wide its margins are drawn.
    pub(super) fn times(&self) -> f64 {
        self.corridor().times()
    }

    /// What the glasses look at and how far around it, m: the ghost ball and the pocket.
    pub(super) fn looked_at(&self) -> [(Point, f64); 2] {
        // Three ball widths across the glass at the ghost ball, two mouths at the pocket (for the eye).
        let ghost_m = 3.0 * self.gear.object_radius_m();
        let pocket_m = self.frame.spec(self.gear).mouth_m;
        let into = Vec2::from_angle(self.frame.axis_rad) * (0.1 * pocket_m);
        [
            (self.ghost(0.0).midpoint(self.object), ghost_m),
            (self.frame.mouth_middle + into, pocket_m),
        ]
    }

    /// What the glass and the table both show.
    ///
    /// In a glass of so much radius what lies outside has no number.
    pub(super) fn content(&self, canvas: &mut Canvas, view: &View, hair: f64, glass: Option<f64>) {
        for piece in self.acceptance.pieces.spans() {
            let base = self.frame.axis_rad + self.acceptance.approach_rad;
            let paint = colour::part_fill(fill(piece.tag));
            let spread = Fan {
                apex_m: self.object,
                directions_rad: (base + piece.from_rad, base + piece.to_rad),
                reach_m: self.acceptance.distance_m,
            };
            let paint = Paint::fill(paint.area).edged(Stroke::new(paint.edge, 0.5 * hair));
            fan(canvas, view, &spread, &paint);
        }
        self.corridor().draw(canvas, view, self.times(), hair);
        let radius = self.gear.object_radius_m();
        for other in &self.others {
            ball(canvas, view, *other, radius, BallLook::Other);
        }
        let off = (view.map(self.object) - view.at).hypot() + radius * view.scale;
        if glass.is_none_or(|reach| off < reach) {
            object_ball(canvas, view, self.object, radius, OBJECT_NUMBER);
        } else {
            ball(canvas, view, self.object, radius, BallLook::Object);
        }
        let cue_radius = self.gear.contact_distance_m() - radius;
        ball(canvas, view, self.cue, cue_radius, BallLook::Cue);
    }
}

/// The ways of dropping that are drawn and the band above the table; gives the room below.
pub(super) fn key(canvas: &mut Canvas, theme: &Theme, body: Rect, scene: &Scene<'_>) -> Rect {
    let size = theme.label;
    let band = words::band(scene.times());
    // Only what is drawn.
    let drawn = |how: How| scene.acceptance.pieces.spans().iter().any(|p| p.tag == how);
    let entries = HOWS
        .iter()
        .enumerate()
        .filter(|(_, (how, _))| drawn(*how))
        .map(|(k, (_, part))| (colour::part_fill(k), part_words(*part)))
        .chain([(
            Fill {
                area: BAND,
                edge: colour::BLUE,
            },
            band.as_str(),
        )]);
    let (mut x, mut y) = (body.x0, body.y0 + 0.6 * size);
    for (fill, name) in entries {
        let wide = 1.4 * size + text::width(name, size, Weight::Regular);
        if x + wide > body.x1 && x > body.x0 {
            x = body.x0;
            y += 1.3 * size;
        }
        let side = Rect::from_center_size(Point::new(x + 0.5 * size, y), (size, 0.9 * size));
        let edge = Stroke::new(fill.edge, theme.hair);
        canvas.rect(side, &Paint::fill(fill.area).edged(edge));
        canvas.text(&Text::new(name, Point::new(x + 1.4 * size, y), size).centred());
        x += wide + 1.4 * size;
    }
    Rect::new(body.x0, y + size, body.x1, body.y1)
}
