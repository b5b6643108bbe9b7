//! Kicks: the cue ball off one or two cushions into the object ball, which drops directly.
//!
//! Cue-ball directions are followed round the circle; between neighbours that met the same ball
//! off the same rails the object ball's direction changes steadily, so the edges of its drop set
//! are found in between even where the window is narrower than the spacing. Around them the object
//! ball is followed at the speed it is really sent.

use kurbo::{Point, Vec2};
use rayon::prelude::*;

use super::candidate::{Candidate, Family, Unseen, Way};
use super::obstruct::{EDGE_RAD, circle, spans_of, turn_rad};
use super::table::{DropSet, Table};
use crate::contact::{Pair, aftermath};
use crate::directions::{Directions, Sample, Span};
use crate::motion::{BallState, End, Feature, FeatureKind, Step, straight_hit, trace};
use crate::pocket::How;

/// Speed of the cue ball off the tip for a kick, m/s (assumption: about two lengths on a nine-foot
/// table, enough to reach and send any ball).
pub const KICK_SPEED_M_S: f64 = 3.0;
/// Directions round the circle: every quarter degree.
const STATIONS: u32 = 1440;
/// Halvings of a step between neighbours when their object-ball directions lie on both sides of a
/// drop set's edge; 2⁻²² of a quarter degree is 1e-9 rad.
const HALVINGS: u32 = 22;
/// Narrower kicks are not offered, rad (assumption: nobody finds less than 0.02° off a cushion).
const NARROWEST_RAD: f64 = 3.5e-4;

/// A cue ball that met a ball off rails.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Met {
    ball: usize,
    rails: u32,
    cushions: u8,
}

/// What a direction did.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Look {
    met: Met,
    /// Direction of the object ball on the plan, rad.
    object_rad: f64,
    object_speed_m_s: f64,
    contact: BallState,
    travel_m: f64,
}

/// All kicks off one or two cushions into the drop sets given, at a speed off the tip. `done` is told
/// of each set looked at.
#[must_use]
pub fn kicks(
    table: &Table<'_>,
    sets: &[&DropSet],
    speed_m_s: f64,
    done: &(dyn Fn() + Sync),
) -> Vec<Candidate> {
    let kicker = Kicker::new(table, speed_m_s);
    let stations = circle(STATIONS, &|a| kicker.look(a));
    let looks: Vec<Seen> = stations.par_iter().map(|&a| kicker.sample(a)).collect();
    let steady: Vec<Steady> = looks
        .par_windows(2)
        .flat_map_iter(|pair| kicker.steady(pair[0], pair[1]))
        .collect();
    sets.par_iter()
        .flat_map_iter(|set| {
            let found = if set.open.is_empty() || table.stop.asked() {
                Vec::new()
            } else {
                kicker.kicks_for(set, &steady)
            };
            done();
            found
        })
        .collect()
}

/// A direction and what it did.
type Seen = Sample<Option<Look>>;

/// Two directions between which the same ball is met off the same rails.
struct Steady {
    lo: Sample<Look>,
    hi: Sample<Look>,
}

struct Kicker<'a> {
    table: &'a Table<'a>,
    features: Vec<Feature>,
    pair: Pair,
    cue: Point,
    /// Speed off the tip.
    speed_m_s: f64,
}

impl<'a> Kicker<'a> {
    fn new(table: &'a Table<'a>, speed_m_s: f64) -> Self {
        let balls = &table.gear.balls;
        Self {
            table,
            features: table.cue_features(None),
            pair: Pair {
                first_mass_kg: balls.cue_mass_kg,
                second_mass_kg: balls.object_mass_kg,
                first_radius_m: table.cue_bed.body.radius_m,
            },
            cue: table.layout.cue,
            speed_m_s,
        }
    }

    /// From the cue ball to the first cushion, m.
    fn first_way_m(&self, direction_rad: f64) -> f64 {
        let direction = Vec2::from_angle(direction_rad);
        straight_hit(&self.features, self.cue, direction).map_or(0.0, |(way_m, _)| way_m)
    }

