//! One shot as the player sees it: from behind the cue ball along the aim, in true perspective.
//!
//! The eye is a stated height above the cloth and a stated way behind the cue ball. The cue ball at
//! contact is shaded: darkest where every make covers, lighter to the fullest and the thinnest.

use kurbo::{Point, Rect};

use super::corridor::BAND;
use super::scene::{Scene, fill, key};
use super::view::{CLOTH, CUSHION, HOLE, Lens, OUTLINE, PocketOutline, RAIL_M, WOOD, lens};
use super::words::shot::{self as words, Seen};
use super::{ChartError, Request};
use crate::draw::Picture;
use crate::draw::canvas::{Canvas, Clip, Paint, Stroke, Text, arc_points};
use crate::draw::colour::{self, LINE_COLOURS, Rgb};
use crate::draw::perspective::{Eye, Place, Screen, around};
use crate::draw::text::{self, Weight};
use crate::draw::theme::{Board, Caption, Theme};
use crate::gear::Gear;
use crate::pocket::PocketName;

/// The eye's way behind the cue ball, m (assumption: chin over the cue, an arm's length back).
const BACK_M: f64 = 0.6;
/// Lowest and highest eye, m (assumption: chin on the cue, a tall person standing).
pub const EYE_HEIGHTS_M: (f64, f64) = (0.1, 2.0);
/// The eye where nobody says otherwise, m (assumption: head well down on the shot).
pub const USUAL_EYE_M: f64 = 0.35;

/// Pockets counter-clockwise around the bed.
const ROUND: [PocketName; 6] = [
    PocketName::FootRight,
    PocketName::FootLeft,
    PocketName::SideLeft,
    PocketName::HeadLeft,
    PocketName::HeadRight,
    PocketName::SideRight,
];

/// Where the cue ball may meet the object ball.
struct Ghosts {
    fullest: Point,
    thinnest: Point,
}

/// The scene with the eye that looks at it.
struct Look<'a> {
    scene: &'a Scene<'a>,
    eye: Eye,
    ghosts: Ghosts,
    hair: f64,
}

/// What the words say of this view.
pub(super) fn seen(eye_m: f64) -> Seen {
    Seen::Behind {
        back_m: BACK_M,
        eye_m,
    }
}

/// Draws the shot from behind the cue ball.
pub(super) fn draw(
    request: &Request,
    scene: &Scene<'_>,
    caption: &Caption,
    eye_m: f64,
) -> Result<Picture, ChartError> {
    let mut board = Board::new(request.size, caption);
    board.need(240.0, 120.0)?;
    let theme = board.theme;
    let (low, high) = scene.part.interval_rad();
    let (full, thin) = if scene.window.cut_side.is_left() {
        (high, low)
    } else {
        (low, high)
    };
    let ghosts = Ghosts {
        fullest: scene.ghost(full),
        thinnest: scene.ghost(thin),
    };
    let back = kurbo::Vec2::from_angle(scene.aim_rad()) * BACK_M;
    let looked_at = Place::new(scene.ghost(0.0), cue_radius_m(scene));
    let look = Look {
        scene,
        eye: Eye::new(scene.cue - back, eye_m, looked_at),
        ghosts,
        hair: theme.hair,
    };
    let body = key(&mut board.canvas, &theme, board.body, scene);
    let body = contact_key(&mut board.canvas, &theme, body);
    look.draw(&mut board.canvas, &theme, body, eye_m);
    Ok(board.finish(caption)?)
}

/// Room for the picture and for the glass.
fn rooms(theme: &Theme, body: Rect) -> (Rect, Rect) {
    let upright = body.height() > body.width();
    // A third of the longer side for the glass (for the eye).
    if upright {
        let cut = body.y0 + 0.34 * body.height();
        (
            Rect::new(body.x0, cut, body.x1, body.y1),
            Rect::new(body.x0, body.y0, body.x1, cut),
        )
    } else {
        let cut = body.x1 - 0.34 * body.width();
        (
            Rect::new(body.x0, body.y0, cut, body.y1),
            Rect::new(cut + theme.label, body.y0, body.x1, body.y1),
        )
    }
}

