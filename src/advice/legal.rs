//! What the adviser has to know of a game: which balls are on, what a make is worth, what is on next, what a
//! foul costs.
//!
//! A layout keeps its order of balls: those that are gone are only put off the table, so a ball has one
//! index throughout.

use std::fmt;
use std::sync::Arc;

use kurbo::Point;

use crate::game::{Ball, Game, RuleSet, Ruling, Situation, respotted};
use crate::gear::Bed;
use crate::layout::Table;

/// In what a run is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Scores {
    /// Balls.
    Balls,
    /// Points.
    Points,
}

/// How the other player comes to the table after a foul.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum AfterFoul {
    /// With the cue ball in hand, anywhere.
    InHand,
    /// With the cue ball in hand behind the head string (straight pool, WPA; memory).
    BehindTheString,
    /// With two visits, the cue ball where it lies (World Rules of English pool, WEPF).
    TwoVisits,
    /// With two visits and the cue ball in hand in baulk, after an in-off (WEPF).
    TwoVisitsFromBaulk,
    /// With a free shot and a visit after it (blackball, WPA).
    FreeShot,
    /// With the cue ball in hand from the D.
    FromTheD,
    /// From where everything lies.
    AsItLies,
}

impl AfterFoul {
    /// Whether the other player is about sure of a shot: two visits and a free shot of English pool count as
    /// a ball in hand (assumption).
    #[must_use]
    pub const fn opens(self) -> bool {
        !matches!(self, Self::FromTheD | Self::AsItLies)
    }
}

/// The rules as far as advice goes.
pub trait Legal: fmt::Debug + Send + Sync {
    /// Whether a ball may be hit first.
    fn on(&self, ball: usize) -> bool;

    /// What making `made` scores with `first` hit first; 0 where that is no legal make.
    fn worth(&self, first: usize, made: usize) -> f64;

    /// Whether that make wins the game at once.
    fn wins(&self, _first: usize, _made: usize) -> bool {
        false
    }

    /// What is on for the same player after a legal make.
    fn after(&self, made: usize) -> Arc<dyn Legal>;

    /// What is on for the other player when the turn passes.
    fn opponent(&self) -> Arc<dyn Legal>;

    /// Where a ball that was made is put back; `None` where it stays down.
    fn put_back(&self, _made: usize, _up: &[Point]) -> Option<Point> {
        None
    }

    /// Whether some ball has to reach a cushion (or drop) after the first contact.
    fn needs_cushion(&self) -> bool;

    /// In what a run is counted.
    fn scores(&self) -> Scores {
        Scores::Balls
    }

    /// What a foul gives away in points, `met` being the ball met first.
    fn penalty(&self, _met: Option<usize>) -> u8 {
        0
    }

    /// How the other player comes to the table after a foul; the cue ball dropped, or it did not.
    fn after_foul(&self, _dropped: bool) -> AfterFoul {
        AfterFoul::InHand
    }
}

/// The rules of a table: those of its game, or free play. Of the balls on only `targets` are played, all
/// when empty.
#[must_use]
pub fn legal_on(table: &Table<'_>, targets: &[usize]) -> Arc<dyn Legal> {
    match &table.situation {
        None => Arc::new(FreePlay::new(targets)),
        Some(situation) => Arc::new(InGame {
            situation: situation.clone(),
            targets: targets.to_vec(),
            bed: table.gear.bed,
            touch_m: table.object_object_m,
            over: false,
        }),
    }
}

/// No game: any ball into any pocket, one point each; a ball has to reach a cushion, as in pool.
#[derive(Debug, Clone, Default)]
pub struct FreePlay {
    /// Balls that may be hit first; all when empty.
    targets: Vec<usize>,
}

impl FreePlay {
    /// With these balls on; all when empty. What is on next is what is left of them, or all.
    #[must_use]
    pub fn new(targets: &[usize]) -> Self {
        Self {
            targets: targets.to_vec(),
        }
    }
}

impl Legal for FreePlay {
    fn on(&self, ball: usize) -> bool {
        self.targets.is_empty() || self.targets.contains(&ball)
    }

    fn worth(&self, first: usize, _made: usize) -> f64 {
        f64::from(u8::from(self.on(first)))
    }

    fn after(&self, made: usize) -> Arc<dyn Legal> {
        let left = self.targets.iter().copied().filter(|&b| b != made);
        Arc::new(Self {
            targets: left.collect(),
        })
    }

    fn opponent(&self) -> Arc<dyn Legal> {
        Arc::new(Self::default())
    }

    fn needs_cushion(&self) -> bool {
        true
    }
}

/// A game, as its [`Situation`] has it.
#[derive(Debug, Clone)]
struct InGame {
    situation: Situation,
    /// Of the balls that are on only these are played now; all when empty.
    targets: Vec<usize>,
    bed: Bed,
    /// Contact distance of two object balls.
    touch_m: f64,
    /// The game is won.
    over: bool,
}

impl InGame {
    fn in_state(&self, situation: Situation) -> Self {
        Self {
            situation,
            targets: Vec::new(),
            ..self.clone()
        }
    }
}

impl Legal for InGame {
    fn on(&self, ball: usize) -> bool {
        let wanted = self.targets.is_empty() || self.targets.contains(&ball);
        !self.over && wanted && self.situation.may_hit_first(ball)
    }

    fn worth(&self, first: usize, made: usize) -> f64 {
        if self.on(first) {
            f64::from(self.situation.ruling(first, made).points())
        } else {
            0.0
        }
    }

    fn wins(&self, first: usize, made: usize) -> bool {
        let won = matches!(self.situation.ruling(first, made), Ruling::Wins { .. });
        won && self.scores() == Scores::Balls
    }

    fn after(&self, made: usize) -> Arc<dyn Legal> {
        let on = self.situation.legal_first();
        let over = on.into_iter().any(|first| self.wins(first, made));
        Arc::new(Self {
            over,
            ..self.in_state(self.situation.after(made))
        })
    }

    fn opponent(&self) -> Arc<dyn Legal> {
        Arc::new(self.in_state(self.situation.passed()))
    }

    fn put_back(&self, made: usize, up: &[Point]) -> Option<Point> {
        match self.situation.ball(made) {
            Some(Ball::Colour(colour)) if self.situation.returns(made) => {
                respotted(&self.bed, colour, up, self.touch_m)
            }
            _ => None,
        }
    }

    fn needs_cushion(&self) -> bool {
        self.situation.game.wants_a_cushion()
    }

    fn scores(&self) -> Scores {
        if self.situation.game == Game::Snooker {
            Scores::Points
        } else {
            Scores::Balls
        }
    }

    fn penalty(&self, met: Option<usize>) -> u8 {
        self.situation.penalty(met).unwrap_or(0)
    }

    /// In straight pool and snooker it stays where it lies unless it dropped.
    fn after_foul(&self, dropped: bool) -> AfterFoul {
        match (self.situation.game, self.situation.rules) {
            (Game::Snooker, _) if dropped => AfterFoul::FromTheD,
            (Game::Snooker, _) => AfterFoul::AsItLies,
            (Game::Straight, _) if !dropped => AfterFoul::AsItLies,
            (Game::Straight, _) => AfterFoul::BehindTheString,
            (Game::English, Some(RuleSet::World)) if dropped => AfterFoul::TwoVisitsFromBaulk,
            (Game::English, Some(RuleSet::World)) => AfterFoul::TwoVisits,
            (Game::English, Some(RuleSet::Blackball)) => AfterFoul::FreeShot,
            _ => AfterFoul::InHand,
        }
    }
}
