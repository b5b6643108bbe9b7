//! The table from above, to scale, drawn from a gear.
//!
//! Rails, cushions and pockets follow the gear's numbers; only the width of the wood and the depth
//! of the cushions behind their noses are for the eye.

use std::f64::consts::FRAC_PI_2;

use kurbo::{Point, Rect, Vec2};

use crate::draw::Size;
use crate::draw::canvas::{Anchor, Canvas, Clip, Paint, Stroke, Text, arc_points};
use crate::draw::colour::{self, Rgb};
use crate::draw::theme::Theme;
use crate::gear::{Gear, Marks, PocketSpec};
use crate::pocket::{PocketFrame, PocketKind, PocketName};
use crate::units::Spot;

/// Nose to the outer edge of the rail, m (assumption: for the eye only).
pub const RAIL_M: f64 = 0.165;
/// Depth of the cushions behind their noses, m (assumption: for the eye only).
const CUSHION_M: f64 = 0.05;
/// Nose to the diamonds' middles, m (assumption: for the eye only).
const DIAMOND_M: f64 = 0.11;

/// Wood.
pub(super) const WOOD: Rgb = Rgb(0xDD, 0xD3, 0xC7);
/// Cushions.
pub(super) const CUSHION: Rgb = Rgb(0xB9, 0xCB, 0xC4);
/// Cloth: pale, so that ink reads on it and printers are spared.
pub const CLOTH: Rgb = Rgb(0xEF, 0xF4, 0xF1);
/// Where the slate ends.
pub(super) const HOLE: Rgb = Rgb(0x3A, 0x40, 0x45);
/// Outlines of furniture.
pub(super) const OUTLINE: Rgb = Rgb(0x75, 0x7D, 0x80);

/// How a plan in metres lies on the canvas: turned, scaled, moved, y up to y down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct View {
    /// This place of the plan, m …
    pub focus_m: Point,
    /// … lies here on the canvas.
    pub at: Point,
    /// User units per metre.
    pub scale: f64,
    /// The plan is turned counter-clockwise by this much.
    pub turn_rad: f64,
}

/// Which way round a whole table is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Lie {
    /// Head left, foot right.
    #[default]
    Wide,
    /// Head below, foot above, as a player at the head sees it.
    Upright,
}

impl View {
    /// The whole table with its rails, as large as `room` allows, in its middle.
    #[must_use]
    pub fn whole(gear: &Gear, room: Rect, lie: Lie) -> Self {
        let (l, w) = (
            gear.bed.length_m + 2.0 * RAIL_M,
            gear.bed.width_m + 2.0 * RAIL_M,
        );
        let (across, up, turn_rad) = match lie {
            Lie::Wide => (l, w, 0.0),
            Lie::Upright => (w, l, FRAC_PI_2),
        };
        Self {
            focus_m: Point::new(0.5 * gear.bed.length_m, 0.5 * gear.bed.width_m),
            at: room.center(),
            scale: (room.width() / across).min(room.height() / up),
            turn_rad,
        }
    }

    /// From the plan to the canvas.
    #[must_use]
    pub fn map(&self, p: Point) -> Point {
        self.at + self.direction(p - self.focus_m) * self.scale
    }

    /// A vector of the plan on the canvas, length kept.
    #[must_use]
    pub fn direction(&self, v: Vec2) -> Vec2 {
        let (s, c) = self.turn_rad.sin_cos();
        Vec2::new(c * v.x - s * v.y, -(s * v.x + c * v.y))
    }

    /// From the canvas back to the plan.
    #[must_use]
    pub fn unmap(&self, p: Point) -> Point {
        let v = (p - self.at) / self.scale;
        let (s, c) = self.turn_rad.sin_cos();
        self.focus_m + Vec2::new(c * v.x - s * v.y, -s * v.x - c * v.y)
    }
}

/// Outline of one pocket in its own frame (origin at the mouth's middle, x into the pocket).
#[derive(Debug, Clone, PartialEq)]
pub struct PocketOutline {
    /// End of the straight left rail, around the jaw, along the facing to the slate cut.
    pub left: Vec<Point>,
    /// The same on the right.
    pub right: Vec<Point>,
    /// Where the left cushion's facing would reach the back of the cushion.
    cushion_left: Point,
    /// Centre of the slate cut.
    pub cutout_centre: Point,
    /// Its radius, m.
    pub cutout_radius_m: f64,
}

