//! Going for it and playing safe on one scale: balls (points in snooker) that one makes more than one gives
//! away, over this visit, the opponent's and one's next. A chance to win the rack is not claimed.
//!
//! With `R(q) = q·(w + q·f)` what a player scores from a shot of chance q that is worth w, the one after it
//! being about as hard and worth f, and C what comes back after the other player's failure:
//! going is worth `K·(w + n) − (P − K)·R(in hand) + (1 − P)·m` with P the chance to make it, K to make it and
//! keep the cue ball, n what follows, m = the mean of `(1 − q)·C − R(q)` over what misses leave; a safety is
//! worth the mean of `(1 − q)·C − R(q)` over what the player's aim and speed make of it. A make is taken to
//! leave an even table when the run ends.
//! What a foul gives away in points is taken off. Assumptions: C = R(c), c from 0.35 beside a ball that is on
//! to 0.65 from six tenths of the table's length away, or where every such ball is hidden (that a long way
//! is hard to answer is common practice, without a source); a ball in hand is a shot of 9 in 10, one from
//! the D an even one.

use kurbo::Point;

use super::follow::{Still, is_up};
use super::legal::{AfterFoul, Legal};
use super::next::{Finder, Known, NextShot};
use crate::layout::DropSet;

/// Chance of a player with the ball in hand (assumption).
const IN_HAND: f64 = 0.9;
/// Every ball that is set going out of a pack leaves a shot this often that nobody foresees (assumption).
const OUT_OF_A_PACK: f64 = 0.1;
/// Chance of an even shot, such as one from the D (assumption).
const EVEN: f64 = 0.5;
/// Chance of the shot that comes back after a failure of the other: from near a ball that is on, and from
/// far off or behind another (assumption).
const BACK: [f64; 2] = [0.35, 0.65];
/// Far off, as a share of the table's length (assumption).
const FAR: f64 = 0.6;

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
    pub(super) fn left(&self, q: f64, back: f64) -> f64 {
        (1.0 - q) * self.run(back) - self.run(q)
    }

    /// The most that a position can be worth to the one who leaves it.
    fn most(&self) -> f64 {
        self.left(0.0, BACK[1])
    }

    /// An even position.
    pub(super) fn even(&self) -> f64 {
        self.left(EVEN, EVEN)
    }

    /// The same of what a stroke hands over.
    pub(super) fn handed(&self, over: &Handed) -> f64 {
        match over.foul {
            None => self.left(over.chance, over.back),
            Some(foul) if foul.opens() => -f64::from(over.penalty) - self.run(over.chance),
            Some(_) => self.left(over.chance, over.back) - f64::from(over.penalty),
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
    /// Chance of the shot that comes back where the other fails.
    pub(super) back: f64,
}

impl Handed {
    /// After a foul that meets this ball first.
    pub(super) fn foul(own: &dyn Legal, met: Option<usize>, dropped: bool) -> Self {
        let foul = own.after_foul(dropped);
        Self {
            foul: Some(foul),
            penalty: own.penalty(met),
            chance: if foul.opens() { IN_HAND } else { EVEN },
            best: None,
            back: EVEN,
        }
    }
}

/// The chance of a best shot where balls have come out of a pack: that none is foreseen says less then, and
/// where the pack pushed the cue ball back nobody knows what it leaves.
fn foreseen(chance: f64, still: &Still) -> f64 {
    let none = (1.0 - OUT_OF_A_PACK).powf(f64::from(still.apart));
    let seen = 1.0 - (1.0 - chance) * none;
    seen + still.pushed_back * (EVEN - seen).max(0.0)
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
            chance: foreseen(best.map_or(0.0, |n| n.chance), still),
            best,
            back: self.back(still),
        }
    }

    /// A fair stroke whose best answer has that chance.
    pub(super) fn fair(&self, chance: f64, still: &Still) -> Handed {
        Handed {
            foul: None,
            penalty: 0,
            chance: foreseen(chance, still),
            best: None,
            back: self.back(still),
        }
    }

    /// From the cue ball to the nearest ball that is on then; infinite where all are hidden. One that is on
    /// hides no other: it can be hit itself, so a pack can always be hit.
    pub(super) fn way_m(&self, still: &Still) -> f64 {
        let cue = still.layout.cue;
        let up = || {
            let balls = still.layout.balls.iter().enumerate();
            balls.filter(|(_, ball)| is_up(ball.at))
        };
        let seen = |ball: usize, at: Point| {
            up().all(|(i, b)| {
                i == ball || self.legal.on(i) || self.finder.misses_line(b.at, cue, at)
            })
        };
        let on = up().filter(|(i, ball)| self.legal.on(*i) && seen(*i, ball.at));
        on.map(|(_, ball)| (ball.at - cue).hypot())
            .fold(f64::INFINITY, f64::min)
    }

    fn back(&self, still: &Still) -> f64 {
        let share = (self.way_m(still) / (FAR * self.finder.length_m())).min(1.0);
        BACK[0] + share * (BACK[1] - BACK[0])
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
        self.value() >= stake.most()
    }
}
