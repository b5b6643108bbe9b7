//! True perspective: what an eye above the table sees, as lines through one point onto a plane.
//!
//! Lengths ahead, across and up are in metres from the eye; a picture is those divided by the length
//! ahead. A ball's outline is the circle in which the lines from the eye touch it, so it is exact,
//! away from the middle an ellipse.

use std::f64::consts::TAU;

use kurbo::{Point, Rect, Vec2};

/// Nothing nearer than this is drawn, m (assumption: far nearer than any ball).
const NEAR_M: f64 = 0.05;
/// Points of a ball's outline: chords leave it by less than a thousandth of its radius.
const OUTLINE_POINTS: u32 = 72;

/// A place over the plan.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Place {
    at: Point,
    /// Above the slate.
    height_m: f64,
}

impl Place {
    pub(crate) fn new(at: Point, height_m: f64) -> Self {
        Self { at, height_m }
    }

    pub(crate) fn on_slate(at: Point) -> Self {
        Self::new(at, 0.0)
    }
}

/// An eye and the way it looks.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Eye {
    /// Below it on the plan.
    foot_m: Point,
    height_m: f64,
    /// Unit vector on the plan.
    along: Vec2,
    /// Downwards, rad.
    pitch_rad: f64,
}

/// A place as the eye has it: to the right, up and ahead, m.
#[derive(Debug, Clone, Copy)]
struct Sight {
    right: f64,
    up: f64,
    ahead: f64,
}

impl Sight {
    fn lerp(self, other: Self, t: f64) -> Self {
        let mix = |a: f64, b: f64| a + (b - a) * t;
        Self {
            right: mix(self.right, other.right),
            up: mix(self.up, other.up),
            ahead: mix(self.ahead, other.ahead),
        }
    }

    /// On the picture plane, y down.
    fn seen(self) -> Point {
        Point::new(self.right / self.ahead, -self.up / self.ahead)
    }
}

impl Eye {
    /// Above `foot_m`, looking at a place.
    pub(crate) fn new(foot_m: Point, height_m: f64, looked_at: Place) -> Self {
        let to = looked_at.at - foot_m;
        Self {
            foot_m,
            height_m,
            along: to.normalize(),
            pitch_rad: (height_m - looked_at.height_m).atan2(to.hypot()),
        }
    }

    fn sight(&self, place: Place) -> Sight {
        let d = place.at - self.foot_m;
        let (level, left) = (d.dot(self.along), self.along.cross(d));
        let rise = place.height_m - self.height_m;
        let (s, c) = self.pitch_rad.sin_cos();
        Sight {
            right: -left,
            up: level * s + rise * c,
            ahead: level * c - rise * s,
        }
    }

    /// A closed shape on the picture plane, cut where it comes too near; empty when all of it does.
    pub(crate) fn shape(&self, places: impl IntoIterator<Item = Place>) -> Vec<Point> {
        let sights: Vec<Sight> = places.into_iter().map(|p| self.sight(p)).collect();
        let mut out = Vec::with_capacity(sights.len() + 2);
        for (k, b) in sights.iter().enumerate() {
            let a = sights[(k + sights.len() - 1) % sights.len()];
            if (a.ahead < NEAR_M) != (b.ahead < NEAR_M) {
                let t = (NEAR_M - a.ahead) / (b.ahead - a.ahead);
                out.push(a.lerp(*b, t).seen());
            }
            if b.ahead >= NEAR_M {
                out.push(b.seen());
            }
        }
        out
    }