/// The shades of the cue ball at contact in a line of their own; gives the room below.
fn contact_key(canvas: &mut Canvas, theme: &Theme, body: Rect) -> Rect {
    let y = body.y0 + 0.5 * theme.label;
    let mut x = body.x0;
    for (layers, name) in [(2, words::COVERED[0]), (1, words::COVERED[1])] {
        let at = Point::new(x + 0.5 * theme.label, y);
        let side = Rect::from_center_size(at, (theme.label, 0.9 * theme.label));
        for _ in 0..layers {
            canvas.rect(side, &shade());
        }
        let beside = Point::new(x + 1.4 * theme.label, y);
        canvas.text(&Text::new(name, beside, theme.label).centred());
        x = beside.x + text::width(name, theme.label, Weight::Regular) + 1.2 * theme.label;
    }
    Rect::new(body.x0, y + theme.label, body.x1, body.y1)
}

/// One layer of shade: two of them where every make covers.
fn shade() -> Paint {
    Paint::fill(colour::BLUE).see_through(0.45)
}

const DASH: [f64; 2] = [3.0, 2.0];

impl Look<'_> {
    fn draw(&self, canvas: &mut Canvas, theme: &Theme, body: Rect, eye_m: f64) {
        let (room, side) = rooms(theme, body);
        let balls = self.balls();
        let [object, _, fullest, thinnest] = &balls;
        let ghost = [object, fullest, thinnest].into_iter().flatten();
        let (Some(seen), Some(near)) = (
            around(balls.iter().flatten().chain(&self.mouth())),
            around(ghost),
        ) else {
            return;
        };
        let margin = 0.08 * seen.width().max(seen.height());
        let screen = Screen::fit(seen.inflate(margin, margin), room);
        canvas.open_group(&[
            ("class", "behind"),
            (
                "data-eye-m",
                &format!("{} {} {eye_m}", self.foot().x, self.foot().y),
            ),
            (
                "data-screen",
                &format!(
                    "{} {} {} {} {}",
                    screen.focus.x, screen.focus.y, screen.at.x, screen.at.y, screen.scale
                ),
            ),
        ]);
        canvas.open_clip(&Clip::Rect(room));
        self.content(canvas, &screen);
        canvas.close_group();
        canvas.rect(room, &Paint::line(Stroke::new(colour::SOFT_INK, self.hair)));
        canvas.close_group();
        let words = 2.0 * theme.tick;
        let radius = 0.47 * side.width().min(side.height() - words);
        let glass = Lens {
            place: screen.map(near.center()),
            at: side.center() - kurbo::Vec2::new(0.0, 0.5 * words),
            radius,
            // The three outlines fill the glass; whole halves, so that the words are exact.
            factor: (2.0 * 1.9 * radius / (near.size().to_vec2().hypot() * screen.scale))
                .floor()
                .max(2.0)
                / 2.0,
        };
        let inner = Screen {
            focus: near.center(),
            at: glass.at,
            scale: screen.scale * glass.factor,
            frame: Rect::from_center_size(glass.at, (2.0 * radius, 2.0 * radius)),
        };
        lens(canvas, theme, &glass, |canvas| self.content(canvas, &inner));
    }

    fn foot(&self) -> Point {
        self.scene.cue - kurbo::Vec2::from_angle(self.scene.aim_rad()) * BACK_M
    }

    /// Outlines of the object ball, the cue ball and the two ghost balls, far ones first.
    fn balls(&self) -> [Vec<Point>; 4] {
        let (scene, cue_radius) = (self.scene, cue_radius_m(self.scene));
        [
            self.eye.ball(scene.object, scene.gear.object_radius_m()),
            self.eye.ball(scene.cue, cue_radius),
            self.eye.ball(self.ghosts.fullest, cue_radius),
            self.eye.ball(self.ghosts.thinnest, cue_radius),
        ]
    }

    /// The pocket's mouth at the height of the noses and on the slate.
    fn mouth(&self) -> Vec<Point> {
        let frame = &self.scene.frame;
        let outline = PocketOutline::in_frame(self.scene.gear, frame);
        let jaws = [outline.left[0], outline.right[0]].map(|p| frame.to_plan(p));
        let nose = self.scene.gear.nose_height_m();
        let corners = [
            Place::on_slate(jaws[0]),
            Place::on_slate(jaws[1]),
            Place::new(jaws[1], nose),
            Place::new(jaws[0], nose),
        ];
        self.eye.shape(corners)
    }

    /// What the picture and the glass both show, far things first.
    fn content(&self, canvas: &mut Canvas, screen: &Screen) {
        let on = |points: Vec<Point>| -> Vec<Point> {
            points.into_iter().map(|p| screen.map(p)).collect()
        };
        self.furniture(canvas, screen);
        self.fans(canvas, screen);
        let mouth = Stroke::new(LINE_COLOURS[0], 1.4 * self.hair).dashed(&DASH);
        canvas.open_group(&[("class", "mouth")]);
        canvas.polygon(&on(self.mouth()), &Paint::line(mouth));
        canvas.close_group();
        let ink = Stroke::new(colour::INK, self.hair);
        let [object, cue, fullest, thinnest] = self.balls().map(on);
        let ball = |canvas: &mut Canvas, class: &str, outline: &[Point], paint: &Paint| {
            canvas.open_group(&[("class", class)]);
            canvas.polygon(outline, paint);
            canvas.close_group();
        };
        let object_paint = Paint::fill(colour::OBJECT_BALL).edged(ink.clone());
        ball(canvas, "object ball", &object, &object_paint);
        ball(canvas, "ghost ball fullest", &fullest, &shade());
        ball(canvas, "ghost ball thinnest", &thinnest, &shade());
        let white = Paint::fill(Rgb::WHITE).edged(ink);
        ball(canvas, "cue ball", &cue, &white);
    }

    /// Directions that drop, and the cue ball's, on the cloth.
    fn fans(&self, canvas: &mut Canvas, screen: &Screen) {
        let scene = self.scene;
        let fan = |apex: Point, (from, to): (f64, f64), reach: f64| -> Vec<Point> {
            let arc = arc_points(apex, reach, from, to);
            let places = std::iter::once(apex).chain(arc).map(Place::on_slate);
            screen.shape(self.eye.shape(places))
        };
        for piece in scene.acceptance.pieces.spans() {
            let base = scene.frame.axis_rad + scene.acceptance.approach_rad;
            let f = colour::part_fill(fill(piece.tag));
            let directions = (base + piece.from_rad, base + piece.to_rad);
            let shape = fan(scene.object, directions, scene.acceptance.distance_m);
            let paint = Paint::fill(f.area).edged(Stroke::new(f.edge, 0.5 * self.hair));
            lay(canvas, &shape, &paint);
        }
        let (corridor, times) = (scene.corridor(), scene.times());
        let floor = |lane: Vec<Point>| -> Vec<Point> {
            let places = lane.into_iter().map(|p| Place::new(p, 0.0));
            screen.shape(self.eye.shape(places))
        };
        canvas.open_group(&[("class", "corridor"), ("data-times", &times.to_string())]);
        for margin in &corridor.margins {
            for lane in corridor.edges(margin, times) {
                lay(canvas, &floor(lane), &Paint::fill(margin.fill.area));
            }
        }
        let edge = Stroke::new(colour::BLUE, 0.7 * self.hair);
        let band = Paint::fill(BAND).edged(edge);
        lay(canvas, &floor(corridor.band(times)), &band);
        canvas.close_group();
    }

    /// Cloth, pockets, the noses' faces, and the rails' tops, which may hide what is behind them.
    fn furniture(&self, canvas: &mut Canvas, screen: &Screen) {
        let gear = self.scene.gear;
        let nose = gear.nose_height_m();
        let paint = |canvas: &mut Canvas, shape: Vec<Point>, paint: &Paint| {
            lay(canvas, &screen.shape(shape), paint);
        };
        let at = |height: f64| move |p: &Point| Place::new(*p, height);
        let inner = inner_edge(gear);
        let slate: Vec<Point> = inner
            .iter()
            .flat_map(|(points, _)| points.clone())
            .collect();
        paint(
            canvas,
            self.eye.shape(slate.iter().map(at(0.0))),
            &Paint::fill(CLOTH),
        );
        for name in ROUND {
            let (frame, shape) = (name.frame(gear), PocketOutline::named(gear, name));
            let round = arc_points(
                shape.cutout_centre,
                shape.cutout_radius_m,
                0.0,
                std::f64::consts::TAU,
            );
            let hole = round.into_iter().map(|p| Place::on_slate(frame.to_plan(p)));
            paint(canvas, self.eye.shape(hole), &Paint::fill(HOLE));
        }
        let runs = inner.iter().flat_map(|(points, lined)| {
            let joints = points.windows(2).map(|w| (w[0], w[1]));
            joints.map(|(a, b)| (a, b, *lined))
        });
        for (a, b, lined) in runs {
            if self.eye.sees_left_of(a, b) {
                let wall = self.eye.shape([
                    Place::on_slate(a),
                    Place::on_slate(b),
                    Place::new(b, nose),
                    Place::new(a, nose),
                ]);
                let look = if lined { HOLE } else { CUSHION };
                // An edge of its own colour closes the seams between neighbours.
                let seam = Stroke::new(look, 0.5 * self.hair);
                paint(canvas, wall, &Paint::fill(look).edged(seam));
            }
        }
        let (l, w) = (gear.bed.length_m, gear.bed.width_m);
        let outer = Rect::new(-RAIL_M, -RAIL_M, l + RAIL_M, w + RAIL_M);
        let outer = outer_corners(outer);
        let rings: Vec<Vec<Point>> = [&outer[..], &slate[..]]
            .map(|ring| screen.shape(self.eye.shape(ring.iter().map(at(nose)))))
            .into_iter()
            .filter(|ring| !ring.is_empty())
            .collect();
        let wood = Paint::fill(WOOD).edged(Stroke::new(OUTLINE, 0.7 * self.hair));
        canvas.rings(&rings, &wood);
    }
}

