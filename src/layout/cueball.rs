//! Forward: what happens when the cue ball is sent in a direction. The other way round from the
//! pull-back, with the same contact and motion, so that each checks the other.

use std::cell::OnceCell;

use kurbo::{Point, Vec2};

use super::candidate::{Candidate, Family, Way};
use super::obstruct::{EDGE_RAD, spans_of};
use super::table::{Table, ends};
use crate::contact::{Aftermath, Pair, aftermath};
use crate::directions::Directions;
use crate::forwards::CueWay;
use crate::motion::{BallState, End, Feature, FeatureKind, Leg, Moving, Step, trace};
use crate::pocket::{How, PocketName};
use crate::stroke::Stick;
use crate::window::{contact_speed_m_s, near_cushion, start_speed_m_s};

/// Balls in one chain of contacts at most (assumption: what comes later is luck).
const CHAIN: u32 = 4;
/// Directions followed over a window, and how far beyond it, as a share of its width.
const FOLLOWED: u32 = 48;
const PADDING: f64 = 0.2;
/// Points along a curved leg of a path.
const CURVE_POINTS: u32 = 8;
/// Whether a path of the cue ball scratched, and what it met in which order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Ending {
    pub(super) scratch: bool,
    signature: u64,
}

/// Multiplier that keeps orders of features apart (any odd number above their count).
const HASH: u64 = 67;

/// How the cue ball's path ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CueEnd {
    /// At rest.
    Rest,
    /// In a pocket.
    Scratch(PocketName),
    /// Against another ball.
    Ball(usize),
}

/// A path of the cue ball after (or without) the first contact.
#[derive(Debug, Clone, PartialEq)]
pub struct CueRun {
    /// How it ends.
    pub end: CueEnd,
    /// Where.
    pub at: Point,
    /// The path as a polyline, m; empty unless asked for.
    pub path: Vec<Point>,
}

/// All that happens.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// The ball that dropped, and where.
    pub dropped: Option<(usize, PocketName)>,
    /// It touched a rail before that does not meet at that pocket.
    pub banked: bool,
    /// The ball to be pocketed (or the last one that moved) stops here, m.
    pub object_at: Point,
    /// The cue ball.
    pub cue: CueRun,
    /// The ball the cue ball met first.
    pub met: Option<usize>,
    /// The cut there, rad, positive when that ball lay left of the way; off a cushion that a straight
    /// shot met first, as the way before it has it.
    pub cut_rad: Option<f64>,
}

/// The cue ball just before it meets a ball.
struct Contact {
    met: usize,
    state: BallState,
    /// It came off a cushion.
    off_rail: bool,
}

/// What a cue ball can meet: features made without one ball, and which.
struct Past<'a> {
    features: &'a [Feature],
    without: Option<usize>,
}

/// The first contact, just over.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Parted {
    /// The ball that was met.
    pub(crate) met: usize,
    /// The cue ball.
    pub(crate) cue: BallState,
    /// Velocity of the ball that was met, m/s.
    pub(crate) object_m_s: Vec2,
}

/// How the path of the object balls ends.
struct ObjectRun {
    dropped: Option<(usize, PocketName)>,
    /// What the ball that dropped touched on its way.
    how: How,
    banked: bool,
    at: Point,
}

/// Ways of the balls as polylines, m.
#[derive(Debug, Clone, PartialEq)]
pub struct Paths {
    /// The cue ball up to the first contact.
    pub cue_before: Vec<Point>,
    /// The cue ball afterwards, with its path.
    pub cue_after: CueRun,
    /// The balls that move, in order.
    pub objects: Vec<(usize, Vec<Point>)>,
}

/// A candidate with everything its forward paths need: features are made once for each ball met.
#[derive(Debug)]
pub struct Forward<'a> {
    table: &'a Table<'a>,
    candidate: &'a Candidate,
    /// How the cue ball gets to the first one, at the speed of this stroke.
    now: Way,
    /// The stick that brings what arrives.
    stick: OnceCell<Option<Stick>>,
    /// By how much that turns its way, the aim held, rad.
    turn_rad: f64,
    /// All balls.
    way: CueWay,
    /// A cushion is near the ball played, and the cue ball may come off it.
    rail_first: bool,
    /// For each ball, once the cue ball met it: the others.
    after: Vec<OnceCell<Vec<Feature>>>,
    /// For each ball, once it moved: what it can meet.
    object: Vec<OnceCell<Vec<Feature>>>,
    cue_pair: Pair,
    object_pair: Pair,
}

