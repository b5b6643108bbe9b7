//! Going for it and playing safe on one scale: balls (points in snooker) that one makes more than one gives
//! away, over this visit, the opponent's and one's next. A chance to win the rack is not claimed.
//!
//! With `R(q) = q·(w + q·f)` what a player scores from a shot of chance q that is worth w, the one after it
//! being about as hard and worth f, and C what comes back after the other player's failure:
//! going is worth `K·(w + n) − (P − K)·R(in hand) + (1 − P)·m` with P the chance to make it, K to make it and
//! keep the cue ball, n what follows, m = the mean of `(1 − q)·C − R(q)` over what misses leave; a safety is
//! worth the mean of `(1 − q)·C − R(q)` over what the player's aim and speed make of it. A make is taken to
//! leave an even table when the run ends.
//! What a foul gives away in points is taken off. Assumptions: C is an even shot, R(½); a ball in hand is a
//! shot of 9 in 10, one from the D an even shot.

use super::follow::Still;
use super::legal::{AfterFoul, Legal};
use super::next::{Finder, Known, NextShot};
use crate::layout::DropSet;

/// Chance of a player with the ball in hand (assumption).
const IN_HAND: f64 = 0.9;
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

    /// The same of what a stroke hands over.
    pub(super) fn handed(&self, over: &Handed) -> f64 {
        match over.foul {
            None => self.left(over.chance),
            Some(AfterFoul::InHand) => -f64::from(over.penalty) - self.run(over.chance),
            Some(_) => self.left(over.chance) - f64::from(over.penalty),
        }
    }

    /// About what a shot and the next score in this game: 1 where balls count. Values that count as alike
    /// are so many of it.
    pub(super) fn unit(&self) -> f64 {
        0.5 * (self.make + self.next)
    }
}

/// What a stroke hands over to the other player.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Handed {
    /// After a foul: how the other comes to the table.
    pub(super) foul: Option<AfterFoul>,
    /// Points given away.
    pub(super) penalty: u8,
    /// Chance of the other's best shot.
    pub(super) chance: f64,
    /// That shot, where balls have to be looked at for it.
    pub(super) best: Option<NextShot>,
}

impl Handed {
    /// After a foul that meets this ball first.
    pub(super) fn foul(own: &dyn Legal, met: Option<usize>, dropped: bool) -> Self {
        let foul = own.after_foul(dropped);
        Self {
            foul: Some(foul),
            penalty: own.penalty(met),
            chance: match foul {
                AfterFoul::InHand => IN_HAND,
                AfterFoul::FromTheD | AfterFoul::AsItLies => EVEN,
            },
            best: None,
        }
    }
}

/// The other player: what is on then, and what that player finds.
pub(super) struct Opponent<'a> {
    pub(super) finder: Finder<'a>,
    pub(super) legal: &'a dyn Legal,
    /// Drop sets that are known.
    pub(super) sets: &'a [&'a DropSet],
}

impl Opponent<'_> {
    /// What a stroke of a player for whom `own` holds hands over.
    pub(super) fn gets(&self, own: &dyn Legal, still: &Still) -> Handed {
        let met = still.moved.first().copied();
        let legal = met.is_some_and(|ball| own.on(ball));
        let no_cushion = own.needs_cushion() && !still.cushion;
        let dropped = still.scratched.is_some();
        let fair = legal && !no_cushion && !dropped;
        let foul = (!fair).then(|| Handed::foul(own, met, dropped));
        if let Some(foul) = foul
            && foul.foul != Some(AfterFoul::AsItLies)
        {
            return foul;
        }
        let known = Known::without(self.sets, &still.moved);
        let best = self.finder.best(&still.layout, self.legal, &known);
        Handed {
            foul: foul.and_then(|f| f.foul),
            penalty: foul.map_or(0, |f| f.penalty),
            chance: best.map_or(0.0, |n| n.chance),
            best,
        }
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
    /// What a make that loses the cue ball is worth to the one who makes it.
    pub(super) scratch: f64,
    /// What a miss is.
    pub(super) miss: f64,
}

impl Going {
    pub(super) fn value(&self) -> f64 {
        self.kept * self.scores
            + (self.made - self.kept) * self.scratch
            + (1.0 - self.made) * self.miss
    }

    /// Against a safety of that worth.
    pub(super) fn against(&self, safe: Option<f64>) -> Compared {
        // K·s + (1 − K)·m = safe
        let from_chance = safe.and_then(|safe| {
            let gain = self.scores - self.miss;
            let needed = (safe - self.miss) / gain;
            (gain > 0.0 && (0.0..=1.0).contains(&needed)).then_some(needed)
        });
        Compared {
            go: self.value(),
            safe,
            from_chance,
        }
    }

    /// A safety is never worth more than what comes back after the other's failure.
    pub(super) fn beats_any_safety(&self, stake: &Stake) -> bool {
        self.value() >= stake.left(0.0)
    }
}
