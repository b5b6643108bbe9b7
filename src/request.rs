//! A shot as people ask for it: options as text, read and checked against a gear.
//!
//! The same structure is the command line's options, the columns of a batch file and the body of a
//! request to the local page, so a value means the same everywhere.

mod error;
mod lists;
mod tip;

pub use error::RequestError;
pub use lists::{angles, cuts, lengths};
pub use tip::tip_place;
pub(crate) use tip::tip_width_m;

use std::str::FromStr;

use serde::{Deserialize, Serialize};

use crate::error::UnitError;
use crate::field::{Field, Fields};
use crate::gear::Gear;
use crate::motion::BallBody;
use crate::pocket::{PocketKind, PocketName};
use crate::shown::quoted;
use crate::units::{Angle, Length, Position, Side, Speed, hint_units, parse_cut, parse_number};
use crate::window::{
    AbstractShot, BedShot, Hit, PaceWord, Shot, Stroke, StrokeError, Tip, pace_for_stroke,
};

/// The places of a shot as they are typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Places<'a> {
    /// The cue ball.
    pub cue: &'a str,
    /// The object ball.
    pub object: &'a str,
    /// The pocket.
    pub pocket: &'a str,
}

impl From<Places<'_>> for PlacesRequest {
    fn from(places: Places<'_>) -> Self {
        Self {
            cue: Some(places.cue.to_owned()),
            object: Some(places.object.to_owned()),
            pocket: Some(places.pocket.to_owned()),
            ..Self::default()
        }
    }
}

/// Where the balls are, either way.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[serde(default, rename_all = "kebab-case")]
#[cfg_attr(
    feature = "cli",
    command(next_help_heading = "The shot, on the table or by angles")
)]
pub struct PlacesRequest {
    /// Cue ball: diamonds `3,1` from the head and the right rail, lengths `50in,40cm`, frozen-left, 30cm-from-top or level-brown for either number, or a spot: foot-spot, black-spot (all: help shot-options)
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "PLACE", allow_hyphen_values = true)
    )]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cue: Option<String>,
    /// Object ball, likewise
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "PLACE", allow_hyphen_values = true)
    )]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub object: Option<String>,
    /// Pocket: head-left, head-right, side-left, side-right, foot-left or foot-right
    #[cfg_attr(feature = "cli", arg(long, value_name = "POCKET"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pocket: Option<String>,
    /// Cut angle `30deg` or a hit: full-, three-quarter-, half-, quarter-, eighth-ball or another such as `2/3-ball` (before throw, for the middle of the pocket)
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "CUT", allow_hyphen_values = true)
    )]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cut: Option<String>,
    /// Cue ball to object ball, centre to centre
    #[cfg_attr(
        feature = "cli",
        arg(
            long = "cue-to-object",
            value_name = "LENGTH",
            allow_hyphen_values = true
        )
    )]
    #[serde(
        rename = "cue-to-object",
        alias = "cue_to_object",
        alias = "apart",
        skip_serializing_if = "Option::is_none"
    )]
    pub apart: Option<String>,
    /// Object ball to the middle of the pocket's mouth
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "LENGTH", allow_hyphen_values = true)
    )]
    #[serde(alias = "to_pocket", skip_serializing_if = "Option::is_none")]
    pub to_pocket: Option<String>,
    /// Angle off straight in of the object ball's path, counter-clockwise positive [default: 0deg]
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "ANGLE", allow_hyphen_values = true)
    )]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub approach: Option<String>,
    /// corner or side [default: corner]
    #[cfg_attr(feature = "cli", arg(long, value_name = "KIND"))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub kind: Option<String>,
    /// left or right: which way the object ball is cut; on the table, for a straight shot only [default: left]
    #[cfg_attr(feature = "cli", arg(long, value_name = "SIDE"))]
    #[serde(alias = "cut_side", skip_serializing_if = "Option::is_none")]
    pub cut_side: Option<String>,
}

