//! Features laid out flat for the inner loop: lines with lines, circles with circles, all that is
//! needed of one beside each other.

use kurbo::{Point, Vec2};

use super::feature::{Feature, FeatureKind, SECTOR_SLACK_M, Shape};
use super::leg::Leg;
use super::meet::{GAP_SLACK_M, PathForm, SAME_TIME_S, STRAIGHT, falls_to_zero};
use super::roots::first_fall_below_zero;

/// A nose line or facing.
#[derive(Debug, Clone, Copy)]
struct Line {
    normal: Vec2,
    /// Where the line lies along its normal.
    at_m: f64,
    along: Vec2,
    /// Where it starts along itself.
    from_m: f64,
    length_m: f64,
    index: usize,
}

impl Line {
    #[inline(always)]
    fn gap_m(&self, p: Point) -> f64 {
        p.x * self.normal.x + p.y * self.normal.y - self.at_m
    }

    #[inline(always)]
    fn covers(&self, p: Point) -> bool {
        let s = p.x * self.along.x + p.y * self.along.y - self.from_m;
        s > 0.0 && s < self.length_m
    }
}

/// A jaw, hole or ball.
#[derive(Debug, Clone, Copy)]
struct Round {
    centre: Point,
    radius_m: f64,
    radius_m2: f64,
    /// Directions away from a jaw; none of a whole circle, so that it covers everything.
    rail_along: Vec2,
    facing_along: Vec2,
    index: usize,
    is_jaw: bool,
}

impl Round {
    #[inline(always)]
    fn covers(&self, p: Point) -> bool {
        let d = p - self.centre;
        d.dot(self.rail_along) <= SECTOR_SLACK_M && d.dot(self.facing_along) <= SECTOR_SLACK_M
    }
}

/// Features laid out flat.
#[derive(Debug, Clone, Default)]
pub(crate) struct Outline {
    lines: Vec<Line>,
    rounds: Vec<Round>,
}

/// The features a ball is at as it sets out.
#[derive(Debug, Clone, Copy, Default)]
pub struct Held {
    /// It has just left this one, which is known to be at distance 0.
    pub touched: Option<usize>,
    /// It is held against this one, which is not met anew.
    pub hugged: Option<usize>,
}

/// A contact: how far or when, and with which feature.
#[derive(Debug, Clone, Copy)]
pub struct Met {
    /// Way to it, m, or time until it, s.
    pub at: f64,
    /// Which feature.
    pub index: usize,
}

/// A straight way.
#[derive(Debug, Clone, Copy)]
pub struct Way {
    pub(crate) from: Point,
    /// Unit vector.
    pub(crate) direction: Vec2,
    pub(crate) reach_m: f64,
    /// Contacts closer than this are one, and the jaw wins.
    pub(crate) same_m: f64,
}

/// The first contact found so far.
struct First {
    best: Option<Met>,
    limit: f64,
    reach: f64,
    same: f64,
}

impl First {
    fn new(best: Option<Met>, reach: f64, same: f64) -> Self {
        let mut first = Self {
            best,
            limit: reach,
            reach,
            same,
        };
        if let Some(met) = best {
            first.bound(met.at);
        }
        first
    }

    #[inline(always)]
    fn bound(&mut self, at: f64) {
        let within = at + self.same;
        self.limit = if within < self.reach {
            within
        } else {
            self.reach
        };
    }

    #[inline(always)]
    fn offer(&mut self, at: f64, index: usize, is_jaw: bool) {
        let wins = match self.best {
            Some(so_far) if (at - so_far.at).abs() <= self.same => is_jaw,
            Some(so_far) => at < so_far.at,
            None => true,
        };
        if wins {
            self.best = Some(Met { at, index });
            self.bound(at);
        }
    }
}

impl Outline {
    /// Of some features; indices are into the slice.
    pub(crate) fn new(features: &[Feature], some: std::ops::Range<usize>) -> Self {
        let mut outline = Self::default();
        for index in some {
            let feature = &features[index];
            match feature.shape {
                Shape::Line {
                    start,
                    along,
                    normal,
                    length_m,
                } => outline.lines.push(Line {
                    normal,
                    at_m: start.to_vec2().dot(normal),
                    along,
                    from_m: start.to_vec2().dot(along),
                    length_m,
                    index,
                }),
                Shape::Arc {
                    centre,
                    radius_m,
                    rail_along,
                    facing_along,
                } => outline.rounds.push(Round {
                    centre,
                    radius_m,
                    radius_m2: radius_m * radius_m,
                    rail_along,
                    facing_along,
                    index,
                    is_jaw: feature.kind == FeatureKind::Jaw,
                }),
                Shape::Circle { centre, radius_m } => outline.rounds.push(Round {
                    centre,
                    radius_m,
                    radius_m2: radius_m * radius_m,
                    rail_along: Vec2::ZERO,
                    facing_along: Vec2::ZERO,
                    index,
                    is_jaw: feature.kind == FeatureKind::Jaw,
                }),
            }
        }
        outline
    }

