//! Windows side by side: many cue balls at once, or all edges of one window.
//!
//! Side by side go ordinary shots. Cuts near a right angle, edges beyond a grazing hit, balls so near
//! that the direction may fold, and turns of the aim beyond 22° within one window are left to
//! [`solve_one_by_one`]; so is whatever does not settle.

use kurbo::Point;
use pulp::{Arch, Simd, WithSimd};

use super::aim::{AimWindow, Flags, NoWindow, TOO_FAST_M_S, wrap};
use super::shot::Stroke;
use super::solve::{Edge, FOLD_CHECK_DISTANCES, OneByOne, STRAIGHT_RAD, between, solve_one_by_one};
use crate::contact::{
    Approach, Balls, Geometry, Lane, MOST_LANES, Mask, Planar, Pulled, Rub, Rubbing, Target,
    ThrowLaw,
};
use crate::gear::Gear;
use crate::pocket::Acceptance;
use crate::units::Side;

/// Edges of the three parts of a window.
const MOST_EDGES: usize = 6;
/// Ghost balls nearer than this many contact distances are left to the plain search: what goes by the
/// square of a last step is divided by the distance.
const NEAREST_DISTANCES: f64 = 0.3;
/// Directions farther than this from the centre-pocket line are not accepted anyway, rad.
const FARTHEST_RAD: f64 = 1.6;

/// A cue ball to be solved with others: what is asked of its acceptance, its place (pocket frame, m), and
/// how it arrives.
#[derive(Clone, Copy)]
pub(super) struct Job<'a> {
    pub(super) asked: &'a Asked<'a>,
    pub(super) cue: Point,
    /// Without a tip.
    pub(super) stroke: Stroke,
}

/// Solves the windows of many cue balls, each with its acceptance and stroke; answers in their order.
///
/// Several are solved at once where the processor can, the faster the more of those that follow each other
/// have one acceptance. Edges agree with [`solve_one_by_one`] to 1e-12 rad, refusals are the same. Memory
/// is that of the answers, about 600 bytes each.
#[must_use]
pub(super) fn many(jobs: &[Job<'_>]) -> Vec<Result<AimWindow, NoWindow>> {
    let mut out = Vec::with_capacity(jobs.len());
    // Directions that no pocket accepts are left to the plain search. What rubs evenly goes by itself, so that
    // no answer depends on whom it goes beside.
    for jobs in jobs.chunk_by(|a, b| a.asked.near == b.asked.near && a.is_even() == b.is_even()) {
        if jobs[0].asked.near {
            Arch::new().dispatch(Many {
                jobs,
                out: &mut out,
            });
        } else {
            out.extend(jobs.iter().map(Job::alone));
        }
    }
    out
}

impl Job<'_> {
    /// A ball that rolls without side, in whose law there is a short cut.
    fn is_even(&self) -> bool {
        (self.stroke.roll.abs() - 1.0).abs() < f64::EPSILON
            && self.stroke.side.abs() < f64::MIN_POSITIVE
    }

    fn alone(&self) -> Result<AimWindow, NoWindow> {
        let Asked {
            gear, acceptance, ..
        } = self.asked;
        solve_one_by_one(gear, acceptance, self.cue, &self.stroke)
    }
}

/// Solves the window of a cue ball at `cue` (pocket frame, m), the acceptance being known; its edges
/// go side by side.
///
/// # Errors
/// [`NoWindow`] where there is none.
pub(super) fn one(
    gear: &Gear,
    acceptance: &Acceptance,
    cue: Point,
    stroke: &Stroke,
) -> Result<AimWindow, NoWindow> {
    let asked = &Asked::new(gear, acceptance);
    let side_by_side = asked.near.then_some(One { asked, cue, stroke });
    side_by_side
        .and_then(|one| Arch::new().dispatch(one))
        .unwrap_or_else(|| solve_one_by_one(gear, acceptance, cue, stroke))
}

/// What all windows of one acceptance share.
pub(super) struct Asked<'a> {
    gear: &'a Gear,
    acceptance: &'a Acceptance,
    contact_m: f64,
    /// The object ball's speed over the share that is passed on.
    unit_m_s: f64,
    /// Unit vector of the centre-pocket line.
    line: (f64, f64),
    target_rad: f64,
    /// Edges without repetition, relative to the centre-pocket line; the target behind them.
    edges_rad: [f64; MOST_LANES],
    count: usize,
    /// No edge lies farther from the centre-pocket line than what goes side by side.
    near: bool,
    /// First and last edge of the clean, the direct and the drop part.
    parts: [Option<(usize, usize)>; 3],
}