impl<'a> Forward<'a> {
    /// Prepares a candidate.
    #[must_use]
    pub fn new(table: &'a Table<'a>, candidate: &'a Candidate) -> Self {
        let balls = &table.gear.balls;
        let unmet = || table.layout.balls.iter().map(|_| OnceCell::new()).collect();
        Self {
            table,
            candidate,
            now: candidate.way.clone(),
            stick: OnceCell::new(),
            turn_rad: 0.0,
            way: CueWay::new(table.cue_features(None)),
            rail_first: near_cushion(table.gear, table.at(candidate.first)),
            after: unmet(),
            object: unmet(),
            cue_pair: Pair {
                first_mass_kg: balls.cue_mass_kg,
                second_mass_kg: balls.object_mass_kg,
                first_radius_m: table.cue_bed.body.radius_m,
            },
            object_pair: Pair {
                first_mass_kg: balls.object_mass_kg,
                second_mass_kg: balls.object_mass_kg,
                first_radius_m: table.object_bed.body.radius_m,
            },
        }
    }

    /// The same with a stroke `share` times as fast as intended; `None` when the cue ball stops short.
    #[must_use]
    pub fn struck(table: &'a Table<'a>, candidate: &'a Candidate, share: f64) -> Option<Self> {
        let mut forward = Self::new(table, candidate);
        forward.strike(share).then_some(forward)
    }

    /// From now on with a stroke `share` times as fast as intended; `false` when the cue ball stops
    /// short.
    pub fn strike(&mut self, share: f64) -> bool {
        if share <= 0.0 {
            return false;
        }
        let gear = self.table.gear;
        let stick = *self.stick.get_or_init(|| self.candidate.stick(gear));
        match self.candidate.way_at(gear, stick, share) {
            Some((now, turn_rad)) => {
                (self.now, self.turn_rad) = (now, turn_rad);
                true
            }
            None => false,
        }
    }

    /// Speed of the cue ball, at the contact of a straight shot, else off the tip.
    #[must_use]
    pub fn cue_speed_m_s(&self) -> f64 {
        match &self.now {
            Way::Straight(window) => window.cue_speed_m_s,
            Way::Cushions { speed_m_s } => *speed_m_s,
        }
    }

    /// The shot that is followed.
    pub(super) fn candidate(&self) -> &Candidate {
        self.candidate
    }

    /// The whole outcome of an aim `delta_rad` off, counter-clockwise; the path of the cue ball is
    /// kept when `with_path`.
    #[must_use]
    pub fn outcome(&self, delta_rad: f64, with_path: bool) -> Outcome {
        let still = self.table.at(self.candidate.ball);
        let Some(contact) = self.first_contact(delta_rad, |_| {}) else {
            let cue = self.missing_run(delta_rad, with_path, &mut 0);
            return Outcome {
                dropped: None,
                banked: false,
                object_at: still,
                cue,
                met: None,
                cut_rad: None,
            };
        };
        let Contact { met, state, .. } = contact;
        let centres = self.table.at(met) - state.at;
        let cut = state.v.cross(centres).atan2(state.v.dot(centres));
        let mirrored = contact.off_rail && self.candidate.window().is_some();
        let (cue, after) = self.cue_after(met, &state, with_path, &mut 0);
        let velocity = self.object_velocity(&contact, &after);
        let ObjectRun {
            dropped,
            banked,
            at: object_at,
            ..
        } = self.object_run(met, velocity, |_, _| {});
        Outcome {
            dropped,
            banked,
            object_at,
            cue,
            met: Some(met),
            cut_rad: Some(if mirrored { -cut } else { cut }),
        }
    }

    /// The first contact with an aim `delta_rad` off; `None` when the cue ball meets no ball.
    pub(crate) fn parted(&self, delta_rad: f64) -> Option<Parted> {
        let contact = self.first_contact(delta_rad, |_| {})?;
        let Contact { met, state, .. } = contact;
        let centres = (self.table.at(met) - state.at).normalize();
        let after = aftermath(&self.table.gear.contact, &self.cue_pair, &state, centres);
        Some(Parted {
            met,
            cue: after.first,
            object_m_s: self.object_velocity(&contact, &after),
        })
    }

