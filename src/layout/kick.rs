//! Kicks: the cue ball off one or two cushions into the object ball, which drops directly.
//!
//! Cue-ball directions are followed round the circle; between neighbours that met the same ball
//! off the same rails the object ball's direction changes steadily, so the edges of its drop set
//! are found in between even where the window is narrower than the spacing.

use std::f64::consts::TAU;

use kurbo::{Point, Vec2};
use rayon::prelude::*;

use super::candidates::{Candidate, Family, Way};
use super::obstruct::{EDGE_RAD, turn_rad};
use super::table::{DropSet, Table};
use crate::contact::{Pair, aftermath};
use crate::directions::{Directions, Span};
use crate::motion::{BallState, End, Feature, FeatureKind, Step, trace};
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

/// All kicks off one or two cushions into the drop sets given.
#[must_use]
pub fn kicks(table: &Table<'_>, sets: &[&DropSet]) -> Vec<Candidate> {
    let kicker = Kicker::new(table);
    let stations: Vec<f64> = (0..=STATIONS).map(|k| TAU * f64::from(k) / f64::from(STATIONS)).collect();
    let looks: Vec<Option<Look>> = stations.par_iter().map(|&a| kicker.look(a)).collect();
    sets.par_iter()
        .filter(|set| !set.open.is_empty())
        .flat_map_iter(|set| kicker.into_set(set, &stations, &looks))
        .collect()
}

struct Kicker<'a> {
    table: &'a Table<'a>,
    features: Vec<Feature>,
    pair: Pair,
    cue: Point,
}