/// How the cue ball is hit.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "page", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[serde(default, rename_all = "kebab-case")]
#[cfg_attr(feature = "cli", command(next_help_heading = "The stroke"))]
pub struct StrokeRequest {
    /// Speed of the object ball at the pocket, or dead-weight (0.4 m/s), medium (1 m/s) or firm (2 m/s) [default: 1m/s]
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "SPEED", allow_hyphen_values = true)
    )]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pace: Option<String>,
    /// Instead of pace: how far the stroke would send the cue ball up and down with nothing in the way, such as 2
    #[cfg_attr(
        feature = "cli",
        arg(long = "lengths", value_name = "LENGTHS", allow_hyphen_values = true)
    )]
    #[serde(
        rename = "lengths",
        alias = "stroke",
        skip_serializing_if = "Option::is_none"
    )]
    pub stroke: Option<String>,
    /// Where the tip strikes the cue ball: centre, or such as "a tip high", "half a tip right", "6mm low" [default: centre]
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "PLACE", allow_hyphen_values = true)
    )]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tip: Option<String>,
    /// Instead of tip: what arrives at the object ball: roll, stun, follow, draw, or a ratio (1 rolling, 0 stun, negative draw)
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "WHAT", allow_hyphen_values = true)
    )]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub arrives: Option<String>,
    /// Roll of the cue ball at contact, as files and links of the first edition say it
    #[cfg_attr(feature = "cli", arg(skip))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub roll: Option<String>,
    /// The same as a word
    #[cfg_attr(feature = "cli", arg(skip))]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hit: Option<String>,
    /// Side spin that arrives, outside english positive, 0.5 is much; the cue ball rolls unless arrives says otherwise
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "RATIO", allow_hyphen_values = true)
    )]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub side: Option<String>,
    /// Length of the bridge, for the error at the tip [default: 10in]
    #[cfg_attr(
        feature = "cli",
        arg(long, value_name = "LENGTH", allow_hyphen_values = true)
    )]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub bridge: Option<String>,
}

/// A whole shot as asked for, without its gear.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "cli", derive(clap::Args))]
#[serde(default)]
pub struct ShotRequest {
    /// Where the balls are.
    #[cfg_attr(feature = "cli", command(flatten))]
    #[serde(flatten)]
    pub places: PlacesRequest,
    /// How it is hit.
    #[cfg_attr(feature = "cli", command(flatten))]
    #[serde(flatten)]
    pub stroke: StrokeRequest,
}

impl ShotRequest {
    /// Reads and checks the shot.
    ///
    /// # Errors
    /// [`RequestError`] naming the option, the value and what would work.
    pub fn shot(&self, gear: &Gear) -> Result<Shot, RequestError> {
        let cut_side = side_of_cut(self.places.cut_side.as_deref())?;
        let stroke = Stroke {
            straight_side: cut_side,
            ..self.stroke.paced(gear)?
        };
        let mut shot = if self.places.on_bed()? {
            let shot = self.places.bed_shot(gear)?;
            Shot::on_bed(gear, &shot, stroke)?
        } else {
            let shot = self.places.abstract_shot(cut_side)?;
            Shot::from_angles(gear, &shot, stroke)?
        };
        if let Some(lengths) = self.stroke.lengths()? {
            match pace_for_stroke(gear, &shot, lengths) {
                Ok(pace_m_s) => shot.stroke.pace_m_s = pace_m_s,
                // No stroke makes it: the answer says why, at the usual pace.
                Err(StrokeError::NoWindow(_)) => {}
                Err(error) => return Err(error.into()),
            }
        }
        Ok(shot)
    }
}

impl StrokeRequest {
    /// The stroke in table lengths, where it is given that way.
    ///
    /// # Errors
    /// [`RequestError`] when it cannot be read, or when there is a pace as well.
    pub fn lengths(&self) -> Result<Option<f64>, RequestError> {
        let Some(text) = self.stroke.as_deref() else {
            return Ok(None);
        };
        if self.pace.is_some() {
            return Err(RequestError::Twice {
                one: Field::Pace,
                other: Fields(&[Field::Stroke]),
            });
        }
        stroke_lengths(Field::Stroke, text).map(Some)
    }

    /// Reads the stroke of many shots.
    ///
    /// # Errors
    /// [`RequestError`] naming the option; [`RequestError::StrokeWithoutShot`] for one in lengths.
    pub fn stroke(&self, gear: &Gear) -> Result<Stroke, RequestError> {
        if self.lengths()?.is_some() {
            return Err(RequestError::StrokeWithoutShot);
        }
        self.paced(gear)
    }