    /// A circle round all that is round here.
    fn circled(&self) -> Round {
        let count = self.rounds.len().max(1) as f64;
        let middle = self.rounds.iter().map(|r| r.centre.to_vec2()).sum::<Vec2>() / count;
        let centre = middle.to_point();
        let radius_m = self
            .rounds
            .iter()
            .map(|r| (r.centre - centre).hypot() + r.radius_m)
            .fold(0.0, f64::max);
        Round {
            centre,
            radius_m,
            radius_m2: radius_m * radius_m,
            rail_along: Vec2::ZERO,
            facing_along: Vec2::ZERO,
            index: usize::MAX,
            is_jaw: false,
        }
    }

    /// The first feature on a straight way and how far it is, or `so_far` where none comes before it.
    #[inline(always)]
    pub(crate) fn on_way(&self, way: &Way, held: Held, so_far: Option<Met>) -> Option<Met> {
        let (from, direction) = (way.from, way.direction);
        let touched = held.touched.unwrap_or(usize::MAX);
        let hugged = held.hugged.unwrap_or(usize::MAX);
        let mut first = First::new(so_far, way.reach_m, way.same_m);
        for line in &self.lines {
            // Along the line within rounding is not towards it: a ball rolling on a rail stays there.
            let closing = -direction.dot(line.normal);
            if closing <= STRAIGHT || hugged == line.index {
                continue;
            }
            let gap = if touched == line.index {
                0.0
            } else {
                line.gap_m(from)
            };
            if gap > closing * first.limit || gap < -GAP_SLACK_M {
                continue;
            }
            let s = if gap > 0.0 { gap / closing } else { 0.0 };
            if s <= first.limit && line.covers(from + direction * s) {
                first.offer(s, line.index, false);
            }
        }
        for round in &self.rounds {
            let d = from - round.centre;
            let b = d.dot(direction);
            // Moving away; a ball that has just left a circle on a straight path does not return.
            if b >= 0.0 || touched == round.index || hugged == round.index {
                continue;
            }
            let c = d.hypot2() - round.radius_m2;
            let disc = b * b - c;
            // It is at least c/(−2b) away.
            if disc < 0.0 || c > -2.0 * b * first.limit {
                continue;
            }
            let s = c / (disc.sqrt() - b);
            let s = if s > 0.0 { s } else { 0.0 };
            if s <= first.limit && round.covers(from + direction * s) {
                first.offer(s, round.index, round.is_jaw);
            }
        }
        first.best
    }

    /// The first feature met on a leg and when, or `so_far` where none comes before it. The touched one is
    /// known to be at distance 0, the hugged one is not met anew.
    #[inline(always)]
    pub(crate) fn next(&self, leg: &Leg, held: Held, so_far: Option<Met>) -> Option<Met> {
        match Run::of(leg, so_far) {
            Some(run) => run.by_time(self.on_way(&run.way, held, run.known), so_far, leg),
            None => self.on_bend(leg, held, so_far),
        }
    }

    /// The same on a parabola, by time.
    #[inline(always)]
    fn on_bend(&self, leg: &Leg, held: Held, so_far: Option<Met>) -> Option<Met> {
        let touched = held.touched.unwrap_or(usize::MAX);
        let hugged = held.hugged.unwrap_or(usize::MAX);
        let mut first = First::new(so_far, leg.duration_s, SAME_TIME_S);
        // The leg stays within the triangle of its control points.
        let (from, v, a) = (leg.start.at, leg.start.v, leg.acceleration);
        let bend = from + v * (0.5 * leg.duration_s);
        let to = leg.position(leg.duration_s);
        for line in &self.lines {
            if hugged == line.index {
                continue;
            }
            let gap = if touched == line.index {
                0.0
            } else {
                line.gap_m(from)
            };
            if gap >= 0.0 && line.gap_m(bend) >= 0.0 && line.gap_m(to) >= 0.0 {
                continue;
            }
            let (closing, pull) = (v.dot(line.normal), a.dot(line.normal));
            // From behind the line, out of a pocket's mouth, it must come out before it can meet it.
            let behind = gap < -GAP_SLACK_M;
            if behind && (closing <= 0.0 || pull >= 0.0) {
                continue;
            }
            let gap = if gap > 0.0 || behind { gap } else { 0.0 };
            if let Some(t) = falls_to_zero(gap, closing, pull)
                && t <= first.limit
                && line.covers(leg.position(t))
            {
                first.offer(t, line.index, false);
            }
        }
        for round in &self.rounds {
            let known = touched == round.index;
            if hugged == round.index || round.clear_of([from, bend, to]) {
                continue;
            }
            if let Some(t) = round.met(leg, known, first.limit) {
                first.offer(t, round.index, round.is_jaw);
            }
        }
        first.best
    }
}

/// A leg that is a straight way.
struct Run {
    way: Way,
    speed: f64,
    brake: f64,
    /// What is known to be met, by way.
    known: Option<Met>,
}