    /// How the shot is made with an aim `delta_rad` off, if it is; the cue ball is not followed.
    pub(super) fn makes(&self, delta_rad: f64) -> Option<How> {
        let contact = self.first_contact(delta_rad, |_| {})?;
        let Contact { met, state, .. } = contact;
        if met != self.candidate.first {
            return None;
        }
        let centres = (self.table.at(met) - state.at).normalize();
        let after = aftermath(&self.table.gear.contact, &self.cue_pair, &state, centres);
        let velocity = self.object_velocity(&contact, &after);
        let run = self.object_run(met, velocity, |_, _| {});
        let called = (self.candidate.ball, self.candidate.pocket);
        (run.dropped == Some(called) && self.may_bank(run.banked)).then_some(run.how)
    }

    /// Whether a rail that does not meet at the pocket spoils the shot.
    fn may_bank(&self, banked: bool) -> bool {
        !banked || matches!(self.candidate.family, Family::Bank { .. })
    }

    /// The cue ball's run after it met a ball, and what the contact did.
    fn cue_after(
        &self,
        met: usize,
        state: &BallState,
        with_path: bool,
        signature: &mut u64,
    ) -> (CueRun, Aftermath) {
        let centres = (self.table.at(met) - state.at).normalize();
        let after = aftermath(&self.table.gear.contact, &self.cue_pair, state, centres);
        let others = self.after[met].get_or_init(|| self.table.cue_features(Some(met)));
        let past = Past {
            features: others,
            without: Some(met),
        };
        let run = self.run(past, after.first, with_path, signature);
        (run, after)
    }

    /// How the cue ball's path ends for one aim error.
    pub(super) fn ending(&self, delta_rad: f64) -> Ending {
        let mut signature = 0_u64;
        let run = match self.first_contact(delta_rad, |_| {}) {
            None => self.missing_run(delta_rad, false, &mut signature),
            Some(contact) => {
                let (met, state) = (contact.met, &contact.state);
                self.cue_after(met, state, false, &mut signature).0
            }
        };
        Ending {
            scratch: matches!(run.end, CueEnd::Scratch(_)),
            signature,
        }
    }

    /// The cue ball just before it meets a ball; `None` when it meets none.
    fn first_contact(&self, delta_rad: f64, mut passes: impl FnMut(&Leg)) -> Option<Contact> {
        let cue = self.table.layout.cue;
        let bed = &self.table.cue_bed;
        match &self.now {
            Way::Straight(window) => {
                let moving = Moving {
                    body: &bed.body,
                    cloth: &self.table.gear.cloth,
                };
                let way = self.candidate.aim_rad + self.turn_rad + delta_rad;
                let found = self.way.first_met(moving, cue, way, &window.law)?;
                let off_rail = found.cushions > 0;
                if off_rail && !self.rail_first {
                    return None;
                }
                Some(Contact {
                    met: Table::ball_of(bed, found.feature, None)?,
                    state: found.state,
                    off_rail,
                })
            }
            Way::Cushions { speed_m_s } => {
                let direction =
                    Vec2::from_angle(self.candidate.aim_rad + self.turn_rad + delta_rad);
                let start = BallState::sliding(cue, direction * *speed_m_s);
                let (end, state) = trace(
                    self.way.features(),
                    &bed.body,
                    &self.table.gear.cloth,
                    start,
                    |step| {
                        if let Step::Leg(leg) = step {
                            passes(&leg);
                        }
                    },
                )
                .ok()?;
                match end {
                    End::Ball(index) => Some(Contact {
                        met: Table::ball_of(bed, index, None)?,
                        state,
                        off_rail: true,
                    }),
                    _ => None,
                }
            }
        }
    }

