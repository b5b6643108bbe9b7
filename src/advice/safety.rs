//! Safeties: thick and thin hits on the balls that are on, with strokes in half table lengths, and what they
//! leave the opponent, over the spread of the player's aim and speed.
//!
//! Every hit is followed once, cue ball and object ball to rest, and what it leaves is looked at roughly;
//! the best of them are looked at with the opponent's shots solved; the best of those over fifteen samples
//! of aim and speed. Strokes are centre-ball strokes: side, stun and draw are left out, and so are safeties
//! off a cushion first.

use kurbo::{Point, Vec2};
use rayon::prelude::*;

use super::follow::{Still, alone, is_up, settled};
use super::go::{Opponent, Stake};
use super::legal::Legal;
use super::request::AdviceOptions;
use crate::contact::{Pair, aftermath};
use crate::layout::{Listener, Progress, Table};
use crate::motion::{BallState, End, straight_hit, trace};
use crate::player::normal;
use crate::pocket::PocketName;
use crate::units::Side;
use crate::window::speed_for_lengths;

/// How full the balls are hit.
const FULLNESS: [f64; 5] = [1.0, 0.75, 0.5, 0.25, 0.1];
/// Strokes, in half table lengths: half a length to four.
const HALF_LENGTHS: u32 = 8;
/// How many are looked at with the opponent's shots solved, and how many over samples.
const SOLVED: usize = 160;
const SAMPLED: usize = 40;
/// Places of the Normal for the aim, and for the speed.
const AIMS: [f64; 5] = [0.1, 0.3, 0.5, 0.7, 0.9];
const SPEEDS: [f64; 3] = [1.0 / 6.0, 0.5, 5.0 / 6.0];
/// What is said of a stroke that comes out a little harder or softer.
const A_LITTLE: f64 = 0.1;
/// Safeties that are said.
const SAID: usize = 3;
/// Values this near count as alike, and the longer way is taken (assumption).
const STEP: f64 = 0.04;
/// Looks across a ball for whether it can be hit.
const ACROSS: u32 = 21;

/// A hit and a stroke.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Hit {
    ball: usize,
    fullness: f64,
    /// The side of the object ball that is hit, as the shooter sees it.
    side: Side,
    aim_rad: f64,
    lengths: f64,
    speed_m_s: f64,
    travel_m: f64,
}

