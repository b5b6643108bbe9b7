//! The directions in which an object ball drops, and how.
//!
//! Candidate edges are closed-form: tangents to the jaws, the directions to where a facing's line
//! meets the cut-out, to the ends of nose lines and facings, and to where a slow ball's reach meets
//! the cut-out. Between them the directions are sampled; where two neighbours met different things
//! the gap is halved down to half a millimetre at the mouth, and where they ended differently, on to
//! the edge itself: by secants on how far the ball passes from the hole's edge once both came there
//! by the same way, by halving until then and where secants do not close in. A set that opens and closes again between two samples which met the same things
//! in the same order would be missed; the order of the features along the pocket's outline rules it
//! out for the first contact and makes it narrower than a millimetre for later ones.

use std::f64::consts::FRAC_PI_2;

use kurbo::{Point, Vec2};
use pulp::{Arch, NullaryFnOnce};
use thiserror::Error;

use super::parts::{Acceptance, EDGE_RAD, How, NoAcceptance, Parts, Piece};
use super::shape::PocketShape;
use crate::directions::{Directions, Sample, Span, close_hairs};
use crate::field::Field;
use crate::gear::{Cloth, GRAVITY_M_S2};
use crate::motion::{
    BallBody, BallState, End, Feature, FeatureKind, Held, Leg, Met, MotionFault, Moving, Outline,
    Shape, Step, Surroundings, Watch, Way, pace_for_start_speed_m_s, start_speed_for_pace_m_s,
    stopping_distance_m, trace_among, trace_sent_off,
};

/// A request that makes no sense.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum AcceptanceError {
    /// The pace is not a positive number.
    #[error("pace {0} m/s must be above 0 and finite")]
    BadPace(f64),
    /// The ball overlaps a cushion.
    #[error(
        "the object ball overlaps a {what} by {by_mm:.2} mm; move it at least that far away (by {}, or by {} and {})",
        Field::Object,
        Field::ToPocket,
        Field::Approach
    )]
    Overlap {
        /// What it overlaps.
        what: &'static str,
        /// By how much.
        by_mm: f64,
    },
}

/// Overlap that is rounding, not placing, m.
const TOUCH_SLACK_M: f64 = 1e-9;
/// Multiplier that keeps orders of features apart (any odd number above their count).
const HASH: u64 = 67;
/// More samples than this between two candidates would be a mistake.
const MOST_STATIONS: usize = 4096;
/// Samples stand this far to either side of a candidate edge, rad.
const BESIDE_RAD: f64 = 2e-10;
/// Growth of the spacing of samples along the rails.
const RAIL_GROWTH: f64 = 1.5;
const RAIL_STEP_MAX_RAD: f64 = 0.2;
/// A ball this near a rail is frozen to it, m.
const FROZEN_M: f64 = 1e-6;
/// Where neighbours ended alike but one came nearer to the other end than this share of their
/// spacing, look as closely (assumption: found by comparing with random directions on random gears).
const NEAR_SHARE: f64 = 3.0;

/// Solves which directions of an object ball at `object` (pocket frame) drop.
///
/// # Errors
/// [`AcceptanceError`] for a pace that is not positive or a ball inside a cushion. A ball that
/// cannot drop is an answer: `Ok(Err(NoAcceptance))`.
pub fn accept(
    shape: &PocketShape,
    cloth: &Cloth,
    body: &BallBody,
    object: Point,
    pace_m_s: f64,
) -> Result<Result<Acceptance, NoAcceptance>, AcceptanceError> {
    accept_alone(&Alone::new(shape.clone()), cloth, body, object, pace_m_s)
}

/// The same of a pocket that is asked again and again.
pub(crate) fn accept_alone(
    alone: &Alone,
    cloth: &Cloth,
    body: &BallBody,
    object: Point,
    pace_m_s: f64,
) -> Result<Result<Acceptance, NoAcceptance>, AcceptanceError> {
    check_pace(pace_m_s)?;
    check_place(&alone.shape, object)?;
    if object.x >= 0.0 {
        return Ok(Err(NoAcceptance::InTheJaws));
    }
    Ok(accepted(alone, cloth, body, object, pace_m_s))
}

