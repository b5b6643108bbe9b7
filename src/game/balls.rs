//! What a ball's name on a layout means in a game.

use super::names::{Game, Group};

/// A colour of snooker and English pool.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[expect(missing_docs, reason = "colours")]
pub enum Colour {
    Red,
    Yellow,
    Green,
    Brown,
    Blue,
    Pink,
    Black,
}

impl Colour {
    /// The colours of snooker in their order, without the reds.
    pub const IN_ORDER: [Self; 6] = [
        Self::Yellow,
        Self::Green,
        Self::Brown,
        Self::Blue,
        Self::Pink,
        Self::Black,
    ];

    /// As typed.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Red => "red",
            Self::Yellow => "yellow",
            Self::Green => "green",
            Self::Brown => "brown",
            Self::Blue => "blue",
            Self::Pink => "pink",
            Self::Black => "black",
        }
    }

    /// What it is worth in snooker (WPBSA).
    #[must_use]
    pub const fn value(self) -> u8 {
        self as u8 + 1
    }

    /// The one of that name; `red 3` and `red-3` are reds.
    #[must_use]
    pub fn named(text: &str) -> Option<Self> {
        let word = text.trim().to_lowercase();
        let (colour, rest) = std::iter::once(Self::Red)
            .chain(Self::IN_ORDER)
            .find_map(|c| Some((c, word.strip_prefix(c.name())?)))?;
        let number = rest.trim_start_matches([' ', '-']);
        let several = matches!(colour, Self::Red | Self::Yellow);
        let told_apart = several && !number.is_empty() && number.parse::<u8>().is_ok();
        (rest.is_empty() || told_apart).then_some(colour)
    }
}

/// What a ball is in a game.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Ball {
    /// A ball of pool.
    Number(u8),
    /// A ball of snooker or English pool.
    Colour(Colour),
    /// One that only counts as a ball (straight pool).
    Any,
}

impl Ball {
    /// What a name means in a game; `None` where the game has no such ball.
    #[must_use]
    pub fn of(game: Game, label: &str) -> Option<Self> {
        let number = label.trim().parse::<u8>().ok();
        let up_to = |most: u8| number.filter(|n| (1..=most).contains(n)).map(Self::Number);
        match game {
            Game::EightBall => up_to(15),
            Game::NineBall => up_to(9),
            Game::TenBall => up_to(10),
            Game::Straight => up_to(15).or(Some(Self::Any)),
            Game::Snooker => Colour::named(label).map(Self::Colour),
            Game::English => match (Colour::named(label), number) {
                (Some(c @ (Colour::Red | Colour::Yellow | Colour::Black)), _) => {
                    Some(Self::Colour(c))
                }
                // Sets with numbers: 1 to 7, the 8, 9 to 15.
                (None, Some(1..=7)) => Some(Self::Colour(Colour::Red)),
                (None, Some(8)) => Some(Self::Colour(Colour::Black)),
                (None, Some(9..=15)) => Some(Self::Colour(Colour::Yellow)),
                _ => None,
            },
        }
    }

    /// The balls of a game, for a message.
    #[must_use]
    pub const fn known(game: Game) -> &'static str {
        match game {
            Game::EightBall | Game::Straight => "1 to 15",
            Game::NineBall => "1 to 9",
            Game::TenBall => "1 to 10",
            Game::Snooker => "red (several), yellow, green, brown, blue, pink, black",
            Game::English => "red and yellow (several each), black, or 1 to 15",
        }
    }

    /// Most of one kind on the table.
    #[must_use]
    pub const fn most(self, game: Game) -> usize {
        match (game, self) {
            (Game::Snooker, Self::Colour(Colour::Red)) => 15,
            (Game::English, Self::Colour(Colour::Red | Colour::Yellow)) => 7,
            (_, Self::Any) => usize::MAX,
            _ => 1,
        }
    }

    /// Its group in eight-ball, here or there; `None` of the last ball.
    #[must_use]
    pub const fn group(self) -> Option<Group> {
        match self {
            Self::Number(1..=7) => Some(Group::Solids),
            Self::Number(9..=15) => Some(Group::Stripes),
            Self::Colour(Colour::Red) => Some(Group::Reds),
            Self::Colour(Colour::Yellow) => Some(Group::Yellows),
            _ => None,
        }
    }
}

/// Names of balls of which a table has several (`red`, `yellow`), told apart by a number in the order
/// given where there are more than one; others stay.
#[must_use]
pub fn numbered(labels: &[String]) -> Vec<String> {
    let several = |label: &str| matches!(label.to_lowercase().as_str(), "red" | "yellow");
    let mut seen: Vec<(String, usize)> = Vec::new();
    labels
        .iter()
        .map(|label| {
            if !several(label) || labels.iter().filter(|l| *l == label).count() < 2 {
                return label.clone();
            }
            let known = seen.iter().position(|(name, _)| name == label);
            let index = known.unwrap_or_else(|| {
                seen.push((label.clone(), 0));
                seen.len() - 1
            });
            seen[index].1 += 1;
            format!("{label}-{}", seen[index].1)
        })
        .collect()
}
