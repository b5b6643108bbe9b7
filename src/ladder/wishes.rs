//! What somebody wants from a ladder, checked once.

use std::str::FromStr;

use serde::{Deserialize, Serialize};

use super::error::LadderError;
use super::pass::PassRule;
use crate::gear::Gear;
use crate::player::AimError;
use crate::pocket::{PocketKind, PocketName};
use crate::request::{StrokeRequest, cuts, number, pocket_name};
use crate::units::{Position, parse_cut};
use crate::window::Stroke;

/// Most rungs of a ladder (assumption: more than an evening's work for anybody).
pub const MOST_RUNGS: usize = 40;
/// Thinnest cut looked for unless asked otherwise, rad: 70° (assumption: beyond it players look
/// for another shot).
const THINNEST_RAD: f64 = 70.0 * std::f64::consts::PI / 180.0;
/// Thinnest cut that can be asked for, rad: 85° (the model's window closes at 90°).
const LIMIT_RAD: f64 = 85.0 * std::f64::consts::PI / 180.0;

/// What a ladder practises.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
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

    /// As said: "thin cuts", "long straight shots".
    #[must_use]
    pub fn spoken(self) -> &'static str {
        match self {
            Self::ThinCuts => "thin cuts",
            Self::LongStraight => "long straight shots",
            Self::SidePocket => "side pockets",
            Self::AlongTheRail => "shots along the rail",
            Self::Mixed => "mixed shots",
        }
    }

    /// Whether a pocket can serve it.
    #[must_use]
    pub(super) fn wants_pocket(self, kind: PocketKind) -> bool {
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
    ($type:ty, $option:literal, $all:expr, $choices:literal) => {
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
from_name!(Balance, "--cuts-to", Balance::ALL, "even, left, right, any");
from_name!(
    Topic,
    "--practise",
    Topic::ALL.map(|t| (t, t.name())),
    "thin-cuts, long-straight, side-pocket, along-the-rail, mixed"
);

/// A ladder as people ask for it.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize, clap::Args)]
#[serde(default, rename_all = "kebab-case", deny_unknown_fields)]
#[command(next_help_heading = "The ladder")]
pub struct LadderRequest {
    /// How many rungs [default: 10]
    #[arg(long, value_name = "COUNT", allow_hyphen_values = true)]
    pub rungs: Option<String>,
    /// Chance of the first rung, makes in ten [default: 9]
    #[arg(long, value_name = "MAKES", allow_hyphen_values = true)]
    pub from: Option<String>,
    /// Chance of the last rung, makes in ten [default: 3]
    #[arg(long, value_name = "MAKES", allow_hyphen_values = true)]
    pub to: Option<String>,
    /// thin-cuts, long-straight, side-pocket, along-the-rail or mixed [default: mixed]
    #[arg(long, value_name = "TOPIC")]
    pub practise: Option<String>,
    /// Pockets to play into, a list such as foot-left,side-left [default: all six]
    #[arg(long, value_name = "POCKETS")]
    pub pockets: Option<String>,
    /// Range of cuts, such as `10deg..half-ball` [default: 0deg..70deg]
    #[arg(long, value_name = "FROM..TO", allow_hyphen_values = true)]
    pub cuts: Option<String>,
    /// Which way the cuts go: even, left, right or any [default: even]
    #[arg(long, value_name = "SIDES")]
    pub cuts_to: Option<String>,
    /// Leave the object ball on this place in every rung
    #[arg(long, value_name = "PLACE", allow_hyphen_values = true)]
    pub object: Option<String>,
    /// The other half of the table, for a player of the other hand: every rung mirrored
    #[arg(long)]
    pub mirrored: bool,
    /// Another number gives other shots of the same chances [default: 1]
    #[arg(long, value_name = "NUMBER", allow_hyphen_values = true)]
    pub seed: Option<String>,
}

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
            stroke: Stroke::default(),
            player,
            pass: PassRule::default(),
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

impl LadderRequest {
    /// Reads and checks the wishes of a player with a stroke on a gear.
    ///
    /// # Errors
    /// [`LadderError`] naming the option.
    pub fn wishes(
        &self,
        gear: &Gear,
        player: AimError,
        stroke: &StrokeRequest,
    ) -> Result<Wishes, LadderError> {
        let mut wishes = Wishes::new(player);
        wishes.stroke = stroke.stroke()?;
        if let Some(text) = &self.rungs {
            wishes.rungs = rungs(text)?;
        }
        if let Some(text) = &self.from {
            wishes.from_chance = in_ten("--from", text)?;
        }
        if let Some(text) = &self.to {
            wishes.to_chance = in_ten("--to", text)?;
        }
        if wishes.from_chance <= wishes.to_chance && wishes.rungs > 1 {
            return Err(LadderError::NotDown {
                from: 10.0 * wishes.from_chance,
                to: 10.0 * wishes.to_chance,
            });
        }
        if let Some(text) = &self.practise {
            wishes.topic = text.parse()?;
        }
        if let Some(text) = &self.cuts {
            wishes.cuts_rad = cut_range(text)?;
        }
        if let Some(text) = &self.cuts_to {
            wishes.balance = text.parse()?;
        }
        if let Some(text) = &self.object {
            wishes.object = Some(object(gear, text)?);
        }
        if let Some(text) = &self.seed {
            wishes.seed = text.trim().parse().map_err(|_| LadderError::Word {
                option: "--seed",
                value: text.clone(),
                choices: "whole numbers from 0",
            })?;
        }
        wishes.mirrored = self.mirrored;
        wishes.pockets = pockets(self.pockets.as_deref(), wishes.topic)?;
        Ok(wishes)
    }
}

fn rungs(text: &str) -> Result<usize, LadderError> {
    let count = text.trim().parse::<usize>().ok();
    count
        .filter(|n| (1..=MOST_RUNGS).contains(n))
        .ok_or_else(|| LadderError::Word {
            option: "--rungs",
            value: text.to_owned(),
            choices: "whole numbers from 1 to 40",
        })
}

/// Makes in ten as a chance, strictly between never and always.
///
/// # Errors
/// [`LadderError`] naming the option.
pub fn in_ten(option: &'static str, text: &str) -> Result<f64, LadderError> {
    let value = number(option, text)?;
    if value > 0.0 && value < 10.0 {
        Ok(0.1 * value)
    } else {
        Err(LadderError::Word {
            option,
            value: text.to_owned(),
            choices: "numbers of makes in ten, above 0 and below 10",
        })
    }
}

fn cut_range(text: &str) -> Result<(f64, f64), LadderError> {
    let word = || LadderError::Word {
        option: "--cuts",
        value: text.to_owned(),
        choices: "ranges such as 10deg..half-ball, within 0deg..85deg, the fuller cut first",
    };
    let (from, to) = text.split_once("..").ok_or_else(word)?;
    // the list reader gives the message with the option's name
    cuts("--cuts", from)?;
    cuts("--cuts", to)?;
    let read = |t: &str| parse_cut(t.trim()).map_err(|_| word());
    let (from, to) = (read(from)?.rad(), read(to)?.rad());
    if from >= 0.0 && to >= from && to <= LIMIT_RAD + 1e-12 {
        Ok((from, to))
    } else {
        Err(word())
    }
}

/// A place for the object ball that stands on the table.
pub(super) fn object(gear: &Gear, text: &str) -> Result<Position, LadderError> {
    let unit = |source| crate::request::RequestError::Unit {
        option: "--object",
        source,
    };
    let place: Position = text.parse().map_err(unit)?;
    gear.bed
        .locate(place, gear.object_contact_radius_m())
        .map_err(unit)?;
    Ok(place)
}

fn pockets(text: Option<&str>, topic: Topic) -> Result<Vec<PocketName>, LadderError> {
    let asked: Vec<PocketName> = match text {
        None | Some("all") => PocketName::ALL.to_vec(),
        Some(list) => {
            let mut out = Vec::new();
            for name in list.split(',') {
                let pocket = pocket_name("--pockets", name.trim())?;
                if !out.contains(&pocket) {
                    out.push(pocket);
                }
            }
            out
        }
    };
    let fit: Vec<PocketName> = asked
        .iter()
        .copied()
        .filter(|p| topic.wants_pocket(p.kind()))
        .collect();
    if fit.is_empty() {
        return Err(LadderError::NoPocketForTopic {
            topic: topic.name(),
            pockets: text.unwrap_or("all").to_owned(),
        });
    }
    Ok(fit)
}
