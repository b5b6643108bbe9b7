//! Safeties: thick and thin hits on the balls that are on, with strokes in half table lengths and, where it
//! pays, half a tip of side, and what they leave the opponent, over the spread of the player's aim and speed.
//!
//! Every hit is followed once, cue ball and object ball to rest, and what it leaves is looked at roughly; so
//! are the best of them with side, and the best of all over five samples of aim and speed. The best of these
//! are looked at with the opponent's shots solved; the best of those over fifteen samples. Stun and draw are
//! left out; where no ball that is on can be seen, hits off one cushion are looked at.

use kurbo::{Point, Vec2};
use rayon::prelude::*;

use super::follow::{Still, Ways, is_up};
use super::go::{Handed, Opponent, Stake};
use super::hits::{Hit, hits};
use super::legal::Legal;
use super::request::AdviceOptions;
use super::strokes::SIDE_PAYS;
use crate::gear::Gear;
use crate::layout::{Listener, Progress, Table};
use crate::motion::straight_hit;
use crate::player::normal;
use crate::pocket::PocketName;
use crate::units::Side;

/// How many are tried with side, how many are looked at roughly over samples, with the opponent's shots
/// solved, and solved over samples.
const SIDED: usize = 120;
const ROUGHLY: usize = 300;
const SOLVED: usize = 100;
const SAMPLED: usize = 40;
/// Places of aim and speed for a rough look, in spreads: the middles of thirds.
const ROUGH: [(f64, f64); 5] = [
    (0.0, 0.0),
    (-0.97, 0.0),
    (0.97, 0.0),
    (0.0, -0.97),
    (0.0, 0.97),
];
/// Places of the Normal for the aim, and for the speed.
const AIMS: [f64; 5] = [0.1, 0.3, 0.5, 0.7, 0.9];
const SPEEDS: [f64; 3] = [1.0 / 6.0, 0.5, 5.0 / 6.0];
/// What is said of a stroke that comes out a little harder or softer.
const A_LITTLE: f64 = 0.1;
/// Slower strokes are not played, as a share of the intended one.
const SLOWEST: f64 = 0.05;
/// Safeties that are said.
const SAID: usize = 3;
/// Values this near count as alike, and the longer way is taken (assumption).
const STEP: f64 = 0.04;
/// Hits of one ball on one side are alike when they differ by less than this in how full they are.
const ALIKE: f64 = 0.2;
/// Looks across a ball for whether it can be hit.
const ACROSS: u32 = 21;
/// A ball this near the middle of a pocket's mouth is left over it, in its own widths (assumption).
const OVER: f64 = 1.5;
/// What a ball costs that is on for the other player and left over a pocket, besides the shots found: it stays
/// there for the visits after, in what a shot and the next score (assumption: as much as side has to pay).
const LEFT_OVER: f64 = 0.08;
/// From here on a pack that pushes back is a reason to take the thinner of two hits that are worth about as
/// much (assumption).
pub(super) const IN_DOUBT: f64 = 0.4;

/// The pocket a ball lies over.
fn over_a_pocket(gear: &Gear, at: Point) -> Option<PocketName> {
    let near_m = OVER * gear.balls.object_diameter_m;
    PocketName::ALL
        .into_iter()
        .find(|pocket| pocket.frame(gear).to_pocket(at).to_vec2().hypot() < near_m)
}

/// The best few: of one hit the best stroke alone.
fn the_unlike(safeties: Vec<Safety>) -> Vec<Safety> {
    let mut said: Vec<Safety> = Vec::with_capacity(SAID);
    for s in safeties {
        let alike = |o: &Safety| {
            o.ball == s.ball && o.side == s.side && (o.fullness - s.fullness).abs() < ALIKE
        };
        if said.len() < SAID && !said.iter().any(alike) {
            said.push(s);
        }
    }
    said
}

/// A safety and what it leaves.
#[derive(Debug, Clone, PartialEq)]
pub struct Safety {
    /// The ball that is hit.
    pub ball: usize,
    /// How full, 1 for full in the face.
    pub fullness: f64,
    /// The side of it that is hit, as the cue ball comes.
    pub side: Side,
    /// The side of the cue ball that the tip strikes, half a tip off the middle.
    pub english: Option<Side>,
    /// Where the cue ball comes off a cushion first, its middle.
    pub off: Option<Point>,
    /// Direction of the stick on the plan, rad: that of the cue ball but for what side does.
    pub aim_rad: f64,
    /// The stroke in table lengths.
    pub lengths: f64,
    /// Where the cue ball stops as intended.
    pub cue_at: Point,
    /// Where the ball that is hit stops.
    pub object_at: Point,
    /// What both came off and ran into.
    pub ways: Ways,
    /// The pocket that the ball that is hit is left over.
    pub over: Option<PocketName>,
    /// How little is known of the cue ball's way since a pack pushes back, 0 to 1.
    pub pushed_back: f64,
    /// No ball that is on for the opponent can be hit straight.
    pub hidden: bool,
    /// The ball that the cue ball stops behind, on the line to the opponent's easiest ball.
    pub behind: Option<usize>,
    /// The opponent's best shot as intended.
    pub best: Option<(usize, PocketName, f64)>,
    /// Its chance on average over the player's aim and speed, fouls as a ball in hand.
    pub opponent: f64,
    /// Its chance where the stroke is a tenth hard, and a tenth soft; `None` after a foul.
    pub hard: Option<f64>,
    /// The same of a tenth soft.
    pub soft: Option<f64>,
    /// How often it is a foul.
    pub foul: f64,
    /// From the cue ball to the nearest ball that is on then and can be seen.
    pub far_m: f64,
    /// What it is worth, see [`super::go`].
    pub value: f64,
}

