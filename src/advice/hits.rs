//! Hits of safeties: straight at a ball that is on, thick and thin, or off one cushion where no such ball can
//! be seen; each with strokes in half table lengths, the tip in the middle or half a tip beside it.

use kurbo::{Point, Vec2};

use super::follow::{Still, alone, is_up, settled};
use super::legal::Legal;
use super::strokes::half_tip_m;
use crate::contact::{Pair, aftermath};
use crate::gear::Gear;
use crate::layout::{Table, line_m};
use crate::motion::{BallState, End, Feature, FeatureKind, Step, straight_hit, trace};
use crate::player::AimError;
use crate::player::aim_error::LINE_NEAREST_M;
use crate::stroke::Stick;
use crate::units::Side;
use crate::window::{at, speed_for_lengths};

/// How full the balls are hit.
const FULLNESS: [f64; 8] = [1.0, 0.875, 0.75, 0.625, 0.5, 0.375, 0.25, 0.1];
/// Strokes, in half table lengths: half a length to four.
const HALF_LENGTHS: u32 = 8;
/// Directions looked at round the table for a ball off a cushion: every half degree.
const CIRCLE: u32 = 720;
/// Of the directions side by side that meet one ball off one cushion these are played.
const OF_A_FAN: [f64; 3] = [0.25, 0.5, 0.75];

/// A hit and a stroke.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Hit {
    pub(super) ball: usize,
    pub(super) fullness: f64,
    /// The side of the object ball that is hit, as the cue ball comes.
    pub(super) side: Side,
    /// The side of the cue ball that the tip strikes, half a tip off the middle.
    pub(super) english: Option<Side>,
    /// Where the cue ball's middle is when it comes off the cushion before.
    pub(super) off: Option<Point>,
    /// Where the stick points.
    pub(super) aim_rad: f64,
    pub(super) lengths: f64,
    pub(super) speed_m_s: f64,
    /// Way of the cue ball to the contact.
    pub(super) travel_m: f64,
}

impl Hit {
    fn stick(&self, gear: &Gear, share: f64) -> Stick {
        let across_m = match self.english {
            None => 0.0,
            Some(Side::Right) => half_tip_m(gear),
            Some(Side::Left) => -half_tip_m(gear),
        };
        Stick {
            across_m,
            ..Stick::centre(share * self.speed_m_s)
        }
    }

    /// The same hit with side, squirt and curve aimed off; `None` where it does not get there.
    pub(super) fn with_side(&self, gear: &Gear, english: Side) -> Option<Self> {
        let sided = Self {
            english: Some(english),
            ..*self
        };
        let mark = at(gear, &sided.stick(gear, 1.0), self.travel_m)?;
        Some(Self {
            aim_rad: self.aim_rad - mark.left_m.atan2(mark.along_m),
            ..sided
        })
    }

    /// Spread of a player's direction: the aim, side that is misjudged, a cushion that is judged.
    pub(super) fn sigma_rad(&self, table: &Table<'_>, aims: &AimError) -> f64 {
        let seen = aims.sigma_rad(self.travel_m.max(1e-3), self.speed_m_s);
        let squirt = self
            .stick(table.gear, 1.0)
            .squirt_rad(table.gear.cue_radius_m());
        let way_m = self.off.map(|off| (off - table.layout.cue).hypot());
        let judged = way_m.map_or(0.0, |way| line_m(aims) / way.max(LINE_NEAREST_M));
        seen.hypot(aims.scatter.allow * squirt).hypot(judged)
    }

    /// Plays it with the aim `delta_rad` off and `share` times as fast; `None` where nobody can say what
    /// becomes of it.
    pub(super) fn played(&self, table: &Table<'_>, delta_rad: f64, share: f64) -> Option<Still> {
        let bed = &table.cue_bed;
        let stick = self.stick(table.gear, share);
        let aim_rad = self.aim_rad + delta_rad;
        let start = stick.leaves(bed.body.radius_m, table.layout.cue, aim_rad);
        let features = table.cue_features(None);
        let cloth = &table.gear.cloth;
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
        let object_m_s = Some(after.second_velocity);
        Some(settled(table, met, after.first, object_m_s))
    }
}