/// The best few: of one hit the best stroke alone.
fn the_unlike(safeties: Vec<Safety>) -> Vec<Safety> {
    let mut said: Vec<Safety> = Vec::with_capacity(SAID);
    for s in safeties {
        let alike = |o: &Safety| {
            o.ball == s.ball && o.side == s.side && (o.fullness - s.fullness).abs() < f64::EPSILON
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
    /// The side of it that is hit, as the shooter sees it.
    pub side: Side,
    /// Direction of the cue ball on the plan, rad.
    pub aim_rad: f64,
    /// The stroke in table lengths.
    pub lengths: f64,
    /// Where the cue ball stops as intended.
    pub cue_at: Point,
    /// Where the ball that is hit stops.
    pub object_at: Point,
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
        let hits = self.hits();
        progress(Progress::Begins("safeties", 3));
        let mut rough: Vec<(f64, Hit)> = hits
            .into_par_iter()
            .filter(|_| !self.table.stopped())
            .filter_map(|hit| {
                let still = self.played(&hit, 0.0, 1.0)?;
                let sound = still.is_known() && still.dropped.is_empty() && self.fair(&still);
                let other = self.opponent;
                sound.then(|| {
                    let best = other.finder.rough(&still.layout, other.legal);
                    (self.stake.handed(&other.fair(best, &still)), hit)
                })
            })
            .collect();
        rough.sort_by(|a, b| b.0.total_cmp(&a.0));
        progress(Progress::Step);
        let mut solved: Vec<(f64, Hit)> = rough
            .into_par_iter()
            .take(SOLVED)
            .filter(|_| !self.table.stopped())
            .filter_map(|(_, hit)| {
                let still = self.played(&hit, 0.0, 1.0)?;
                let handed = self.opponent.gets(self.own, &still);
                Some((self.stake.handed(&handed), hit))
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
        let step = |s: &Safety| (s.value / (STEP * self.stake.unit())).round();
        safeties.sort_by(|a, b| {
            step(b)
                .total_cmp(&step(a))
                .then_with(|| b.hidden.cmp(&a.hidden))
                .then_with(|| b.far_m.total_cmp(&a.far_m))
                .then_with(|| b.value.total_cmp(&a.value))
                .then_with(|| a.lengths.total_cmp(&b.lengths))
                .then_with(|| a.aim_rad.total_cmp(&b.aim_rad))
        });
        the_unlike(safeties)
    }

    /// All hits that meet their ball first, with all strokes.
    fn hits(&self) -> Vec<Hit> {
        let (table, legal) = (self.table, self.own);
        let strokes: Vec<(f64, f64)> = (1..=HALF_LENGTHS)
            .map(|k| 0.5 * f64::from(k))
            .filter_map(|lengths| Some((lengths, speed_for_lengths(table.gear, lengths).ok()?)))
            .collect();
        let features = table.cue_features(None);
        let cue = table.layout.cue;
        let mut hits = Vec::new();
        for (ball, at) in table
            .others(None)
            .filter(|(i, at)| legal.on(*i) && is_up(*at))
        {
            let line = at - cue;
            for fullness in FULLNESS {
                for side in [Side::Left, Side::Right] {
                    if fullness >= 1.0 && side == Side::Right {
                        continue;
                    }
                    // d·sin(turn) = D·sin φ, sin φ = 1 − fullness
                    let off = (1.0 - fullness) * table.cue_object_m / line.hypot();
                    let turn = off.min(1.0).asin();
                    // Left of the ball's middle is counter-clockwise.
                    let turn = if side == Side::Left { turn } else { -turn };
                    let aim_rad = line.atan2() + turn;
                    let met = straight_hit(&features, cue, Vec2::from_angle(aim_rad));
                    let Some((travel_m, met)) = met else { continue };
                    if Table::ball_of(&table.cue_bed, met, None) != Some(ball) {
                        continue;
                    }
                    hits.extend(strokes.iter().map(|&(lengths, speed_m_s)| Hit {
                        ball,
                        fullness,
                        side,
                        aim_rad,
                        lengths,
                        speed_m_s,
                        travel_m,
                    }));
                }
            }
        }
        hits
    }

    /// Plays a hit with the aim `delta_rad` off and `share` times as fast; `None` where nobody can say
    /// what becomes of it.
    fn played(&self, hit: &Hit, delta_rad: f64, share: f64) -> Option<Still> {
        let table = self.table;
        let velocity = Vec2::from_angle(hit.aim_rad + delta_rad) * (share * hit.speed_m_s);
        let start = BallState::sliding(table.layout.cue, velocity);
        let (bed, cloth) = (&table.cue_bed, &table.gear.cloth);
        let features = table.cue_features(None);
        let Ok((End::Ball(met), state)) = trace(&features, &bed.body, cloth, start, |_| {}) else {
            return Some(alone(table, start));
        };
        let met = Table::ball_of(bed, met, None)?;
        let balls = &table.gear.balls;
        let pair = Pair {
            first_mass_kg: balls.cue_mass_kg,
            second_mass_kg: balls.object_mass_kg,
            first_radius_m: bed.body.radius_m,
        };
        let centres = (table.at(met) - state.at).normalize();
        let after = aftermath(&table.gear.contact, &pair, &state, centres);
        Some(settled(
            table,
            met,
            after.first,
            Some(after.second_velocity),
        ))
    }

    /// Whether a stroke that was played is no foul.
    fn fair(&self, still: &Still) -> bool {
        let cushion = still.cushion || !self.own.needs_cushion();
        let met = still.moved.first().is_some_and(|ball| self.own.on(*ball));
        met && cushion && still.scratched.is_none()
    }

    fn sampled(&self, hit: &Hit) -> Option<Safety> {
        let aims = &self.options.choose.player;
        let sigma_rad = aims.sigma_rad(hit.travel_m.max(1e-3), hit.speed_m_s);
        let spread = aims.scatter.speed_share;
        let intended = self.played(hit, 0.0, 1.0)?;
        let best = self.opponent.gets(self.own, &intended).best;
        let (mut opponent, mut value, mut fouls) = (0.0, 0.0, 0_u32);
        for aim in AIMS {
            for speed in SPEEDS {
                let delta = aims.bias_rad + sigma_rad * normal::quantile(aim);
                let share = (1.0 + spread * normal::quantile(speed)).max(0.05);
                let still = self.played(hit, delta, share)?;
                let handed = self.opponent.gets(self.own, &still);
                opponent += handed.chance;
                value += self.stake.handed(&handed);
                fouls += u32::from(handed.foul.is_some());
            }
        }
        let samples = f64::from(u32::try_from(AIMS.len() * SPEEDS.len()).unwrap_or(1));
        let off = |share: f64| {
            let handed = self.opponent.gets(self.own, &self.played(hit, 0.0, share)?);
            handed.foul.is_none().then_some(handed.chance)
        };
        let (hidden, behind) = self.hidden(&intended);
        Some(Safety {
            ball: hit.ball,
            fullness: hit.fullness,
            side: hit.side,
            aim_rad: hit.aim_rad,
            lengths: hit.lengths,
            cue_at: intended.layout.cue,
            object_at: intended.layout.balls[hit.ball].at,
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