pub(crate) fn check_pace(pace_m_s: f64) -> Result<(), AcceptanceError> {
    if pace_m_s > 0.0 && pace_m_s.is_finite() {
        Ok(())
    } else {
        Err(AcceptanceError::BadPace(pace_m_s))
    }
}

/// The directions of a ball that stands well, before the mouth, on a course.
///
/// # Errors
/// Where none drops.
pub fn accepted<C: Course>(
    course: &C,
    cloth: &Cloth,
    body: &BallBody,
    object: Point,
    pace_m_s: f64,
) -> Result<Acceptance, NoAcceptance> {
    let speed_m_s = start_speed_for_pace_m_s(cloth, pace_m_s, object.to_vec2().hypot());
    let solver = Solver::new(course, Moving { body, cloth }, object, pace_m_s, speed_m_s);
    let pieces = solver.pieces();
    solver.assemble(pieces)
}

/// How closely directions are looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Grain {
    /// Edges to 1e-10 rad, gaps down to half a millimetre at the mouth.
    Fine,
    /// Half of the work: edges to a millionth, gaps down to two millimetres. For chances that are compared with
    /// each other, which a hair's breadth does not change.
    Rough,
}

impl Grain {
    /// Spacing of the first samples at the mouth, m.
    fn sample_m(self) -> f64 {
        match self {
            Self::Fine => 0.004,
            Self::Rough => 0.008,
        }
    }

    /// Where neighbours met different things, they are looked at this closely, m at the mouth.
    fn look_m(self) -> f64 {
        match self {
            Self::Fine => 0.0005,
            Self::Rough => 0.002,
        }
    }

    /// Accuracy of edges, rad.
    fn edge_rad(self) -> f64 {
        match self {
            Self::Fine => EDGE_RAD,
            Self::Rough => 1e-6,
        }
    }
}

/// The same for a ball that starts at a speed (m/s). The pace it goes by is then that of a ball on
/// the centre-pocket line, 0 where it stops before the mouth's middle.
pub(crate) fn accepted_at_speed<C: Course>(
    course: &C,
    moving: Moving<'_>,
    object: Point,
    speed_m_s: f64,
    grain: Grain,
) -> Result<Acceptance, NoAcceptance> {
    let pace_m_s = pace_for_start_speed_m_s(moving.cloth, speed_m_s, object.to_vec2().hypot());
    let solver = Solver {
        grain,
        ..Solver::new(course, moving, object, pace_m_s, speed_m_s)
    };
    let pieces = solver.pieces();
    solver.assemble(pieces)
}

/// Whether a ball sent off at a velocity drops there.
pub(crate) fn drops_on<C: Course>(
    course: &C,
    cloth: &Cloth,
    body: &BallBody,
    object: Point,
    velocity: Vec2,
) -> bool {
    matches!(
        trace_sent_off(
            course,
            Moving { body, cloth },
            object,
            velocity,
            |_: Step| {}
        ),
        Ok((End::Drop(PocketShape::DROP), _))
    )
}

/// The same of a ball that comes rolling.
pub(crate) fn drops_rolling<C: Course>(
    course: &C,
    moving: Moving<'_>,
    at: Point,
    velocity: Vec2,
) -> bool {
    let start = BallState {
        q: velocity,
        ..BallState::sliding(at, velocity)
    };
    matches!(
        trace_among(course, moving.body, moving.cloth, start, |_: Step| {}),
        Ok((End::Drop(PocketShape::DROP), _))
    )
}

/// What an object ball runs among on its way to a pocket, in the pocket's frame.
///
/// The first seven of its features are those of [`PocketShape`], in that order.
pub trait Course: Surroundings {
    /// The pocket.
    fn shape(&self) -> &PocketShape;

