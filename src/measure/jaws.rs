//! The ramp test: how jaws and facings bounce and rub, from balls that were rolled at the edges of a
//! mouth and dropped or not.
//!
//! A ball rolls down a ramp whose foot stands half a metre from the middle of the mouth, 10° right of
//! straight in, at marks laid across the mouth. In the middle every ball drops whatever the jaws do; where
//! drops turn to misses, and at both edges, the counts tell. For each restitution and friction of a grid
//! the ball is traced from the ramp at a quarter of a millimetre's steps; the chance of a drop at a
//! mark is the share of those steps that drop, weighted by how far a roll strays from its mark. What
//! the marks are off all together (the strip, the ramp) is integrated out.
//!
//! Limits: mouth, throat and shelf are taken as they are in the gear, and so is how fast the cloth brakes
//! a ball; rails are endless; jaws and facings, and both kinds of pocket, are of the same rubber.

use kurbo::{Point, Vec2};
use rayon::prelude::*;
use serde::Serialize;
use statrs::distribution::{ChiSquared, ContinuousCDF};

use super::bounce::{Bounce, Grid, Rubber, Rubs, Slope, set};
use super::effect::Held;
use super::reading::MeasureError;
use crate::field::Field;
use crate::gear::{GRAVITY_M_S2, Gear};
use crate::motion::{BallBody, Moving};
use crate::player::AimError;
use crate::pocket::{Alone, PocketFrame, PocketKind, PocketShape, drops_rolling};
use crate::request::ShotRequest;
use crate::shown::quoted;
use crate::units::Length;

/// The ramp's foot from the middle of the mouth, m.
const FOOT_M: f64 = 0.5;
/// The ramp stands so far right of straight in, rad: 10°.
const FOOT_RAD: f64 = 10.0 * std::f64::consts::PI / 180.0;
/// Speed at the ramp's foot that the sheet asks for, m/s.
pub const SPEED_M_S: f64 = 1.0;
/// Speeds at which the test is any use, m/s (assumption: slower ones stop short, faster ones are not
/// those of pots).
const SPEEDS_M_S: (f64, f64) = (0.5, 2.0);
/// Rolls at a mark that are asked for.
pub const ROLLS: u32 = 10;
/// Marks at each edge.
pub const MARKS: usize = 6;
/// A roll strays from its mark, one standard deviation (assumption).
const PLACING_MM: f64 = 1.5;
/// All marks together lie off, one standard deviation (assumption: a strip laid by eye).
const COMMON_MM: f64 = 1.5;
/// One roll in a hundred goes astray, whatever the mark (assumption).
const ASTRAY: f64 = 0.01;
/// Steps a millimetre.
const PER_MM: f64 = 4.0;
/// Strays are followed so many standard deviations.
const FAR: f64 = 3.0;
/// Marks beside those rolled at among which the next is looked for, mm.
const BESIDE_MM: f64 = 4.0;
/// Where nothing is known: flat over these (assumptions: beyond the 0.50 to 0.70 of the standard tables by
/// a tenth and two; friction over all that the impact law allows).
const PRIOR: Grid = Grid {
    restitution: (0.4, 0.9),
    friction: (0.0, 0.28),
    cells: 20,
};
/// The same, coarser, to lay out marks.
const COARSE: Grid = Grid { cells: 5, ..PRIOR };
/// Rolls that the best jaws would do less often than this cannot be (assumption).
const NEVER: f64 = 1e-4;

/// How the ramp stands and how fast it sends a ball.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ramp {
    /// Corner or side pocket.
    pub kind: PocketKind,
    /// Speed at its foot.
    pub speed_m_s: f64,
}

impl Ramp {
    /// As the sheet asks for.
    #[must_use]
    pub fn usual(kind: PocketKind) -> Self {
        Self {
            kind,
            speed_m_s: SPEED_M_S,
        }
    }

    /// Where the ball's middle leaves the ramp, in the pocket's frame.
    pub(crate) fn foot(&self) -> Point {
        Point::new(-FOOT_M * FOOT_RAD.cos(), -FOOT_M * FOOT_RAD.sin())
    }

