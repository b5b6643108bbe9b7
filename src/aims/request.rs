//! Ways of aiming as people ask for them: options as text.

use serde::{Deserialize, Serialize};

use super::error::AimsError;
use super::{Eye, Lamp, Multiples, OwnOffsets, ShaftWidths, Way, WayOptions, parse_fraction, ways};
use crate::field::{Field, Fields};
use crate::gear::Gear;
use crate::request::{RequestError, number, quantity};
use crate::units::{Angle, Length, Position};
use crate::window::Shot;

#[cfg(feature = "cli")]
fn ways_help() -> String {
    let names: Vec<&str> = super::way_names().collect();
    format!(
        "Aiming methods, separated by commas: {} [default: all that need no option]",
        names.join(", ")
    )
}

/// Which ways, and what they need to know.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[serde(default, rename_all = "kebab-case")]
#[cfg_attr(feature = "cli", command(next_help_heading = "Aiming methods"))]
pub struct WaysRequest {
    /// Aiming methods, separated by commas [default: all that need no option]
    #[cfg_attr(
        feature = "cli",
        arg(long = "methods", value_name = "NAMES", value_delimiter = ',', help = ways_help())
    )]
    #[serde(rename = "methods", alias = "ways")]
    pub ways: Vec<String>,
    /// For fractions: which, such as `1/2,1/4` [default: 1,3/4,1/2,1/4]
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "LIST", allow_hyphen_values = true)
    )]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fractions: Option<String>,
    /// For ghost-ball-allowance: how much thinner for throw [default: 1deg, assumed]
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "ANGLE", allow_hyphen_values = true)
    )]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub allowance: Option<String>,
    /// Diameter of the cue's shaft [default: 13mm]
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "LENGTH", allow_hyphen_values = true)
    )]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub shaft: Option<String>,
    /// Shaft widths to choose from, such as `0,1,2` [default: every half]
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "LIST", allow_hyphen_values = true)
    )]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub shaft_multiples: Option<String>,
    /// Shaft widths in steps of this [default: 0.5]
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "NUMBER", allow_hyphen_values = true)
    )]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub shaft_step: Option<String>,
    /// Take the shaft as wide as it looks from the eye at the object ball's distance
    #[cfg_attr(feature = "cli", arg(long))]
    pub apparent: bool,
    /// Eye behind the cue ball, along the cloth [default: 700mm, assumed]
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "LENGTH", allow_hyphen_values = true)
    )]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub eye_behind: Option<String>,
    /// Eye above the cloth [default: 300mm, assumed]
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "LENGTH", allow_hyphen_values = true)
    )]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub eye_height: Option<String>,
    /// Lamp above the cloth [default: 850mm, assumed]
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "LENGTH", allow_hyphen_values = true)
    )]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lamp_height: Option<String>,
    /// Lamp beyond the object ball, seen along both balls [default: 500mm, assumed]
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "LENGTH", allow_hyphen_values = true)
    )]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lamp_ahead: Option<String>,
    /// Lamp to the left of that line [default: 0mm, assumed]
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "LENGTH", allow_hyphen_values = true)
    )]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lamp_left: Option<String>,
    /// Lamp over this place on the table, instead of the last two
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "PLACE", allow_hyphen_values = true)
    )]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lamp_at: Option<String>,
}

impl WaysRequest {
    /// The ways asked for. `table_shot` is the shot when it is on the table (for a lamp given by its place), `own`
    /// the user's list, already read.
    ///
    /// # Errors
    /// [`AimsError`] naming the option.
    pub fn ways(
        &self,
        gear: &Gear,
        table_shot: Option<&Shot>,
        own: Option<OwnOffsets>,
    ) -> Result<Vec<Box<dyn Way>>, AimsError> {
        let usual = WayOptions::usual(gear)?;
        let eye = Eye::default();
        let options = WayOptions {
            allowance_rad: quantity::<Angle>(Field::Allowance, self.allowance.as_deref())?
                .map_or(usual.allowance_rad, Angle::rad),
            fractions: self.fraction_list()?.unwrap_or(usual.fractions),
            shaft_m: length(Field::Shaft, &self.shaft, ShaftWidths::DEFAULT_DIAMETER_M)?,
            multiples: self.multiples()?,
            apparent: self.apparent,
            eye: Eye::new(
                length(Field::EyeBehind, &self.eye_behind, eye.behind_m())?,
                length(Field::EyeHeight, &self.eye_height, eye.height_m())?,
            )?,
            lamp: self.lamp(gear, table_shot)?,
            own,
        };
        ways(&self.ways, &options)
    }

    fn fraction_list(&self) -> Result<Option<Vec<f64>>, AimsError> {
        self.fractions
            .as_deref()
            .map(|t| t.split(',').map(parse_fraction).collect())
            .transpose()
    }

    fn multiples(&self) -> Result<Multiples, AimsError> {
        let twice = RequestError::Twice {
            one: Field::ShaftMultiples,
            other: Fields(&[Field::ShaftStep]),
        };
        Ok(match (&self.shaft_multiples, &self.shaft_step) {
            (Some(_), Some(_)) => return Err(twice.into()),
            (Some(list), None) => Multiples::List(
                list.split(',')
                    .map(|t| number(Field::ShaftMultiples, t))
                    .collect::<Result<_, _>>()?,
            ),
            (None, Some(step)) => Multiples::Step(number(Field::ShaftStep, step)?),
            (None, None) => Multiples::Step(ShaftWidths::DEFAULT_STEP),
        })
    }

    fn lamp(&self, gear: &Gear, table_shot: Option<&Shot>) -> Result<Lamp, AimsError> {
        let height = length(Field::LampHeight, &self.lamp_height, Lamp::DEFAULT_HEIGHT_M)?;
        let Some(place) = &self.lamp_at else {
            let ahead = length(Field::LampAhead, &self.lamp_ahead, Lamp::DEFAULT_AHEAD_M)?;
            return Lamp::new(
                gear,
                height,
                ahead,
                length(Field::LampLeft, &self.lamp_left, 0.0)?,
            );
        };
        let beside: [(&[Field], _); 2] = [
            (&[Field::LampAhead], &self.lamp_ahead),
            (&[Field::LampLeft], &self.lamp_left),
        ];
        if let Some((other, _)) = beside.iter().find(|(_, given)| given.is_some()) {
            let (one, other) = (Field::LampAt, Fields(other));
            return Err(RequestError::Twice { one, other }.into());
        }
        let shot = table_shot.ok_or(AimsError::LampNeedsTable)?;
        let unit = |source| RequestError::Unit {
            option: Field::LampAt,
            source,
        };
        let plan = place.parse::<Position>().map_err(unit)?;
        let plan = gear.bed.locate(plan, 0.0).map_err(unit)?;
        Lamp::over(gear, height, plan, shot)
    }
}

fn length(option: Field, text: &Option<String>, default: f64) -> Result<f64, AimsError> {
    Ok(quantity::<Length>(option, text.as_deref())?.map_or(default, Length::m))
}
