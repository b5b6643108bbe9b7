//! What a player makes of a shot among other balls: over the speeds of the stroke, and over how jaws
//! and rails may bounce.
//!
//! The rule is that of [`crate::player::paced`], and a direct shot is handed to it. Where a cushion or
//! another ball stands between, directions are followed. The aim is held: what drops beside the window
//! that was aimed at counts as well, as it would on a table.

use rayon::prelude::*;

use super::candidate::{Candidate, Family};
use super::cueball::Forward;
use super::obstruct::spans_of;
use super::table::Table;
use crate::contact::Approach;
use crate::directions::Directions;
use crate::gear::Gear;
use crate::player::AimError;
use crate::player::chance;
use crate::player::paced::{Aimed, left_open, over_speeds, slowest_that_drops};
use crate::player::range::Ranged;
use crate::window::{AimWindow, BedShot, Shot, Stroke, assumed_gears};

/// How far to both sides directions are followed, σ: beyond 5 lie 6 in ten million.
const SIGMAS: f64 = 5.0;
/// Directions followed over them, an eighth of σ apart; the window itself is looked at closely.
const STATIONS: u32 = 80;
/// Shots off cushions and other balls that are rarer than this are counted at the intended speed, over the
/// window alone.
const RARE: f64 = 0.03;
/// Accuracy of an edge there, rad: a millionth of a chance.
const EDGE_RAD: f64 = 1e-6;
/// Samples stand this far beside an edge that is known, rad.
const BESIDE_RAD: f64 = 2e-6;

/// Who plays, and how awkwardly they stand.
#[derive(Debug, Clone, Copy)]
pub struct Plays<'a> {
    /// How well they aim.
    pub aims: &'a AimError,
    /// The stance's factor on the arm.
    pub arm_factor: f64,
}

impl<'a> Plays<'a> {
    /// A player who stands at ease.
    #[must_use]
    pub fn at_ease(aims: &'a AimError) -> Self {
        Self {
            aims,
            arm_factor: 1.0,
        }
    }
}

/// The chance of a shot over the speeds of a player's stroke. What drops beside the window that was aimed
/// at counts as well.
#[must_use]
pub fn chance_over_speeds(table: &Table<'_>, shot: &Candidate, plays: &Plays<'_>) -> f64 {
    made(table, shot, plays)
}

/// The chance of a shot over the speeds of the player's stroke.
pub(crate) fn made(table: &Table<'_>, shot: &Candidate, plays: &Plays<'_>) -> f64 {
    let of_all = |aimed: &Aimed<'_>| aimed.chance(plays.aims).chance;
    if shot.family == Family::Direct
        && let Some(chance) = direct(table, table, shot, plays, of_all)
    {
        return chance;
    }
    let rough = shot.chance(plays.aims, plays.arm_factor);
    if rough < RARE {
        return rough;
    }
    let spread = plays.aims.scatter.speed_share;
    let at = |share: f64| made_at(table, shot, plays, share);
    if spread <= 0.0 {
        return at(1.0);
    }
    let falls = |share: f64| {
        Forward::struck(table, shot, share).is_some_and(|forward| forward.makes(0.0).is_some())
    };
    let slowest = match shot.family {
        Family::Direct | Family::Combination { .. } => slowest_that_drops(spread, falls),
        // A cushion sends a softer ball elsewhere: it does not die short, and with another error of the aim
        // it still drops. All speeds count.
        Family::Bank { .. } | Family::Kick { .. } => 0.0,
    };
    over_speeds(spread, slowest, at).chance
}

/// The chance with the speed as intended, what side costs counted: for maps.
pub(crate) fn as_intended(table: &Table<'_>, candidate: &Candidate, plays: &Plays<'_>) -> f64 {
    let sided =
        |w: &&AimWindow| w.stick.is_some_and(|s| s.across_m != 0.0) || w.law.side_right != 0.0;
    let places = BedShot {
        cue: table.layout.cue,
        object: table.at(candidate.ball),
        pocket: candidate.pocket,
    };
    let Some((window, shot)) = candidate
        .window()
        .filter(sided)
        .zip(Shot::on_bed(table.gear, &places, Stroke::default()).ok())
    else {
        return candidate.chance(plays.aims, plays.arm_factor);
    };
    let window = seen_from(&shot, window);
    let aimed = Aimed {
        arm_times: plays.arm_factor,
        ..Aimed::new(table.gear, &shot, &window)
    };
    let sigma_rad = aimed.spread(plays.aims).total_rad();
    chance(&candidate.intervals_rad(), sigma_rad, plays.aims.bias_rad)
}