/// Paints a shape if any of it is seen.
fn lay(canvas: &mut Canvas, shape: &[Point], paint: &Paint) {
    if !shape.is_empty() {
        canvas.polygon(shape, paint);
    }
}

fn cue_radius_m(scene: &Scene<'_>) -> f64 {
    0.5 * scene.gear.balls.cue_diameter_m
}

fn outer_corners(r: Rect) -> [Point; 4] {
    [
        Point::new(r.x0, r.y0),
        Point::new(r.x1, r.y0),
        Point::new(r.x1, r.y1),
        Point::new(r.x0, r.y1),
    ]
}

/// The rails' inner edge counter-clockwise: straight runs and facings, and, marked, the pockets'
/// backs. Each run starts where the last one ends.
fn inner_edge(gear: &Gear) -> Vec<(Vec<Point>, bool)> {
    let mut out: Vec<(Vec<Point>, bool)> = Vec::new();
    let mut last: Option<Point> = None;
    let mut first: Option<Point> = None;
    for name in ROUND {
        let (frame, shape) = (name.frame(gear), PocketOutline::named(gear, name));
        let plan = |p: &Point| frame.to_plan(*p);
        let (Some(end), centre) = (shape.left.last(), shape.cutout_centre) else {
            continue;
        };
        let open = (*end - centre).atan2();
        let mut run: Vec<Point> = last.into_iter().collect();
        run.extend(shape.right.iter().map(plan));
        first = first.or(run.first().copied());
        out.push((run, false));
        let back = arc_points(centre, shape.cutout_radius_m, -open, open);
        out.push((back.iter().map(plan).collect(), true));
        let run: Vec<Point> = shape.left.iter().rev().map(plan).collect();
        last = run.last().copied();
        out.push((run, false));
    }
    if let (Some(a), Some(b)) = (last, first) {
        out.push((vec![a, b], false));
    }
    out
}
