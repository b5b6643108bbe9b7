//! Banks: the object ball off one or two cushions.
//!
//! All directions are followed over the whole bed with the other balls as stops, spin from rolling
//! and cushions included, and edges bisected. Assumed: two speeds of the object ball, soft for one
//! cushion and harder for two.

use kurbo::Vec2;
use rayon::prelude::*;

use super::candidate::{Candidate, Family, Refusal, Unseen};
use super::cueball::followed;
use super::direct::pull_back;
use super::force::Tip;
use super::obstruct::{EDGE_RAD, circle, spans_of};
use super::table::{Table, set_as_acceptance};
use crate::directions::{Directions, Span};
use crate::motion::{BallState, End, FeatureKind, Step, straight_hit, trace};
use crate::pocket::{How, PocketName};
use crate::window::Stroke;

/// Speeds of the object ball for one and for two cushions, m/s (assumption: a length and a half
/// and three lengths of stroke on a nine-foot table, which reach any pocket that way).
pub const BANK_SPEEDS_M_S: [f64; 2] = [2.2, 3.4];
/// Directions looked at round the circle: every half degree, 1 cm at 1.2 m.
const STATIONS: u32 = 720;
/// Narrower banks are not offered, rad (assumption: no one finds a tenth of a degree off a cushion).
const NARROWEST_RAD: f64 = 1.7e-3;

/// What a direction did: which pocket, off how many cushions before the pocket's own rails.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Banked {
    pocket: PocketName,
    cushions: u8,
}

/// Rails met in order, each once for a run of small bounces.
#[derive(Default)]
struct Rails {
    met: [usize; MOST_RAILS],
    count: usize,
    last: Option<usize>,
}

/// More rails than this are luck (assumption).
const MOST_RAILS: usize = 4;

impl Rails {
    fn push(&mut self, index: usize) {
        if self.last != Some(index) {
            self.last = Some(index);
            if let Some(slot) = self.met.get_mut(self.count) {
                *slot = index;
            }
            self.count += 1;
        }
    }

    /// Cushions before those that end at the pocket: the last ones are only the ball going in off
    /// the rail. 0 for a direct shot; `None` for more than two or for too many rails.
    fn cushions(&self, table: &Table<'_>, pocket: PocketName) -> Option<u8> {
        let met = self.met.get(..self.count)?;
        let own = |i: usize| {
            table
                .object_bed
                .rail_ends(i)
                .is_some_and(|e| e.contains(&pocket))
        };
        let before = met.iter().rposition(|&i| !own(i)).map_or(0, |k| k + 1);
        u8::try_from(before).ok().filter(|&n| n <= 2)
    }
}

/// All one- and two-cushion banks of a ball that the cue ball can play: at two usual speeds, or at
/// what a stroke off the tip sends the ball with in each direction. `done` is told of each search.
#[must_use]
pub fn banks(
    table: &Table<'_>,
    balls: &[usize],
    stroke: &Stroke,
    tip: Option<&Tip>,
    done: &(dyn Fn() + Sync),
) -> Vec<Candidate> {
    let jobs: Vec<(usize, Option<u8>)> = match tip {
        None => balls
            .iter()
            .flat_map(|&b| [(b, Some(1)), (b, Some(2))])
            .collect(),
        Some(_) => balls.iter().map(|&b| (b, None)).collect(),
    };
    jobs.par_iter()
        .flat_map_iter(|&(ball, cushions)| {
            let found = match (cushions, tip) {
                _ if table.stop.asked() => Vec::new(),
                (Some(n), _) => {
                    let speed_m_s = BANK_SPEEDS_M_S[usize::from(n - 1)];
                    banks_of(table, ball, cushions, stroke, &|_| Some(speed_m_s))
                }
                (None, Some(tip)) => banks_of(table, ball, None, stroke, &|direction_rad| {
                    tip.sends_m_s(table, ball, stroke.roll, direction_rad)
                }),
                (None, None) => Vec::new(),
            };
            done();
            found
        })
        .collect()
}