    /// The cue ball as it leaves the tip with an aim `delta_rad` off, where it meets no ball on the way.
    pub(crate) fn sent_off(&self, delta_rad: f64) -> BallState {
        let direction = Vec2::from_angle(self.candidate.aim_rad + self.turn_rad + delta_rad);
        let speed_m_s = match &self.now {
            Way::Straight(w) => start_speed_m_s(
                &self.table.gear.cloth,
                w.law.speed_m_s,
                w.law.roll,
                w.aim.travel_m,
            ),
            Way::Cushions { speed_m_s } => *speed_m_s,
        };
        BallState::sliding(self.table.layout.cue, direction * speed_m_s)
    }

    /// The cue ball's run when it meets no ball on the way it was sent.
    fn missing_run(&self, delta_rad: f64, with_path: bool, signature: &mut u64) -> CueRun {
        let past = Past {
            features: self.way.features(),
            without: None,
        };
        self.run(past, self.sent_off(delta_rad), with_path, signature)
    }

    /// In the windows an object ball leaves with one speed in all directions; so it does here, for
    /// the ball the shot is about.
    /// Off a cushion it follows from the contact.
    fn object_velocity(&self, contact: &Contact, after: &Aftermath) -> Vec2 {
        match &self.now {
            Way::Straight(window) if contact.met == self.candidate.first && !contact.off_rail => {
                after.second_at(window.object_speed_m_s)
            }
            _ => after.second_velocity,
        }
    }

    /// Follows the cue ball; `signature` takes what it meets.
    fn run(
        &self,
        past: Past<'_>,
        start: BallState,
        with_path: bool,
        signature: &mut u64,
    ) -> CueRun {
        let Past { features, without } = past;
        let bed = &self.table.cue_bed;
        let mut path = Vec::new();
        if with_path {
            path.push(start.at);
        }
        let ended = trace(
            features,
            &bed.body,
            &self.table.gear.cloth,
            start,
            |step| match step {
                Step::Leg(leg) if with_path => extend(&mut path, &leg),
                Step::Leg(_) => {}
                Step::Impact(i, _) => {
                    *signature = signature.wrapping_mul(HASH).wrapping_add(i as u64 + 1)
                }
            },
        );
        if let Ok((End::Drop(i) | End::Ball(i), _)) = ended {
            *signature = signature.wrapping_mul(HASH).wrapping_add(i as u64 + 1);
        }
        let (end, at) = match ended {
            Ok((End::Rest, state)) => (CueEnd::Rest, state.at),
            Ok((End::Drop(i), state)) => (
                bed.pocket_of(i).map_or(CueEnd::Rest, CueEnd::Scratch),
                state.at,
            ),
            Ok((End::Ball(i), state)) => (
                Table::ball_of(bed, i, without).map_or(CueEnd::Rest, CueEnd::Ball),
                state.at,
            ),
            // A path that cannot be followed is shown up to nowhere: the ball stays.
            Err(_) => (CueEnd::Rest, start.at),
        };
        CueRun { end, at, path }
    }

    /// Follows an object ball and those it runs into, until one drops or the last one stops.
    /// `passes` sees each leg with the ball that goes it.
    fn object_run(
        &self,
        ball: usize,
        velocity: Vec2,
        mut passes: impl FnMut(usize, &Leg),
    ) -> ObjectRun {
        let (bed, cloth) = (&self.table.object_bed, &self.table.gear.cloth);
        let (mut ball, mut velocity) = (ball, velocity);
        let stays = |at: Point| ObjectRun {
            dropped: None,
            how: How::Clean,
            banked: false,
            at,
        };
        for _ in 0..CHAIN {
            let features = self.object[ball].get_or_init(|| self.table.object_features(ball));
            let start = BallState::sliding(self.table.at(ball), velocity);
            let moving = ball;
            let (mut rails, mut touched) = (Vec::new(), false);
            match trace(features, &bed.body, cloth, start, |step| match step {
                Step::Leg(leg) => passes(moving, &leg),
                Step::Impact(i, _) if features[i].kind == FeatureKind::Rail => rails.push(i),
                Step::Impact(..) => touched = true,
            }) {
                Ok((End::Drop(i), state)) => {
                    let pocket = bed.pocket_of(i);
                    return ObjectRun {
                        dropped: pocket.map(|p| (ball, p)),
                        how: match (rails.is_empty(), touched) {
                            (false, _) => How::Rail,
                            (true, true) => How::Jaw,
                            (true, false) => How::Clean,
                        },
                        banked: pocket.is_some_and(|p| rails.iter().any(|&i| !bed.meets_at(i, p))),
                        at: state.at,
                    };
                }
                Ok((End::Ball(i), state)) => {
                    let Some(next) = Table::ball_of(bed, i, Some(ball)) else {
                        return stays(state.at);
                    };
                    let combination = matches!(self.candidate.family, Family::Combination { .. });
                    if !combination || ball == self.candidate.ball {
                        return stays(state.at);
                    }
                    let centres = (self.table.at(next) - state.at).normalize();
                    let after =
                        aftermath(&self.table.gear.contact, &self.object_pair, &state, centres);
                    (ball, velocity) = (next, after.second_velocity);
                }
                Ok((End::Rest, state)) => return stays(state.at),
                Err(_) => return stays(start.at),
            }
        }
        stays(self.table.at(ball))
    }