impl<'a> Asked<'a> {
    pub(super) fn new(gear: &'a Gear, acceptance: &'a Acceptance) -> Self {
        let wanted = [acceptance.clean, acceptance.direct, Some(acceptance.drop)];
        let best = acceptance.clean.or(acceptance.direct);
        let target_rad = best.unwrap_or(acceptance.drop).middle_rad();
        let mut edges_rad = [target_rad; MOST_LANES];
        let mut count = 0;
        let mut place = |theta: f64| {
            let known = edges_rad[..count]
                .iter()
                .position(|e| e.to_bits() == theta.to_bits());
            known.unwrap_or_else(|| {
                edges_rad[count] = theta;
                count += 1;
                count - 1
            })
        };
        let parts = wanted.map(|part| part.map(|c| (place(c.from_rad), place(c.to_rad))));
        let near = edges_rad.iter().all(|e| e.abs() < FARTHEST_RAD);
        Self {
            near,
            gear,
            acceptance,
            contact_m: gear.contact_distance_m(),
            unit_m_s: acceptance.object_speed_m_s / gear.passed_on(),
            line: (acceptance.approach_rad.cos(), acceptance.approach_rad.sin()),
            target_rad,
            edges_rad,
            count,
            parts,
        }
    }

    /// The same in every lane.
    #[inline(always)]
    fn wide<S: Simd>(&self, simd: S) -> Wide<S> {
        let of = |x| Lane::of(simd, x);
        Wide {
            object: Planar {
                x: of(self.acceptance.object.x),
                y: of(self.acceptance.object.y),
            },
            line: Planar {
                x: of(self.line.0),
                y: of(self.line.1),
            },
            unit_m_s: of(self.unit_m_s),
            target_rad: of(self.target_rad),
        }
    }
}

/// What lanes ask, of one acceptance or of several.
#[derive(Clone, Copy)]
struct Wide<S: Simd> {
    object: Planar<S>,
    /// Unit vector of the centre-pocket line.
    line: Planar<S>,
    unit_m_s: Lane<S>,
    target_rad: Lane<S>,
}

/// The cue balls of lanes: where they lie and how they arrive.
#[derive(Clone, Copy)]
struct Cues<S: Simd> {
    at: Planar<S>,
    roll: Lane<S>,
    /// Outside positive.
    side: Lane<S>,
    /// Sign of the side to which a straight shot is cut.
    straight: Lane<S>,
}

impl<S: Simd> Cues<S> {
    #[inline(always)]
    fn all(simd: S, at: Point, stroke: &Stroke) -> Self {
        Self {
            at: Planar {
                x: Lane::of(simd, at.x),
                y: Lane::of(simd, at.y),
            },
            roll: Lane::of(simd, stroke.roll),
            side: Lane::of(simd, stroke.side),
            straight: Lane::of(simd, stroke.straight_side.sign()),
        }
    }
}