    /// Where the ball's middle leaves the ramp: from the noses of the left and the right rail, seen facing
    /// the pocket; of a side pocket from its rail, and right of the middle of the mouth.
    #[must_use]
    pub fn foot_m(&self, gear: &Gear) -> [f64; 2] {
        let foot = self.foot();
        match self.kind {
            PocketKind::Side => [-foot.x, -foot.y],
            PocketKind::Corner => {
                let half = 0.5 * gear.corner.mouth_m;
                let (sin, cos) = std::f64::consts::FRAC_PI_4.sin_cos();
                [1.0, -1.0].map(|left| -sin * foot.x - cos * (left * foot.y - half))
            }
        }
    }

    /// How far a ball from the foot would run on the open cloth.
    #[must_use]
    pub fn run_m(&self, gear: &Gear) -> f64 {
        self.speed_m_s.powi(2) / (2.0 * gear.cloth.rolling_friction * GRAVITY_M_S2)
    }
}

/// How far a ball ran from the ramp on the open cloth, and from which share of its height.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RampRun {
    /// From the foot to rest, m.
    pub run_m: f64,
    /// Height it was let go from, over that of the test; the run goes with it.
    pub share: f64,
}

impl RampRun {
    /// The share of the height from which a run of the test fits the table: half, or a quarter where
    /// that would be too long.
    #[must_use]
    pub fn that_fits(gear: &Gear, speed_m_s: f64) -> Self {
        let ramp = Ramp {
            kind: PocketKind::Corner,
            speed_m_s,
        };
        let whole_m = ramp.run_m(gear);
        // The ramp stands on the bed too.
        const RAMP_M: f64 = 0.5;
        let share = if 0.5 * whole_m <= gear.bed.length_m - RAMP_M {
            0.5
        } else {
            0.25
        };
        Self {
            run_m: share * whole_m,
            share,
        }
    }

    /// Reads `1.28m 1/4`: how far it ran, and from which share of the height; all of it where none is
    /// said.
    ///
    /// # Errors
    /// [`MeasureError`] naming the value and what would work.
    pub fn read(text: &str) -> Result<Self, MeasureError> {
        let words: Vec<&str> = text.split_whitespace().filter(|w| *w != "from").collect();
        let (run, share) = match words.as_slice() {
            [run] => (*run, "1"),
            [run, share] => (*run, *share),
            _ => return Err(no_run(text)),
        };
        let run_m = run
            .parse::<Length>()
            .map_err(|problem| MeasureError::Unit {
                what: Field::RampRun.into(),
                problem: Box::new(problem),
            })?
            .m();
        let share = match share {
            "1/4" | "quarter" | "¼" => 0.25,
            "1/3" | "third" => 1.0 / 3.0,
            "1/2" | "half" | "½" => 0.5,
            "1" | "full" => 1.0,
            _ => return Err(no_run(text)),
        };
        Ok(Self { run_m, share })
    }

    /// Speed from the whole height, `v² = 2 μ_r g · run`; `asked_m_s` is what the test asks for.
    ///
    /// # Errors
    /// [`MeasureError::Impossible`]: too slow or too fast to be of use.
    pub fn speed_m_s(&self, gear: &Gear, asked_m_s: f64) -> Result<f64, MeasureError> {
        let whole_m = self.run_m / self.share;
        let speed = (2.0 * gear.cloth.rolling_friction * GRAVITY_M_S2 * whole_m)
            .max(0.0)
            .sqrt();
        let (low, high) = SPEEDS_M_S;
        if (low..=high).contains(&speed) {
            return Ok(speed);
        }
        let asked = Self::that_fits(gear, asked_m_s);
        Err(MeasureError::Impossible {
            what: Field::RampRun.into(),
            value: format!("{} m", (1e3 * self.run_m).round() / 1e3),
            problem: format!(
                "the ramp would send balls at {speed:.2} m/s, and the test is for {low} to {high} m/s"
            ),
            remedy: format!(
                "set the ramp so that from {} of its height a ball runs about {:.2} m: that is {asked_m_s} m/s",
                share_words(asked.share),
                asked.run_m
            ),
        })
    }
}

/// A share of the ramp's height as it is said.
#[must_use]
pub fn share_words(share: f64) -> &'static str {
    if share < 0.3 {
        "a quarter"
    } else if share < 0.4 {
        "a third"
    } else if share < 0.9 {
        "half"
    } else {
        "all"
    }
}

fn no_run(text: &str) -> MeasureError {
    MeasureError::Parts {
        what: Field::RampRun.into(),
        value: quoted(text),
        stroke: "run from the ramp".to_owned(),
        example: "how far it ran and from which share of the height, such as \"1.28m 1/4\"",
    }
}

