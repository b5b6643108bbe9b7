//! A state of play as people give it: options, or header lines of a layout.

use kurbo::Point;
use serde::{Deserialize, Serialize};

use super::balls::{Ball, Colour};
use super::error::GameError;
use super::names::{Game, Group, InHand, RuleSet};
use super::situation::{On, Situation};
use super::spots::in_the_d;
use crate::field::Field;
use crate::gear::Bed;
use crate::shown::{nearest, quoted};

/// Where the cue ball lies.
#[derive(Debug, Clone, Copy)]
pub struct CueLies<'a> {
    /// Its centre, m.
    pub at: Point,
    /// On which bed.
    pub bed: &'a Bed,
}

/// A state of play as options or header lines.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[serde(default)]
#[cfg_attr(feature = "cli", command(next_help_heading = "The game"))]
pub struct GameRequest {
    /// 8-ball, 9-ball, 10-ball, straight, snooker or english [default: free play, or what the layout says]
    #[cfg_attr(feature = "cli", arg(long, value_name = "GAME"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub game: Option<String>,
    /// Snooker: what is on, such as red, colour, yellow [default: a red while there are any]
    #[cfg_attr(feature = "cli", arg(long, value_name = "BALL"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub on: Option<String>,
    /// Snooker: the colour that is nominated after a red
    #[cfg_attr(feature = "cli", arg(long, value_name = "COLOUR"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub nominated: Option<String>,
    /// A free ball (snooker), a free shot (blackball): yes or no
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "YES", num_args = 0..=1, default_missing_value = "yes")
    )]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub free_ball: Option<String>,
    /// The cue ball may be placed: D, baulk, kitchen or anywhere
    #[cfg_attr(feature = "cli", arg(long, value_name = "WHERE"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub in_hand: Option<String>,
    /// Whose balls: solids or stripes, reds or yellows [default: the table is open]
    #[cfg_attr(feature = "cli", arg(long, value_name = "GROUP"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub group: Option<String>,
    /// English pool, which needs it: international, world or blackball
    #[cfg_attr(feature = "cli", arg(long, value_name = "RULES"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rules: Option<String>,
    /// Points or balls of this turn so far
    #[cfg_attr(feature = "cli", arg(long = "break", value_name = "POINTS"))]
    #[serde(rename = "break", skip_serializing_if = "Option::is_none")]
    pub run: Option<String>,
}

/// Places nearer than this are one, m (rounding).
const ROUNDING_M: f64 = 1e-9;
/// More than this no break can have: with a free ball before the first red (WPBSA).
const LONGEST_BREAK: u16 = 155;

impl GameRequest {
    /// Whether nothing was given.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// The game, where one is named.
    #[must_use]
    pub fn named_game(&self) -> Option<Game> {
        self.game.as_deref().and_then(Game::named)
    }