impl PocketOutline {
    /// From a gear's numbers, all in metres.
    #[must_use]
    pub fn new(gear: &Gear, kind: PocketKind) -> Self {
        Self::of(kind, kind.spec(gear))
    }

    /// The same of one of the six.
    #[must_use]
    pub fn named(gear: &Gear, pocket: PocketName) -> Self {
        Self::of(pocket.kind(), &pocket.spec(gear))
    }

    /// The same of a frame's.
    #[must_use]
    pub fn in_frame(gear: &Gear, frame: &PocketFrame) -> Self {
        Self::of(frame.kind, &frame.spec(gear))
    }

    fn of(kind: PocketKind, spec: &PocketSpec) -> Self {
        let cutout_centre = Point::new(spec.shelf_m + spec.cutout_radius_m, 0.0);
        let jaw = Point::new(0.0, 0.5 * spec.mouth_m);
        let closing = spec.facing_angle_rad - (std::f64::consts::PI - kind.rail_angle_rad());
        let facing = Vec2::new(closing.cos(), -closing.sin());
        let (s, c) = kind.rail_angle_rad().sin_cos();
        let rail = Vec2::new(-c, s);
        let back = spec.jaw_tangent_m();
        let mut left = Vec::new();
        if spec.jaw_radius_m > 0.0 {
            // The rounding's centre lies its radius behind both lines.
            let behind_rail = Vec2::new(s, c);
            let behind_facing = Vec2::new(-facing.y, facing.x);
            let centre = jaw + rail * back + behind_rail * spec.jaw_radius_m;
            let (from, to) = ((-behind_rail).atan2(), (-behind_facing).atan2());
            let turn = (to - from).rem_euclid(std::f64::consts::TAU);
            left.extend(arc_points(centre, spec.jaw_radius_m, from, from + turn));
        } else {
            left.push(jaw);
        }
        let to_cut = meets_circle(jaw, facing, cutout_centre, spec.cutout_radius_m);
        if to_cut > back {
            left.push(jaw + facing * to_cut);
        } else {
            // The rounding reaches the cut before the facing does.
            end_at_circle(&mut left, cutout_centre, spec.cutout_radius_m);
        }
        let right = left.iter().map(|p| Point::new(p.x, -p.y)).collect();
        // Depth behind the rail grows along the facing by the sine of the angle between the two.
        let reach = CUSHION_M / spec.facing_angle_rad.sin();
        Self {
            left,
            right,
            cushion_left: jaw + facing * reach,
            cutout_centre,
            cutout_radius_m: spec.cutout_radius_m,
        }
    }

    /// Throat: from jaw to jaw and back to the slate cut.
    fn throat(&self) -> Vec<Point> {
        self.left
            .iter()
            .copied()
            .chain(self.right.iter().rev().copied())
            .collect()
    }
}

/// Cuts a line that runs into a circle off at its edge.
fn end_at_circle(line: &mut Vec<Point>, centre: Point, radius: f64) {
    let inside = |p: &Point| (*p - centre).hypot() < radius;
    let Some(first) = line.iter().position(inside).filter(|first| *first > 0) else {
        return;
    };
    let (from, to) = (line[first - 1], line[first]);
    let along = (to - from).normalize();
    line.truncate(first);
    line.push(from + along * meets_circle(from, along, centre, radius));
}

/// Distance along a ray to a circle; when it misses, to the point nearest the centre.
fn meets_circle(from: Point, along: Vec2, centre: Point, radius: f64) -> f64 {
    let to_centre = centre - from;
    let b = to_centre.dot(along);
    let discriminant = b * b - to_centre.hypot2() + radius * radius;
    b - discriminant.max(0.0).sqrt()
}