impl<S: Simd> Wide<S> {
    /// Of some jobs, each with its own acceptance.
    #[inline(always)]
    fn each(simd: S, jobs: &[Job<'_>]) -> Self {
        let load = |of: &dyn Fn(&Asked<'_>) -> f64| loaded(simd, jobs, |job| of(job.asked));
        Self {
            object: Planar {
                x: load(&|a| a.acceptance.object.x),
                y: load(&|a| a.acceptance.object.y),
            },
            line: Planar {
                x: load(&|a| a.line.0),
                y: load(&|a| a.line.1),
            },
            unit_m_s: load(&|a| a.unit_m_s),
            target_rad: load(&|a| a.target_rad),
        }
    }

    /// Unit vectors of directions off the centre-pocket line, in the frame of the acceptance: the
    /// pocket's own, or the plan's.
    #[inline(always)]
    fn units(&self, theta: Lane<S>) -> Planar<S> {
        let (sin, cos) = theta.sin_cos();
        let (x, y) = (self.line.x, self.line.y);
        Planar {
            x: x * cos - y * sin,
            y: y * cos + x * sin,
        }
    }

    /// The aims of some cue balls.
    #[inline(always)]
    fn aims(&self, simd: S, gear: &Gear, cues: &Cues<S>, target: Planar<S>) -> Aims<S> {
        let of = |x| Lane::of(simd, x);
        let (x, y) = (self.object.x - cues.at.x, self.object.y - cues.at.y);
        let apart = x.times_plus(x, y * y).sqrt();
        let per = of(1.0) / apart;
        let along = Planar {
            x: x * per,
            y: y * per,
        };
        let contact = of(gear.contact_distance_m());
        let balls = Balls { apart, contact };
        let direction = within(along, target);
        let (c, s) = (direction.x, direction.y);
        // The throw-free contact, (d cos − D, d sin) from the ghost ball.
        let (ahead, beside) = (apart * c - contact, apart * s);
        let cut = Lane::atan2(beside, ahead);
        let (gx, gy) = (apart - contact * c, contact * s);
        let travel = gx.times_plus(gx, gy * gy).sqrt();
        let (far, near) = (of(FOLD_CHECK_DISTANCES), of(NEAREST_DISTANCES));
        let straight = cut.abs().below(of(STRAIGHT_RAD));
        let left = of(0.0).below(beside);
        let sign = left.pick(of(Side::Left.sign()), of(Side::Right.sign()));
        let sign = straight.pick(cues.straight, sign);
        let rub = Rub::new(simd, &gear.contact, cues.roll, sign * cues.side);
        let target = balls.target(&rub, direction, self.unit_m_s);
        Aims {
            good: target.good & (near * contact).below(travel),
            far: (far * contact).below(travel),
            balls,
            along,
            base: Lane::atan2(y, x),
            cut,
            straight_speed: self.unit_m_s * travel / ahead,
            sign,
            rub,
            target,
        }
    }
}

/// A number of each job; the first job's where there are fewer jobs than lanes.
#[inline(always)]
fn loaded<S: Simd>(simd: S, jobs: &[Job<'_>], of: impl Fn(&Job<'_>) -> f64) -> Lane<S> {
    let mut buffer = [of(&jobs[0]); MOST_LANES];
    for (to, job) in buffer.iter_mut().zip(jobs) {
        *to = of(job);
    }
    Lane::load(simd, &buffer)
}

/// A direction against another, both unit vectors.
#[inline(always)]
fn within<S: Simd>(along: Planar<S>, of: Planar<S>) -> Planar<S> {
    Planar {
        x: along.x * of.x + along.y * of.y,
        y: along.x * of.y - along.y * of.x,
    }
}

/// Aims side by side.
struct Aims<S: Simd> {
    good: Mask<S>,
    /// The ghost ball is so far that the direction cannot fold.
    far: Mask<S>,
    balls: Balls<S>,
    /// Unit vector cue → object in the pocket's frame.
    along: Planar<S>,
    base: Lane<S>,
    cut: Lane<S>,
    /// The cue ball's speed without throw.
    straight_speed: Lane<S>,
    /// Of the cut's side.
    sign: Lane<S>,
    rub: Rub<S>,
    target: Target<S>,
}

impl<S: Simd> Aims<S> {
    /// Numbers of each aim, in the order of [`Aim`].
    #[inline(always)]
    fn numbers(&self) -> [Lane<S>; Aim::NUMBERS] {
        let t = &self.target;
        let one = t.tan.like(1.0);
        let zero = t.tan.like(0.0);
        let throw = t.tan.small_atan();
        [
            self.good.pick(one, zero),
            self.far.pick(one, zero),
            self.straight_speed,
            self.balls.apart,
            self.base,
            self.cut,
            self.sign,
            Lane::atan2(t.ghost.y, t.ghost.x),
            t.travel,
            t.sin_cut,
            t.cos_cut,
            throw,
            t.tan_slope / t.tan.times_plus(t.tan, one),
            t.speed,
        ]
    }
}

/// One aim as it comes out.
struct Aim([f64; Self::NUMBERS]);

impl Aim {
    const NUMBERS: usize = 14;

    fn is_good(&self) -> bool {
        self.0[0] > 0.0
    }

    /// What its edges are pulled back with.
    #[inline]
    fn one_by_one<'a>(&self, asked: &Asked<'a>, stroke: &'a Stroke) -> OneByOne<'a> {
        let [
            _,
            _,
            _,
            apart_m,
            base_rad,
            _,
            sign,
            aim_rad,
            travel_m,
            sin_cut,
            cos_cut,
            throw_rad,
            _,
            speed_m_s,
        ] = self.0;
        let centre = wrap(asked.acceptance.approach_rad - base_rad);
        OneByOne {
            gear: asked.gear,
            acceptance: asked.acceptance,
            stroke,
            approach: Approach {
                apart_m,
                contact_m: asked.contact_m,
                base_rad,
            },
            law: ThrowLaw {
                contact: asked.gear.contact,
                speed_m_s,
                roll: stroke.roll,
                side_right: sign * stroke.side,
            },
            aim: Geometry {
                centres_rad: centre + asked.target_rad + throw_rad,
                aim_rad,
                travel_m,
                sin_cut,
                cos_cut,
            },
            centre,
            target: asked.target_rad,
            cut_side: Side::left_if(sign * Side::Left.sign() > 0.0),
        }
    }

    /// The window, its edges being given by number: whether good, turn of the aim, throw.
    #[inline]
    fn window(
        &self,
        asked: &Asked<'_>,
        stroke: &Stroke,
        edges: impl Fn(usize) -> (bool, f64, f64),
    ) -> Result<AimWindow, NoWindow> {
        let [_, far, straight_m_s, _, _, cut_rad, ..] = self.0;
        let [.., throw_rad, throw_slope, speed_m_s] = self.0;
        let one_by_one = self.one_by_one(asked, stroke);
        let (target, cut_side) = (one_by_one.target, one_by_one.cut_side);
        let mut flags = Flags::default();
        flags.set(Flags::NO_CLEAN_PART, asked.acceptance.clean.is_none());
        flags.set(Flags::TOO_FAST, speed_m_s > TOO_FAST_M_S);
        if far <= 0.0 && one_by_one.folds(straight_m_s) {
            return Err(NoWindow::TooClose);
        }
        let edge = |index: usize| {
            let theta = asked.edges_rad[index];
            match edges(index) {
                (true, turn_rad, thrown_rad) => Some(Edge {
                    asked_rad: theta,
                    object_rad: theta,
                    turn_rad,
                    shift_rad: theta - target + (thrown_rad - throw_rad),
                    cut: false,
                }),
                _ => one_by_one.edge(theta),
            }
        };
        let radius = asked.gear.object_radius_m();
        let mut part = |which: usize| {
            let (from, to) = asked.parts[which]?;
            between(edge(from)?, edge(to)?, cut_side, radius, &mut flags)
        };
        let (clean, direct, drop) = (part(0), part(1), part(2));
        Ok(AimWindow {
            approach: one_by_one.approach,
            law: one_by_one.law,
            centre_line_rad: one_by_one.centre,
            aim: one_by_one.aim,
            throw_rad,
            throw_slope,
            target_rad: target,
            cut_rad,
            cut_side,
            cue_speed_m_s: speed_m_s,
            object_speed_m_s: asked.acceptance.object_speed_m_s,
            clean,
            direct,
            drop,
            flags,
            stick: None,
        })
    }
}

/// An edge's answers in a buffer each.
#[derive(Clone, Copy)]
struct Turns {
    good: [f64; MOST_LANES],
    turn: [f64; MOST_LANES],
    throw: [f64; MOST_LANES],
}

impl Turns {
    const NONE: Self = Self {
        good: [0.0; MOST_LANES],
        turn: [0.0; MOST_LANES],
        throw: [0.0; MOST_LANES],
    };

    #[inline(always)]
    fn store<S: Simd>(&mut self, pulled: &Pulled<S>) {
        let one = pulled.turn.like(1.0);
        let zero = pulled.turn.like(0.0);
        pulled.good.pick(one, zero).store(&mut self.good);
        pulled.turn.store(&mut self.turn);
        pulled.throw.store(&mut self.throw);
    }

    #[inline(always)]
    fn at(&self, k: usize) -> (bool, f64, f64) {
        (self.good[k] > 0.0, self.turn[k], self.throw[k])
    }
}

struct Many<'a> {
    jobs: &'a [Job<'a>],
    out: &'a mut Vec<Result<AimWindow, NoWindow>>,
}

