//! A position in a game: which balls are up, what is on, and what the rules say of a stroke.

use super::balls::{Ball, Colour};
use super::names::{Game, Group, InHand, RuleSet};
use super::rulings::{Foul, FoulKind, Ruling, Told};

/// The lowest penalty in snooker (WPBSA).
const LEAST_PENALTY: u8 = 4;
/// The gravest (WPBSA).
const GRAVEST_PENALTY: u8 = 7;

/// What may be hit first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum On {
    /// Any ball (straight pool).
    Any,
    /// The lowest number (9-ball, 10-ball).
    Lowest,
    /// The player's group, or the last ball when it is gone; any group on an open table.
    Group(Option<Group>),
    /// A red.
    Red,
    /// A colour after a red: the one nominated, or any.
    Colour(Option<Colour>),
    /// The colours in their order.
    InOrder,
}

/// A position in a game. Balls go by their index on the layout.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Situation {
    /// The game.
    pub game: Game,
    /// English pool: whose rules.
    pub rules: Option<RuleSet>,
    /// What may be hit first.
    pub on: On,
    /// A free ball: any ball counts as the one that is on.
    pub free_ball: bool,
    /// Where the cue ball may be placed, if it may.
    pub in_hand: Option<InHand>,
    /// Points or balls of this turn so far.
    pub run: u16,
    pub(super) balls: Vec<Option<Ball>>,
}

impl Situation {
    /// Whether a ball is up, and what it is.
    #[must_use]
    pub fn ball(&self, index: usize) -> Option<Ball> {
        self.balls.get(index).copied().flatten()
    }

