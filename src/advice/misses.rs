//! What a miss leaves the opponent: the middle of the misses on each side, followed.

use super::follow::{alone, settled};
use super::go::{Handed, Opponent, Stake};
use super::legal::{AfterFoul, Legal};
use super::strokes::Weighed;
use crate::forwards::Miss;
use crate::layout::{Forward, Table};
use crate::player::normal;

/// Misses rarer than this are not followed.
const RARE: f64 = 0.005;

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
    /// The opponent's best shot.
    pub opponent: f64,
}

/// Who looks at what misses leave.
pub(super) struct Missing<'a> {
    pub(super) table: &'a Table<'a>,
    pub(super) own: &'a dyn Legal,
    pub(super) opponent: &'a Opponent<'a>,
}

impl Missing<'_> {
    /// What misses on both sides of a shot leave.
    pub(super) fn left(&self, weighed: &Weighed, bias_rad: f64) -> Vec<MissLeft> {
        let forward = Forward::new(self.table, &weighed.ranked.shot);
        let sigma_rad = weighed.ranked.sigma_rad;
        // As they are listed: clockwise off, counter-clockwise off.
        let sides = weighed.ranked.misses.iter().zip([-1.0, 1.0]);
        sides
            .filter(|(miss, _)| miss.chance > RARE)
            .map(|(miss, side)| {
                // The place that halves the tail, as where such misses are said to end.
                let off = normal::upper_quantile((0.5 * miss.chance).max(1e-12));
                let handed = self.after(&forward, bias_rad + side * sigma_rad * off);
                MissLeft {
                    side: miss.side,
                    chance: miss.chance,
                    foul: handed.foul,
                    penalty: handed.penalty,
                    opponent: handed.chance,
                }
            })
            .collect()
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
        return stake.left(0.5);
    }
    let one = |m: &MissLeft| {
        m.chance
            * stake.handed(&Handed {
                foul: m.foul,
                penalty: m.penalty,
                chance: m.opponent,
                best: None,
            })
    };
    left.iter().map(one).sum::<f64>() / all
}
