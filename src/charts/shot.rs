//! One shot on the table to scale: where the cue ball may go, and what the pocket takes.
//!
//! A shot by angles is laid at the foot's left corner or the left side pocket. The wedge of cue-ball
//! directions is as narrow as it is; the glass shows it larger.

use kurbo::{Point, Rect, Vec2};

use super::colour::{self, LINE_COLOURS};
use super::lines::data;
use super::svg::{Canvas, Paint, Stroke, Text};
use super::table::{BallLook, Fan, Inset, View, ball, fan, furniture, inset, lie_for};
use super::text::{self, Weight};
use super::theme::{Board, Caption, Theme};
use super::{Chart, ChartError, Choice, Picture, Request, behind};
use crate::gear::Gear;
use crate::pocket::{Acceptance, How, PocketFrame, PocketKind, PocketName};
use crate::units::{Angle, Length, speak};
use crate::window::{AimWindow, Shot, Window, roll_word};

/// The shot from above.
#[derive(Debug, Clone, Copy)]
pub struct ShotChart;

/// `Corner` or `Side`, to begin a line with.
pub(crate) fn kind_word(kind: PocketKind) -> &'static str {
    match kind {
        PocketKind::Corner => "Corner",
        PocketKind::Side => "Side",
    }
}

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
    let object = place(shot.object, "object ball", radius)?;
    let cue = place(shot.cue, "cue ball", 0.5 * gear.balls.cue_diameter_m)?;
    Ok((frame, cue, object))
}

/// Words of the ways a ball drops, in the order of their fills.
const HOWS: [(How, &str); 3] = [
    (How::Clean, "untouched"),
    (How::Jaw, "off the jaws"),
    (How::Rail, "off the rail"),
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

    /// What the glasses look at and how far around it, m: the ghost ball and the pocket.
    fn looked_at(&self) -> [(Point, f64); 2] {
        // Three ball widths across the glass at the ghost ball, two mouths at the pocket (for the eye).
        let ghost_m = 3.0 * self.gear.object_radius_m();
        let pocket_m = self.frame.kind.spec(self.gear).mouth_m;
        let into = Vec2::from_angle(self.frame.axis_rad) * (0.1 * pocket_m);
        [
            (self.ghost(0.0).midpoint(self.object), ghost_m),
            (self.frame.mouth_middle + into, pocket_m),
        ]
    }

    /// What the glass and the table both show.
    fn content(&self, canvas: &mut Canvas, view: &View, hair: f64) {
        let (low, high) = self.part.interval_rad();
        let aim = self.aim_rad();
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
        let wedge = Fan {
            apex_m: self.cue,
            directions_rad: (aim + low, aim + high),
            reach_m: self.window.aim.travel_m,
        };
        let ink = LINE_COLOURS[0];
        let paint = Paint::fill(ink)
            .see_through(0.35)
            .edged(Stroke::new(ink, hair));
        fan(canvas, view, &wedge, &paint);
        let radius = self.gear.object_radius_m();
        for other in &self.others {
            ball(canvas, view, *other, radius, BallLook::Other);
        }
        ball(canvas, view, self.object, radius, BallLook::Object);
        let cue_radius = self.gear.contact_distance_m() - radius;
        for delta in [low, high] {
            ball(canvas, view, self.ghost(delta), cue_radius, BallLook::Ghost);
        }
        ball(canvas, view, self.cue, cue_radius, BallLook::Cue);
    }
}

impl Chart for ShotChart {
    fn name(&self) -> &'static str {
        "shot"
    }

    fn question(&self) -> &'static str {
        "Where may the cue ball go, and what does the pocket take?"
    }

    fn choices(&self) -> &'static [Choice] {
        &[Choice::EyeHeight]
    }

    fn draw(&self, request: &Request) -> Result<Picture, ChartError> {
        let (gear, shot) = (&request.gear, request.shot(self.name())?);
        let (frame, cue, object) = laid(gear, shot)?;
        let solution = request.solved(shot)?;
        let window = solution
            .window
            .map_err(|no| ChartError::NoRoom(no.words().to_owned()))?;
        let (what, part) = [
            ("untouched", window.clean),
            ("off the jaws", window.direct),
            ("off the rail", window.drop),
        ]
        .into_iter()
        .find_map(|(n, w)| w.map(|w| (n, w)))
        .ok_or_else(|| ChartError::NoRoom("no part can be hit".to_owned()))?;
        let acceptance = solution
            .acceptance
            .as_ref()
            .ok_or_else(|| ChartError::NoRoom("the ball does not drop".to_owned()))?;
        let scene = Scene {
            gear,
            frame,
            cue,
            object,
            acceptance,
            window: &window,
            part,
            others: request.others(),
        };
        if let Some(eye_m) = request.options.eye_height_m {
            let caption = caption(&scene, shot, what, &behind::seen(eye_m));
            return behind::draw(request, &scene, &caption, eye_m);
        }
        let caption = caption(&scene, shot, what, &ABOVE);
        let mut board = Board::new(request.size, &caption);
        board.need(240.0, 120.0)?;
        let theme = board.theme;
        let body = key(&mut board.canvas, &theme, board.body);
        draw_scene(&mut board.canvas, &theme, request, body, &scene);
        board.finish(&caption)
    }
}