/// Draws rails, cushions, pockets and diamonds. `hair` is the width of outlines.
pub fn furniture(canvas: &mut Canvas, gear: &Gear, view: &View, hair: f64) {
    let (l, w) = (gear.bed.length_m, gear.bed.width_m);
    let outline = Stroke::new(OUTLINE, hair);
    let rect = |grow: f64| {
        [
            Point::new(-grow, -grow),
            Point::new(l + grow, -grow),
            Point::new(l + grow, w + grow),
            Point::new(-grow, w + grow),
        ]
        .map(|p| view.map(p))
    };
    canvas.open_group(&[
        ("class", "table"),
        ("data-bed-m", &format!("{l} {w}")),
        ("data-scale", &view.scale.to_string()),
    ]);
    canvas.polygon(&rect(RAIL_M), &Paint::fill(WOOD).edged(outline.clone()));
    canvas.polygon(&rect(0.0), &Paint::fill(CLOTH));
    let pockets = PocketName::ALL.map(|name| (name.frame(gear), PocketOutline::named(gear, name)));
    for (frame, shape) in &pockets {
        let throat: Vec<Point> = shape
            .throat()
            .iter()
            .map(|p| view.map(frame.to_plan(*p)))
            .collect();
        canvas.polygon(&throat, &Paint::fill(CLOTH));
        let centre = view.map(frame.to_plan(shape.cutout_centre));
        canvas.circle(
            centre,
            shape.cutout_radius_m * view.scale,
            &Paint::fill(HOLE),
        );
    }
    cushions(canvas, &pockets, view, &Paint::fill(CUSHION).edged(outline));
    match gear.bed.marks {
        Marks::Diamonds => diamonds(canvas, gear, view, hair),
        marks => lines_and_spots(canvas, gear, view, hair, marks),
    }
    canvas.close_group();
}

/// Chalk of lines and spots: reads on the pale cloth and does not look like a ball.
const LINE: Rgb = Rgb(0x8A, 0x96, 0x90);

/// Baulk line, D and spots of snooker; baulk line and spot of English pool.
fn lines_and_spots(canvas: &mut Canvas, gear: &Gear, view: &View, hair: f64, marks: Marks) {
    let bed = &gear.bed;
    let stroke = Stroke::new(LINE, hair);
    canvas.open_group(&[("class", "lines")]);
    let baulk = bed.baulk_m();
    path(
        canvas,
        view,
        &[Point::new(baulk, 0.0), Point::new(baulk, bed.width_m)],
        &stroke,
    );
    if marks == Marks::Snooker {
        let middle = bed.spot(Spot::Brown);
        let (from, to) = (FRAC_PI_2, 3.0 * FRAC_PI_2);
        path(
            canvas,
            view,
            &arc_points(middle, bed.d_radius_m(), from, to),
            &stroke,
        );
    }
    for spot in spots(marks) {
        // 5 mm to each side (assumption: for the eye only).
        let r = (0.005 * view.scale).max(1.2 * hair);
        canvas.circle(view.map(bed.spot(*spot)), r, &Paint::fill(LINE));
    }
    canvas.close_group();
}

/// The spots that are marked on a table.
#[must_use]
pub const fn spots(marks: Marks) -> &'static [Spot] {
    match marks {
        Marks::Diamonds => &[],
        Marks::Snooker => &[
            Spot::Brown,
            Spot::Yellow,
            Spot::Green,
            Spot::Blue,
            Spot::Pink,
            Spot::Black,
        ],
        Marks::English => &[Spot::EightBall],
    }
}

/// The six cushions, each between two neighbouring pockets.
fn cushions(
    canvas: &mut Canvas,
    pockets: &[(PocketFrame, PocketOutline); 6],
    view: &View,
    paint: &Paint,
) {
    let of = |name: PocketName| pockets.iter().find(|(f, _)| f.name == Some(name));
    use PocketName::{FootLeft, FootRight, HeadLeft, HeadRight, SideLeft, SideRight};
    // Counter-clockwise around the bed: leaving the first pocket by its left jaw (its axis points
    // outwards, so left of it is counter-clockwise ahead), reaching the second by its right jaw.
    let round = [
        (FootRight, FootLeft),
        (FootLeft, SideLeft),
        (SideLeft, HeadLeft),
        (HeadLeft, HeadRight),
        (HeadRight, SideRight),
        (SideRight, FootRight),
    ];
    for (a, b) in round {
        let (Some((fa, sa)), Some((fb, sb))) = (of(a), of(b)) else {
            continue;
        };
        let facing_end = 1;
        let mut points = vec![fa.to_plan(sa.cushion_left)];
        points.extend(
            sa.left
                .iter()
                .rev()
                .skip(facing_end)
                .map(|p| fa.to_plan(*p)),
        );
        points.extend(
            sb.right
                .iter()
                .take(sb.right.len() - facing_end)
                .map(|p| fb.to_plan(*p)),
        );
        points.push(fb.to_plan(Point::new(sb.cushion_left.x, -sb.cushion_left.y)));
        let points: Vec<Point> = points.into_iter().map(|p| view.map(p)).collect();
        canvas.polygon(&points, paint);
    }
}