/// Rolls at one mark.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Rolls {
    /// From the middle of the mouth, mm, left positive as seen facing the pocket.
    pub mark_mm: f64,
    /// How many dropped.
    pub dropped: u32,
    /// How many were rolled.
    pub rolls: u32,
}

/// A mark as it is printed and typed: `L36`, `R34.5`.
#[must_use]
pub fn mark_name(mark_mm: f64) -> String {
    let side = if mark_mm >= 0.0 { 'L' } else { 'R' };
    format!("{side}{}", (10.0 * mark_mm.abs()).round() / 10.0)
}

/// Reads tallies such as `L36 7/10, R38 2/10`; marks of one name count together.
///
/// # Errors
/// [`MeasureError`] naming the value and what would work.
pub fn read_rolls(texts: &[String]) -> Result<Vec<Rolls>, MeasureError> {
    let mut out: Vec<Rolls> = Vec::new();
    let parts = texts
        .iter()
        .flat_map(|t| t.split([',', ';']))
        .map(str::trim);
    for part in parts.filter(|p| !p.is_empty()) {
        let one = one_mark(part)?;
        match out
            .iter_mut()
            .find(|known| (known.mark_mm - one.mark_mm).abs() < 0.05)
        {
            Some(known) => {
                known.dropped += one.dropped;
                known.rolls += one.rolls;
            }
            None => out.push(one),
        }
    }
    Ok(out)
}

/// Most rolls at one mark (a slip of the pen above).
const MOST_ROLLS: u32 = 200;

fn one_mark(text: &str) -> Result<Rolls, MeasureError> {
    let wrong = || MeasureError::Parts {
        what: Field::Rolls.into(),
        value: quoted(text),
        stroke: "tally".to_owned(),
        example: "a mark and how many of its rolls dropped, such as \"L36 7/10\"",
    };
    let impossible = |problem: &str, remedy: &str| MeasureError::Impossible {
        what: Field::Rolls.into(),
        value: quoted(text),
        problem: problem.to_owned(),
        remedy: remedy.to_owned(),
    };
    let side = match text.chars().next() {
        Some('L' | 'l') => 1.0,
        Some('R' | 'r') => -1.0,
        _ => return Err(wrong()),
    };
    let (mark, tally) = text[1..]
        .trim_start()
        .split_once(char::is_whitespace)
        .ok_or_else(wrong)?;
    let mark: f64 = mark
        .trim_end_matches("mm")
        .parse()
        .ok()
        .filter(|mm: &f64| mm.is_finite() && *mm >= 0.0)
        .ok_or_else(wrong)?;
    let (dropped, rolls) = tally.trim().split_once('/').ok_or_else(wrong)?;
    let count = |text: &str| text.trim().parse::<u32>().map_err(|_| wrong());
    let (dropped, rolls) = (count(dropped)?, count(rolls)?);
    if rolls == 0 || rolls > MOST_ROLLS {
        return Err(impossible(
            "that is no number of rolls",
            "give 1 to 200 rolls a mark; ten are usual",
        ));
    }
    if dropped > rolls {
        return Err(impossible(
            "more balls dropped than were rolled",
            "write those that dropped first, such as 7/10",
        ));
    }
    Ok(Rolls {
        mark_mm: side * mark,
        dropped,
        rolls,
    })
}

/// Whether a ball rolled at a place across the mouth drops; mm, left positive.
#[must_use]
pub fn drops(gear: &Gear, ramp: &Ramp, at_mm: f64) -> bool {
    Lane::new(gear, ramp).drops(at_mm)
}

/// A ramp before a pocket.
struct Lane<'a> {
    gear: &'a Gear,
    body: BallBody,
    pocket: Alone,
    foot: Point,
    speed_m_s: f64,
}

impl<'a> Lane<'a> {
    fn new(gear: &'a Gear, ramp: &Ramp) -> Self {
        let body = BallBody::object(gear);
        let frame = PocketFrame::alone(ramp.kind);
        Self {
            gear,
            body,
            pocket: Alone::new(PocketShape::in_frame(gear, &frame, &body)),
            foot: ramp.foot(),
            speed_m_s: ramp.speed_m_s,
        }
    }