impl WithSimd for Many<'_> {
    type Output = ();

    #[inline(always)]
    fn with_simd<S: Simd>(self, simd: S) {
        let of = |x| Lane::of(simd, x);
        let mut turns = [Turns::NONE; MOST_EDGES];
        let mut numbers = [[0.0; MOST_LANES]; Aim::NUMBERS];
        // What lanes ask stays while they all ask the same.
        let mut shared: Option<(&Asked<'_>, Questions<S>)> = None;
        for jobs in self.jobs.chunks(S::F64_LANES) {
            let first = jobs[0].asked;
            let alike = jobs.iter().all(|job| std::ptr::eq(job.asked, first));
            let questions = match shared {
                Some((asked, known)) if alike && std::ptr::eq(asked, first) => known,
                _ if alike => Questions::new(simd, first.wide(simd), first.count, |k| {
                    of(first.edges_rad[k])
                }),
                _ => {
                    let count = jobs.iter().map(|job| job.asked.count).max();
                    Questions::new(simd, Wide::each(simd, jobs), count.unwrap_or(0), |k| {
                        loaded(simd, jobs, |job| job.asked.edges_rad[k])
                    })
                }
            };
            shared = alike.then_some((first, questions));
            let cues = Cues {
                at: Planar {
                    x: loaded(simd, jobs, |job| job.cue.x),
                    y: loaded(simd, jobs, |job| job.cue.y),
                },
                roll: loaded(simd, jobs, |job| job.stroke.roll),
                side: loaded(simd, jobs, |job| job.stroke.side),
                straight: loaded(simd, jobs, |job| job.stroke.straight_side.sign()),
            };
            let asked = &questions.wide;
            let aims = asked.aims(simd, first.gear, &cues, questions.target);
            let law = Rubbing {
                rub: &aims.rub,
                even: aims.rub.even_at(aims.target.speed),
            };
            for (turns, edge) in turns.iter_mut().zip(&questions.edges[..questions.count]) {
                let direction = within(aims.along, edge.unit);
                turns.store(&aims.balls.pulled(law, &aims.target, direction, edge.off));
            }
            for (to, lane) in numbers.iter_mut().zip(aims.numbers()) {
                lane.store(to);
            }
            for (k, job) in jobs.iter().enumerate() {
                let aim = Aim(numbers.map(|n| n[k]));
                self.out.push(if aim.is_good() {
                    aim.window(job.asked, &job.stroke, |edge| turns[edge].at(k))
                } else {
                    job.alone()
                });
            }
        }
    }
}