/// Searches that [`banks`] makes for so many balls.
pub(super) fn searches(balls: usize, tip: Option<&Tip>) -> usize {
    if tip.is_some() { balls } else { 2 * balls }
}

/// Banks of one ball off so many cushions (or one or two), at a speed for each direction.
fn banks_of(
    table: &Table<'_>,
    ball: usize,
    wanted: Option<u8>,
    stroke: &Stroke,
    speed_m_s: &(dyn Fn(f64) -> Option<f64> + Sync),
) -> Vec<Candidate> {
    let features = table.object_features(ball);
    let (bed, cloth, at) = (&table.object_bed, &table.gear.cloth, table.at(ball));
    let look = |theta: f64| {
        let v = kurbo::Vec2::from_angle(theta) * speed_m_s(theta)?;
        let mut rails = Rails::default();
        let end = trace(
            &features,
            &bed.body,
            cloth,
            BallState::sliding(at, v),
            |step| {
                if let Step::Impact(i, _) = step
                    && features[i].kind == FeatureKind::Rail
                {
                    rails.push(i);
                }
            },
        );
        let Ok((End::Drop(i), _)) = end else {
            return None;
        };
        let pocket = bed.pocket_of(i)?;
        let cushions = rails.cushions(table, pocket)?;
        (cushions > 0).then_some(Banked { pocket, cushions })
    };
    let spans = spans_of(&circle(STATIONS, &look), EDGE_RAD, &look);
    joined(&spans)
        .iter()
        .filter(|s| s.width_rad() > NARROWEST_RAD)
        .filter(|s| wanted.is_none_or(|cushions| s.tag.cushions == cushions))
        .filter_map(|span| {
            let speed_m_s = speed_m_s(0.5 * (span.from_rad + span.to_rad))?;
            from_span(table, ball, span, speed_m_s, stroke).ok()
        })
        .collect()
}

/// Touching spans into one pocket are one shot, named after the widest of them.
fn joined(spans: &[Span<Banked>]) -> Vec<Span<Banked>> {
    let mut out: Vec<(f64, Span<Banked>)> = Vec::new();
    for span in spans {
        let width = span.width_rad();
        match out.last_mut() {
            Some((widest, last))
                if last.tag.pocket == span.tag.pocket
                    && span.from_rad - last.to_rad <= 2.0 * EDGE_RAD =>
            {
                last.to_rad = span.to_rad;
                if width > *widest {
                    *widest = width;
                    last.tag = span.tag;
                }
            }
            _ => out.push((width, *span)),
        }
    }
    out.into_iter().map(|(_, s)| s).collect()
}

fn from_span(
    table: &Table<'_>,
    ball: usize,
    span: &Span<Banked>,
    speed_m_s: f64,
    stroke: &Stroke,
) -> Result<Candidate, Refusal> {
    let middle = 0.5 * (span.from_rad + span.to_rad);
    let half = 0.5 * span.width_rad();
    let open = Directions::from_spans(vec![Span {
        from_rad: -half,
        to_rad: half,
        tag: How::Rail,
    }]);
    // The distance is only a scale here: a set given in angles needs none.
    let acceptance = set_as_acceptance(
        table.at(ball),
        middle,
        speed_m_s,
        table.gear.bed.width_m,
        open.clone(),
    );
    let found = pull_back(table, ball, &acceptance, &open, stroke)?;
    let family = Family::Bank {
        cushions: span.tag.cushions,
    };
    let cushions = f64::from(span.tag.cushions);
    let features = table.object_features(ball);
    let way_m = straight_hit(&features, table.at(ball), Vec2::from_angle(middle))
        .map_or(0.0, |(way_m, _)| way_m);
    let unseen = Unseen::judged(cushions, way_m, found.lever());
    let shot = Candidate {
        family,
        pocket: span.tag.pocket,
        unseen,
        ..found
    };
    let directions = followed(table, &shot);
    if directions.is_empty() {
        return Err(Refusal::OutOfReach);
    }
    Ok(Candidate { directions, ..shot })
}
