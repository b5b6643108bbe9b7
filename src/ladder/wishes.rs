//! What somebody wants from a ladder, checked once.

use std::str::FromStr;

use serde::{Deserialize, Serialize};

use super::error::LadderError;
use super::pass::PassRule;
use crate::field::Field;
use crate::layout::Reach;
use crate::player::AimError;
use crate::pocket::{PocketKind, PocketName};
use crate::units::{Position, Side};
use crate::window::Stroke;

/// Thinnest cut looked for unless asked otherwise, rad: 70° (assumption: beyond it players look
/// for another shot).
const THINNEST_RAD: f64 = 70.0 * std::f64::consts::PI / 180.0;

/// What a ladder practises.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Topic {
    /// Cuts of 40° and more (assumption: a little thinner than half ball).
    ThinCuts,
    /// Nearly straight (up to 8°) and long: three diamonds of way and more (assumptions).
    LongStraight,
    /// Into a side pocket.
    SidePocket,
    /// The object ball runs within 12° of a rail into the corner (assumption).
    AlongTheRail,
    /// Anything.
    Mixed,
}

impl Topic {
    /// All of them.
    pub const ALL: [Self; 5] = [
        Self::ThinCuts,
        Self::LongStraight,
        Self::SidePocket,
        Self::AlongTheRail,
        Self::Mixed,
    ];

    /// As typed.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::ThinCuts => "thin-cuts",
            Self::LongStraight => "long-straight",
            Self::SidePocket => "side-pocket",
            Self::AlongTheRail => "along-the-rail",
            Self::Mixed => "mixed",
        }
    }

    /// Whether a pocket can serve it.
    #[must_use]
    pub(crate) fn wants_pocket(self, kind: PocketKind) -> bool {
        match self {
            Self::SidePocket => kind == PocketKind::Side,
            Self::AlongTheRail | Self::LongStraight => kind == PocketKind::Corner,
            Self::ThinCuts | Self::Mixed => true,
        }
    }

    /// Whether an object ball's way into a corner or side can serve it: angle off square, rad.
    #[must_use]
    pub(super) fn wants_way(self, off_square_rad: f64) -> bool {
        self != Self::AlongTheRail || off_square_rad.abs() > 33_f64.to_radians()
    }

    /// Whether cut (rad, unsigned) and whole way (diamonds) can serve it.
    #[must_use]
    pub(super) fn wants_cut(self, cut_rad: f64, way_diamonds: f64) -> bool {
        match self {
            Self::ThinCuts => cut_rad >= 40_f64.to_radians(),
            Self::LongStraight => cut_rad <= 8_f64.to_radians() && way_diamonds >= 3.0,
            _ => true,
        }
    }
}

/// Which way the cuts go.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Balance {
    /// As many to the left as to the right.
    Even,
    /// All to the left.
    Left,
    /// All to the right.
    Right,
    /// As it comes.
    Any,
}

impl Balance {
    const ALL: [(Self, &'static str); 4] = [
        (Self::Even, "even"),
        (Self::Left, "left"),
        (Self::Right, "right"),
        (Self::Any, "any"),
    ];
}

macro_rules! from_name {
    ($type:ty, $option:expr, $all:expr, $choices:literal) => {
        impl FromStr for $type {
            type Err = LadderError;

            fn from_str(text: &str) -> Result<Self, LadderError> {
                $all.into_iter()
                    .find(|(_, name)| *name == text.trim())
                    .map(|(value, _)| value)
                    .ok_or_else(|| LadderError::Word {
                        option: $option,
                        value: text.to_owned(),
                        choices: $choices,
                    })
            }
        }
    };
}
from_name!(
    Balance,
    Field::CutsTo,
    Balance::ALL,
    "even, left, right, any"
);
from_name!(
    Topic,
    Field::Practise,
    Topic::ALL.map(|t| (t, t.name())),
    "thin-cuts, long-straight, side-pocket, along-the-rail, mixed"
);

/// A ladder wanted, checked.
#[derive(Debug, Clone, PartialEq)]
pub struct Wishes {
    /// How many rungs, at least 1.
    pub rungs: usize,
    /// Chance of the first rung, 0 to 1.
    pub from_chance: f64,
    /// Chance of the last rung, at most the first.
    pub to_chance: f64,
    /// What to practise.
    pub topic: Topic,
    /// Pockets to play into.
    pub pockets: Vec<PocketName>,
    /// Least and largest throw-free cut, rad.
    pub cuts_rad: (f64, f64),
    /// Which way the cuts go.
    pub balance: Balance,
    /// The one place of the object ball, where there is only one.
    pub object: Option<Position>,
    /// Whether every rung is mirrored about the long middle line.
    pub mirrored: bool,
    /// For the generator of random numbers.
    pub seed: u64,
    /// How every shot is hit.
    pub stroke: Stroke,
    /// Who climbs.
    pub player: AimError,
    /// The same player's aim on right cuts, where it differs from that on left cuts.
    pub right: Option<AimError>,
    /// The stroke in table lengths; each shot then has its own pace, and the pace of `stroke` is
    /// not looked at.
    pub stroke_lengths: Option<f64>,
    /// How the player stands and reaches; `None` where nobody said, and stances then count as easy.
    pub reach: Option<Reach>,
    /// Balls that stand there in every rung.
    pub obstacles: Vec<Position>,
    /// When a rung counts as climbed.
    pub pass: PassRule,
}

impl Wishes {
    /// Ten rungs of mixed shots from 9 to 3 in ten.
    #[must_use]
    pub fn new(player: AimError) -> Self {
        Self {
            rungs: 10,
            from_chance: 0.9,
            to_chance: 0.3,
            topic: Topic::Mixed,
            pockets: PocketName::ALL.to_vec(),
            cuts_rad: (0.0, THINNEST_RAD),
            balance: Balance::Even,
            object: None,
            mirrored: false,
            seed: 1,
            stroke: Stroke::centre_ball(),
            player,
            right: None,
            stroke_lengths: None,
            reach: None,
            obstacles: Vec::new(),
            pass: PassRule::default(),
        }
    }

    /// The player's aim on left or on right cuts.
    #[must_use]
    pub fn aim(&self, cut: Side) -> AimError {
        match cut {
            Side::Left => self.player,
            Side::Right => self.right.unwrap_or(self.player),
        }
    }

    /// Chance asked of a rung, counted from 0.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "at most 40 rungs")]
    pub fn target(&self, rung: usize) -> f64 {
        let last = self.rungs.saturating_sub(1).max(1) as f64;
        self.from_chance + (self.to_chance - self.from_chance) * rung as f64 / last
    }

    /// From one rung to the next, chance; for a single rung a make in ten.
    #[must_use]
    pub fn step(&self) -> f64 {
        if self.rungs > 1 {
            (self.target(0) - self.target(1)).abs()
        } else {
            0.1
        }
    }
}