    /// The stroke with the pace given, or the usual one.
    fn paced(&self, gear: &Gear) -> Result<Stroke, RequestError> {
        let default = Stroke::default();
        let twice = |one, other| RequestError::Twice {
            one,
            other: Fields(other),
        };
        let said = [
            (Field::Arrives, &self.arrives),
            (Field::Roll, &self.roll),
            (Field::Hit, &self.hit),
        ];
        let mut said = said
            .iter()
            .filter_map(|(f, t)| t.as_deref().map(|t| (*f, t)));
        let first = said.next();
        if let (Some((one, _)), Some((other, _))) = (first, said.next()) {
            return Err(match (one, other) {
                (Field::Roll, _) => twice(one, &[Field::Hit]),
                (_, Field::Hit) => twice(one, &[Field::Hit]),
                _ => twice(one, &[Field::Roll]),
            });
        }
        let roll = match first {
            Some((Field::Arrives, text)) => arriving(text)?,
            Some((Field::Roll, text)) => number(Field::Roll, text)?,
            Some((_, word)) => hit(word)?.roll(),
            None => default.roll,
        };
        let arrives = first.map(|(field, _)| field);
        let arrives = arrives.or(self.side.is_some().then_some(Field::Side));
        let tip = match (&self.tip, arrives) {
            (Some(_), Some(other)) => {
                return Err(twice(
                    Field::Tip,
                    match other {
                        Field::Arrives => &[Field::Arrives],
                        Field::Roll => &[Field::Roll],
                        Field::Hit => &[Field::Hit],
                        _ => &[Field::Side],
                    },
                ));
            }
            (Some(text), None) => Some(tip_place(gear, text)?),
            (None, Some(_)) => None,
            (None, None) => Some(Tip::centre_on(gear)),
        };
        Ok(Stroke {
            pace_m_s: self
                .pace
                .as_deref()
                .map_or(Ok(default.pace_m_s), |t| pace_m_s(Field::Pace, t))?,
            roll,
            side: self
                .side
                .as_deref()
                .map_or(Ok(default.side), |t| number(Field::Side, t))?,
            bridge_m: quantity::<Length>(Field::Bridge, self.bridge.as_deref())?
                .map_or(default.bridge_m, Length::m),
            straight_side: default.straight_side,
            tip,
        })
    }
}

impl PlacesRequest {
    /// Whether a field of a shot is a place: a text of two numbers, whose comma is no decimal one.
    #[must_use]
    pub fn is_place(field: &str) -> bool {
        [Field::Cue, Field::Object]
            .map(Field::name)
            .contains(&field)
    }

    /// Whether the shot is on the bed, refusing a mixture of both ways.
    fn on_bed(&self) -> Result<bool, RequestError> {
        let bed = [
            (Field::Cue, &self.cue),
            (Field::Object, &self.object),
            (Field::Pocket, &self.pocket),
        ];
        let angles = [
            (Field::Cut, &self.cut),
            (Field::Apart, &self.apart),
            (Field::ToPocket, &self.to_pocket),
            (Field::Approach, &self.approach),
            (Field::Kind, &self.kind),
        ];
        let first = |list: &[(Field, &Option<String>)]| {
            list.iter().find(|(_, v)| v.is_some()).map(|(n, _)| *n)
        };
        match (first(&bed), first(&angles)) {
            (Some(one), Some(other)) => Err(RequestError::Mixed { one, other }),
            (Some(_), None) => Ok(true),
            (None, Some(_)) => Ok(false),
            (None, None) => Err(RequestError::NoShot),
        }
    }

    fn bed_shot(&self, gear: &Gear) -> Result<BedShot, RequestError> {
        let place = |option, text: &Option<String>, body: BallBody| {
            let text = text
                .as_deref()
                .ok_or(RequestError::Missing { missing: option })?;
            let unit = |source| RequestError::Unit { option, source };
            let position: Position = text.parse().map_err(unit)?;
            gear.bed.locate(position, body.plan_radius_m).map_err(unit)
        };
        let (cue, object) = (
            place(Field::Cue, &self.cue, BallBody::cue(gear))?,
            place(Field::Object, &self.object, BallBody::object(gear))?,
        );
        let pocket = self.pocket.as_deref().ok_or(RequestError::Missing {
            missing: Field::Pocket,
        })?;
        Ok(BedShot {
            cue,
            object,
            pocket: pocket_name(Field::Pocket, pocket)?,
        })
    }

    fn abstract_shot(&self, cut_side: Side) -> Result<AbstractShot, RequestError> {
        let need = |option, text: &Option<String>| {
            quantity::<Length>(option, text.as_deref())?
                .map(Length::m)
                .ok_or(RequestError::Missing { missing: option })
        };
        let cut = self.cut.as_deref().ok_or(RequestError::Missing {
            missing: Field::Cut,
        })?;
        Ok(AbstractShot {
            kind: pocket_kind(self.kind.as_deref())?,
            cut_rad: parse_cut(cut)
                .map_err(|source| RequestError::Unit {
                    option: Field::Cut,
                    source,
                })?
                .rad(),
            cut_side,
            apart_m: need(Field::Apart, &self.apart)?,
            to_pocket_m: need(Field::ToPocket, &self.to_pocket)?,
            approach_rad: quantity::<Angle>(Field::Approach, self.approach.as_deref())?
                .map_or(0.0, Angle::rad),
        })
    }
}

