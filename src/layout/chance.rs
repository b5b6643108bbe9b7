//! What a player makes of a shot among other balls: over the speeds of the stroke, and over how jaws
//! and rails may bounce.
//!
//! The rule is that of [`crate::player::paced`]. Plain shots go through the window at each speed; where
//! a cushion or another ball stands between, directions are followed. The aim is held: what drops
//! beside the window that was aimed at counts as well, as it would on a table.

use rayon::prelude::*;

use super::candidates::{Candidate, Family, past_others};
use super::cueball::Forward;
use super::obstruct::spans_of;
use super::scratch::intervals;
use super::table::Table;
use crate::directions::Directions;
use crate::gear::Gear;
use crate::player::AimError;
use crate::player::chance;
use crate::player::level::Scatter;
use crate::player::paced::{over_speeds, slowest_that_drops};
use crate::player::range::Ranged;
use crate::pocket::How;
use crate::window::{Flags, assumed_gears};

/// How far to both sides directions are followed, σ: beyond 5 lie 6 in ten million.
const SIGMAS: f64 = 5.0;
/// Directions followed over them.
const STATIONS: u32 = 160;
/// Accuracy of an edge there, rad: a millionth of a chance.
const EDGE_RAD: f64 = 1e-6;
/// Samples stand this far beside an edge that is known, rad.
const BESIDE_RAD: f64 = 2e-6;

/// Who plays, and how awkwardly they stand.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Plays<'a> {
    pub(crate) aims: &'a AimError,
    pub(crate) scatter: &'a Scatter,
    pub(crate) arm_factor: f64,
}

/// A chance over the speeds of the stroke.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Made {
    /// Chance to make it.
    pub(crate) chance: f64,
    /// With the speed as intended.
    pub(crate) as_intended: f64,
}

/// The chance of a shot over the speeds of the player's stroke.
pub(crate) fn made(table: &Table<'_>, shot: &Candidate, plays: &Plays<'_>) -> Made {
    let at = |share: f64| made_at(table, shot, plays, share);
    let as_intended = at(1.0);
    let spread = plays.scatter.speed_share;
    if spread <= 0.0 {
        return Made {
            chance: as_intended,
            as_intended,
        };
    }
    let falls = |share: f64| {
        Forward::struck(table, shot, share).is_some_and(|forward| forward.makes(0.0).is_some())
    };
    Made {
        chance: over_speeds(spread, slowest_that_drops(falls), at).0,
        as_intended,
    }
}

/// The chance of a shot over the speeds of a player's stroke; the factor is the stance's on the arm. What
/// drops beside the window that was aimed at counts as well.
#[must_use]
pub fn chance_over_speeds(
    table: &Table<'_>,
    shot: &Candidate,
    (aims, scatter, arm_factor): (&AimError, &Scatter, f64),
) -> f64 {
    let plays = Plays {
        aims,
        scatter,
        arm_factor,
    };
    made(table, shot, &plays).chance
}

/// The chance where the stroke comes out `share` times as fast as intended.
fn made_at(table: &Table<'_>, shot: &Candidate, plays: &Plays<'_>, share: f64) -> f64 {
    if share <= 0.0 {
        return 0.0;
    }
    let Some(struck) = shot.struck(table.gear, share) else {
        return 0.0;
    };
    let sigma_rad = struck.sigma_rad(plays.aims, plays.arm_factor);
    let makes = match struck.window() {
        Some(window) if is_plain(&struck) => {
            let set = table.drop_set_at(struck.ball, struck.pocket, window.object_speed_m_s);
            let Some(set) = set else { return 0.0 };
            let all = window.cue_directions(&set.open);
            past_others(table, struck.ball, window, &all).0
        }
        _ => followed(table, &struck, (sigma_rad, plays.aims.bias_rad)),
    };
    chance(&intervals(&makes), sigma_rad, plays.aims.bias_rad)
}

/// Whether the window says all there is to say: nothing stands between.
fn is_plain(shot: &Candidate) -> bool {
    let beside = |w: &crate::window::AimWindow| w.flags.has(Flags::CUSHION_NEAR);
    shot.family == Family::Direct && !shot.window().is_some_and(beside)
}

/// Directions that make a shot, found by following them, within 5 σ of where the player aims.
fn followed(table: &Table<'_>, shot: &Candidate, spread: (f64, f64)) -> Directions<How> {
    let forward = Forward::new(table, shot);
    let half = SIGMAS * spread.0;
    let mut stations: Vec<f64> = (0..=STATIONS)
        .map(|k| spread.1 + half * (2.0 * f64::from(k) / f64::from(STATIONS) - 1.0))
        .collect();
    for span in shot.directions.spans() {
        let beside = [span.from_rad, span.to_rad]
            .into_iter()
            .flat_map(|edge| [edge - BESIDE_RAD, edge + BESIDE_RAD]);
        stations.extend(beside.filter(|a| (a - spread.1).abs() < half));
    }
    stations.sort_by(f64::total_cmp);
    let makes = |delta: f64| forward.makes(delta);
    Directions::from_spans(spans_of(&stations, EDGE_RAD, &makes))
}

/// The layout on tables whose cushions and facings bounce and rub as they may.
#[derive(Debug)]
pub(crate) struct Doubt {
    gears: Vec<Gear>,
}

impl Doubt {
    pub(crate) fn new(gear: &Gear) -> Self {
        Self {
            gears: assumed_gears(gear).collect(),
        }
    }

    /// The tables, to be asked about many shots.
    pub(crate) fn tables<'a>(&'a self, table: &Table<'a>) -> Vec<Table<'a>> {
        let on = |gear| Table::new(gear, table.layout).until(table.stop.clone());
        self.gears.iter().map(on).collect()
    }
}

/// The chance over the tables of [`Doubt`], the aim and the stroke held.
pub(crate) fn ranged(
    tables: &[Table<'_>],
    shot: &Candidate,
    plays: &Plays<'_>,
    chance: f64,
) -> Ranged {
    let all: Vec<f64> = tables
        .par_iter()
        .map(|table| made(table, shot, plays).chance)
        .collect();
    #[expect(clippy::cast_precision_loss, reason = "nine")]
    let mean = all.iter().sum::<f64>() / all.len() as f64;
    Ranged {
        chance,
        low: all.iter().copied().fold(chance, f64::min),
        high: all.iter().copied().fold(chance, f64::max),
        mean,
    }
}