    /// Where the balls go with an aim error, for a picture.
    #[must_use]
    pub fn paths(&self, delta_rad: f64) -> Paths {
        let mut before = vec![self.table.layout.cue];
        let Some(contact) = self.first_contact(delta_rad, |leg| extend(&mut before, leg)) else {
            let cue_after = self.missing_run(delta_rad, true, &mut 0);
            return Paths {
                cue_before: before,
                cue_after,
                objects: Vec::new(),
            };
        };
        let Contact { met, state, .. } = contact;
        before.push(state.at);
        let (cue_after, after) = self.cue_after(met, &state, true, &mut 0);
        let mut objects: Vec<(usize, Vec<Point>)> = Vec::new();
        self.object_run(met, self.object_velocity(&contact, &after), |ball, leg| {
            if objects.last().is_none_or(|(b, _)| *b != ball) {
                objects.push((ball, vec![leg.start.at]));
            }
            if let Some((_, path)) = objects.last_mut() {
                extend(path, leg);
            }
        });
        Paths {
            cue_before: before,
            cue_after,
            objects,
        }
    }

    /// Whether an outcome is the shot that was called.
    #[must_use]
    pub fn made(&self, outcome: &Outcome) -> bool {
        outcome.met == Some(self.candidate.first)
            && outcome.dropped == Some((self.candidate.ball, self.candidate.pocket))
            && self.may_bank(outcome.banked)
    }
}

/// The directions of a shot followed forwards, over what a pull-back found and a little beyond: that
/// gives a bank or the second contact of a combination one speed, which differs from one direction to
/// the next, and knows nothing of a cushion that the cue ball may meet first.
pub(super) fn followed(table: &Table<'_>, shot: &Candidate) -> Directions<How> {
    let forward = Forward::new(table, shot);
    let (from, to) = ends(&shot.directions);
    let beyond = PADDING * (to - from);
    let (lo, hi) = (from - beyond, to + beyond);
    let mut stations: Vec<f64> = (0..=FOLLOWED)
        .map(|k| lo + (hi - lo) * f64::from(k) / f64::from(FOLLOWED))
        .collect();
    for span in shot.directions.spans() {
        stations.extend([span.from_rad, span.to_rad]);
    }
    stations.sort_by(f64::total_cmp);
    Directions::from_spans(spans_of(&stations, EDGE_RAD, &|delta: f64| {
        forward.makes(delta)
    }))
}

/// Adds a leg to a polyline: its end, with points between when it bends.
fn extend(path: &mut Vec<Point>, leg: &Leg) {
    let bends = leg.start.v.cross(leg.acceleration).abs() > 1e-9;
    let points = if bends { CURVE_POINTS } else { 1 };
    for k in 1..=points {
        path.push(leg.position(leg.duration_s * f64::from(k) / f64::from(points)));
    }
}

/// Speed and roll ratio of a ball sent off sliding without spin, after `travel_m` on a free cloth;
/// `None` when it stops before.
pub(crate) fn arrives(
    cloth: &crate::gear::Cloth,
    start_m_s: f64,
    travel_m: f64,
) -> Option<(f64, f64)> {
    let speed = contact_speed_m_s(cloth, start_m_s, 1.0, travel_m)?;
    // sliding: q = 5/2 (v₀ − v), at most v
    Some((speed, (2.5 * (start_m_s - speed) / speed).min(1.0)))
}