    /// Whether balls of these names are English pool's and no other game's: reds and yellows, of which snooker
    /// has one, and the black.
    #[must_use]
    pub fn looks_english<'a>(labels: impl IntoIterator<Item = &'a str>) -> bool {
        let mut count = [0_usize; 2];
        for label in labels {
            match Colour::named(label) {
                Some(Colour::Red) => count[0] += 1,
                Some(Colour::Yellow) => count[1] += 1,
                Some(Colour::Black) => {}
                _ => return false,
            }
        }
        count[0] > 0 && count[1] > 1
    }

    /// The keys of header lines with the input each is.
    pub const KEYS: [(&'static str, Field); 8] = [
        ("game", Field::Game),
        ("on", Field::On),
        ("nominated", Field::Nominated),
        ("free-ball", Field::FreeBall),
        ("in-hand", Field::InHand),
        ("group", Field::Group),
        ("rules", Field::Rules),
        ("break", Field::Break),
    ];

    fn slot(&mut self, key: &str) -> Option<&mut Option<String>> {
        Some(match key {
            "game" => &mut self.game,
            "on" => &mut self.on,
            "nominated" => &mut self.nominated,
            "free-ball" => &mut self.free_ball,
            "in-hand" => &mut self.in_hand,
            "group" => &mut self.group,
            "rules" => &mut self.rules,
            "break" => &mut self.run,
            _ => return None,
        })
    }

    /// The values with their keys, in the order of [`Self::KEYS`].
    pub fn lines(&self) -> impl Iterator<Item = (&'static str, &str)> {
        let values = [
            &self.game,
            &self.on,
            &self.nominated,
            &self.free_ball,
            &self.in_hand,
            &self.group,
            &self.rules,
            &self.run,
        ];
        Self::KEYS
            .into_iter()
            .zip(values)
            .filter_map(|((key, _), value)| Some((key, value.as_deref()?)))
    }

    /// Takes a header line in, `# game: snooker`; `false` for any other line.
    pub fn take(&mut self, line: &str) -> bool {
        let Some((key, value)) = line
            .trim()
            .strip_prefix('#')
            .and_then(|rest| rest.split_once(':'))
        else {
            return false;
        };
        let (key, value) = (key.trim().to_lowercase(), value.trim());
        match self.slot(&key) {
            Some(slot) if !value.is_empty() => {
                *slot = Some(value.to_owned());
                true
            }
            _ => false,
        }
    }

    /// The header lines of a layout.
    ///
    /// # Errors
    /// [`GameError::Header`] for a line that is nearly one, in a text that names a game.
    pub fn of_text(text: &str) -> Result<Self, GameError> {
        let mut request = Self::default();
        let comments = || {
            text.lines()
                .filter(|line| line.trim_start().starts_with('#'))
        };
        let rest: Vec<&str> = comments().filter(|line| !request.take(line)).collect();
        if request.game.is_none() {
            return Ok(request);
        }
        for line in rest {
            let Some((key, _)) = line.trim().trim_start_matches('#').split_once(':') else {
                continue;
            };
            let key = key.trim();
            let one_word = !key.is_empty() && !key.contains(' ');
            let near = one_word
                .then(|| nearest(key, Self::KEYS.into_iter().map(|(key, _)| key)))
                .flatten();
            if let Some(meant) = near {
                return Err(GameError::Header {
                    line: quoted(line.trim()),
                    meant,
                });
            }
        }
        Ok(request)
    }

    /// What is given here over what is given there.
    #[must_use]
    pub fn over(&self, below: &Self) -> Self {
        let mut out = below.clone();
        for (key, value) in self.lines() {
            if let Some(slot) = out.slot(key) {
                *slot = Some(value.to_owned());
            }
        }
        out
    }

    /// The position: this state with balls of these names and the cue ball there; `None` in free play.
    ///
    /// # Errors
    /// [`GameError`]: words that are none, balls the game does not have, a state the balls rule out.
    pub fn situation<'a>(
        &self,
        labels: impl IntoIterator<Item = &'a str>,
        cue: Option<CueLies<'_>>,
    ) -> Result<Option<Situation>, GameError> {
        let Some(game) = &self.game else {
            let first = Self::KEYS
                .into_iter()
                .find(|(key, _)| self.lines().any(|(k, _)| k == *key));
            return first.map_or(Ok(None), |(_, field)| Err(GameError::NoGame { field }));
        };
        let game = word(Field::Game, game, Game::named, Game::names)?;
        let labels: Vec<&str> = labels.into_iter().collect();
        let balls = balls(game, &labels)?;
        let mut situation = Situation {
            game,
            rules: self.rule_set(game)?,
            on: On::Any,
            free_ball: false,
            in_hand: None,
            run: self.so_far()?,
            balls,
        };
        situation.on = match game {
            Game::Snooker => self.snooker_on(&situation)?,
            Game::Straight => On::Any,
            Game::NineBall | Game::TenBall => On::Lowest,
            Game::EightBall | Game::English => On::Group(self.own_group(&situation)?),
        };
        self.check_words(&situation)?;
        situation.free_ball = self.free(&situation)?;
        situation.in_hand = self.placed(&situation, cue)?;
        if situation.legal_first().is_empty() {
            return Err(nothing_on(&situation));
        }
        Ok(Some(situation))
    }

    fn rule_set(&self, game: Game) -> Result<Option<RuleSet>, GameError> {
        match (&self.rules, game) {
            (None, Game::English) => Err(GameError::NoRules),
            (None, _) => Ok(None),
            (Some(text), Game::English) => {
                word(Field::Rules, text, RuleSet::named, RuleSet::names).map(Some)
            }
            (Some(text), _) => Err(GameError::CannotBe {
                field: Field::Rules,
                value: quoted(text),
                why: format!("{} is played by one set of rules here", game.name()),
                remedy: "leave it out".to_owned(),
            }),
        }
    }

    fn so_far(&self) -> Result<u16, GameError> {
        let Some(text) = &self.run else { return Ok(0) };
        text.trim()
            .parse()
            .ok()
            .filter(|run| *run <= LONGEST_BREAK)
            .ok_or_else(|| GameError::Word {
                field: Field::Break,
                value: quoted(text),
                choices: format!("0 to {LONGEST_BREAK}"),
            })
    }

    fn snooker_on(&self, situation: &Situation) -> Result<On, GameError> {
        let reds = situation.legal_reds();
        let nominated = match &self.nominated {
            Some(text) => Some(colour_up(Field::Nominated, text, situation)?),
            None => None,
        };
        let on = self.on.as_deref().map(|t| t.trim().to_lowercase());
        match on.as_deref() {
            None if nominated.is_some() => Ok(On::Colour(nominated)),
            None if reds > 0 => Ok(On::Red),
            None => Ok(On::InOrder),
            Some("red" | "reds") => red_on(situation, nominated),
            Some(word @ ("colour" | "color")) if situation.lowest_colour().is_none() => {
                Err(GameError::CannotBe {
                    field: Field::On,
                    value: quoted(word),
                    why: "no colour is left on the table".to_owned(),
                    remedy: "say what is on, red, or add a colour such as black,black-spot"
                        .to_owned(),
                })
            }
            Some("colour" | "color") => Ok(On::Colour(nominated)),
            Some(text) => {
                let colour = colour_up(Field::On, text, situation)?;
                colour_on(situation, colour, nominated)
            }
        }
    }

    fn own_group(&self, situation: &Situation) -> Result<Option<Group>, GameError> {
        let Some(text) = &self.group else {
            return Ok(None);
        };
        let group = word(Field::Group, text, Group::named, Group::names)?;
        let english = situation.game == Game::English;
        if group.is_english() != english {
            return Err(GameError::CannotBe {
                field: Field::Group,
                value: group.name().to_owned(),
                why: format!("{} is played with other balls", situation.game.name()),
                remedy: if english {
                    "write reds or yellows".to_owned()
                } else {
                    "write solids or stripes".to_owned()
                },
            });
        }
        Ok(Some(group))
    }

    /// What other games do not know is not passed over.
    fn check_words(&self, situation: &Situation) -> Result<(), GameError> {
        let game = situation.game;
        let eight = matches!(game, Game::EightBall | Game::English);
        let refused = |field, value: &str, remedy: &str| GameError::CannotBe {
            field,
            value: quoted(value),
            why: format!("{} knows no such thing", game.name()),
            remedy: remedy.to_owned(),
        };
        match (game, &self.on, &self.nominated) {
            (Game::Snooker, ..) => {}
            (_, Some(on), _) => {
                return Err(refused(
                    Field::On,
                    on,
                    if eight {
                        "leave it out, or say whose balls by the group"
                    } else {
                        "leave it out: it follows from the balls"
                    },
                ));
            }
            (_, _, Some(colour)) => {
                return Err(refused(Field::Nominated, colour, "leave it out"));
            }
            _ => {}
        }
        match &self.group {
            Some(group) if !eight => Err(refused(Field::Group, group, "leave it out")),
            _ => Ok(()),
        }
    }

    fn free(&self, situation: &Situation) -> Result<bool, GameError> {
        let free = match self.free_ball.as_deref().map(str::trim) {
            None | Some("no") => return Ok(false),
            Some("yes") => true,
            Some(other) => {
                return Err(GameError::Word {
                    field: Field::FreeBall,
                    value: quoted(other),
                    choices: "yes, no".to_owned(),
                });
            }
        };
        let cannot = |why: &str, remedy: &str| {
            Err(GameError::CannotBe {
                field: Field::FreeBall,
                value: "yes".to_owned(),
                why: why.to_owned(),
                remedy: remedy.to_owned(),
            })
        };
        match (situation.game, situation.rules, situation.on) {
            (Game::Snooker, _, On::Colour(_)) => cannot(
                "a free ball follows a foul, and then a red or the lowest colour is on",
                "leave out the colour that is on",
            ),
            (Game::Snooker, ..) | (_, Some(RuleSet::Blackball), _) => Ok(free),
            (Game::English, ..) => cannot(
                "only blackball has a free shot",
                "leave it out, or play by blackball",
            ),
            _ => cannot(
                "pool has none",
                "leave it out; after a foul the cue ball is in hand",
            ),
        }
    }

    fn placed(
        &self,
        situation: &Situation,
        cue: Option<CueLies<'_>>,
    ) -> Result<Option<InHand>, GameError> {
        let Some(text) = &self.in_hand else {
            return Ok(None);
        };
        let place = word(Field::InHand, text, InHand::named, InHand::names)?;
        let may: &[InHand] = match (situation.game, situation.rules) {
            (Game::Snooker, _) => &[InHand::D],
            (Game::Straight, _) => &[InHand::Kitchen],
            // Blackball: from baulk [WPA; memory].
            (Game::English, Some(RuleSet::World | RuleSet::Blackball)) => &[InHand::Baulk],
            (Game::English, _) => &[InHand::Anywhere, InHand::Baulk],
            _ => &[InHand::Anywhere, InHand::Kitchen],
        };
        if !may.contains(&place) {
            let names: Vec<&str> = may.iter().map(|p| p.name()).collect();
            return Err(GameError::CannotBe {
                field: Field::InHand,
                value: place.name().to_owned(),
                why: format!(
                    "in {} the cue ball is not placed there",
                    situation.game.name()
                ),
                remedy: format!("write {}", names.join(" or ")),
            });
        }
        match cue.map_or(Ok(()), |cue| within(place, cue)) {
            Ok(()) => Ok(Some(place)),
            Err(where_to) => Err(GameError::CannotBe {
                field: Field::InHand,
                value: place.name().to_owned(),
                why: "the cue ball lies elsewhere".to_owned(),
                remedy: format!("place it {where_to}"),
            }),
        }
    }
}