fn diamonds(canvas: &mut Canvas, gear: &Gear, view: &View, hair: f64) {
    let (l, w) = (gear.bed.length_m, gear.bed.width_m);
    let long = (1..8).filter(|i| *i != 4).map(|i| f64::from(i) * l / 8.0);
    let short = (1..4).map(|i| f64::from(i) * w / 4.0);
    let places = long
        .flat_map(|x| [Point::new(x, -DIAMOND_M), Point::new(x, w + DIAMOND_M)])
        .chain(short.flat_map(|y| [Point::new(-DIAMOND_M, y), Point::new(l + DIAMOND_M, y)]));
    for p in places {
        let at = view.map(p);
        // 12 mm to each side (assumption: for the eye only).
        let r = 0.012 * view.scale;
        let corners = [(0.0, -r), (r, 0.0), (0.0, r), (-r, 0.0)];
        let points = corners.map(|(dx, dy)| at + Vec2::new(dx, dy));
        let paint = Paint::fill(Rgb::WHITE).edged(Stroke::new(OUTLINE, 0.7 * hair));
        canvas.polygon(&points, &paint);
    }
}

/// How a ball is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BallLook {
    /// White with a dark rim.
    Cue,
    /// Filled.
    Object,
    /// Grey: in the way.
    Other,
    /// Pale, where a ball will be.
    Ghost,
    /// A ball of a colour of its own, with a broad rim where it is played.
    Coloured(Rgb, bool),
}

/// Draws a ball of `radius_m` at a place of the plan.
pub fn ball(canvas: &mut Canvas, view: &View, at_m: Point, radius_m: f64, look: BallLook) {
    let (at, r) = (view.map(at_m), radius_m * view.scale);
    let rim = (0.10 * r).clamp(0.02, 2.5);
    let (class, paint) = match look {
        BallLook::Cue => (
            "cue ball",
            Paint::fill(Rgb::WHITE).edged(Stroke::new(colour::INK, rim)),
        ),
        BallLook::Object => (
            "object ball",
            Paint::fill(colour::OBJECT_BALL).edged(Stroke::new(colour::INK, rim)),
        ),
        BallLook::Other => (
            "other ball",
            Paint::fill(Rgb(0xB0, 0xB6, 0xBA)).edged(Stroke::new(colour::INK, rim)),
        ),
        BallLook::Coloured(fill, played) => (
            if played { "object ball" } else { "other ball" },
            Paint::fill(fill).edged(Stroke::new(
                colour::INK,
                if played { 2.5 * rim } else { 0.6 * rim },
            )),
        ),
        BallLook::Ghost => (
            "ghost ball",
            Paint::fill(Rgb::WHITE)
                .see_through(0.75)
                .edged(Stroke::new(colour::SOFT_INK, 0.5 * rim)),
        ),
    };
    canvas.open_group(&[
        ("class", class),
        ("data-place-m", &format!("{} {}", at_m.x, at_m.y)),
        ("data-radius-m", &radius_m.to_string()),
    ]);
    canvas.circle(at, r, &paint);
    canvas.close_group();
}

/// The object ball's number in a picture of one shot.
pub(crate) const OBJECT_NUMBER: &str = "1";
/// Smallest letters on a ball, user units of a screen or mm (for the eye).
const LEAST_NUMBER: f64 = 9.0;

/// How large its number is written.
fn number_size(view: &View, radius_m: f64) -> f64 {
    1.2 * radius_m * view.scale
}

/// Whether a ball is large enough for its number.
pub(crate) fn carries_number(canvas: &Canvas, view: &View, radius_m: f64) -> bool {
    number_size(view, radius_m) >= LEAST_NUMBER * canvas.least_letters()
}

/// The object ball with its number, where the ball is large enough for it.
pub(crate) fn object_ball(
    canvas: &mut Canvas,
    view: &View,
    at_m: Point,
    radius_m: f64,
    number: &str,
) {
    ball(canvas, view, at_m, radius_m, BallLook::Object);
    if !carries_number(canvas, view, radius_m) {
        return;
    }
    let size = number_size(view, radius_m);
    let on = Text::new(number, view.map(at_m), size)
        .bold()
        .colour(Rgb::WHITE)
        .anchor(Anchor::Middle);
    canvas.text(&on.centred());
}