    /// Directions to look to both sides of, besides the pocket's own: edges of what else stands
    /// there. Relative to the centre-pocket line; `toward` gives the direction to a point.
    fn more_candidates(&self, object: Point, toward: &dyn Fn(Point) -> f64, out: &mut Vec<f64>);

    /// How far apart the first samples of a ball at `object` may lie round a direction, which is
    /// `off_rad` off the centre-pocket line.
    fn widest_step_rad(&self, object: Point, direction: Vec2, off_rad: f64) -> f64;

    /// Whether what a ball does so far off the centre-pocket line, once it has met what does not
    /// belong to this pocket, is past looking into.
    fn out_of_sight(&self, off_rad: f64, distance_m: f64) -> bool;

    /// Whether both sides of the pocket's axis are each other's mirror image.
    fn is_mirrored(&self) -> bool;
}

/// A pocket by itself, its rails without end.
#[derive(Debug)]
pub(crate) struct Alone {
    shape: PocketShape,
    outline: Outline,
}

impl Alone {
    pub(crate) fn new(shape: PocketShape) -> Self {
        let outline = Outline::new(&shape.features, 0..shape.features.len());
        Self { shape, outline }
    }
}

impl Surroundings for Alone {
    #[inline(always)]
    fn features(&self) -> &[Feature] {
        &self.shape.features
    }

    #[inline(always)]
    fn next_contact(&self, leg: &Leg, held: Held) -> Option<Met> {
        self.outline.next(leg, held, None)
    }

    #[inline(always)]
    fn first_on_way(&self, way: &Way) -> Option<Met> {
        self.outline.on_way(way, Held::default(), None)
    }
}

impl Course for Alone {
    fn shape(&self) -> &PocketShape {
        &self.shape
    }

    fn more_candidates(&self, _: Point, _: &dyn Fn(Point) -> f64, _: &mut Vec<f64>) {}

    fn widest_step_rad(&self, _: Point, _: Vec2, _: f64) -> f64 {
        RAIL_STEP_MAX_RAD
    }

    fn out_of_sight(&self, _: f64, _: f64) -> bool {
        false
    }

    fn is_mirrored(&self) -> bool {
        true
    }
}

fn check_place(shape: &PocketShape, object: Point) -> Result<(), AcceptanceError> {
    for feature in &shape.features {
        let what = match feature.kind {
            FeatureKind::Rail => "rail",
            FeatureKind::Facing => "facing",
            FeatureKind::Jaw => "jaw",
            FeatureKind::Drop | FeatureKind::Ball => continue,
        };
        let gap = match feature.shape {
            // Behind the nose line is off the bed however deep.
            Shape::Line {
                start,
                normal,
                along,
                ..
            } if (object - start).dot(along) > 0.0 => (object - start).dot(normal),
            Shape::Line { .. } => continue,
            _ => feature.gap_m(object),
        };
        if gap < -TOUCH_SLACK_M {
            return Err(AcceptanceError::Overlap {
                what,
                by_mm: -gap * 1e3,
            });
        }
    }
    Ok(())
}

/// What a direction did: how it dropped, if it did, what it met in which order, and how near it came.
#[derive(Debug, Clone, Copy)]
struct Outcome {
    how: Option<How>,
    signature: u64,
    /// It met something that is not this pocket's.
    elsewhere: bool,
    /// How near it came to the other end, m: of a ball that stayed out, how near its centre came to
    /// the cut-out (on the chords of its path); of one that dropped, how far inside the cut-out's
    /// edge its way led, or how far it could still have rolled.
    margin_m: f64,
    /// The same with a sign, above 0 where it dropped, and on the path itself: at an edge between
    /// dropping and not it goes through 0 without a jump, as a rule.
    signed_m: f64,
    /// What it had met in which order when it came so near.
    so_far: u64,
}

impl Outcome {
    /// Whether one dropped, the other did not, and both came there by the same way.
    fn parts_at_the_hole(&self, other: &Self) -> bool {
        self.how.is_some() != other.how.is_some() && self.so_far == other.so_far
    }