/// What lanes ask: their targets and edges.
#[derive(Clone, Copy)]
struct Questions<S: Simd> {
    wide: Wide<S>,
    target: Planar<S>,
    edges: [Question<S>; MOST_EDGES],
    count: usize,
}

/// An edge: its direction, and how far off the target it is.
#[derive(Clone, Copy)]
struct Question<S: Simd> {
    unit: Planar<S>,
    off: Lane<S>,
}

impl<S: Simd> Questions<S> {
    #[inline(always)]
    fn new(simd: S, wide: Wide<S>, count: usize, edge: impl Fn(usize) -> Lane<S>) -> Self {
        let target = wide.units(wide.target_rad);
        let none = Question {
            unit: target,
            off: Lane::of(simd, 0.0),
        };
        let mut edges = [none; MOST_EDGES];
        for (k, question) in edges[..count].iter_mut().enumerate() {
            let theta = edge(k);
            *question = Question {
                unit: wide.units(theta),
                off: theta - wide.target_rad,
            };
        }
        Self {
            wide,
            target,
            edges,
            count,
        }
    }
}

struct One<'a> {
    asked: &'a Asked<'a>,
    cue: Point,
    stroke: &'a Stroke,
}

impl WithSimd for One<'_> {
    type Output = Option<Result<AimWindow, NoWindow>>;

    #[inline(always)]
    fn with_simd<S: Simd>(self, simd: S) -> Self::Output {
        let (asked, stroke) = (self.asked, self.stroke);
        let edges = asked.wide(simd);
        let target = edges.units(edges.target_rad);
        let cues = Cues::all(simd, self.cue, stroke);
        let aims = edges.aims(simd, asked.gear, &cues, target);
        let aim = Aim(aims.numbers().map(Lane::first));
        if !aim.is_good() {
            return None;
        }
        let law = Rubbing {
            rub: &aims.rub,
            even: aims.rub.even_at(aims.target.speed),
        };
        let mut turns = [Turns::NONE; MOST_LANES];
        for (turn, first) in turns.iter_mut().zip((0..asked.count).step_by(S::F64_LANES)) {
            let mut thetas = [asked.target_rad; MOST_LANES];
            let some = &asked.edges_rad[first..asked.count.min(first + S::F64_LANES)];
            thetas[..some.len()].copy_from_slice(some);
            let theta = Lane::load(simd, &thetas);
            let direction = within(aims.along, edges.units(theta));
            let off = theta - edges.target_rad;
            turn.store(&aims.balls.pulled(law, &aims.target, direction, off));
        }
        Some(aim.window(asked, stroke, |edge| {
            turns[edge / S::F64_LANES].at(edge % S::F64_LANES)
        }))
    }
}
