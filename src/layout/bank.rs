//! Banks: the object ball off one or two cushions.
//!
//! All directions are followed over the whole bed with the other balls as stops, spin from rolling
//! and cushions included, and edges bisected. Assumed: two speeds of the object ball, soft for one
//! cushion and harder for two.

use std::f64::consts::TAU;

use rayon::prelude::*;

use super::candidates::{Candidate, Family, Refusal, pull_back};
use super::obstruct::{EDGE_RAD, spans_of};
use super::table::{Table, set_as_acceptance};
use crate::directions::{Directions, Span};
use crate::motion::{BallState, End, FeatureKind, Step, trace};
use crate::pocket::{How, PocketName};
use crate::window::Stroke;

/// Speeds of the object ball for one and for two cushions, m/s (assumption: a length and a half
/// and three lengths of stroke on a nine-foot table, which reach any pocket that way).
pub const BANK_SPEEDS_M_S: [f64; 2] = [2.2, 3.4];
/// Directions looked at round the circle: every half degree, 1 cm at 1.2 m.
const STATIONS: u32 = 720;
/// Narrower banks are not offered, rad (assumption: no one finds a tenth of a degree off a cushion).
const NARROWEST_RAD: f64 = 1.7e-3;

/// What a direction did: which pocket, off which rails.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Banked {
    pocket: PocketName,
    /// Rails in order, in base 8, first rail highest.
    rails: u32,
    cushions: u8,
}

/// All one- and two-cushion banks of a ball that the cue ball can play.
#[must_use]
pub fn banks(table: &Table<'_>, balls: &[usize], stroke: &Stroke) -> Vec<Candidate> {
    let jobs: Vec<(usize, u8)> = balls.iter().flat_map(|&b| [(b, 1), (b, 2)]).collect();
    jobs.par_iter().flat_map_iter(|&(ball, cushions)| banks_of(table, ball, cushions, stroke)).collect()
}

fn banks_of(table: &Table<'_>, ball: usize, cushions: u8, stroke: &Stroke) -> Vec<Candidate> {
    let speed_m_s = BANK_SPEEDS_M_S[usize::from(cushions - 1)];
    let features = table.object_features(ball);
    let (bed, cloth, at) = (&table.object_bed, &table.gear.cloth, table.at(ball));
    let look = |theta: f64| {
        let v = kurbo::Vec2::from_angle(theta) * speed_m_s;
        let (mut rails, mut hits, mut spoiled, mut last) = (0_u32, 0_u8, false, usize::MAX);
        let end = trace(&features, &bed.body, cloth, BallState::sliding(at, v), |step| {
            if let Step::Impact(i, _) = step
                && features[i].kind == FeatureKind::Rail
                && i != last
            {
                last = i;
                hits = hits.saturating_add(1);
                spoiled |= hits > 2;
                rails = if spoiled { 0 } else { rails * 8 + u32::try_from(i + 1).unwrap_or(0) };
            }
        });
        let Ok((End::Drop(i), _)) = end else { return None };
        let pocket = bed.pocket_of(i)?;
        (hits == cushions && !spoiled && is_bank(table, rails, pocket))
            .then_some(Banked { pocket, rails, cushions })
    };
    let stations: Vec<f64> = (0..=STATIONS).map(|k| TAU * f64::from(k) / f64::from(STATIONS)).collect();
    let spans = spans_of(&stations, EDGE_RAD, &look);
    spans
        .iter()
        .filter(|s| s.width_rad() > NARROWEST_RAD)
        .filter_map(|span| from_span(table, ball, span, speed_m_s, stroke).ok())
        .collect()
}

/// At least one rail does not end at the pocket: otherwise it is a direct shot off the rail.
fn is_bank(table: &Table<'_>, rails: u32, pocket: PocketName) -> bool {
    let ends_there = |code: u32| {
        let index = usize::try_from(code).unwrap_or(0).wrapping_sub(1);
        table.object_bed.rail_ends(index).is_some_and(|ends| ends.contains(&pocket))
    };
    [rails % 8, rails / 8].into_iter().filter(|&code| code > 0).any(|code| !ends_there(code))
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
    let open = Directions::from_spans(vec![Span { from_rad: -half, to_rad: half, tag: How::Rail }]);
    // The distance is only a scale here: a set given in angles needs none.
    let acceptance = set_as_acceptance(table.at(ball), middle, speed_m_s, table.gear.bed.width_m, open.clone());
    let found = pull_back(table, ball, &acceptance, &open, stroke)?;
    let family = Family::Bank { cushions: span.tag.cushions };
    Ok(Candidate { family, pocket: span.tag.pocket, ..found })
}