/// Whether the cue ball lies where it may be placed; where that is, if not.
fn within(place: InHand, CueLies { at, bed }: CueLies<'_>) -> Result<(), String> {
    let (lies, where_to) = match place {
        InHand::D => (
            in_the_d(bed, at),
            format!(
                "on or behind the baulk line and within {:.0} mm of the brown spot",
                1e3 * bed.d_radius_m()
            ),
        ),
        InHand::Baulk => (
            at.x <= bed.baulk_m() + ROUNDING_M,
            format!(
                "at most {:.0} mm from the baulk cushion",
                1e3 * bed.baulk_m()
            ),
        ),
        InHand::Kitchen => (
            at.x <= 0.25 * bed.length_m + ROUNDING_M,
            "behind the head string, 2 diamonds from the head".to_owned(),
        ),
        InHand::Anywhere => (true, String::new()),
    };
    if lies { Ok(()) } else { Err(where_to) }
}

impl Situation {
    fn legal_reds(&self) -> usize {
        self.balls
            .iter()
            .flatten()
            .filter(|b| **b == Ball::Colour(Colour::Red))
            .count()
    }
}

/// A position that no game comes to: nothing may be hit first.
fn nothing_on(situation: &Situation) -> GameError {
    let last = match situation.game {
        Game::English => "black",
        _ => "8",
    };
    match situation.on {
        On::Group(Some(group)) => GameError::NoBallOn {
            why: format!("the {} are gone and there is no {last}", group.name()),
            remedy: format!("add the {last}, or write {}", group.other().name()),
        },
        On::Group(None) => GameError::NoBallOn {
            why: format!("only the {last} is left of an open table"),
            remedy: "say whose balls are gone by the group".to_owned(),
        },
        _ => GameError::NoBallOn {
            why: "none of these balls may be hit first".to_owned(),
            remedy: "add one that may".to_owned(),
        },
    }
}