    fn look(&self, direction_rad: f64) -> Option<Look> {
        let v = Vec2::from_angle(direction_rad) * self.speed_m_s;
        let (mut rails, mut hits, mut spoiled, mut travel_m) = (0_u32, 0_u8, false, 0.0);
        let bed = &self.table.cue_bed;
        let (end, state) = trace(
            &self.features,
            &bed.body,
            &self.table.gear.cloth,
            BallState::sliding(self.cue, v),
            |step| {
                match step {
                    Step::Leg(leg) => {
                        travel_m += (leg.position(leg.duration_s) - leg.start.at).hypot()
                    }
                    Step::Impact(i, _) => {
                        // a kick off a jaw is luck
                        spoiled |= self.features[i].kind != FeatureKind::Rail || hits >= 2;
                        hits = hits.saturating_add(1);
                        rails = if spoiled {
                            0
                        } else {
                            rails * 8 + u32::try_from(i + 1).unwrap_or(0)
                        };
                    }
                }
            },
        )
        .ok()?;
        let End::Ball(index) = end else { return None };
        if spoiled || hits == 0 {
            return None;
        }
        let ball = Table::ball_of(bed, index, None)?;
        let centres = (self.table.at(ball) - state.at).normalize();
        let sent = aftermath(&self.table.gear.contact, &self.pair, &state, centres).second_velocity;
        Some(Look {
            met: Met {
                ball,
                rails,
                cushions: hits,
            },
            object_rad: sent.atan2(),
            object_speed_m_s: sent.hypot(),
            contact: state,
            travel_m,
        })
    }

    /// Splits the gap between two neighbours where what is met changes.
    fn steady(&self, lo: Seen, hi: Seen) -> Vec<Steady> {
        let mut out = Vec::new();
        self.split(lo, hi, &mut out);
        out
    }

    fn split(&self, lo: Seen, hi: Seen, out: &mut Vec<Steady>) {
        let same = match (&lo.found, &hi.found) {
            (None, None) => return,
            (Some(a), Some(b)) => a.met == b.met,
            _ => false,
        };
        if let (true, Some(a), Some(b)) = (same, lo.found, hi.found) {
            out.push(Steady {
                lo: Sample {
                    at: lo.at,
                    found: a,
                },
                hi: Sample {
                    at: hi.at,
                    found: b,
                },
            });
        } else if hi.at - lo.at > EDGE_RAD {
            let seen = self.sample(0.5 * (lo.at + hi.at));
            self.split(lo, seen, out);
            self.split(seen, hi, out);
        }
    }

    fn sample(&self, direction_rad: f64) -> Seen {
        Sample {
            at: direction_rad,
            found: self.look(direction_rad),
        }
    }

    fn kicks_for(&self, set: &DropSet, steady: &[Steady]) -> Vec<Candidate> {
        let base = set.acceptance.approach_rad;
        let object_features = self.table.object_features(set.ball);
        // The drop set was solved for one speed; here each ball is followed at its own.
        let made = |a: f64| {
            let look = self.look(a).filter(|l| l.met.ball == set.ball)?;
            self.drops(set, &object_features, &look)
        };
        let mut found: Vec<Span<How>> = Vec::new();
        let mut stations = Vec::new();
        for part in steady.iter().filter(|p| p.lo.found.met.ball == set.ball) {
            let (lo, hi) = (part.lo.at, part.hi.at);
            stations.clear();
            for span in set.open.spans() {
                for edge in [span.from_rad, span.to_rad] {
                    stations.extend(self.crossing(base + edge, &part.lo, &part.hi));
                }
            }
            let inside = |look: &Look| set.open.tag_at(turn_rad(base, look.object_rad)).is_some();
            if stations.is_empty() && !inside(&part.lo.found) && !inside(&part.hi.found) {
                continue;
            }
            stations.extend([lo, hi]);
            stations.sort_by(f64::total_cmp);
            let middles: Vec<f64> = stations.windows(2).map(|w| 0.5 * (w[0] + w[1])).collect();
            stations.extend(middles);
            stations.sort_by(f64::total_cmp);
            found.extend(spans_of(&stations, EDGE_RAD, &made));
        }
        self.components(set, &Directions::from_spans(found))
    }