    fn same_story(&self, other: &Self) -> bool {
        self.how == other.how && self.signature == other.signature
    }
}

/// What is seen on a ball's way.
struct Seen {
    signature: u64,
    rail: bool,
    touched: bool,
    elsewhere: bool,
    /// Feature met last.
    last: usize,
    /// Nearest to the hole on the chords of the way.
    nearest_m2: f64,
    /// The leg there, the time on it, and the signature before it.
    nearest: Option<(Leg, f64, u64)>,
    last_leg: Option<Leg>,
}

impl Seen {
    const NOTHING: Self = Self {
        signature: 0,
        rail: false,
        touched: false,
        elsewhere: false,
        last: usize::MAX,
        nearest_m2: f64::INFINITY,
        nearest: None,
        last_leg: None,
    };
}

/// Who sees it.
struct Seeing<'a> {
    seen: &'a mut Seen,
    hole: Point,
    features: &'a [Feature],
}

impl Watch for Seeing<'_> {
    #[inline(always)]
    fn see(&mut self, step: Step) {
        let seen = &mut *self.seen;
        match step {
            Step::Leg(leg) => {
                if let Some((m2, share)) = chord_nearer(&leg, self.hole, seen.nearest_m2) {
                    seen.nearest_m2 = m2;
                    seen.nearest = Some((leg, share * leg.duration_s, seen.signature));
                }
                seen.last_leg = Some(leg);
            }
            Step::Impact(index, _) => {
                seen.touched = true;
                seen.elsewhere |= index > PocketShape::DROP;
                seen.rail |= self.features[index].kind == FeatureKind::Rail;
                // Running along one rail in many small bounces is one meeting.
                if index != seen.last {
                    seen.signature = told(seen.signature, index);
                    seen.last = index;
                }
            }
        }
    }
}

/// A story with one more feature in it.
fn told(signature: u64, index: usize) -> u64 {
    signature.wrapping_mul(HASH).wrapping_add(index as u64 + 1)
}

/// One ball followed.
struct Traced<'a, C> {
    solver: &'a Solver<'a, C>,
    v: Vec2,
}

impl<C: Course> NullaryFnOnce for Traced<'_, C> {
    type Output = (Result<(End, BallState), MotionFault>, Seen);

    #[inline(always)]
    fn call(self) -> Self::Output {
        let solver = self.solver;
        let (hole, features) = (solver.shape.cutout_centre, solver.course.features());
        let mut seen = Seen::NOTHING;
        let end = trace_sent_off(
            solver.course,
            solver.moving,
            solver.object,
            self.v,
            Seeing {
                seen: &mut seen,
                hole,
                features,
            },
        );
        (end, seen)
    }
}

struct Solver<'a, C> {
    arch: Arch,
    grain: Grain,
    course: &'a C,
    shape: &'a PocketShape,
    moving: Moving<'a>,
    object: Point,
    distance_m: f64,
    approach_rad: f64,
    pace_m_s: f64,
    object_speed_m_s: f64,
}

impl<'a, C: Course> Solver<'a, C> {
    fn new(
        course: &'a C,
        moving: Moving<'a>,
        object: Point,
        pace_m_s: f64,
        object_speed_m_s: f64,
    ) -> Self {
        let distance_m = object.to_vec2().hypot();
        Self {
            arch: Arch::new(),
            grain: Grain::Fine,
            course,
            shape: course.shape(),
            moving,
            object,
            distance_m,
            approach_rad: (-object.y).atan2(-object.x),
            pace_m_s,
            object_speed_m_s,
        }
    }

