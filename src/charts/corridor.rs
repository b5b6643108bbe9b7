//! Where the cue ball may run: the band a ball wide of the aim, and beside it what it may be off
//! towards a fuller and a thinner hit. On a table the margins are hairs, so they are drawn so many
//! times as wide, and the picture says how many.

use kurbo::{Point, Vec2};

use super::view::View;
use crate::draw::canvas::{Canvas, Paint, Stroke, arc_points};
use crate::draw::colour::{self, Fill, Rgb};
use crate::draw::lines::data;

/// How many times as wide margins are drawn, rounded down to one of these.
const TIMES: [f64; 11] = [
    1.0, 2.0, 3.0, 5.0, 10.0, 20.0, 30.0, 50.0, 100.0, 200.0, 500.0,
];
/// The widest margin is drawn no wider than this share of the ball's radius (for the eye).
const WIDEST: f64 = 0.9;
/// A margin of this share of the ball's radius is seen as it is.
const SEEN: f64 = 0.3;

/// One way of going in: its fill and its ends, rad, counter-clockwise from the aim.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Margin {
    pub(crate) fill: Fill,
    pub(crate) ends_rad: (f64, f64),
}

/// Where the cue ball may run, on the plan.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Corridor {
    /// The cue ball's middle.
    pub(crate) cue: Point,
    /// Its direction, rad counter-clockwise from +x.
    pub(crate) aim_rad: f64,
    /// How far it runs, m.
    pub(crate) reach_m: f64,
    /// Its radius, m.
    pub(crate) radius_m: f64,
    /// The ways of going in, the widest first.
    pub(crate) margins: Vec<Margin>,
}

impl Corridor {
    /// Sideways at the end of the run, m, left positive.
    fn off_m(&self, rad: f64) -> f64 {
        self.reach_m * rad.tan()
    }

    /// How many times as wide the margins are drawn; 1 where they are seen as they are.
    pub(crate) fn times(&self) -> f64 {
        let ends = self
            .margins
            .iter()
            .flat_map(|m| [m.ends_rad.0, m.ends_rad.1]);
        let widest = ends.map(|rad| self.off_m(rad).abs()).fold(0.0, f64::max);
        if widest <= 0.0 || widest >= SEEN * self.radius_m {
            return 1.0;
        }
        let most = WIDEST * self.radius_m / widest;
        let fits = TIMES.into_iter().filter(|times| *times <= most);
        fits.fold(1.0, f64::max)
    }

    /// The band that a ball sweeps to a place `off_m` left of the aim, closed: from the cue ball's middle
    /// along its left side, around its front, and back.
    pub(crate) fn lane(&self, off_m: f64) -> Vec<Point> {
        let ahead = Vec2::from_angle(self.aim_rad);
        let end = self.cue + ahead * self.reach_m + Vec2::new(-ahead.y, ahead.x) * off_m;
        let along = end - self.cue;
        let turn = along.atan2();
        let quarter = std::f64::consts::FRAC_PI_2;
        let side = Vec2::from_angle(turn + quarter) * self.radius_m;
        let mut lane = vec![self.cue - side, self.cue + side];
        lane.extend(arc_points(
            end,
            self.radius_m,
            turn + quarter,
            turn - quarter,
        ));
        lane
    }

    /// The two outermost lanes of a way of going in: to its right end and to its left, `times` as far off.
    pub(crate) fn edges(&self, margin: &Margin, times: f64) -> [Vec<Point>; 2] {
        let (right, left) = margin.ends_rad;
        [right, left].map(|rad| self.lane(times * self.off_m(rad)))
    }

    /// Where the aim lies within no way of going in, the lane of its middle; the aim's elsewhere.
    pub(crate) fn band(&self, times: f64) -> Vec<Point> {
        let holds = |m: &Margin| m.ends_rad.0 <= 0.0 && m.ends_rad.1 >= 0.0;
        match self.margins.last() {
            Some(last) if !self.margins.iter().any(holds) => {
                let middle = 0.5 * (last.ends_rad.0 + last.ends_rad.1);
                self.lane(times * self.off_m(middle))
            }
            _ => self.lane(0.0),
        }
    }

    /// Draws it, its margins so many times as wide.
    pub(crate) fn draw(&self, canvas: &mut Canvas, view: &View, times: f64, hair: f64) {
        let ends = self
            .margins
            .iter()
            .flat_map(|m| [m.ends_rad.0, m.ends_rad.1]);
        canvas.open_group(&[
            ("class", "corridor"),
            ("data-times", &times.to_string()),
            ("data-cue-m", &format!("{} {}", self.cue.x, self.cue.y)),
            ("data-aim-rad", &self.aim_rad.to_string()),
            ("data-reach-m", &self.reach_m.to_string()),
            ("data-ends-rad", &data(ends)),
        ]);
        let on = |lane: Vec<Point>| -> Vec<Point> { lane.iter().map(|p| view.map(*p)).collect() };
        for margin in &self.margins {
            for lane in self.edges(margin, times) {
                canvas.polygon(&on(lane), &Paint::fill(margin.fill.area));
            }
        }
        let edge = Stroke::new(colour::BLUE, 0.7 * hair);
        canvas.polygon(&on(self.band(times)), &Paint::fill(BAND).edged(edge));
        canvas.close_group();
    }
}

/// The band itself: a pale blue.
pub(crate) const BAND: Rgb = Rgb(0xD3, 0xE5, 0xF1);

/// A run of a ball, as wide as the ball, in a pale tint; its end is rounded.
pub(crate) fn ribbon(
    canvas: &mut Canvas,
    view: &View,
    points_m: &[Point],
    radius_m: f64,
    tint: Rgb,
) {
    canvas.open_group(&[("class", "run")]);
    for pair in points_m.windows(2) {
        let along = pair[1] - pair[0];
        if along.hypot() <= 1e-6 {
            continue;
        }
        let turn = along.atan2();
        let quarter = std::f64::consts::FRAC_PI_2;
        let side = Vec2::from_angle(turn + quarter) * radius_m;
        let mut lane = vec![pair[0] - side, pair[0] + side];
        lane.extend(arc_points(
            pair[1],
            radius_m,
            turn + quarter,
            turn - quarter,
        ));
        let lane: Vec<Point> = lane.into_iter().map(|p| view.map(p)).collect();
        canvas.polygon(&lane, &Paint::fill(tint));
    }
    canvas.close_group();
}

/// Where an object ball runs: a pale tint of its colour.
pub(crate) const OBJECT_RUN: Rgb = Rgb(0xE3, 0xCD, 0xDC);
/// Where a cue ball runs after the contact: paler than the object ball's run, and grey.
pub(crate) const CUE_RUN: Rgb = Rgb(0xD5, 0xDA, 0xDD);