/// Looks for safeties.
pub(super) struct Seeker<'a> {
    pub(super) table: &'a Table<'a>,
    pub(super) options: &'a AdviceOptions,
    pub(super) own: &'a dyn Legal,
    pub(super) opponent: &'a Opponent<'a>,
    pub(super) stake: Stake,
}

impl Seeker<'_> {
    /// The best safeties, best first.
    pub(super) fn seek(&self, progress: Listener<'_>) -> Vec<Safety> {
        let (table, own) = (self.table, self.own);
        progress(Progress::Begins("safeties", 3));
        let mut rough = self.once(hits(table, own));
        let sided = rough.iter().take(SIDED).flat_map(|(_, hit)| {
            let sides = [Side::Left, Side::Right];
            sides.map(|english| hit.with_side(table.gear, english))
        });
        let sided: Vec<Hit> = sided.flatten().collect();
        rough.extend(self.once(sided));
        rough.sort_by(|a, b| b.0.total_cmp(&a.0));
        rough.truncate(ROUGHLY);
        let mut rough: Vec<(f64, Hit)> = rough
            .into_par_iter()
            .filter(|_| !table.stopped())
            .filter_map(|(_, hit)| Some((self.roughly(&hit)?, hit)))
            .collect();
        rough.sort_by(|a, b| b.0.total_cmp(&a.0));
        progress(Progress::Step);
        let mut solved: Vec<(f64, Hit)> = rough
            .into_par_iter()
            .take(SOLVED)
            .filter(|_| !table.stopped())
            .filter_map(|(rough, hit)| {
                let still = hit.played(table, 0.0, 1.0)?;
                let handed = self.opponent.gets(own, &still);
                // As intended it is solved, and what scatter does to it is known roughly.
                let once = self.handed_roughly(&still);
                let scatters = rough - self.stake.handed(&once);
                Some((self.stake.handed(&handed) + scatters, hit))
            })
            .collect();
        solved.sort_by(|a, b| b.0.total_cmp(&a.0));
        progress(Progress::Step);
        let mut safeties: Vec<Safety> = solved
            .into_par_iter()
            .take(SAMPLED)
            .filter(|_| !self.table.stopped())
            .filter_map(|(_, hit)| self.sampled(&hit))
            .collect();
        progress(Progress::Step);
        let unit = self.stake.unit();
        let costs = |s: &Safety| {
            let sided = s.english.map_or(0.0, |_| SIDE_PAYS);
            let left_over = s.over.is_some() && self.opponent.legal.on(s.ball);
            unit * (sided + if left_over { LEFT_OVER } else { 0.0 })
        };
        let step = |s: &Safety| ((s.value - costs(s)) / (STEP * unit)).round();
        let in_doubt = |s: &Safety| s.pushed_back > IN_DOUBT;
        safeties.sort_by(|a, b| {
            step(b)
                .total_cmp(&step(a))
                .then_with(|| in_doubt(a).cmp(&in_doubt(b)))
                .then_with(|| b.hidden.cmp(&a.hidden))
                .then_with(|| b.far_m.total_cmp(&a.far_m))
                .then_with(|| b.value.total_cmp(&a.value))
                .then_with(|| a.lengths.total_cmp(&b.lengths))
                .then_with(|| a.aim_rad.total_cmp(&b.aim_rad))
        });
        the_unlike(safeties)
    }

    /// Hits that are fair as intended and whose end is known, the best first by a rough look.
    fn once(&self, hits: Vec<Hit>) -> Vec<(f64, Hit)> {
        let mut rough: Vec<(f64, Hit)> = hits
            .into_par_iter()
            .filter(|_| !self.table.stopped())
            .filter_map(|hit| {
                let still = hit.played(self.table, 0.0, 1.0)?;
                let sound = still.is_known() && still.dropped.is_empty() && self.fair(&still);
                sound.then(|| (self.stake.handed(&self.handed_roughly(&still)), hit))
            })
            .collect();
        rough.sort_by(|a, b| b.0.total_cmp(&a.0));
        rough
    }

    /// What a stroke hands over, no shot solved.
    fn handed_roughly(&self, still: &Still) -> Handed {
        let other = self.opponent;
        if self.fair(still) {
            other.fair(other.finder.rough(&still.layout, other.legal), still)
        } else {
            let met = still.moved.first().copied();
            Handed::foul(self.own, met, still.scratched.is_some())
        }
    }

    /// What a hit is worth on average over a few samples, no shot solved.
    fn roughly(&self, hit: &Hit) -> Option<f64> {
        let mut sum = 0.0;
        for (aim, speed) in ROUGH {
            let (delta, share) = self.off(hit, aim, speed);
            let still = hit.played(self.table, delta, share)?;
            sum += self.stake.handed(&self.handed_roughly(&still));
        }
        let samples = u32::try_from(ROUGH.len()).ok()?;
        Some(sum / f64::from(samples))
    }

    /// How far off the aim is and which share of the speed is played, so many spreads off.
    fn off(&self, hit: &Hit, aim: f64, speed: f64) -> (f64, f64) {
        let aims = &self.options.choose.player;
        let delta_rad = aims.bias_rad + aim * hit.sigma_rad(self.table, aims);
        let share = 1.0 + aims.scatter.speed_share * speed;
        (delta_rad, share.max(SLOWEST))
    }

    /// Whether a stroke that was played is no foul.
    fn fair(&self, still: &Still) -> bool {
        let cushion = still.cushion || !self.own.needs_cushion();
        let met = still.moved.first().is_some_and(|ball| self.own.on(*ball));
        met && cushion && still.scratched.is_none()
    }

    fn sampled(&self, hit: &Hit) -> Option<Safety> {
        let table = self.table;
        let intended = hit.played(table, 0.0, 1.0)?;
        let best = self.opponent.gets(self.own, &intended).best;
        let (mut opponent, mut value, mut fouls) = (0.0, 0.0, 0_u32);
        for aim in AIMS.map(normal::quantile) {
            for speed in SPEEDS.map(normal::quantile) {
                let (delta, share) = self.off(hit, aim, speed);
                let still = hit.played(table, delta, share)?;
                let handed = self.opponent.gets(self.own, &still);
                opponent += handed.chance;
                value += self.stake.handed(&handed);
                fouls += u32::from(handed.foul.is_some());
            }
        }
        let samples = f64::from(u32::try_from(AIMS.len() * SPEEDS.len()).unwrap_or(1));
        let off = |share: f64| {
            let handed = self
                .opponent
                .gets(self.own, &hit.played(table, 0.0, share)?);
            handed.foul.is_none().then_some(handed.chance)
        };
        let (hidden, behind) = self.hidden(&intended);
        Some(Safety {
            ball: hit.ball,
            fullness: hit.fullness,
            side: hit.side,
            english: hit.english,
            off: hit.off,
            aim_rad: hit.aim_rad,
            lengths: hit.lengths,
            cue_at: intended.layout.cue,
            object_at: intended.layout.balls[hit.ball].at,
            ways: intended.ways,
            over: over_a_pocket(table.gear, intended.layout.balls[hit.ball].at),
            pushed_back: intended.pushed_back,
            hidden,
            behind,
            best: best.map(|n| (n.ball, n.pocket, n.chance)),
            opponent: opponent / samples,
            hard: off(1.0 + A_LITTLE),
            soft: off(1.0 - A_LITTLE),
            foul: f64::from(fouls) / samples,
            far_m: self.opponent.way_m(&intended),
            value: value / samples,
        })
    }

    /// Whether no ball that is on can be hit straight, and what stands before the nearest of them.
    fn hidden(&self, still: &Still) -> (bool, Option<usize>) {
        let table = self.table.with_layout(&still.layout);
        let features = table.cue_features(None);
        let cue = still.layout.cue;
        let first = |direction: Vec2| {
            let (_, i) = straight_hit(&features, cue, direction)?;
            Table::ball_of(&table.cue_bed, i, None)
        };
        let on: Vec<(usize, Point)> = table
            .others(None)
            .filter(|(i, at)| is_up(*at) && self.opponent.legal.on(*i))
            .collect();
        let seen = |&(ball, at): &(usize, Point)| {
            let line = at - cue;
            let half = (table.cue_object_m / line.hypot()).min(1.0).asin();
            (0..ACROSS).any(|k| {
                let off = 1.96 * (f64::from(k) / f64::from(ACROSS - 1) - 0.5);
                first(Vec2::from_angle(line.atan2() + off * half)) == Some(ball)
            })
        };
        let hidden = !on.is_empty() && !on.iter().any(seen);
        // What stands before the ball that would be easiest, were it seen: the nearest.
        let behind = on
            .iter()
            .min_by(|a, b| (a.1 - cue).hypot2().total_cmp(&(b.1 - cue).hypot2()))
            .and_then(|(ball, at)| first(*at - cue).filter(|b| b != ball));
        (hidden, behind.filter(|_| hidden))
    }
}