    /// Traces one direction. A trace that cannot be followed does not drop.
    fn outcome(&self, theta_rad: f64) -> Outcome {
        let v = Vec2::from_angle(self.approach_rad + theta_rad) * self.object_speed_m_s;
        // The same arithmetic in the processor's own instructions, which need fewer moves.
        let (end, seen) = self.arch.dispatch(Traced { solver: self, v });
        let Seen {
            mut signature,
            mut elsewhere,
            rail,
            touched,
            nearest_m2,
            nearest,
            last_leg,
            ..
        } = seen;
        let hole = self.shape.cutout_centre;
        let how = match end {
            Ok((End::Drop(PocketShape::DROP), _)) if rail => Some(How::Rail),
            Ok((End::Drop(PocketShape::DROP), _)) if touched => Some(How::Jaw),
            Ok((End::Drop(PocketShape::DROP), _)) => Some(How::Clean),
            _ => None,
        };
        // Where else it ended is part of the story.
        if let (None, Ok((End::Drop(index) | End::Ball(index), _))) = (how, end) {
            signature = told(signature, index);
            elsewhere = true;
        }
        let so_far = match how {
            Some(_) => signature,
            None => nearest.map_or(0, |(_, _, before)| before),
        };
        let radius_m = self.shape.cutout_radius_m;
        let (margin_m, signed_m) = match end {
            Ok((End::Drop(PocketShape::DROP), last)) => {
                let speed2 = last.v.hypot2();
                let beside_m = (last.at - hole).cross(last.v).abs() / speed2.sqrt();
                let roll_m = speed2 / (2.0 * self.moving.cloth.rolling_friction * GRAVITY_M_S2);
                let inside_m = match last_leg {
                    Some(leg) if radius_m - beside_m < CLOSE_M => {
                        radius_m - passes_at_m(&leg, hole, leg.duration_s, f64::INFINITY)
                    }
                    _ => radius_m - beside_m,
                };
                ((radius_m - beside_m).min(roll_m), inside_m.min(roll_m))
            }
            _ => {
                let margin_m = nearest_m2.sqrt() - radius_m;
                let outside_m = match nearest {
                    Some((leg, t, _)) if margin_m < CLOSE_M => {
                        passes_at_m(&leg, hole, t, leg.duration_s) - radius_m
                    }
                    _ => margin_m,
                };
                (margin_m, -outside_m)
            }
        };
        Outcome {
            how,
            signature,
            elsewhere,
            margin_m,
            signed_m,
            so_far,
        }
    }

    /// Direction to a point, relative to the centre-pocket line.
    fn toward(&self, p: Point) -> f64 {
        let d = p - self.object;
        let base = -self.object.to_vec2();
        base.cross(d).atan2(base.dot(d))
    }

    /// Direction of the tangent from the object ball to a circle, on the side `sign`.
    fn tangent(&self, centre: Point, radius_m: f64, sign: f64) -> f64 {
        let far = (centre - self.object).hypot();
        self.toward(centre) + sign * (radius_m / far).min(1.0).asin()
    }

    /// All closed-form candidate edges within ±90°, sorted.
    fn candidates(&self) -> Vec<f64> {
        let mut out = Vec::with_capacity(16);
        out.extend([-FRAC_PI_2, FRAC_PI_2]);
        let (hole, r_s) = (self.shape.cutout_centre, self.shape.cutout_radius_m);
        out.extend([-1.0, 1.0].map(|side| self.tangent(hole, r_s, side)));
        for feature in &self.shape.features {
            match feature.shape {
                Shape::Arc {
                    centre, radius_m, ..
                } => {
                    // Past a jaw the ball goes on the side of the axis; behind it lies the rail.
                    out.push(self.tangent(centre, radius_m, -centre.y.signum()));
                    // With a short shelf the hole begins beside the jaw, before the tangent point.
                    let meetings = circles_meet(hole, r_s, centre, radius_m);
                    out.extend(meetings.into_iter().flatten().map(|p| self.toward(p)));
                }
                Shape::Line {
                    start,
                    along,
                    normal,
                    ..
                } => {
                    out.push(self.toward(start));
                    if feature.kind == FeatureKind::Facing {
                        // first crossing of the offset facing with the cut-out
                        let d = start - hole;
                        let (b, c) = (d.dot(along), d.hypot2() - r_s * r_s);
                        let disc = b * b - c;
                        if disc >= 0.0 {
                            out.push(self.toward(start + along * (-b - disc.sqrt())));
                        }
                    } else if (self.object - start).dot(normal) < FROZEN_M {
                        // along the rail: an edge for a ball that touches it
                        out.push(self.toward(self.object - along));
                    }
                }
                Shape::Circle { .. } => {}
            }
        }
        // a slow ball's reach against the cut-out
        let reach = stopping_distance_m(self.moving.cloth, self.object_speed_m_s);
        let far = (hole - self.object).hypot();
        let cos = (far * far + reach * reach - r_s * r_s) / (2.0 * far * reach);
        if cos.abs() < 1.0 {
            let middle = self.toward(hole);
            out.extend([middle - cos.acos(), middle + cos.acos()]);
        }
        self.course
            .more_candidates(self.object, &|p| self.toward(p), &mut out);
        out.retain(|a| (-FRAC_PI_2..=FRAC_PI_2).contains(a));
        out.sort_by(f64::total_cmp);
        out.dedup_by(|a, b| (*a - *b).abs() < 2.0 * EDGE_RAD);
        out
    }