/// A red is said to be on.
fn red_on(situation: &Situation, nominated: Option<Colour>) -> Result<On, GameError> {
    if situation.legal_reds() == 0 {
        return Err(GameError::CannotBe {
            field: Field::On,
            value: "red".to_owned(),
            why: "no red is left".to_owned(),
            remedy: match situation.lowest_colour() {
                Some(c) => format!("the {} is on, or colour with the last red", c.name()),
                None => "add a red".to_owned(),
            },
        });
    }
    match nominated {
        None => Ok(On::Red),
        Some(colour) => Err(GameError::CannotBe {
            field: Field::Nominated,
            value: colour.name().to_owned(),
            why: "a colour is nominated when a colour is on".to_owned(),
            remedy: "write on colour, or leave it out".to_owned(),
        }),
    }
}

/// A certain colour is said to be on.
fn colour_on(
    situation: &Situation,
    colour: Colour,
    nominated: Option<Colour>,
) -> Result<On, GameError> {
    if let Some(other) = nominated.filter(|n| *n != colour) {
        return Err(GameError::CannotBe {
            field: Field::Nominated,
            value: other.name().to_owned(),
            why: format!("the {} is said to be on", colour.name()),
            remedy: "write on colour, or leave one out".to_owned(),
        });
    }
    if situation.legal_reds() > 0 || nominated.is_some() {
        return Ok(On::Colour(Some(colour)));
    }
    if Some(colour) == situation.lowest_colour() {
        return Ok(On::InOrder);
    }
    let lowest = situation.lowest_colour().map_or("none", Colour::name);
    Err(GameError::CannotBe {
        field: Field::On,
        value: colour.name().to_owned(),
        why: format!("with the reds gone the {lowest} is on"),
        remedy: format!(
            "write {lowest}, or on colour and nominated {} for the colour taken with the last red",
            colour.name()
        ),
    })
}

