//! A position and its rulings in words.

use super::balls::{Ball, Colour};
use super::names::{Game, InHand, RuleSet};
use super::rulings::{Foul, FoulKind, Ruling, Told};
use super::situation::{On, Situation};
use crate::speech::Speech;

impl Game {
    /// As people say it: `9-ball`, `snooker`, `English pool`.
    #[must_use]
    pub const fn spoken(self) -> &'static str {
        match self {
            Self::Straight => "straight pool",
            Self::English => "English pool",
            other => other.name(),
        }
    }

    /// Whose rules: for a ruling that is told.
    #[must_use]
    pub const fn body(self, rules: Option<RuleSet>) -> &'static str {
        match (self, rules) {
            (Self::Snooker, _) => "WPBSA",
            (Self::English, Some(RuleSet::World)) => "WEPF",
            (Self::English, Some(RuleSet::International)) => "International Rules",
            _ => "WPA",
        }
    }
}

/// What is on: "a red is on", "the 3 is on", "the black is on (nominated)".
#[must_use]
pub fn on_words(situation: &Situation, speech: impl Into<Speech>) -> String {
    let speech = speech.into();
    let may_be_hit = |what: &str| match situation.game {
        Game::Snooker | Game::English => format!("{what} on"),
        _ => format!("{what} to be hit first"),
    };
    let on = match situation.on {
        On::Any => "any ball may be hit first".to_owned(),
        On::Lowest => match situation.lowest_number() {
            Some(n) => may_be_hit(&format!("the {n} is")),
            None => "no ball is left".to_owned(),
        },
        On::Group(None) => format!(
            "the table is open: any ball but the {} may be hit first",
            last_ball(situation.game)
        ),
        On::Group(Some(group)) if situation.group_up(group) => {
            may_be_hit(&format!("the {} are", group.name()))
        }
        On::Group(Some(_)) => may_be_hit(&format!("the {} is", last_ball(situation.game))),
        On::Red => "a red is on".to_owned(),
        On::Colour(Some(colour)) => {
            format!("the {} is on, {}d", colour.name(), speech.nouns().call)
        }
        On::Colour(None) => format!(
            "a {} is on: {} one",
            speech.nouns().color,
            speech.nouns().call
        ),
        On::InOrder => match situation.lowest_colour() {
            Some(colour) => format!("the {} is on", colour.name()),
            None => "no ball is left".to_owned(),
        },
    };
    let free = match (situation.free_ball, situation.game) {
        (false, _) => "",
        (true, Game::Snooker) => "; a free ball: any ball counts as it",
        (true, _) => "; a free shot: any ball may be hit",
    };
    format!("{on}{free}")
}

const fn last_ball(game: Game) -> &'static str {
    match game {
        Game::English => "black",
        _ => "8",
    }
}

/// The position in one line: "Snooker: a red is on. Break of 17."
#[must_use]
pub fn state_words(situation: &Situation, speech: impl Into<Speech>) -> String {
    let speech = speech.into();
    let mut game = situation.game.spoken().to_owned();
    if let Some(rules) = situation.rules {
        game.push_str(match rules {
            RuleSet::International => ", International Rules",
            RuleSet::World => ", World Rules",
            RuleSet::Blackball => ", Blackball",
        });
    }
    let mut out = format!(
        "{}: {}.",
        crate::speech::first_large(&game),
        on_words(situation, speech)
    );
    if let Some(place) = situation.in_hand {
        let of = match place {
            InHand::D => "from the D",
            InHand::Baulk => "from baulk",
            InHand::Kitchen => "from behind the head string",
            InHand::Anywhere => "anywhere",
        };
        out.push_str(&format!(
            " {} {of}.",
            crate::speech::first_large(speech.nouns().ball_in_hand)
        ));
    }
    if situation.run > 0 {
        let run = crate::speech::first_large(speech.nouns().run);
        out.push_str(&format!(" {run} of {}.", situation.run));
    }
    out
}

/// A ruling as a label: "5 points", "a foul (WPBSA): the wrong ball first, 5 away"; nothing of what is
/// legal and counts as any other make.
#[must_use]
pub fn ruling_words(told: &Told, speech: impl Into<Speech>) -> Option<String> {
    let speech = speech.into();
    let Told {
        ruling,
        game,
        rules,
    } = *told;
    let body = game.body(rules);
    Some(match ruling {
        Ruling::Legal { points } if game == Game::Snooker => points_words(points),
        Ruling::Legal { .. } => return None,
        Ruling::Wins { points } if game == Game::Snooker => {
            format!("{}, the last ball", points_words(points))
        }
        Ruling::Wins { .. } => "wins the game".to_owned(),
        Ruling::TurnEnds => format!(
            "no foul, but the {} ends: the other side's ball",
            speech.nouns().inning
        ),
        Ruling::Unsettled => {
            "editions of the rules differ on the 8 first while the table is open".to_owned()
        }
        Ruling::Loses => format!("loses the game ({body}): the {} too early", last_ball(game)),
        Ruling::Foul(foul) => foul_words(foul, body, speech),
    })
}

fn points_words(points: u8) -> String {
    match points {
        1 => "1 point".to_owned(),
        n => format!("{n} points"),
    }
}

fn foul_words(foul: Foul, body: &str, speech: Speech) -> String {
    let what = match foul.kind {
        FoulKind::WrongBallFirst => "a ball that is not on is hit first".to_owned(),
        FoulKind::WrongBallMade => format!("a ball that is not on is {}", speech.nouns().made),
        FoulKind::InOff => match speech.words {
            crate::speech::WordSet::Uk => "in-off".to_owned(),
            crate::speech::WordSet::Us => "a scratch".to_owned(),
        },
        FoulKind::NoBall => "no ball is hit".to_owned(),
        FoulKind::NoCushion => format!("no {} after the contact", speech.nouns().rail),
    };
    let costs = foul
        .penalty
        .map_or_else(String::new, |points| format!(", {points} away"));
    format!("a foul ({body}): {what}{costs}")
}

impl Ball {
    /// As it is called: "the black", "the 7".
    #[must_use]
    pub fn called(self, label: &str) -> String {
        match self {
            Self::Colour(Colour::Red) => "a red".to_owned(),
            _ => format!("the {label}"),
        }
    }
}