impl Run {
    /// `None` where it bends.
    #[inline(always)]
    fn of(leg: &Leg, so_far: Option<Met>) -> Option<Self> {
        let PathForm::Straight {
            direction,
            speed,
            brake,
            reach,
        } = PathForm::of(leg)
        else {
            return None;
        };
        // s = v t − ½ k t²
        let way_m = |t: f64| t * (speed - 0.5 * brake * t);
        let whole = if leg.duration_s.is_finite() {
            way_m(leg.duration_s)
        } else {
            f64::INFINITY
        };
        Some(Self {
            way: Way {
                from: leg.start.at,
                direction,
                reach_m: if whole < reach { whole } else { reach },
                same_m: speed * SAME_TIME_S,
            },
            speed,
            brake,
            known: so_far.map(|met| Met {
                at: way_m(met.at),
                ..met
            }),
        })
    }

    /// What was found by way, by time; `so_far` itself where that is it.
    #[inline(always)]
    fn by_time(&self, found: Option<Met>, so_far: Option<Met>, leg: &Leg) -> Option<Met> {
        let Met { at: s, index } = found?;
        match so_far {
            Some(before) if before.index == index => so_far,
            _ => {
                let left = self.speed * self.speed - 2.0 * self.brake * s;
                let t = 2.0 * s / (self.speed + left.max(0.0).sqrt());
                Some(Met {
                    at: t.min(leg.duration_s),
                    index,
                })
            }
        }
    }
}

/// Features of which some stand close together, so that a way past them all asks none: rails, and
/// pockets that each lie within a circle.
#[derive(Debug, Clone)]
pub(crate) struct Grouped {
    apart: Outline,
    groups: Vec<(Round, Outline)>,
}

impl Grouped {
    /// Of features that stand apart and groups of others; what a ball can reach of a group lies round
    /// its jaws and hole.
    pub(crate) fn new(
        features: &[Feature],
        apart: std::ops::Range<usize>,
        groups: impl Iterator<Item = std::ops::Range<usize>>,
    ) -> Self {
        let group = |some: std::ops::Range<usize>| {
            let outline = Outline::new(features, some);
            (outline.circled(), outline)
        };
        Self {
            apart: Outline::new(features, apart),
            groups: groups.map(group).collect(),
        }
    }

    /// As [`Outline::on_way`].
    #[inline(always)]
    pub(crate) fn on_way(&self, way: &Way, held: Held, so_far: Option<Met>) -> Option<Met> {
        let mut best = self.apart.on_way(way, held, so_far);
        for (circle, outline) in &self.groups {
            let d = way.from - circle.centre;
            let (b, c) = (d.dot(way.direction), d.hypot2() - circle.radius_m2);
            let passes = c > 0.0 && (b >= 0.0 || b * b < c);
            if !passes {
                best = outline.on_way(way, held, best);
            }
        }
        best
    }

    /// As [`Outline::next`].
    #[inline(always)]
    pub(crate) fn next(&self, leg: &Leg, held: Held, so_far: Option<Met>) -> Option<Met> {
        if let Some(run) = Run::of(leg, so_far) {
            return run.by_time(self.on_way(&run.way, held, run.known), so_far, leg);
        }
        let mut best = self.apart.on_bend(leg, held, so_far);
        let from = leg.start.at;
        let bend = from + leg.start.v * (0.5 * leg.duration_s);
        let triangle = [from, bend, leg.position(leg.duration_s)];
        for (circle, outline) in &self.groups {
            if !circle.clear_of(triangle) {
                best = outline.on_bend(leg, held, best);
            }
        }
        best
    }
}

impl Round {
    /// Whether a triangle lies beyond one of the four tangents along the axes.
    #[inline(always)]
    fn clear_of(&self, triangle: [Point; 3]) -> bool {
        let [a, b, c] = triangle.map(|p| p - self.centre);
        let r = self.radius_m;
        a.x > r && b.x > r && c.x > r
            || a.x < -r && b.x < -r && c.x < -r
            || a.y > r && b.y > r && c.y > r
            || a.y < -r && b.y < -r && c.y < -r
    }

    /// Contact time at most `limit` on a parabola.
    #[inline(always)]
    fn met(&self, leg: &Leg, touched: bool, limit: f64) -> Option<f64> {
        let (v, a) = (leg.start.v, leg.acceleration);
        let d = leg.start.at - self.centre;
        let c0 = d.hypot2() - self.radius_m2;
        let c1 = 2.0 * d.dot(v);
        let on_it = touched || c0 <= 0.0;
        if on_it && c1 < 0.0 {
            return self.covers(leg.start.at).then_some(0.0);
        }
        let (c2, c3, c4) = (v.hypot2() + d.dot(a), v.dot(a), 0.25 * a.hypot2());
        let polynomial = if on_it {
            [c1, c2, c3, c4, 0.0]
        } else {
            [c0, c1, c2, c3, c4]
        };
        let t = first_fall_below_zero(polynomial, limit)?;
        // An arc entered outside its sector is met on the line beside it first, or not at all.
        self.covers(leg.position(t)).then_some(t)
    }
}