/// All hits that meet a ball that is on first, with all strokes, the tip in the middle: straight, or off one
/// cushion where none can be hit straight (assumption: nobody comes off a cushion who can see the ball).
pub(super) fn hits(table: &Table<'_>, legal: &dyn Legal) -> Vec<Hit> {
    let strokes: Vec<(f64, f64)> = (1..=HALF_LENGTHS)
        .map(|k| 0.5 * f64::from(k))
        .filter_map(|lengths| Some((lengths, speed_for_lengths(table.gear, lengths).ok()?)))
        .collect();
    let features = table.cue_features(None);
    let straight = straight(table, legal, &features, &strokes);
    if straight.is_empty() {
        off_a_cushion(table, legal, &features, &strokes)
    } else {
        straight
    }
}

fn straight(
    table: &Table<'_>,
    legal: &dyn Legal,
    features: &[Feature],
    strokes: &[(f64, f64)],
) -> Vec<Hit> {
    let cue = table.layout.cue;
    let on = table
        .others(None)
        .filter(|(i, at)| legal.on(*i) && is_up(*at));
    let mut hits = Vec::new();
    for (ball, at) in on {
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
                let met = straight_hit(features, cue, Vec2::from_angle(aim_rad));
                let Some((travel_m, met)) = met else { continue };
                if Table::ball_of(&table.cue_bed, met, None) != Some(ball) {
                    continue;
                }
                hits.extend(strokes.iter().map(|&(lengths, speed_m_s)| Hit {
                    ball,
                    fullness,
                    side,
                    english: None,
                    off: None,
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

/// Hits off one cushion: a look round the table with every stroke, since a harder one comes off otherwise.
fn off_a_cushion(
    table: &Table<'_>,
    legal: &dyn Legal,
    features: &[Feature],
    strokes: &[(f64, f64)],
) -> Vec<Hit> {
    let mut hits = Vec::new();
    for &(lengths, speed_m_s) in strokes {
        if table.stopped() {
            break;
        }
        let circle = f64::from(CIRCLE);
        let seen: Vec<Option<(usize, Hit)>> = (0..CIRCLE)
            .map(|k| std::f64::consts::TAU * f64::from(k) / circle)
            .map(|aim_rad| {
                Looked {
                    aim_rad,
                    lengths,
                    speed_m_s,
                }
                .met(table, features)
            })
            .map(|met| met.filter(|(_, hit)| legal.on(hit.ball)))
            .collect();
        let one = |a: &Option<(usize, Hit)>, b: &Option<(usize, Hit)>| {
            let way = |met: &Option<(usize, Hit)>| met.map(|(rail, hit)| (rail, hit.ball));
            way(a) == way(b)
        };
        for fan in seen.chunk_by(one).filter(|fan| fan[0].is_some()) {
            #[expect(
                clippy::cast_precision_loss,
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "places among 720"
            )]
            let mut places = OF_A_FAN.map(|at| (at * fan.len() as f64) as usize).to_vec();
            places.dedup();
            hits.extend(places.into_iter().filter_map(|k| Some(fan[k]?.1)));
        }
    }
    hits
}

/// A direction and a stroke.
struct Looked {
    aim_rad: f64,
    lengths: f64,
    speed_m_s: f64,
}

impl Looked {
    /// The ball met off one cushion, and which cushion.
    fn met(&self, table: &Table<'_>, features: &[Feature]) -> Option<(usize, Hit)> {
        let bed = &table.cue_bed;
        let direction = Vec2::from_angle(self.aim_rad);
        let start = BallState::sliding(table.layout.cue, direction * self.speed_m_s);
        let (mut off, mut others, mut travel_m) = (None, 0, 0.0);
        let ended = trace(
            features,
            &bed.body,
            &table.gear.cloth,
            start,
            |step| match step {
                Step::Leg(leg) => {
                    travel_m += (leg.position(leg.duration_s) - leg.start.at).hypot();
                }
                Step::Impact(i, state)
                    if features[i].kind == FeatureKind::Rail && off.is_none() =>
                {
                    off = Some((i, state.at));
                }
                Step::Impact(..) => others += 1,
            },
        );
        let Ok((End::Ball(met), state)) = ended else {
            return None;
        };
        let ball = Table::ball_of(bed, met, None)?;
        let (rail, at) = off.filter(|_| others == 0)?;
        let centres = (table.at(ball) - state.at).normalize();
        let across = state.v.normalize().cross(centres);
        let hit = Hit {
            ball,
            fullness: 1.0 - across.abs(),
            side: if across < 0.0 {
                Side::Left
            } else {
                Side::Right
            },
            english: None,
            off: Some(at),
            aim_rad: self.aim_rad,
            lengths: self.lengths,
            speed_m_s: self.speed_m_s,
            travel_m,
        };
        Some((rail, hit))
    }
}
