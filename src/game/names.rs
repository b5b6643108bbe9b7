//! Games, rule sets, groups and places for a cue ball in hand, by name.

use crate::gear::{Marks, Preset};

/// An enum whose members have a typed name each.
macro_rules! named {
    ($(#[$doc:meta])* $what:ident { $($(#[$member:meta])* $variant:ident $name:literal)* }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum $what {
            $($(#[$member])* $variant),*
        }

        impl $what {
            /// All of them.
            pub const ALL: &'static [Self] = &[$(Self::$variant),*];

            /// As typed.
            #[must_use]
            pub const fn name(self) -> &'static str {
                match self {
                    $(Self::$variant => $name),*
                }
            }

            /// The one of that name, small or large letters.
            #[must_use]
            pub fn named(text: &str) -> Option<Self> {
                let text = text.trim().to_lowercase();
                Self::ALL.iter().copied().find(|one| one.name().to_lowercase() == text)
            }

            /// All names, for a message.
            #[must_use]
            pub fn names() -> String {
                let names: Vec<&str> = Self::ALL.iter().map(|one| one.name()).collect();
                names.join(", ")
            }
        }
    };
}

named! {
    /// A game.
    Game {
        /// Solids or stripes, then the 8 (WPA).
        EightBall "8-ball"
        /// The lowest ball first, the 9 wins (WPA).
        NineBall "9-ball"
        /// The lowest ball first, called, the 10 wins (WPA).
        TenBall "10-ball"
        /// Straight pool, 14.1: any ball, called, a point each (WPA).
        Straight "straight"
        /// Reds and colours in turn, then the colours in their order (WPBSA).
        Snooker "snooker"
        /// English eight-ball: reds or yellows, then the black (WEPF, International, WPA Blackball).
        English "english"
    }
}

impl Game {
    /// How its table is marked.
    #[must_use]
    pub const fn marks(self) -> Marks {
        match self {
            Self::Snooker => Marks::Snooker,
            Self::English => Marks::English,
            _ => Marks::Diamonds,
        }
    }

    /// The table it is played on where none is named.
    #[must_use]
    pub const fn table(self) -> Preset {
        match self.marks() {
            Marks::Diamonds => Preset::Pool9Ft,
            Marks::Snooker => Preset::Snooker12Ft,
            Marks::English => Preset::SmallBall7Ft,
        }
    }

    /// Whether some ball must be made or reach a cushion after the first contact: in pool (WPA) and English
    /// pool (WEPF; memory); in snooker there is no such rule (WPBSA).
    #[must_use]
    pub const fn wants_a_cushion(self) -> bool {
        !matches!(self, Self::Snooker)
    }

    /// Whether makes count points: snooker and straight pool.
    #[must_use]
    pub const fn counts_points(self) -> bool {
        matches!(self, Self::Snooker | Self::Straight)
    }
}

named! {
    /// Whose rules English pool is played by.
    RuleSet {
        /// International Rules: one visit after a foul; the cue ball as it lies or placed anywhere.
        International "international"
        /// World Rules (WEPF): two visits; after an in-off from baulk; potting an opponent's ball is a foul.
        World "world"
        /// Blackball (WPA): a free shot and one visit after a foul.
        Blackball "blackball"
    }
}

named! {
    /// Whose balls.
    Group {
        /// 1 to 7.
        Solids "solids"
        /// 9 to 15.
        Stripes "stripes"
        /// English pool.
        Reds "reds"
        /// English pool.
        Yellows "yellows"
    }
}

impl Group {
    /// Whether it is one of English pool.
    #[must_use]
    pub const fn is_english(self) -> bool {
        matches!(self, Self::Reds | Self::Yellows)
    }

    /// The other one of its game.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Solids => Self::Stripes,
            Self::Stripes => Self::Solids,
            Self::Reds => Self::Yellows,
            Self::Yellows => Self::Reds,
        }
    }
}

named! {
    /// Where a cue ball in hand may be placed.
    InHand {
        /// In the D (WPBSA).
        D "D"
        /// Behind the baulk line (WEPF).
        Baulk "baulk"
        /// Behind the head string (WPA, straight pool).
        Kitchen "kitchen"
        /// Anywhere (WPA; International).
        Anywhere "anywhere"
    }
}