    /// All balls that are up, with their index.
    fn up(&self) -> impl Iterator<Item = (usize, Ball)> + '_ {
        self.balls
            .iter()
            .enumerate()
            .filter_map(|(i, b)| Some((i, (*b)?)))
    }

    fn has(&self, ball: Ball) -> bool {
        self.up().any(|(_, b)| b == ball)
    }

    fn reds(&self) -> usize {
        self.up()
            .filter(|(_, b)| *b == Ball::Colour(Colour::Red))
            .count()
    }

    /// The lowest colour that is up.
    #[must_use]
    pub fn lowest_colour(&self) -> Option<Colour> {
        Colour::IN_ORDER
            .into_iter()
            .find(|c| self.has(Ball::Colour(*c)))
    }

    /// The lowest number that is up.
    #[must_use]
    pub fn lowest_number(&self) -> Option<u8> {
        self.up()
            .filter_map(|(_, b)| match b {
                Ball::Number(n) => Some(n),
                _ => None,
            })
            .min()
    }

    /// Whether any ball of a group is up.
    pub(super) fn group_up(&self, group: Group) -> bool {
        self.up().any(|(_, b)| b.group() == Some(group))
    }

    /// The ball that ends eight-ball.
    const fn last_ball(&self) -> Ball {
        match self.game {
            Game::English => Ball::Colour(Colour::Black),
            _ => Ball::Number(8),
        }
    }

    /// Whether a ball is on as such, a free ball aside.
    fn is_on(&self, ball: Ball) -> bool {
        match self.on {
            On::Any => true,
            On::Lowest => matches!(ball, Ball::Number(n) if Some(n) == self.lowest_number()),
            On::Group(None) => ball != self.last_ball(),
            On::Group(Some(group)) if self.group_up(group) => ball.group() == Some(group),
            On::Group(Some(_)) => ball == self.last_ball(),
            On::Red => ball == Ball::Colour(Colour::Red),
            On::Colour(Some(nominated)) => ball == Ball::Colour(nominated),
            On::Colour(None) => matches!(ball, Ball::Colour(c) if c != Colour::Red),
            On::InOrder => matches!(ball, Ball::Colour(c) if Some(c) == self.lowest_colour()),
        }
    }

    /// Whether a ball may be hit first.
    #[must_use]
    pub fn may_hit_first(&self, index: usize) -> bool {
        self.ball(index)
            .is_some_and(|ball| self.free_ball || self.is_on(ball))
    }

    /// A ruling with the game it is by.
    #[must_use]
    pub const fn told(&self, ruling: Ruling) -> Told {
        Told {
            ruling,
            game: self.game,
            rules: self.rules,
        }
    }

    /// All balls that may be hit first.
    #[must_use]
    pub fn legal_first(&self) -> Vec<usize> {
        (0..self.balls.len())
            .filter(|&i| self.may_hit_first(i))
            .collect()
    }

    /// What the ball on is worth in snooker; `None` where a colour is still to be nominated.
    fn value_on(&self) -> Option<u8> {
        match self.on {
            On::Red => Some(Colour::Red.value()),
            On::Colour(nominated) => nominated.map(Colour::value),
            On::InOrder => self.lowest_colour().map(Colour::value),
            _ => None,
        }
    }

    /// What a ball is worth when it is made legally, hit first.
    #[must_use]
    pub fn value(&self, index: usize) -> u8 {
        self.ruling(index, index).points()
    }

    /// What the rules say of a stroke that hits `first` first and makes `made`.
    #[must_use]
    pub fn ruling(&self, first: usize, made: usize) -> Ruling {
        let (Some(hit), Some(down)) = (self.ball(first), self.ball(made)) else {
            return self.foul(FoulKind::NoBall, None);
        };
        match self.game {
            Game::Snooker => self.snooker(hit, down, made == first),
            Game::EightBall | Game::English => self.eight_ball(hit, down),
            Game::NineBall | Game::TenBall => {
                let last = if self.game == Game::NineBall { 9 } else { 10 };
                if !self.is_on(hit) {
                    self.foul(FoulKind::WrongBallFirst, Some(hit))
                } else if down == Ball::Number(last) {
                    Ruling::Wins { points: 1 }
                } else {
                    Ruling::Legal { points: 1 }
                }
            }
            Game::Straight => Ruling::Legal { points: 1 },
        }
    }

    fn snooker(&self, hit: Ball, down: Ball, same: bool) -> Ruling {
        if self.free_ball {
            // The free ball or a ball on may go down, for what the ball on is worth.
            let points = self.value_on().unwrap_or(LEAST_PENALTY);
            return if same || self.is_on(down) {
                Ruling::Legal { points }
            } else {
                self.foul(FoulKind::WrongBallMade, Some(down))
            };
        }
        if !self.is_on(hit) {
            return self.foul(FoulKind::WrongBallFirst, Some(hit));
        }
        // After a red the colour hit is the one nominated.
        let good = match self.on {
            On::Colour(None) => down == hit,
            _ => self.is_on(down),
        };
        let points = match down {
            Ball::Colour(c) => c.value(),
            _ => 0,
        };
        if !good {
            self.foul(FoulKind::WrongBallMade, Some(down))
        } else if self.on == On::InOrder && down == Ball::Colour(Colour::Black) {
            // Ends the frame; who wins is told by the score.
            Ruling::Wins { points }
        } else {
            Ruling::Legal { points }
        }
    }

    fn eight_ball(&self, hit: Ball, down: Ball) -> Ruling {
        let last = self.last_ball();
        let open = matches!(self.on, On::Group(None));
        if !self.free_ball && !self.is_on(hit) {
            if open && self.game == Game::EightBall {
                return if down == last {
                    Ruling::Loses
                } else {
                    Ruling::Unsettled
                };
            }
            return if down == last {
                Ruling::Loses
            } else {
                self.foul(FoulKind::WrongBallFirst, Some(hit))
            };
        }
        if down == last {
            return if !open && self.is_on(last) {
                Ruling::Wins { points: 1 }
            } else {
                Ruling::Loses
            };
        }
        if open || self.is_on(down) {
            return Ruling::Legal { points: 1 };
        }
        // The other side's ball: a foul by World rules [WEPF] and in Blackball [WPA; memory] but on a free
        // shot; else the turn passes [WPA; International from memory].
        match self.rules {
            Some(RuleSet::World) => self.foul(FoulKind::WrongBallMade, Some(down)),
            Some(RuleSet::Blackball) if !self.free_ball => {
                self.foul(FoulKind::WrongBallMade, Some(down))
            }
            Some(RuleSet::Blackball) => Ruling::Legal { points: 1 },
            _ => Ruling::TurnEnds,
        }
    }

    /// A foul with what it costs; `concerned` is the ball it is about.
    #[must_use]
    pub fn foul(&self, kind: FoulKind, concerned: Option<Ball>) -> Ruling {
        let penalty = (self.game == Game::Snooker).then(|| {
            let of = match concerned {
                Some(Ball::Colour(c)) => c.value(),
                _ => 0,
            };
            // With no colour nominated nobody can tell which was meant: the gravest [WPBSA; memory].
            let on = match self.on {
                On::Colour(None) => GRAVEST_PENALTY,
                _ => self.value_on().unwrap_or(0),
            };
            of.max(on).max(LEAST_PENALTY)
        });
        Ruling::Foul(Foul { kind, penalty })
    }

    /// Whether a ball that is made returns to the table: a colour before its time, or one made as a free
    /// ball (WPBSA; the colour taken with the last red from memory).
    #[must_use]
    pub fn returns(&self, made: usize) -> bool {
        let Some(Ball::Colour(colour)) = self.ball(made) else {
            return false;
        };
        self.game == Game::Snooker
            && colour != Colour::Red
            && !(self.on == On::InOrder && Some(colour) == self.lowest_colour())
    }

    /// The position after a legal make.
    #[must_use]
    pub fn after(&self, made: usize) -> Self {
        let mut next = self.clone();
        next.run += u16::from(self.value_of_make(made));
        if !self.returns(made)
            && let Some(slot) = next.balls.get_mut(made)
        {
            *slot = None;
        }
        next.free_ball = false;
        next.in_hand = None;
        next.on = match self.on {
            On::Red => On::Colour(None),
            On::Colour(_) if next.reds() > 0 => On::Red,
            On::Colour(_) | On::InOrder => On::InOrder,
            // An open table is closed by the first make.
            On::Group(None) => On::Group(self.ball(made).and_then(Ball::group)),
            on => on,
        };
        next
    }

    /// What a make scores whatever was hit first.
    fn value_of_make(&self, made: usize) -> u8 {
        match (self.game, self.ball(made)) {
            (Game::Snooker, Some(ball)) if self.free_ball && !self.is_on(ball) => {
                self.value_on().unwrap_or(0)
            }
            (Game::Snooker, Some(Ball::Colour(c))) => c.value(),
            _ => 1,
        }
    }

    /// The position for the other player when the turn passes without a foul.
    #[must_use]
    pub fn passed(&self) -> Self {
        let mut next = self.clone();
        next.run = 0;
        next.free_ball = false;
        next.in_hand = None;
        next.on = match self.on {
            On::Red | On::Colour(_) if next.reds() > 0 => On::Red,
            On::Red | On::Colour(_) => On::InOrder,
            On::Group(group) => On::Group(group.map(Group::other)),
            on => on,
        };
        next
    }

    /// What the other side gets for a foul that meets this ball first, or none (snooker).
    #[must_use]
    pub fn penalty(&self, met: Option<usize>) -> Option<u8> {
        let concerned = met.and_then(|ball| self.ball(ball));
        let kind = match concerned {
            None => FoulKind::NoBall,
            Some(ball) if self.free_ball || self.is_on(ball) => FoulKind::InOff,
            Some(_) => FoulKind::WrongBallFirst,
        };
        match self.foul(kind, concerned) {
            Ruling::Foul(foul) => foul.penalty,
            _ => None,
        }
    }

    /// The same without a ball's place, for a layout that no longer has it.
    #[must_use]
    pub fn without(&self, index: usize) -> Self {
        let mut left = self.clone();
        if index < left.balls.len() {
            left.balls.remove(index);
        }
        left
    }

    /// Whether the game is over for want of balls.
    #[must_use]
    pub fn is_over(&self) -> bool {
        self.up().next().is_none()
    }
}