/// A direct shot has the chance that it has alone, less what other balls take; `None` where it hangs
/// in the jaws, past what a window of the pocket knows. Of the two tables the first is played on and
/// the second is as assumed: what others take is known of the directions that drop there, and where the
/// first takes more, nothing is known to stand.
fn direct(
    table: &Table<'_>,
    assumed: &Table<'_>,
    candidate: &Candidate,
    plays: &Plays<'_>,
    chance: impl Fn(&Aimed<'_>) -> f64,
) -> Option<f64> {
    let places = BedShot {
        cue: table.layout.cue,
        object: table.at(candidate.ball),
        pocket: candidate.pocket,
    };
    let shot = Shot::on_bed(table.gear, &places, Stroke::default()).ok()?;
    if shot.object.x >= 0.0 {
        return None;
    }
    let window = seen_from(&shot, candidate.window()?);
    let aimed = Aimed {
        arm_times: plays.arm_factor,
        ..Aimed::new(table.gear, &shot, &window)
    };
    let open = open_past(
        &Aimed {
            gear: assumed.gear,
            ..aimed
        },
        candidate,
    );
    let aimed = Aimed {
        open_rad: open.as_deref(),
        ..aimed
    };
    Some(chance(&aimed))
}

/// Cue-ball directions relative to the aim that other balls leave open; `None` where none stands in
/// the way.
pub(super) fn open_past(aimed: &Aimed<'_>, candidate: &Candidate) -> Option<Vec<(f64, f64)>> {
    let blocked = !candidate.blockers.is_empty();
    blocked.then(|| left_open(&aimed.as_intended_rad(), &candidate.intervals_rad()))
}

/// A window on the plan as the pocket's frame has it.
pub(super) fn seen_from(shot: &Shot, window: &AimWindow) -> AimWindow {
    AimWindow {
        approach: Approach {
            base_rad: window.approach.base_rad - shot.frame.axis_rad,
            ..window.approach
        },
        ..*window
    }
}

/// The chance where the stroke comes out `share` times as fast as intended, every direction followed.
fn made_at(table: &Table<'_>, shot: &Candidate, plays: &Plays<'_>, share: f64) -> f64 {
    let Some(forward) = Forward::struck(table, shot, share) else {
        return 0.0;
    };
    let speed_m_s = forward.cue_speed_m_s();
    let sigma_rad = shot.sigma_at_rad(plays.aims, plays.arm_factor, speed_m_s);
    let makes = followed(&forward, sigma_rad, plays.aims.bias_rad);
    chance(&makes.intervals_rad(), sigma_rad, plays.aims.bias_rad)
}

/// Directions that make a shot, found by following them, within 5 σ of where the player aims.
fn followed(forward: &Forward<'_>, sigma_rad: f64, bias_rad: f64) -> Directions<()> {
    let shot = forward.candidate();
    let half = SIGMAS * sigma_rad;
    let mut stations: Vec<f64> = (0..=STATIONS)
        .map(|k| bias_rad + half * (2.0 * f64::from(k) / f64::from(STATIONS) - 1.0))
        .collect();
    for span in shot.directions.spans() {
        let beside = [span.from_rad, span.to_rad]
            .into_iter()
            .flat_map(|edge| [edge - BESIDE_RAD, edge + BESIDE_RAD]);
        stations.extend(beside.filter(|a| (a - bias_rad).abs() < half));
    }
    stations.sort_by(f64::total_cmp);
    let makes = |delta: f64| forward.makes(delta).map(|_| ());
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
            gears: assumed_gears(gear),
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
    if shot.family == Family::Direct {
        let assumed = &tables[tables.len() / 2];
        let by_three = |table| {
            let three = |aimed: &Aimed<'_>| aimed.chance_by_three(plays.aims);
            direct(table, assumed, shot, plays, three)
        };
        let by_three: Option<Vec<f64>> = tables.par_iter().map(by_three).collect();
        return by_three.map_or_else(
            || {
                let all: Vec<f64> = tables.par_iter().map(|t| made(t, shot, plays)).collect();
                Ranged::over(chance, &all)
            },
            |by_three| Ranged::beside(chance, &by_three),
        );
    }
    if chance < RARE {
        return Ranged::over(chance, &[chance]);
    }
    // Off cushions and other balls the intended speed stands for all.
    let on = |table| made_at(table, shot, plays, 1.0);
    let all: Vec<f64> = tables.par_iter().map(on).collect();
    let usual = all[all.len() / 2];
    let part = |at: &f64| {
        if usual > 0.0 {
            (chance * at / usual).min(1.0)
        } else {
            chance
        }
    };
    let all: Vec<f64> = all.iter().map(part).collect();
    Ranged::over(chance, &all)
}