    fn drops(&self, at_mm: f64) -> bool {
        let way: Vec2 = Point::new(0.0, 1e-3 * at_mm) - self.foot;
        let moving = Moving {
            body: &self.body,
            cloth: &self.gear.cloth,
        };
        drops_rolling(
            &self.pocket,
            moving,
            self.foot,
            way / way.hypot2().sqrt() * self.speed_m_s,
        )
    }
}

/// Chances of a drop along one edge of the mouth, at steps of a quarter of a millimetre.
#[derive(Debug)]
struct Edge {
    /// Step of the first chance.
    first: i32,
    /// For each node of the grid the chances of a drop.
    made: Vec<Vec<f64>>,
}

impl Edge {
    /// From step to step, with what a roll strays.
    fn new(gear: &Gear, ramp: &Ramp, nodes: &[Rubs], steps: std::ops::RangeInclusive<i32>) -> Self {
        let strays = bell(PLACING_MM);
        let far = reach(PLACING_MM);
        let (first, last) = (*steps.start(), *steps.end());
        let made = nodes.par_iter().map(|node| {
            let mut gear = gear.clone();
            set(&mut gear, Rubber::Facings, *node);
            let lane = Lane::new(&gear, ramp);
            let raw: Vec<f64> = (first - far..=last + far)
                .map(|k| f64::from(u8::from(lane.drops(f64::from(k) / PER_MM))))
                .collect();
            let share =
                |part: &[f64]| -> f64 { part.iter().zip(&strays).map(|(d, w)| d * w).sum() };
            raw.windows(strays.len())
                .map(|part| (1.0 - ASTRAY) * share(part) + 0.5 * ASTRAY)
                .collect()
        });
        Self {
            first,
            made: made.collect(),
        }
    }

    fn holds(&self, step: i32) -> bool {
        let count = self.made.first().map_or(0, Vec::len);
        usize::try_from(step - self.first).is_ok_and(|k| k < count)
    }

    fn at(&self, node: usize, step: i32) -> f64 {
        let last = self.made[node].len().saturating_sub(1);
        let k = usize::try_from(step - self.first).unwrap_or(0);
        self.made[node].get(k.min(last)).copied().unwrap_or(0.5)
    }
}

/// Steps that a spread is followed to each side.
fn reach(sigma_mm: f64) -> i32 {
    #[expect(clippy::cast_possible_truncation, reason = "a handful of steps")]
    {
        (FAR * sigma_mm * PER_MM).round() as i32
    }
}

/// Weights of the steps of a spread; they add to 1.
fn bell(sigma_mm: f64) -> Vec<f64> {
    let far = reach(sigma_mm);
    let weight = |k: i32| (-0.5 * (f64::from(k) / (PER_MM * sigma_mm)).powi(2)).exp();
    let total: f64 = (-far..=far).map(weight).sum();
    (-far..=far).map(|k| weight(k) / total).collect()
}

fn step_of(mark_mm: f64) -> i32 {
    #[expect(clippy::cast_possible_truncation, reason = "a place within a mouth")]
    {
        (mark_mm * PER_MM).round() as i32
    }
}

/// Where to lay marks.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// How the ramp stands.
    pub ramp: Ramp,
    /// Where the ball's middle leaves it: see [`Ramp::foot_m`].
    pub foot_m: [f64; 2],
    /// How far a ball should run from a share of its height.
    pub run: RampRun,
    /// Marks left of the middle, nearest first, mm.
    pub left_mm: Vec<f64>,
    /// Marks right of it, mm.
    pub right_mm: Vec<f64>,
}

impl Plan {
    /// Marks where drops turn to misses, at both edges: the places at which it matters most what the
    /// jaws are like.
    #[must_use]
    pub fn new(gear: &Gear, ramp: Ramp) -> Self {
        let nodes = COARSE.nodes();
        let edge = |side: f64| {
            let half = step_of(500.0 * ramp.kind.spec(gear).mouth_m);
            let steps = if side > 0.0 { 0..=half } else { -half..=0 };
            marks(&Edge::new(gear, &ramp, &nodes, steps), side)
        };
        Self {
            foot_m: ramp.foot_m(gear),
            run: RampRun::that_fits(gear, ramp.speed_m_s),
            left_mm: edge(1.0),
            right_mm: edge(-1.0),
            ramp,
        }
    }