/// Reads a pace: a speed, or `dead-weight`, `medium` or `firm`; in m/s.
///
/// # Errors
/// [`RequestError::Unit`].
pub fn pace_m_s(option: Field, text: &str) -> Result<f64, RequestError> {
    match PaceWord::from_word(text) {
        Some(word) => Ok(word.pace_m_s()),
        None => text
            .parse()
            .map(Speed::m_s)
            .map_err(|source| RequestError::Unit { option, source }),
    }
}

/// Reads a stroke in table lengths: `2lengths`, `1.5 lengths`, `1length`.
///
/// # Errors
/// [`RequestError::NotLengths`] without the word, [`RequestError::Unit`] for the number.
pub fn stroke_lengths(option: Field, text: &str) -> Result<f64, RequestError> {
    let plain = text.trim();
    let bare = plain.trim_end_matches('s').strip_suffix("length");
    let bare = match bare {
        Some(bare) => bare.trim(),
        // Where nothing but lengths is meant a number by itself will do.
        None if option == Field::Stroke && plain.parse::<f64>().is_ok() => plain,
        None => {
            return Err(RequestError::NotLengths {
                option,
                value: quoted(text),
            });
        }
    };
    number(option, bare)
}

/// Reads an optional quantity of an option.
///
/// # Errors
/// [`RequestError::Unit`].
pub fn quantity<T: FromStr<Err = UnitError>>(
    option: Field,
    text: Option<&str>,
) -> Result<Option<T>, RequestError> {
    text.map(str::parse).transpose().map_err(|source| {
        // Which unit was forgotten follows from what the option is for.
        let source = match PLAUSIBLE.iter().find(|(name, ..)| *name == option) {
            Some(&(_, low, high)) => hint_units(source, |si| (low..=high).contains(&si)),
            None => source,
        };
        RequestError::Unit { option, source }
    })
}

/// Sizes in SI that people mean, by option: only for hints (assumption: from touching balls to
/// the longest table, bridges of a hand).
const PLAUSIBLE: [(Field, f64, f64); 4] = [
    (Field::Apart, 0.05, 2.99),
    (Field::ToPocket, 0.02, 2.99),
    (Field::Distance, 0.02, 2.99),
    (Field::Bridge, 0.1, 0.5),
];

/// Reads a plain number of an option.
///
/// # Errors
/// [`RequestError::Unit`].
pub fn number(option: Field, text: &str) -> Result<f64, RequestError> {
    parse_number(text).map_err(|source| RequestError::Unit { option, source })
}

/// Reads a pocket's name.
///
/// # Errors
/// [`RequestError::Word`].
pub fn pocket_name(option: Field, text: &str) -> Result<PocketName, RequestError> {
    text.parse().map_err(|_| RequestError::Word {
        option,
        value: quoted(text),
        choices: if text.contains("bottom") {
            "baulk-left, baulk-right, top-left, top-right (bottom is the baulk end in the rule books and the other end to many players)"
        } else {
            "head-left, head-right, side-left, side-right, foot-left, foot-right (baulk-, middle- and top- in snooker and English pool)"
        },
    })
}

/// Reads `corner` or `side`, corner when absent.
///
/// # Errors
/// [`RequestError::Word`].
pub fn pocket_kind(text: Option<&str>) -> Result<PocketKind, RequestError> {
    match text {
        None | Some("corner") => Ok(PocketKind::Corner),
        Some("side") => Ok(PocketKind::Side),
        Some(other) => Err(RequestError::Word {
            option: Field::Kind,
            value: quoted(other),
            choices: "corner, side",
        }),
    }
}

/// Reads `left` or `right`, left when absent.
///
/// # Errors
/// [`RequestError::Word`].
pub fn side_of_cut(text: Option<&str>) -> Result<Side, RequestError> {
    let Some(text) = text else {
        return Ok(Side::Left);
    };
    Side::from_name(text).ok_or_else(|| RequestError::Word {
        option: Field::CutSide,
        value: quoted(text),
        choices: "left, right",
    })
}

/// Reads what arrives: a word or a ratio.
fn arriving(text: &str) -> Result<f64, RequestError> {
    let word = text.trim();
    match Hit::ALL.into_iter().find(|hit| hit.name() == word) {
        Some(hit) => Ok(hit.roll()),
        None => number(Field::Arrives, text).map_err(|_| RequestError::Word {
            option: Field::Arrives,
            value: quoted(text),
            choices: "roll, stun, follow, draw, or a ratio such as 0.5",
        }),
    }
}

fn hit(word: &str) -> Result<Hit, RequestError> {
    Hit::ALL
        .into_iter()
        .find(|hit| hit.name() == word)
        .ok_or_else(|| RequestError::Word {
            option: Field::Hit,
            value: quoted(word),
            choices: "stun, roll, draw, follow",
        })
}