/// From where the scene is seen, for the words around it.
pub(super) struct Seen {
    /// The footer's first sentence.
    pub(super) first: String,
    /// What the footer says of the ghost ball's outlines.
    pub(super) outlines: &'static str,
    /// "from above".
    pub(super) from: &'static str,
}

const ABOVE: Seen = Seen {
    first: String::new(),
    outlines: " Dashed: ghost ball at the fullest and thinnest hit.",
    from: "from above",
};

fn caption(scene: &Scene<'_>, shot: &Shot, what: &str, seen: &Seen) -> Caption {
    let (gear, window, part) = (scene.gear, scene.window, &scene.part);
    let length = |m: f64| speak::distance(Length::from_m(m), crate::units::UnitSystem::Metric);
    let each = 0.5 * part.total_rad();
    Caption {
        title: format!(
            "{} each side {what}: {:.1} mm at the ghost ball",
            speak::degrees(Angle::from_rad(each)),
            500.0 * (window.ghost_offset_m(part.thick_rad) + window.ghost_offset_m(part.thin_rad))
        ),
        subtitle: format!(
            "Cut {}, {} between the balls, {} to the {} pocket; {}",
            speak::degrees(Angle::from_rad(window.cut_rad.abs())),
            length(shot.apart_m()),
            length(shot.object.to_vec2().hypot()),
            shot.frame.kind.name(),
            gear.spoken()
        ),
        footer: format!(
            "{}Wedge: the cue ball's directions {what}, about the aim.{} Assumed: {} m/s at the pocket, {}, standard bounce.",
            seen.first,
            seen.outlines,
            shot.stroke.pace_m_s,
            roll_word(shot.stroke.roll)
        ),
        desc: format!(
            "The table {} with the cue ball, the object ball and the directions that drop; the window is {:.3} degrees in all, {what}.",
            seen.from,
            part.total_rad().to_degrees()
        ),
    }
}

/// The ways of dropping above the table; gives the room below.
pub(super) fn key(canvas: &mut Canvas, theme: &Theme, body: Rect) -> Rect {
    let y = body.y0 + 0.6 * theme.label;
    let mut x = body.x0;
    for (k, (_, name)) in HOWS.iter().enumerate() {
        let f = colour::part_fill(k);
        let at = Point::new(x + 0.5 * theme.label, y);
        let side = Rect::from_center_size(at, (theme.label, 0.9 * theme.label));
        canvas.rect(
            side,
            &Paint::fill(f.area).edged(Stroke::new(f.edge, theme.hair)),
        );
        let words = Point::new(x + 1.4 * theme.label, y);
        canvas.text(&Text::new(name, words, theme.label).centred());
        x += 2.8 * theme.label + text::width(name, theme.label, Weight::Regular);
    }
    Rect::new(body.x0, y + theme.label, body.x1, body.y1)
}

/// The table, and two glasses beside or above it: the ghost ball and the pocket.
fn draw_scene(canvas: &mut Canvas, theme: &Theme, request: &Request, body: Rect, scene: &Scene) {
    let upright = request.size.height_px > request.size.width_px;
    let words = 2.0 * theme.tick;
    // A quarter of the longer side for the glasses (for the eye).
    let (room, glasses) = if upright {
        let cut = body.y0 + 0.26 * body.height();
        let top = Rect::new(body.x0, body.y0, body.x1, cut);
        (Rect::new(body.x0, cut, body.x1, body.y1), top)
    } else {
        let cut = body.x1 - 0.26 * body.width();
        let right = Rect::new(cut, body.y0, body.x1, body.y1);
        (Rect::new(body.x0, body.y0, cut, body.y1), right)
    };
    let view = View::whole(scene.gear, room, lie_for(request.size));
    canvas.open_group(&[
        ("class", "shot"),
        ("data-window-rad", &{
            let (low, high) = scene.part.interval_rad();
            data([low, high].into_iter())
        }),
        ("data-aim-rad", &scene.aim_rad().to_string()),
    ]);
    furniture(canvas, scene.gear, &view, theme.hair);
    scene.content(canvas, &view, theme.hair);
    canvas.close_group();
    let (w, h) = (glasses.width(), glasses.height());
    let radius = if upright {
        (0.25 * w).min(0.5 * (h - words))
    } else {
        (0.5 * w).min(0.25 * h - 0.5 * words)
    } * 0.92;
    let middle = |k: f64| {
        if upright {
            Point::new(glasses.x0 + (0.25 + 0.5 * k) * w, glasses.y0 + radius)
        } else {
            Point::new(glasses.center().x, glasses.y0 + radius + k * 0.5 * h)
        }
    };
    let mut glasses = scene.looked_at();
    // In the order of the places they look at, so that their stems do not cross.
    let along = |p: Point| {
        if upright {
            view.map(p).x
        } else {
            view.map(p).y
        }
    };
    glasses.sort_by(|a, b| along(a.0).total_cmp(&along(b.0)));
    for (k, (focus_m, reach_m)) in [0.0, 1.0].into_iter().zip(glasses) {
        let glass = Inset {
            focus_m,
            at: middle(k),
            radius,
            // Whole halves, so that the words below are exact.
            factor: (2.0 * radius / (reach_m * view.scale)).floor().max(2.0) / 2.0,
        };
        inset(canvas, theme, &view, &glass, |canvas, inner| {
            furniture(canvas, scene.gear, inner, theme.hair);
            scene.content(canvas, inner, theme.hair);
        });
    }
}