    /// All marks, from left to right.
    #[must_use]
    pub fn marks_mm(&self) -> Vec<f64> {
        let left = self.left_mm.iter().rev().copied();
        left.chain(self.right_mm.iter().map(|mm| -mm)).collect()
    }
}

/// Six whole millimetres that span what the jaws may change, nearest the middle first.
fn marks(edge: &Edge, side: f64) -> Vec<f64> {
    let count = edge.made.first().map_or(0, Vec::len);
    #[expect(clippy::cast_precision_loss, reason = "a few dozen nodes")]
    let nodes = edge.made.len() as f64;
    let told: Vec<f64> = (0..count)
        .map(|k| {
            let mean = edge.made.iter().map(|m| m[k]).sum::<f64>() / nodes;
            edge.made.iter().map(|m| (m[k] - mean).powi(2)).sum::<f64>() / nodes
        })
        .collect();
    let total: f64 = told.iter().sum();
    let place = |share: f64| {
        let mut sum = 0.0;
        let at = told.iter().position(|t| {
            sum += t;
            sum >= share * total
        });
        let steps = i32::try_from(at.unwrap_or(0)).unwrap_or(0) + edge.first;
        side * f64::from(steps) / PER_MM
    };
    let (near, far) = (
        place(SPAN.0).min(place(SPAN.1)),
        place(SPAN.0).max(place(SPAN.1)),
    );
    // Whole millimetres, two apart at least: a mouth may be a little wider than it was measured.
    #[expect(clippy::cast_precision_loss, reason = "six")]
    let step = ((far - near) / (MARKS - 1) as f64).round().max(2.0);
    let middle = 0.5 * (near + far);
    #[expect(clippy::cast_precision_loss, reason = "six")]
    let first = (middle - 0.5 * step * (MARKS - 1) as f64).round().max(1.0);
    #[expect(clippy::cast_precision_loss, reason = "six")]
    (0..MARKS).map(|k| first + step * k as f64).collect()
}

/// Share of what can be told that lies nearer than the first and farther than the last mark.
const SPAN: (f64, f64) = (0.05, 0.95);

/// A ramp before a pocket, traced over all jaws that may be: to be held against tallies.
#[derive(Debug)]
pub struct JawTest {
    half_mouth_mm: f64,
    nodes: Vec<Rubs>,
    /// Left and right edge.
    edges: [Option<Edge>; 2],
}

impl JawTest {
    /// Traces what rolls at these marks, and a little beside them, would do.
    #[must_use]
    pub fn new(gear: &Gear, ramp: &Ramp, marks_mm: &[f64]) -> Self {
        let nodes = PRIOR.nodes();
        let edge = |left: bool| {
            let own = marks_mm.iter().filter(|mm| (**mm >= 0.0) == left);
            let steps: Vec<i32> = own.map(|mm| step_of(*mm)).collect();
            let (low, high) = (*steps.iter().min()?, *steps.iter().max()?);
            let beside = step_of(BESIDE_MM) + reach(COMMON_MM);
            Some(Edge::new(gear, ramp, &nodes, low - beside..=high + beside))
        };
        Self {
            half_mouth_mm: 500.0 * ramp.kind.spec(gear).mouth_m,
            edges: [edge(true), edge(false)],
            nodes,
        }
    }

    fn edge(&self, mark_mm: f64) -> Option<&Edge> {
        let [left, right] = &self.edges;
        if mark_mm >= 0.0 {
            left.as_ref()
        } else {
            right.as_ref()
        }
    }

    /// Whether something was rolled, and at the mouth.
    fn check_marks(&self, rolls: &[Rolls]) -> Result<(), MeasureError> {
        if rolls.is_empty() {
            return Err(MeasureError::Impossible {
                what: Field::Rolls.into(),
                value: "\"\"".to_owned(),
                problem: "nothing was rolled".to_owned(),
                remedy: "give tallies such as \"L36 7/10, R38 2/10\"".to_owned(),
            });
        }
        if let Some(out) = rolls.iter().find(|r| r.mark_mm.abs() > self.half_mouth_mm) {
            return Err(MeasureError::Impossible {
                what: Field::Rolls.into(),
                value: mark_name(out.mark_mm),
                problem: format!(
                    "the mouth ends {:.0} mm from its middle",
                    self.half_mouth_mm.floor()
                ),
                remedy: "marks are millimetres from the middle of the mouth, such as L36"
                    .to_owned(),
            });
        }
        Ok(())
    }