    /// All pieces that drop.
    fn pieces(&self) -> Directions<How> {
        let mut candidates = self.candidates();
        // From a place on the axis one half is enough.
        let half = self.course.is_mirrored() && self.object.y.abs() < f64::MIN_POSITIVE;
        if half {
            candidates.retain(|c| *c > 2.0 * BESIDE_RAD);
            candidates.insert(0, 0.0);
        }
        // From these directions outward the first thing met is a rail.
        let rail_start = |index: usize| match self.shape.features[index].shape {
            Shape::Line { start, .. } => self.toward(start),
            _ => 0.0,
        };
        let left = rail_start(PocketShape::RAIL_LEFT);
        let right = rail_start(PocketShape::RAIL_RIGHT);
        let mut edges = Edges::default();
        for pair in candidates.windows(2) {
            let (lo, hi) = (pair[0] + BESIDE_RAD, pair[1] - BESIDE_RAD);
            if hi <= lo {
                continue;
            }
            let middle = 0.5 * (lo + hi);
            let outward = if middle > left {
                1.0
            } else if middle < right {
                -1.0
            } else {
                0.0
            };
            self.scan(lo, hi, outward, &mut edges);
        }
        edges.close();
        if half {
            edges.spans = with_mirror_image(&edges.spans);
        }
        close_hairs(&mut edges.spans, EDGE_RAD);
        Directions::from_spans(edges.spans)
    }

    /// Samples one gap between candidates; `outward` is the side on which the spacing grows.
    fn scan(&self, lo: f64, hi: f64, outward: f64, edges: &mut Edges) {
        let middle = 0.5 * (lo + hi);
        let direction = Vec2::from_angle(self.approach_rad + middle);
        let widest = self.course.widest_step_rad(self.object, direction, middle);
        let first = (self.grain.sample_m() / self.distance_m).min(widest);
        let mut stations = Vec::with_capacity(64);
        let (mut offset, mut step) = (first, first);
        while offset < hi - lo && stations.len() < MOST_STATIONS {
            stations.push(offset);
            if outward != 0.0 {
                step = (step * RAIL_GROWTH).min(widest);
            }
            offset += step;
        }
        let count = stations.len();
        let mut before = self.sample(lo);
        edges.reach(lo - BESIDE_RAD, before.found.how);
        // Straight ways into the hole form one interval, whose ends are candidates. The tangent from
        // a ball that touches the jaw is only good to 1e-8 rad, so both ends are asked.
        let clean = Some(How::Clean);
        if before.found.how == clean && self.outcome(hi).how == clean {
            return;
        }
        let mut visit = |next: f64, edges: &mut Edges| {
            let reached = self.sample(next);
            self.refine(before, reached, edges);
            before = reached;
        };
        for k in 0..count {
            let offset = if outward < 0.0 {
                stations[count - 1 - k]
            } else {
                stations[k]
            };
            visit(
                if outward < 0.0 {
                    hi - offset
                } else {
                    lo + offset
                },
                edges,
            );
        }
        visit(hi, edges);
    }

