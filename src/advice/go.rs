//! Going for it and playing safe on one scale: balls (points in snooker) that one makes more than one gives
//! away, over this visit, the opponent's and one's next. A chance to win the rack is not claimed.
//!
//! With `R(q) = q·(w + q·f)` what a player scores from a shot of chance q that is worth w, the one after it
//! being about as hard and worth f, and C what comes back after the other player's failure:
//! going is worth `K·(w + n) − (P − K)·R(in hand) + (1 − P)·m` with P the chance to make it, K to make it and
//! keep the cue ball, n what follows, m = the mean of `(1 − q)·C − R(q)` over what misses leave; a safety is
//! worth the mean of `(1 − q)·C − R(q)` over what the player's aim and speed make of it. A make is taken to
//! leave an even table when the run ends.
//! Assumptions: C is an even shot, R(½); a ball in hand is a shot of 9 in 10.

use super::legal::Legal;
use super::next::NextShot;

/// Chance of a player with the ball in hand (assumption).
pub(super) const IN_HAND: f64 = 0.9;
/// Chance of the shot that comes back after a failure of the other (assumption: an even one).
const EVEN: f64 = 0.5;

/// What is at stake for the player who comes to the table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Stake {
    /// What a make scores, where no shot says more.
    pub(super) make: f64,
    /// What the one after it scores.
    pub(super) next: f64,
}

impl Stake {
    /// Of a game where the opponent is next.
    pub(super) fn of(legal: &dyn Legal, balls: usize) -> Self {
        let mean = |legal: &dyn Legal| {
            let on: Vec<f64> = (0..balls)
                .filter(|&b| legal.on(b))
                .map(|b| legal.worth(b, b))
                .collect();
            let count = u32::try_from(on.len()).unwrap_or(u32::MAX);
            (count > 0).then(|| on.iter().sum::<f64>() / f64::from(count))
        };
        let make = mean(legal).unwrap_or(1.0);
        let first = (0..balls).find(|&b| legal.on(b));
        let next = first.and_then(|b| mean(legal.after(b).as_ref()));
        Self {
            make,
            next: next.unwrap_or(make),
        }
    }

    /// What a shot of chance q leads to.
    pub(super) fn run(&self, q: f64) -> f64 {
        q * (self.make + q * self.next)
    }

    /// What a position is worth to the one who leaves it.
    pub(super) fn left(&self, q: f64) -> f64 {
        (1.0 - q) * self.run(EVEN) - self.run(q)
    }

    /// The same with the ball in hand, after a foul.
    pub(super) fn foul(&self) -> f64 {
        -self.run(IN_HAND)
    }

    /// The chance that stands for a next shot in what it may score.
    pub(super) fn as_chance(&self, next: Option<NextShot>) -> f64 {
        next.map_or(0.0, |n| n.chance)
    }
}

/// Going for it against a safety.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Compared {
    /// What going is worth.
    pub go: f64,
    /// What the safety is worth; `None` where none was looked for or none is legal.
    pub safe: Option<f64>,
    /// The chance to make it and keep the cue ball from which going is worth as much as the safety; `None`
    /// where no chance is, or there is nothing to compare.
    pub from_chance: Option<f64>,
}

impl Compared {
    /// Whether to go for it.
    #[must_use]
    pub fn goes(&self) -> bool {
        self.safe.is_none_or(|safe| self.go >= safe)
    }
}

/// A shot to be compared.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Going {
    pub(super) made: f64,
    pub(super) kept: f64,
    /// What make and next score, given a make that keeps the cue ball.
    pub(super) scores: f64,
    /// What a miss is worth to the one who misses.
    pub(super) miss: f64,
}

impl Going {
    pub(super) fn value(&self, stake: &Stake) -> f64 {
        self.kept * self.scores
            + (self.made - self.kept) * stake.foul()
            + (1.0 - self.made) * self.miss
    }

    /// Against a safety of that worth.
    pub(super) fn against(&self, stake: &Stake, safe: Option<f64>) -> Compared {
        // K·s + (1 − K)·m = safe
        let from_chance = safe.and_then(|safe| {
            let gain = self.scores - self.miss;
            let needed = (safe - self.miss) / gain;
            (gain > 0.0 && (0.0..=1.0).contains(&needed)).then_some(needed)
        });
        Compared {
            go: self.value(stake),
            safe,
            from_chance,
        }
    }

    /// A safety is never worth more than what comes back after the other's failure.
    pub(super) fn beats_any_safety(&self, stake: &Stake) -> bool {
        self.value(stake) >= stake.left(0.0)
    }
}