    /// What tallies tell.
    ///
    /// # Errors
    /// [`MeasureError`]: none, a mark beyond the mouth, or tallies that no jaws would bring.
    pub fn fit(&self, rolls: &[Rolls]) -> Result<JawFit<'_>, MeasureError> {
        self.check_marks(rolls)?;
        let common = bell(COMMON_MM);
        let far = reach(COMMON_MM);
        let log_of = |node: usize, shift: i32| -> f64 {
            rolls
                .iter()
                .map(|r| {
                    let p = self.made(node, step_of(r.mark_mm) + shift, r.mark_mm);
                    f64::from(r.dropped) * p.ln() + f64::from(r.rolls - r.dropped) * (1.0 - p).ln()
                })
                .sum()
        };
        let logs: Vec<Vec<f64>> = (0..self.nodes.len())
            .into_par_iter()
            .map(|node| (-far..=far).map(|shift| log_of(node, shift)).collect())
            .collect();
        let best = logs
            .iter()
            .flatten()
            .copied()
            .fold(f64::NEG_INFINITY, f64::max);
        let joint: Vec<Vec<f64>> = logs
            .iter()
            .map(|own| {
                own.iter()
                    .zip(&common)
                    .map(|(l, w)| w * (l - best).exp())
                    .collect()
            })
            .collect();
        let weights: Vec<f64> = joint
            .iter()
            .map(|own: &Vec<f64>| own.iter().sum())
            .collect();
        let fit = JawFit {
            bounce: Bounce::of(&self.nodes, &weights),
            rolls: rolls.to_vec(),
            test: self,
            joint,
            weights,
        };
        fit.check(best)?;
        Ok(fit)
    }

    fn made(&self, node: usize, step: i32, mark_mm: f64) -> f64 {
        self.edge(mark_mm).map_or(0.5, |edge| edge.at(node, step))
    }
}

/// What tallies tell of the jaws.
#[derive(Debug)]
pub struct JawFit<'a> {
    /// Restitution and friction of jaws and facings.
    pub bounce: Bounce,
    /// The tallies.
    pub rolls: Vec<Rolls>,
    test: &'a JawTest,
    /// Weights by node and by what the marks are off together.
    joint: Vec<Vec<f64>>,
    weights: Vec<f64>,
}

/// Where to roll next.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct NextRolls {
    /// The mark, mm, left positive.
    pub mark_mm: f64,
    /// So many rolls.
    pub rolls: u32,
    /// Width of the ranges they would leave, as a share of the present one.
    pub width_left: f64,
}

