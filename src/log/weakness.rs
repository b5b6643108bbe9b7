//! Which kind of shot does a log show somebody weakest at?
//!
//! What was made of each kind is held against a player of the usual arm and picture, both scaled so
//! that over all the rows as many go in as did. The kind that falls short by most, as far as luck
//! goes, is the weakness: somebody whose arm scatters loses the long straight ones, somebody who
//! does not see the ghost ball the near and thin ones. Reference: the normal approximation of
//! the binomial; a shortfall counts from 1.645 standard deviations on (one-sided 95 in 100).

use std::collections::HashSet;

use serde::Serialize;

use super::diagnosed::Gears;
use super::practice::{Practice, ShotTried};
use crate::ladder::Topic;
use crate::player::{AimError, Observation};

/// From so many standard deviations on a shortfall is more than luck (95 in 100, one-sided).
const BEYOND_LUCK: f64 = 1.645;
/// Different shots of a kind, or days on which one was played, before it is called a weakness
/// (assumption: one shot on one evening says as much of how it was set up as of the kind).
const OCCASIONS: usize = 2;
/// Scales of the usual player that are tried: far beyond anybody on either side (assumption).
const SCALES: (f64, f64) = (0.01, 100.0);
/// Halvings of the logarithm of the scale: to a part in 10⁸.
const HALVINGS: u32 = 40;

/// What was made of one kind of shot.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Shortfall {
    /// The kind.
    pub topic: Topic,
    /// Tries.
    pub tries: u64,
    /// Makes.
    pub made: u64,
    /// Different shots among them, the same on another day counted again.
    pub occasions: usize,
    /// Makes of a player who makes as many overall.
    pub expected: f64,
    /// Made less expected, in standard deviations of luck.
    pub deviations: f64,
}

impl Shortfall {
    /// Whether neither luck nor one shot on one evening explains it.
    #[must_use]
    pub fn is_weakness(&self) -> bool {
        self.deviations <= -BEYOND_LUCK && self.occasions >= OCCASIONS
    }
}

/// Makes of every kind of shot in the practice of these students, the weakest first. Each student is
/// held against an own player of the same overall makes; students who made or missed everything
/// say nothing, nor do shots without a window or whose gear is no more.
#[must_use]
pub fn shortfalls(students: &[Practice], usual: AimError) -> Vec<Shortfall> {
    let mut sums = [(0_u64, 0_u64, 0.0_f64, 0.0_f64); Topic::ALL.len()];
    // The same shot on the same day is one occasion, whoever of them played it.
    let mut occasions: [HashSet<(String, &str)>; Topic::ALL.len()] = Default::default();
    let mut gears = Gears::default();
    for practice in students {
        let Some(player) = same_overall(&practice.observations().0, usual) else {
            continue;
        };
        let topics: Vec<(String, Vec<Topic>)> = practice
            .shots()
            .iter()
            .map(|shot| (format!("{:?}", shot.entered), topics(shot, &mut gears)))
            .collect();
        for tried in practice.tried() {
            let Some(observation) = practice.shots()[tried.shot].observation(tried) else {
                continue;
            };
            let p = observation.chance(&player);
            let tries = count(tried.tries);
            let (shot, topics) = &topics[tried.shot];
            for topic in topics {
                let Some(k) = Topic::ALL.iter().position(|t| t == topic) else {
                    continue;
                };
                let sum = &mut sums[k];
                sum.0 += observation.tries;
                sum.1 += observation.made;
                sum.2 += tries * p;
                sum.3 += tries * p * (1.0 - p);
                occasions[k].insert((shot.clone(), &*tried.day));
            }
        }
    }
    let mut found: Vec<Shortfall> = Topic::ALL
        .into_iter()
        .zip(sums.into_iter().zip(occasions))
        .filter(|(topic, (sum, _))| *topic != Topic::Mixed && sum.3 > 0.0)
        .map(
            |(topic, ((tries, made, expected, variance), occasions))| Shortfall {
                topic,
                tries,
                made,
                occasions: occasions.len(),
                expected,
                deviations: (count(made) - expected) / variance.sqrt(),
            },
        )
        .collect();
    found.sort_by(|a, b| a.deviations.total_cmp(&b.deviations));
    found
}

#[expect(clippy::cast_precision_loss, reason = "counts stay far below 2^53")]
fn count(n: u64) -> f64 {
    n as f64
}

/// The usual player, scaled so that over these rows as many go in as did.
fn same_overall(tried: &[Observation], usual: AimError) -> Option<AimError> {
    let made: u64 = tried.iter().map(|o| o.made).sum();
    let tries: u64 = tried.iter().map(|o| o.tries).sum();
    if made == 0 || made == tries {
        return None;
    }
    let expected = |player: &AimError| -> f64 {
        tried
            .iter()
            .map(|o| count(o.tries) * o.chance(player))
            .sum()
    };
    let (mut lo, mut hi) = (SCALES.0.ln(), SCALES.1.ln());
    for _ in 0..HALVINGS {
        let middle = 0.5 * (lo + hi);
        if expected(&usual.scaled(middle.exp())) > count(made) {
            lo = middle;
        } else {
            hi = middle;
        }
    }
    Some(usual.scaled((0.5 * (lo + hi)).exp()))
}

/// The kinds that a shot belongs to.
fn topics(tried: &ShotTried, gears: &mut Gears) -> Vec<Topic> {
    let Some(shot) = gears.facts(tried) else {
        return Vec::new();
    };
    let way_diamonds = 8.0 * (shot.cue_travel_m + shot.object_travel_m) / shot.bed_length_m;
    Topic::ALL
        .into_iter()
        .filter(|t| {
            t.covers(
                shot.pocket_kind,
                shot.off_straight_rad,
                shot.cut_rad,
                way_diamonds,
            )
        })
        .collect()
}
