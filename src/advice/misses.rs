//! What a miss leaves the opponent: misses on each side followed, over how far off they are and how hard they
//! come out.

use super::follow::{alone, settled};
use super::go::{Handed, Opponent, Stake};
use super::legal::{AfterFoul, Legal};
use super::strokes::Weighed;
use crate::forwards::Miss;
use crate::layout::{Forward, Table};
use crate::player::{AimError, normal};

/// Misses rarer than this are not followed.
const RARE: f64 = 0.005;

/// Places of a side's misses that are followed, as shares of them, and speeds, in spreads of the player's:
/// the middles of thirds. The middle one is what such a miss is said to be.
const PLACES: [f64; 3] = [0.5, 1.0 / 6.0, 5.0 / 6.0];
const SPEEDS: [f64; 3] = [0.0, -0.97, 0.97];
/// Slower strokes are not played, as a share of the intended one.
const SLOWEST: f64 = 0.05;

/// A miss and what it leaves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MissLeft {
    /// Which side.
    pub side: Miss,
    /// How often.
    pub chance: f64,
    /// It is a foul: how the other player comes to the table.
    pub foul: Option<AfterFoul>,
    /// Points that it gives away.
    pub penalty: u8,
    /// The opponent's best shot, on average.
    pub opponent: f64,
    /// What it is worth to the one who misses.
    pub(super) worth: f64,
}

/// Who looks at what misses leave.
pub(super) struct Missing<'a> {
    pub(super) table: &'a Table<'a>,
    pub(super) own: &'a dyn Legal,
    pub(super) opponent: &'a Opponent<'a>,
    pub(super) stake: Stake,
}

impl Missing<'_> {
    /// What misses on both sides of a shot leave.
    pub(super) fn left(&self, weighed: &Weighed, aims: &AimError) -> Vec<MissLeft> {
        let mut forward = Forward::new(self.table, &weighed.ranked.shot);
        let sigma_rad = weighed.ranked.sigma_rad;
        // As they are listed: clockwise off, counter-clockwise off.
        let sides = weighed.ranked.misses.iter().zip([-1.0, 1.0]);
        let mut left = Vec::new();
        for (miss, side) in sides.filter(|(miss, _)| miss.chance > RARE) {
            let mut all = Vec::with_capacity(PLACES.len() * SPEEDS.len());
            for z in SPEEDS {
                let share = (1.0 + aims.scatter.speed_share * z).max(SLOWEST);
                if !forward.strike(share) {
                    continue;
                }
                for place in PLACES {
                    let off = normal::upper_quantile((place * miss.chance).max(1e-12));
                    all.push(self.after(&forward, aims.bias_rad + side * sigma_rad * off));
                }
            }
            let Some(middle) = all.first() else { continue };
            let mean = |of: &dyn Fn(&Handed) -> f64| {
                let count = f64::from(u32::try_from(all.len()).unwrap_or(u32::MAX));
                all.iter().map(of).sum::<f64>() / count
            };
            left.push(MissLeft {
                side: miss.side,
                chance: miss.chance,
                foul: middle.foul,
                penalty: middle.penalty,
                opponent: mean(&|h| h.chance),
                worth: mean(&|h| self.stake.handed(h)),
            });
        }
        left
    }

    fn after(&self, forward: &Forward<'_>, delta_rad: f64) -> Handed {
        let still = match forward.parted(delta_rad) {
            Some(parted) => settled(self.table, parted.met, parted.cue, Some(parted.object_m_s)),
            None => alone(self.table, forward.sent_off(delta_rad)),
        };
        self.opponent.gets(self.own, &still)
    }
}

/// What a miss is worth to the one who misses, on average.
pub(super) fn worth_of_miss(left: &[MissLeft], stake: &Stake) -> f64 {
    let all: f64 = left.iter().map(|m| m.chance).sum();
    if all <= 0.0 {
        return stake.even();
    }
    left.iter().map(|m| m.chance * m.worth).sum::<f64>() / all
}