/// A fan of directions from a place, filled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fan {
    /// Where all directions start, m.
    pub apex_m: Point,
    /// First and last direction, rad counter-clockwise from +x.
    pub directions_rad: (f64, f64),
    /// How far it reaches, m.
    pub reach_m: f64,
}

/// Draws a fan.
pub fn fan(canvas: &mut Canvas, view: &View, fan: &Fan, paint: &Paint) {
    let (from, to) = fan.directions_rad;
    canvas.open_group(&[
        ("class", "fan"),
        ("data-apex-m", &format!("{} {}", fan.apex_m.x, fan.apex_m.y)),
        ("data-directions-rad", &format!("{from} {to}")),
    ]);
    let mut points = vec![view.map(fan.apex_m)];
    points.extend(
        arc_points(fan.apex_m, fan.reach_m, from, to)
            .into_iter()
            .map(|p| view.map(p)),
    );
    canvas.polygon(&points, paint);
    canvas.close_group();
}

/// Draws a path of the plan.
pub fn path(canvas: &mut Canvas, view: &View, points_m: &[Point], stroke: &Stroke) {
    let points: Vec<Point> = points_m.iter().map(|p| view.map(*p)).collect();
    canvas.polyline(&points, stroke);
}

/// A round magnifying glass over part of a view.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Inset {
    /// The place of the plan in its middle, m.
    pub focus_m: Point,
    /// Its middle on the canvas.
    pub at: Point,
    /// Its radius on the canvas.
    pub radius: f64,
    /// How much larger than the view it looks into.
    pub factor: f64,
}

/// Draws an inset: a ring around the place in `view`, a stem to the glass, the magnified content by
/// `draw`, the factor below.
pub fn inset(
    canvas: &mut Canvas,
    theme: &Theme,
    view: &View,
    spec: &Inset,
    draw: impl FnOnce(&mut Canvas, &View),
) {
    let glass = Lens {
        place: view.map(spec.focus_m),
        at: spec.at,
        radius: spec.radius,
        factor: spec.factor,
    };
    let inner = View {
        focus_m: spec.focus_m,
        at: spec.at,
        scale: view.scale * spec.factor,
        turn_rad: view.turn_rad,
    };
    lens(canvas, theme, &glass, |canvas| draw(canvas, &inner));
}

/// A round magnifying glass over a place of the canvas.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Lens {
    /// What it looks at.
    pub(super) place: Point,
    /// Its middle.
    pub(super) at: Point,
    /// Its radius.
    pub(super) radius: f64,
    /// How much larger.
    pub(super) factor: f64,
}

/// Draws the glass with its ring, its stem and its words; `draw` fills it.
pub(super) fn lens(
    canvas: &mut Canvas,
    theme: &Theme,
    spec: &Lens,
    draw: impl FnOnce(&mut Canvas),
) {
    let place = spec.place;
    let seen = spec.radius / spec.factor;
    let rim = Stroke::new(colour::SOFT_INK, 1.2 * theme.hair);
    canvas.circle(place, seen, &Paint::line(rim.clone()));
    let stem = spec.at - place;
    if stem.hypot() > seen {
        let along = stem.normalize();
        canvas.line(place + along * seen, spec.at - along * spec.radius, &rim);
    }
    canvas.circle(spec.at, spec.radius, &Paint::fill(CLOTH));
    canvas.open_clip(&Clip::Circle {
        centre: spec.at,
        radius: spec.radius,
    });
    draw(canvas);
    canvas.close_group();
    canvas.circle(spec.at, spec.radius, &Paint::line(rim));
    let words = format!("{} times larger", crate::draw::text::number(spec.factor));
    let below = Point::new(spec.at.x, spec.at.y + spec.radius + 1.1 * theme.tick);
    let t = Text::new(&words, below, theme.tick).anchor(Anchor::Middle);
    let plate = t.bounds().inflate(0.3 * theme.tick, 0.12 * theme.tick);
    canvas.rect(plate, &Paint::fill(Rgb::WHITE));
    canvas.text(&t);
}

/// Wide pictures show the table wide, tall ones upright.
#[must_use]
pub fn lie_for(size: Size) -> Lie {
    if size.height_px > size.width_px {
        Lie::Upright
    } else {
        Lie::Wide
    }
}