impl<'a> Kicker<'a> {
    fn new(table: &'a Table<'a>) -> Self {
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
        }
    }

    fn look(&self, direction_rad: f64) -> Option<Look> {
        let v = Vec2::from_angle(direction_rad) * KICK_SPEED_M_S;
        let (mut rails, mut hits, mut spoiled, mut travel_m) = (0_u32, 0_u8, false, 0.0);
        let bed = &self.table.cue_bed;
        let (end, state) =
            trace(&self.features, &bed.body, &self.table.gear.cloth, BallState::sliding(self.cue, v), |step| {
                match step {
                    Step::Leg(leg) => travel_m += (leg.position(leg.duration_s) - leg.start.at).hypot(),
                    Step::Impact(i, _) => {
                        // a kick off a jaw is luck
                        spoiled |= self.features[i].kind != FeatureKind::Rail || hits >= 2;
                        hits = hits.saturating_add(1);
                        rails = if spoiled { 0 } else { rails * 8 + u32::try_from(i + 1).unwrap_or(0) };
                    }
                }
            })
            .ok()?;
        let End::Ball(index) = end else { return None };
        if spoiled || hits == 0 {
            return None;
        }
        let ball = Table::ball_of(bed, index, None)?;
        let centres = (self.table.at(ball) - state.at).normalize();
        let sent = aftermath(&self.table.gear.contact, &self.pair, &state, centres).second_velocity;
        Some(Look {
            met: Met { ball, rails, cushions: hits },
            object_rad: sent.atan2(),
            object_speed_m_s: sent.hypot(),
            contact: state,
            travel_m,
        })
    }

    fn into_set(&self, set: &DropSet, stations: &[f64], looks: &[Option<Look>]) -> Vec<Candidate> {
        let base = set.acceptance.approach_rad;
        let needed = set.acceptance.object_speed_m_s;
        // The set was solved for one speed; a faster ball is accepted a little less, a slower one
        // may not arrive. Off-speed kicks are left out rather than shown with a wrong window.
        let tag = |look: &Look| {
            let theta = turn_rad(base, look.object_rad);
            let arrives = look.object_speed_m_s >= SLOWEST_SHARE * needed;
            (look.met.ball == set.ball && arrives)
                .then(|| set.open.tag_at(theta).map(|how| (how, look.met.rails)))
                .flatten()
        };
        let at = |a: f64| self.look(a).as_ref().and_then(tag);
        let mut found: Vec<Span<(How, u32)>> = Vec::new();
        for (pair, around) in looks.windows(2).zip(stations.windows(2)) {
            let (Some(one), Some(other)) = (&pair[0], &pair[1]) else { continue };
            if one.met != other.met || one.met.ball != set.ball {
                continue;
            }
            let mut cuts = vec![around[0], around[1]];
            for span in set.open.spans() {
                for edge in [span.from_rad, span.to_rad] {
                    cuts.extend(self.crossing(base + edge, (around[0], one), (around[1], other)));
                }
            }
            cuts.sort_by(f64::total_cmp);
            // each gap between edges is wholly in or out: ask its middle
            for gap in cuts.windows(2) {
                if gap[1] - gap[0] > EDGE_RAD && let Some(tag) = at(0.5 * (gap[0] + gap[1])) {
                    found.push(Span { from_rad: gap[0], to_rad: gap[1], tag });
                }
            }
        }
        self.components(set, Directions::from_spans(found))
    }

    /// Where the object ball leaves along `wanted_rad` between two neighbours.
    fn crossing(&self, wanted_rad: f64, lo: (f64, &Look), hi: (f64, &Look)) -> Option<f64> {
        let off = |look: &Look| turn_rad(wanted_rad, look.object_rad);
        let (at_lo, at_hi) = (off(lo.1), off(hi.1));
        if at_lo * at_hi > 0.0 || (at_lo - at_hi).abs() > std::f64::consts::FRAC_PI_2 {
            return None;
        }
        let (mut a, mut b) = (lo.0, hi.0);
        for _ in 0..HALVINGS {
            let middle = 0.5 * (a + b);
            let look = self.look(middle)?;
            if off(&look) * at_lo > 0.0 { a = middle } else { b = middle }
        }
        Some(0.5 * (a + b))
    }

    /// One candidate for each connected run of directions off the same rails.
    fn components(&self, set: &DropSet, all: Directions<(How, u32)>) -> Vec<Candidate> {
        let mut out = Vec::new();
        let mut run: Vec<Span<(How, u32)>> = Vec::new();
        let spans = all.spans();
        for (i, span) in spans.iter().enumerate() {
            run.push(*span);
            let goes_on = spans.get(i + 1).is_some_and(|next| {
                next.tag.1 == span.tag.1 && next.from_rad - span.to_rad <= 4.0 * EDGE_RAD
            });
            if !goes_on {
                out.extend(self.candidate(set, &run));
                run.clear();
            }
        }
        out
    }

    fn candidate(&self, set: &DropSet, run: &[Span<(How, u32)>]) -> Option<Candidate> {
        let (from, to) = (run.first()?.from_rad, run.last()?.to_rad);
        if to - from < NARROWEST_RAD {
            return None;
        }
        let aim_rad = 0.5 * (from + to);
        let look = self.look(aim_rad)?;
        let spans = run.iter().map(|s| Span {
            from_rad: s.from_rad - aim_rad,
            to_rad: s.to_rad - aim_rad,
            tag: s.tag.0,
        });
        let centres = self.table.at(set.ball) - look.contact.at;
        Some(Candidate {
            family: Family::Kick { cushions: look.met.cushions },
            ball: set.ball,
            first: set.ball,
            pocket: set.pocket,
            aim_rad,
            directions: Directions::from_spans(spans.collect()),
            cue_travel_m: look.travel_m,
            cue_speed_m_s: KICK_SPEED_M_S,
            cut_rad: turn_rad(look.contact.v.atan2(), centres.atan2()),
            blockers: set.blockers.clone(),
            blocked_share: set.blocked_share,
            way: Way::Cushions { speed_m_s: KICK_SPEED_M_S },
        })
    }
}

/// Slowest object ball, as a share of the speed the drop set was solved for (assumption: a ball a
/// third slower still arrives at an ordinary pace).
const SLOWEST_SHARE: f64 = 0.67;