    fn sample(&self, theta_rad: f64) -> Sample<Outcome> {
        Sample {
            at: theta_rad,
            found: self.outcome(theta_rad),
        }
    }

    /// Finds the edges between two samples.
    fn refine(&self, lo: Sample<Outcome>, hi: Sample<Outcome>, edges: &mut Edges) {
        let width = hi.at - lo.at;
        let settled = if width < self.grain.look_m() / self.distance_m {
            lo.found.how == hi.found.how
        } else {
            lo.found.same_story(&hi.found) && !self.may_differ_between(&lo.found, &hi.found, width)
                || lo.found.how == hi.found.how
                    && (lo.found.elsewhere && hi.found.elsewhere)
                    && self
                        .course
                        .out_of_sight(0.5 * (lo.at + hi.at), self.distance_m)
        };
        if settled {
            return;
        }
        if width <= self.grain.edge_rad() {
            edges.reach(0.5 * (lo.at + hi.at), hi.found.how);
            return;
        }
        if width < self.grain.look_m() / self.distance_m && lo.found.parts_at_the_hole(&hi.found) {
            self.close_in(lo, hi, edges);
            return;
        }
        let middle = 0.5 * (lo.at + hi.at);
        let found = self.sample(middle);
        self.refine(lo, found, edges);
        self.refine(found, hi, edges);
    }

    /// Finds the edge between a direction that drops and one that does not: secants on the signed
    /// margin, overshot so that they close in from both sides, and halving behind them.
    fn close_in(&self, lo: Sample<Outcome>, hi: Sample<Outcome>, edges: &mut Edges) {
        let (mut lo, mut hi) = (lo, hi);
        // The two last looked at, the later one second.
        let (mut before, mut now) = if lo.found.signed_m.abs() < hi.found.signed_m.abs() {
            (hi, lo)
        } else {
            (lo, hi)
        };
        let edge_rad = self.grain.edge_rad();
        let mut halve_after = 2;
        while hi.at - lo.at > edge_rad {
            let width = hi.at - lo.at;
            let middle = 0.5 * (lo.at + hi.at);
            let slope = (now.found.signed_m - before.found.signed_m) / (now.at - before.at);
            let step = -now.found.signed_m / slope;
            let least = 0.45 * edge_rad;
            let step = if step.abs() < least {
                step + least.copysign(middle - now.at)
            } else {
                OVERSHOT * step
            };
            let secant = now.at + step;
            let inside = secant > lo.at + 0.1 * least && secant < hi.at - 0.1 * least;
            let at = if inside && halve_after > 0 {
                secant
            } else {
                middle
            };
            let found = self.sample(at);
            (before, now) = (now, found);
            if found.found.how == lo.found.how {
                lo = found;
            } else if found.found.how == hi.found.how {
                hi = found;
            } else {
                self.refine(lo, found, edges);
                self.refine(found, hi, edges);
                return;
            }
            halve_after = if hi.at - lo.at <= 0.5 * width {
                2
            } else {
                halve_after - 1
            };
        }
        edges.reach(0.5 * (lo.at + hi.at), hi.found.how);
    }

    /// Whether balls that ended alike on both sides came so near the other end that one between may
    /// have ended otherwise.
    fn may_differ_between(&self, lo: &Outcome, hi: &Outcome, width_rad: f64) -> bool {
        lo.margin_m.min(hi.margin_m) < NEAR_SHARE * width_rad * self.distance_m
    }

    /// Clean, direct and drop parts.
    fn assemble(&self, pieces: Directions<How>) -> Result<Acceptance, NoAcceptance> {
        let parts = Parts::of(pieces.spans()).ok_or(NoAcceptance::NoDrop)?;
        Ok(Acceptance {
            object: self.object,
            distance_m: self.distance_m,
            approach_rad: self.approach_rad,
            pace_m_s: self.pace_m_s,
            object_speed_m_s: self.object_speed_m_s,
            clean: parts.clean,
            direct: parts.direct,
            drop: parts.drop,
            pieces,
        })
    }
}