/// A word of a list.
fn word<T>(
    field: Field,
    text: &str,
    named: impl Fn(&str) -> Option<T>,
    names: impl Fn() -> String,
) -> Result<T, GameError> {
    named(text).ok_or_else(|| GameError::Word {
        field,
        value: quoted(text),
        choices: names(),
    })
}

/// What each name means, none too often.
fn balls(game: Game, labels: &[&str]) -> Result<Vec<Option<Ball>>, GameError> {
    let mut out: Vec<Option<Ball>> = Vec::with_capacity(labels.len());
    for label in labels {
        let ball = Ball::of(game, label).ok_or_else(|| GameError::NoSuchBall {
            game,
            label: quoted(label),
            known: Ball::known(game),
        })?;
        out.push(Some(ball));
        let count = out.iter().flatten().filter(|b| **b == ball).count();
        let most = ball.most(game);
        if count > most {
            return Err(GameError::TooMany {
                game,
                label: quoted(label),
                count,
                most,
            });
        }
    }
    Ok(out)
}

/// A colour that is on the table.
fn colour_up(field: Field, text: &str, situation: &Situation) -> Result<Colour, GameError> {
    let names: Vec<&str> = Colour::IN_ORDER.iter().map(|c| c.name()).collect();
    let colour = Colour::named(text)
        .filter(|c| *c != Colour::Red)
        .ok_or_else(|| GameError::Word {
            field,
            value: quoted(text),
            choices: format!("red, colour, {}", names.join(", ")),
        })?;
    let up: Vec<&str> = Colour::IN_ORDER
        .iter()
        .filter(|c| situation.balls.contains(&Some(Ball::Colour(**c))))
        .map(|c| c.name())
        .collect();
    if up.contains(&colour.name()) {
        return Ok(colour);
    }
    Err(GameError::CannotBe {
        field,
        value: colour.name().to_owned(),
        why: format!("the {} is not on the table", colour.name()),
        remedy: if up.is_empty() {
            "no colour is; add one such as black,black-spot".to_owned()
        } else {
            format!("these colours are: {}", up.join(", "))
        },
    })
}