impl JawFit<'_> {
    /// Whether some jaws would bring these tallies: their likelihood against that of the tallies' own
    /// shares.
    fn check(&self, best: f64) -> Result<(), MeasureError> {
        let term = |k: u32, p: f64| if k == 0 { 0.0 } else { f64::from(k) * p.ln() };
        let own = |r: &Rolls| {
            let share = f64::from(r.dropped) / f64::from(r.rolls);
            term(r.dropped, share) + term(r.rolls - r.dropped, 1.0 - share)
        };
        let most: f64 = self.rolls.iter().map(own).sum();
        #[expect(clippy::cast_precision_loss, reason = "a dozen marks")]
        let limit = ChiSquared::new(self.rolls.len() as f64)
            .map_or(f64::INFINITY, |chi2| chi2.inverse_cdf(1.0 - NEVER));
        if 2.0 * (most - best) <= limit {
            return Ok(());
        }
        // The mark that is least as it should be by what all of them tell.
        let off = |r: &Rolls| {
            own(r) - {
                let p = self.chance_at(r.mark_mm);
                term(r.dropped, p) + term(r.rolls - r.dropped, 1.0 - p)
            }
        };
        let worst = self.rolls.iter().max_by(|a, b| off(a).total_cmp(&off(b)));
        let (name, tally, share) = worst.map_or((String::new(), String::new(), 0.5), |r| {
            (
                mark_name(r.mark_mm),
                format!("{}/{}", r.dropped, r.rolls),
                self.chance_at(r.mark_mm),
            )
        });
        Err(MeasureError::Impossible {
            what: Field::Rolls.into(),
            value: format!("\"{name} {tally}\""),
            problem: format!(
                "no jaws would bring these tallies together; by the others {:.0} in 10 would drop there",
                10.0 * share
            ),
            remedy: "look whether left and right were changed over, the mouth is as wide as in the table's file and the ramp stands where the sheet says, and roll again there".to_owned(),
        })
    }

    /// Chance that a ball rolled at a mark drops, by what is known now.
    #[must_use]
    pub fn chance_at(&self, mark_mm: f64) -> f64 {
        let total: f64 = self.weights.iter().sum();
        let of = |node: usize| self.weights[node] * self.made(node, mark_mm);
        (0..self.weights.len()).map(of).sum::<f64>() / total
    }

    /// The same at one node, over what the marks are off together.
    fn made(&self, node: usize, mark_mm: f64) -> f64 {
        let far = reach(COMMON_MM);
        let at = |shift: i32| self.test.made(node, step_of(mark_mm) + shift, mark_mm);
        let (sum, total) = self.joint[node]
            .iter()
            .zip(-far..=far)
            .fold((0.0, 0.0), |(sum, total), (w, shift)| {
                (sum + w * at(shift), total + w)
            });
        if total > 0.0 { sum / total } else { at(0) }
    }

    /// Edges at which nothing was rolled: `left`, `right`.
    #[must_use]
    pub fn missing_edge(&self) -> Option<&'static str> {
        match &self.test.edges {
            [None, _] => Some("left"),
            [_, None] => Some("right"),
            _ => None,
        }
    }

    /// The mark at which ten more rolls narrow the ranges of these shots most.
    ///
    /// To first order: with f a chance and p that of a drop, n rolls take `cov(f, p)²/(var p + E p(1 −
    /// p)/n)` off the variance of f.
    ///
    /// # Errors
    /// [`MeasureError`]: a shot that cannot stand.
    pub fn next(
        &self,
        gear: &Gear,
        shots: &[ShotRequest],
        player: &AimError,
    ) -> Result<Option<NextRolls>, MeasureError> {
        let mut slopes = Vec::with_capacity(shots.len());
        for shot in shots {
            let held = Held::new(shot, gear)?;
            slopes.push(Slope::of(
                &held,
                gear,
                Rubber::Facings,
                &self.bounce,
                player,
            )?);
        }
        let total: f64 = self.weights.iter().sum();
        let mean = |f: &dyn Fn(usize) -> f64| {
            let all = self.weights.iter().enumerate();
            all.map(|(k, w)| w * f(k)).sum::<f64>() / total
        };
        let whole_mm = |from: f64, to: f64| {
            let mut at = from.ceil();
            std::iter::from_fn(move || {
                let now = at;
                at += 1.0;
                (now <= to).then_some(now)
            })
        };
        let half = self.test.half_mouth_mm.floor();
        let inside = |mm: &f64| {
            let far = reach(COMMON_MM);
            let edge = self.test.edge(*mm);
            edge.is_some_and(|e| e.holds(step_of(*mm) - far) && e.holds(step_of(*mm) + far))
        };
        let gain = |mark_mm: f64| {
            let made: Vec<f64> = (0..self.weights.len())
                .map(|k| self.made(k, mark_mm))
                .collect();
            let p = mean(&|k| made[k]);
            let var_p = mean(&|k| (made[k] - p).powi(2));
            let luck = mean(&|k| made[k] * (1.0 - made[k])) / f64::from(ROLLS);
            let shares = slopes.iter().map(|slope| {
                let f = mean(&|k| slope.at(&self.test.nodes[k]));
                let var_f = mean(&|k| (slope.at(&self.test.nodes[k]) - f).powi(2));
                let both = mean(&|k| (slope.at(&self.test.nodes[k]) - f) * (made[k] - p));
                if var_f > f64::MIN_POSITIVE {
                    both * both / (var_p + luck) / var_f
                } else {
                    0.0
                }
            });
            #[expect(clippy::cast_precision_loss, reason = "a few shots")]
            let count = slopes.len().max(1) as f64;
            shares.sum::<f64>() / count
        };
        let best = whole_mm(-half, half)
            .filter(inside)
            .map(|mark_mm| (mark_mm, gain(mark_mm)))
            .max_by(|a, b| a.1.total_cmp(&b.1));
        Ok(best.map(|(mark_mm, share)| NextRolls {
            mark_mm,
            rolls: ROLLS,
            width_left: (1.0 - share.min(1.0)).sqrt(),
        }))
    }
}