    /// Outline of a ball lying on the slate; empty when it is not wholly ahead.
    pub(crate) fn ball(&self, at: Point, radius_m: f64) -> Vec<Point> {
        let c = self.sight(Place::new(at, radius_m));
        let far2 = c.right * c.right + c.up * c.up + c.ahead * c.ahead;
        let share = radius_m * radius_m / far2;
        if share >= 1.0 || c.ahead <= NEAR_M + radius_m {
            return Vec::new();
        }
        // The touching circle: its middle at (1 − R²/d²) of the way, its radius R√(1 − R²/d²).
        let middle = [c.right, c.up, c.ahead].map(|v| v * (1.0 - share));
        let radius = radius_m * (1.0 - share).sqrt();
        // Two directions square to the line of sight and to each other.
        let (far, level) = (far2.sqrt(), c.right.hypot(c.ahead));
        let first = [c.ahead / level, 0.0, -c.right / level];
        let second = [
            -c.right * c.up / (far * level),
            level / far,
            -c.up * c.ahead / (far * level),
        ];
        (0..OUTLINE_POINTS)
            .map(|k| {
                let (s, c) = (TAU * f64::from(k) / f64::from(OUTLINE_POINTS)).sin_cos();
                let at = |i: usize| middle[i] + radius * (c * first[i] + s * second[i]);
                Sight {
                    right: at(0),
                    up: at(1),
                    ahead: at(2),
                }
                .seen()
            })
            .collect()
    }

    /// Whether a wall along `from` → `to` shows its left side.
    pub(crate) fn sees_left_of(&self, from: Point, to: Point) -> bool {
        (to - from).cross(self.foot_m - from) > 0.0
    }
}

/// How the picture plane lies on the canvas.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Screen {
    /// This place of the picture plane …
    pub(crate) focus: Point,
    /// … lies here on the canvas.
    pub(crate) at: Point,
    /// User units for a slope of one.
    pub(crate) scale: f64,
    /// What lies outside is not seen.
    pub(crate) frame: Rect,
}

impl Screen {
    /// As large as `room` allows for what must be seen.
    pub(crate) fn fit(seen: Rect, room: Rect) -> Self {
        Self {
            focus: seen.center(),
            at: room.center(),
            scale: (room.width() / seen.width()).min(room.height() / seen.height()),
            frame: room,
        }
    }

    /// A closed shape on the canvas, cut a little outside the frame, so that its edges stay hidden;
    /// empty where nothing of it is seen. What is cut here need not be painted.
    pub(crate) fn shape(&self, points: impl IntoIterator<Item = Point>) -> Vec<Point> {
        const OUTSIDE: f64 = 8.0;
        let mut out: Vec<Point> = points.into_iter().map(|p| self.map(p)).collect();
        let frame = self.frame.inflate(OUTSIDE, OUTSIDE);
        let sides: [&dyn Fn(Point) -> f64; 4] = [
            &|p| p.x - frame.x0,
            &|p| frame.x1 - p.x,
            &|p| p.y - frame.y0,
            &|p| frame.y1 - p.y,
        ];
        for inside in sides {
            out = cut(&out, inside);
        }
        out
    }

    /// From the picture plane to the canvas.
    pub(crate) fn map(&self, p: Point) -> Point {
        self.at + (p - self.focus) * self.scale
    }
}

/// The part of a closed shape where `inside` is not negative (Sutherland and Hodgman, CACM 17
/// (1974), 32).
fn cut(shape: &[Point], inside: &dyn Fn(Point) -> f64) -> Vec<Point> {
    let mut out = Vec::with_capacity(shape.len() + 2);
    for (k, b) in shape.iter().enumerate() {
        let a = shape[(k + shape.len() - 1) % shape.len()];
        let (from, to) = (inside(a), inside(*b));
        if (from < 0.0) != (to < 0.0) {
            out.push(a.lerp(*b, from / (from - to)));
        }
        if to >= 0.0 {
            out.push(*b);
        }
    }
    out
}

/// The box around points.
pub(crate) fn around<'a>(points: impl IntoIterator<Item = &'a Point>) -> Option<Rect> {
    let mut points = points.into_iter();
    let first = points.next()?;
    Some(points.fold(Rect::from_points(*first, *first), |r, p| r.union_pt(*p)))
}
