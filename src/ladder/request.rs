//! A ladder as people ask for it: options as text, read and checked.

use serde::{Deserialize, Serialize};

use super::error::LadderError;
use super::pass::makes_in_ten;
use super::wishes::{Topic, Wishes};
use crate::field::Field;
use crate::gear::Gear;
use crate::player::AimError;
use crate::pocket::PocketName;
use crate::request::{StrokeRequest, cuts, number, pocket_name};
use crate::shown::quoted;
use crate::units::{Position, parse_cut};
use crate::window::speed_for_lengths;

/// Most rungs of a ladder (assumption: more than an evening's work for anybody).
pub const MOST_RUNGS: usize = 40;
/// Thinnest cut that can be asked for, rad: 85° (the model's window closes at 90°).
const LIMIT_RAD: f64 = 85.0 * std::f64::consts::PI / 180.0;

/// A ladder as people ask for it.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[serde(default, rename_all = "kebab-case", deny_unknown_fields)]
#[cfg_attr(feature = "cli", command(next_help_heading = "The ladder"))]
pub struct LadderRequest {
    /// How many rungs [default: 10]
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "COUNT", allow_hyphen_values = true)
    )]
    pub rungs: Option<String>,
    /// Chance of the first rung, makes in ten [default: 9]
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "MAKES", allow_hyphen_values = true)
    )]
    pub from: Option<String>,
    /// Chance of the last rung, makes in ten [default: 3]
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "MAKES", allow_hyphen_values = true)
    )]
    pub to: Option<String>,
    /// thin-cuts (40° and more), long-straight (at most 8°, three diamonds of way and more), side-pocket, along-the-rail or mixed [default: mixed]
    #[cfg_attr(feature = "cli", arg(long, value_name = "TOPIC"))]
    pub practise: Option<String>,
    /// Pockets to play into, such as foot-left,side-left [default: all six]
    #[cfg_attr(feature = "cli", arg(long, value_name = "POCKETS"))]
    pub pockets: Option<String>,
    /// Range of cuts, such as `10deg..half-ball` [default: 0deg..70deg]
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "FROM..TO", allow_hyphen_values = true)
    )]
    pub cuts: Option<String>,
    /// Which way the cuts go: even, left, right or any [default: even]
    #[cfg_attr(feature = "cli", arg(long, value_name = "SIDES"))]
    pub cuts_to: Option<String>,
    /// Leave the object ball on this place in every rung
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "PLACE", allow_hyphen_values = true)
    )]
    pub object: Option<String>,
    /// A ball that stands in the way in every rung; may be repeated
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "PLACE", allow_hyphen_values = true)
    )]
    pub obstacle: Vec<String>,
    /// The other half of the table, for a player of the other hand
    #[cfg_attr(feature = "cli", arg(long))]
    pub mirrored: bool,
    /// Another number gives other shots of the same chances [default: 1]
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "NUMBER", allow_hyphen_values = true)
    )]
    pub seed: Option<String>,
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
        wishes.stroke_lengths = stroke.lengths()?;
        if let Some(lengths) = wishes.stroke_lengths {
            speed_for_lengths(gear, lengths).map_err(crate::request::RequestError::from)?;
        }
        let paced = StrokeRequest {
            stroke: None,
            ..stroke.clone()
        };
        wishes.stroke = paced.stroke(gear)?;
        if let Some(text) = &self.rungs {
            wishes.rungs = rungs(text)?;
        }
        if let Some(text) = &self.from {
            wishes.from_chance = chance_of_makes(Field::From, text)?;
        }
        if let Some(text) = &self.to {
            wishes.to_chance = chance_of_makes(Field::To, text)?;
        }
        if wishes.from_chance <= wishes.to_chance && wishes.rungs > 1 {
            return Err(LadderError::NotDown {
                from: makes_in_ten(wishes.from_chance),
                to: makes_in_ten(wishes.to_chance),
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
            wishes.object = Some(place(gear, Field::Object, text)?);
        }
        for text in &self.obstacle {
            wishes.obstacles.push(place(gear, Field::Obstacle, text)?);
        }
        apart(gear, &wishes)?;
        if let Some(text) = &self.seed {
            wishes.seed = text.trim().parse().map_err(|_| LadderError::Word {
                option: Field::Seed,
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
            option: Field::Rungs,
            value: quoted(text),
            choices: "whole numbers from 1 to 40",
        })
}

/// Makes in ten as a chance, strictly between never and always.
///
/// # Errors
/// [`LadderError`] naming the option.
pub fn chance_of_makes(option: Field, text: &str) -> Result<f64, LadderError> {
    let value = number(option, text)?;
    if value > 0.0 && value < 10.0 {
        Ok(value / 10.0)
    } else {
        Err(LadderError::Word {
            option,
            value: quoted(text),
            choices: "numbers of makes in ten, above 0 and below 10",
        })
    }
}

fn cut_range(text: &str) -> Result<(f64, f64), LadderError> {
    let word = || LadderError::Word {
        option: Field::Cuts,
        value: quoted(text),
        choices: "ranges such as 10deg..half-ball, within 0deg..85deg, the fuller cut first",
    };
    let (from, to) = text.split_once("..").ok_or_else(word)?;
    // the list reader gives the message with the option's name
    cuts(Field::Cuts, from)?;
    cuts(Field::Cuts, to)?;
    let read = |t: &str| parse_cut(t.trim()).map_err(|_| word());
    let (from, to) = (read(from)?.rad(), read(to)?.rad());
    if from >= 0.0 && to >= from && to <= LIMIT_RAD + 1e-12 {
        Ok((from, to))
    } else {
        Err(word())
    }
}

/// A place where an object ball stands on the table.
fn place(gear: &Gear, option: Field, text: &str) -> Result<Position, LadderError> {
    let unit = |source| crate::request::RequestError::Unit { option, source };
    let place: Position = text.parse().map_err(unit)?;
    gear.bed
        .locate(place, gear.object_contact_radius_m())
        .map_err(unit)?;
    Ok(place)
}

/// No two balls that stay where they are may overlap, nor one a cushion.
fn apart(gear: &Gear, wishes: &Wishes) -> Result<(), LadderError> {
    let rho = gear.object_contact_radius_m();
    let fixed: Vec<Position> = wishes
        .object
        .iter()
        .chain(&wishes.obstacles)
        .copied()
        .collect();
    let at = |p: &Position| gear.bed.locate(*p, rho);
    for (k, one) in fixed.iter().enumerate() {
        let option = if k == 0 && wishes.object.is_some() {
            Field::Object
        } else {
            Field::Obstacle
        };
        let Ok(here) = at(one) else { continue };
        let (l, w) = (gear.bed.length_m, gear.bed.width_m);
        let edge = rho - 1e-9;
        if !(edge..=l - edge).contains(&here.x) || !(edge..=w - edge).contains(&here.y) {
            return Err(LadderError::Word {
                option,
                value: one.to_string(),
                choices: "places clear of the cushions, such as 6,2, or frozen-left, frozen-right, frozen-head, frozen-foot",
            });
        }
        let near = |other: &Position| {
            at(other).is_ok_and(|there| (there - here).hypot() < gear.balls.object_diameter_m)
        };
        if fixed[..k].iter().any(near) {
            return Err(LadderError::Word {
                option,
                value: one.to_string(),
                choices: "places at least a ball's width from every other ball",
            });
        }
    }
    Ok(())
}

fn pockets(text: Option<&str>, topic: Topic) -> Result<Vec<PocketName>, LadderError> {
    let asked: Vec<PocketName> = match text {
        None | Some("all") => PocketName::ALL.to_vec(),
        Some(list) => {
            let mut out = Vec::new();
            for name in list.split(',') {
                let pocket = pocket_name(Field::Pockets, name.trim())?;
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