    /// Whether and how the object ball drops at the speed it is sent.
    fn drops(&self, set: &DropSet, features: &[Feature], look: &Look) -> Option<How> {
        let bed = &self.table.object_bed;
        let v = Vec2::from_angle(look.object_rad) * look.object_speed_m_s;
        let start = BallState::sliding(self.table.at(set.ball), v);
        let (mut how, mut banked) = (How::Clean, false);
        let (end, _) = trace(features, &bed.body, &self.table.gear.cloth, start, |step| {
            if let Step::Impact(i, _) = step {
                banked |= features[i].kind == FeatureKind::Rail && !bed.meets_at(i, set.pocket);
                how = match (features[i].kind, how) {
                    (FeatureKind::Rail, _) | (_, How::Rail) => How::Rail,
                    _ => How::Jaw,
                };
            }
        })
        .ok()?;
        match end {
            End::Drop(i) if !banked && bed.pocket_of(i) == Some(set.pocket) => Some(how),
            _ => None,
        }
    }

    /// Where the object ball leaves along `wanted_rad` between two neighbours.
    fn crossing(&self, wanted_rad: f64, lo: &Sample<Look>, hi: &Sample<Look>) -> Option<f64> {
        let off = |look: &Look| turn_rad(wanted_rad, look.object_rad);
        let (at_lo, at_hi) = (off(&lo.found), off(&hi.found));
        if at_lo * at_hi > 0.0 || (at_lo - at_hi).abs() > std::f64::consts::PI {
            return None;
        }
        let (mut a, mut b) = (lo.at, hi.at);
        for _ in 0..HALVINGS {
            let middle = 0.5 * (a + b);
            let look = self.look(middle)?;
            if off(&look) * at_lo > 0.0 {
                a = middle
            } else {
                b = middle
            }
        }
        Some(0.5 * (a + b))
    }

    /// One candidate for each connected run of directions.
    fn components(&self, set: &DropSet, all: &Directions<How>) -> Vec<Candidate> {
        let mut out = Vec::new();
        let mut run: Vec<Span<How>> = Vec::new();
        let spans = all.spans();
        for (i, span) in spans.iter().enumerate() {
            run.push(*span);
            let goes_on = spans
                .get(i + 1)
                .is_some_and(|next| next.from_rad - span.to_rad <= 4.0 * EDGE_RAD);
            if !goes_on {
                out.extend(self.candidate(set, &run));
                run.clear();
            }
        }
        out
    }

    fn candidate(&self, set: &DropSet, run: &[Span<How>]) -> Option<Candidate> {
        let (from, to) = (run.first()?.from_rad, run.last()?.to_rad);
        if to - from < NARROWEST_RAD {
            return None;
        }
        let aim_rad = 0.5 * (from + to);
        let look = self.look(aim_rad)?;
        let spans = run.iter().map(|s| Span {
            from_rad: s.from_rad - aim_rad,
            to_rad: s.to_rad - aim_rad,
            tag: s.tag,
        });
        let centres = self.table.at(set.ball) - look.contact.at;
        Some(Candidate {
            family: Family::Kick {
                cushions: look.met.cushions,
            },
            ball: set.ball,
            first: set.ball,
            pocket: set.pocket,
            aim_rad,
            directions: Directions::from_spans(spans.collect()),
            cue_travel_m: look.travel_m,
            cue_speed_m_s: self.speed_m_s,
            cut_rad: turn_rad(look.contact.v.atan2(), centres.atan2()),
            blockers: set.blockers.clone(),
            blocked_share: set.blocked_share,
            unseen: Unseen::judged(f64::from(look.met.cushions), self.first_way_m(aim_rad), 1.0),
            pace_m_s: None,
            way: Way::Cushions {
                speed_m_s: self.speed_m_s,
            },
        })
    }
}