/// Pieces from 0 up, with those on the other side; one that begins at 0 goes through.
fn with_mirror_image(right: &[Piece]) -> Vec<Piece> {
    let through = right.first().filter(|p| p.from_rad <= 0.0);
    let beyond = &right[usize::from(through.is_some())..];
    let image = |p: &Piece| Span {
        from_rad: -p.to_rad,
        to_rad: -p.from_rad,
        tag: p.tag,
    };
    let middle = through.map(|p| Span {
        from_rad: -p.to_rad,
        ..*p
    });
    let left = beyond.iter().rev().map(image);
    left.chain(middle).chain(beyond.iter().copied()).collect()
}

/// Where two circles (centre, radius) cross.
fn circles_meet(a: Point, r_a: f64, b: Point, r_b: f64) -> Option<[Point; 2]> {
    let between = b - a;
    let far_m2 = between.hypot2();
    // a + between·x ± across·y, from |p − a| = r_a and |p − b| = r_b
    let x = 0.5 * (1.0 + (r_a * r_a - r_b * r_b) / far_m2);
    let y2 = r_a * r_a / far_m2 - x * x;
    (y2 > 0.0).then(|| {
        let across = Vec2::new(-between.y, between.x) * y2.sqrt();
        [a + between * x + across, a + between * x - across]
    })
}

/// Squared distance from a point to the chord of a leg, and where along the chord it is, as a share;
/// `None` where it is no less than one that is known.
#[inline(always)]
fn chord_nearer(leg: &Leg, point: Point, known_m2: f64) -> Option<(f64, f64)> {
    let from = leg.start.at;
    let chord = leg.position(leg.duration_s) - from;
    let to = point - from;
    let (along, length_m2) = (to.dot(chord), chord.hypot2());
    let (m2, share) = if along <= 0.0 {
        (to.hypot2(), 0.0)
    } else if along >= length_m2 {
        ((to - chord).hypot2(), 1.0)
    } else {
        let across = to.cross(chord);
        if across * across >= known_m2 * length_m2 {
            return None;
        }
        (across * across / length_m2, along / length_m2)
    };
    (m2 < known_m2).then_some((m2, share))
}

/// How near a path comes to a point: of the leg's course, looked at round `from_s` and up to `to_s`.
fn passes_at_m(leg: &Leg, point: Point, from_s: f64, to_s: f64) -> f64 {
    const STEPS: u32 = 3;
    let a = leg.acceleration;
    let mut t = from_s;
    for _ in 0..STEPS {
        let (d, v) = (leg.position(t) - point, leg.start.v + a * t);
        let bend = v.hypot2() + d.dot(a);
        if bend <= 0.0 {
            break;
        }
        t = (t - d.dot(v) / bend).clamp(0.0, to_s);
    }
    (leg.position(t) - point).hypot2().sqrt()
}

/// Nearer than this to ending otherwise, chords are not good enough for a margin, m.
const CLOSE_M: f64 = 0.005;
/// Secants go so much farther than to their root, so that the edge comes to lie between.
const OVERSHOT: f64 = 1.05;

/// Collects pieces from left to right.
#[derive(Default)]
struct Edges {
    spans: Vec<Piece>,
    open: Option<(f64, How)>,
}

impl Edges {
    /// From `at` on, directions end as `how`.
    fn reach(&mut self, at: f64, how: Option<How>) {
        if self.open.map(|(_, h)| h) == how {
            return;
        }
        if let Some((from_rad, tag)) = self.open.take() {
            self.spans.push(Span {
                from_rad,
                to_rad: at,
                tag,
            });
        }
        self.open = how.map(|h| (at, h));
    }

    /// Ends at +90°.
    fn close(&mut self) {
        self.reach(FRAC_PI_2, None);
    }
}
