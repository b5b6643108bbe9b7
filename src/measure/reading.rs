//! Readings as written: one size, or the parts of a stroke.

use std::fmt;

use thiserror::Error;

use super::quantity::{Instrument, Quantity};
use crate::error::{GearError, UnitError};
use crate::field::{Field, Hint};
use crate::request::{RequestError, stroke_lengths};
use crate::shown::quoted;
use crate::units::{Angle, Length, Mass, Speed, Time, hint_units, parse_cut, parse_number};
use crate::window::StrokeError;

/// What a fault is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// An input.
    Field(Field),
    /// How good an instrument is said to be.
    Instrument(Instrument),
}

impl From<Field> for What {
    fn from(field: Field) -> Self {
        Self::Field(field)
    }
}

impl fmt::Display for What {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Field(field) => field.fmt(f),
            Self::Instrument(which) => write!(f, "{} {}", Field::GoodTo, which.name()),
        }
    }
}

/// Readings that cannot be, or cannot be used.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum MeasureError {
    /// A text that is no such reading.
    #[error("{what}: {problem}")]
    Unit {
        /// Which reading, or how good which instrument is.
        what: What,
        /// What is wrong with the text.
        problem: Box<UnitError>,
    },
    /// A stroke with parts missing or too many.
    #[error("{what}: \"{value}\" is no reading of a {stroke}: write {example}")]
    Parts {
        /// Which reading, or how good which instrument is.
        what: What,
        /// As given.
        value: String,
        /// Which stroke.
        stroke: String,
        /// What would work.
        example: &'static str,
    },
    /// A size that nothing of the kind has.
    #[error("{what} {value}: {problem}; {remedy}")]
    Impossible {
        /// Which reading, or how good which instrument is.
        what: What,
        /// As given, or as meant.
        value: String,
        /// Why it cannot be.
        problem: String,
        /// What would work.
        remedy: String,
    },
    /// Two readings of one thing that cannot both be right.
    #[error(
        "{what}{}: {both} are {apart} apart, and two readings of one table lie within {most}; one of them is probably misread: measure again and leave the wrong one out{}",
        Hint::InForm { section, key },
        single(*what)
    )]
    Misread {
        /// Which reading.
        what: Field,
        /// Its section in the form.
        section: &'static str,
        /// Its key there.
        key: &'static str,
        /// Both, the smaller one first, as written.
        both: String,
        /// Between them.
        apart: String,
        /// What table and instrument explain.
        most: String,
    },
    /// A reading that says nothing without another one.
    #[error("{what} needs {needed} beside it: {why}")]
    Needs {
        /// Which reading.
        what: Field,
        /// The other one.
        needed: Field,
        /// Why.
        why: &'static str,
    },
    /// Nothing was measured.
    #[error(
        "nothing is measured yet: give readings such as {} \"116mm, 115mm\" or a filled-in form{}",
        Field::CornerMouth,
        Hint::EmptyForm
    )]
    Nothing,
    /// Readings that leave next to no table that could be.
    #[error(
        "{what} as measured: the readings are so unsure that hardly any table with them can be; measure {what} again, or say {} smaller where it is better",
        Field::GoodTo
    )]
    Unsure {
        /// The one that is least sure.
        what: Field,
    },
    /// A form that cannot be read.
    #[error("{origin}: {problem}")]
    Form {
        /// The file.
        origin: String,
        /// What is wrong and what would work.
        problem: String,
    },
    /// A table that could not be played on, or a base that does not load.
    #[error(transparent)]
    Gear(#[from] GearError),
    /// A shot of the comparison.
    #[error(transparent)]
    Request(#[from] RequestError),
    /// A run that cannot be followed.
    #[error(
        "{field}: hardly any stroke runs that far; count the lengths and time again ({0})",
        field = Field::RollLengths
    )]
    Run(StrokeError),
}

/// A reading in SI; a stroke has several parts.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// As written.
    pub text: String,
    /// Its parts: one size; lag: way, time; run: lengths, time; throw: cut, way, off, speed.
    pub parts: Vec<f64>,
}

/// What each stroke's reading has, with one that works.
const EXAMPLES: [(Quantity, &str); 3] = [
    (Quantity::Lag, "way and time, such as \"3.2m 8.1s\""),
    (
        Quantity::Run,
        "table lengths and time, such as \"4.2lengths 8.8s\"",
    ),
    (
        Quantity::Throw,
        "cut, path of the object ball, how far off it arrives and speed of the cue ball, such as \"half-ball 1m 48mm 1.5m/s\"",
    ),
];

/// Limits of the parts of a stroke, SI: `(name, least, most)` (assumptions: from what a hand can
/// time to the longest roll and the hardest stroke there is).
const LAG: [(&str, f64, f64); 2] = [("the way", 0.3, 10.0), ("the time", 0.5, 60.0)];
const RUN: [(&str, f64, f64); 2] = [("the way", 1.0, 12.0), ("the time", 1.0, 60.0)];
const THROW: [(&str, f64, f64); 4] = [
    ("the cut", 0.0873, 1.3090),
    ("the way", 0.1, 4.0),
    ("the distance off the line", 0.001, 1.0),
    ("the speed", 0.2, 7.0),
];

/// Reads one or several readings of a quantity, separated by commas or semicolons.
///
/// # Errors
/// [`MeasureError`] naming the option, the value and what would work.
pub fn readings(quantity: Quantity, text: &str) -> Result<Vec<Reading>, MeasureError> {
    if let Some(value) = with_decimal_comma(text) {
        let meant = value.replacen(',', ".", 1);
        return Err(MeasureError::Impossible {
            what: quantity.field().into(),
            value: quoted(value),
            problem: "a comma stands between two readings".to_owned(),
            remedy: format!(
                "write {} with a point, or two readings with a unit each",
                quoted(&meant)
            ),
        });
    }
    text.split([',', ';'])
        .map(str::trim)
        .filter(|part| !part.is_empty())
        .map(|part| reading(quantity, part))
        .collect()
}

/// The first number with a decimal comma, and what is written to it: `107,5mm`.
fn with_decimal_comma(text: &str) -> Option<&str> {
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    text.match_indices(',').find_map(|(comma, _)| {
        let (before, after) = (&text[..comma], &text[comma + 1..]);
        let start = before.rfind([',', ';', ' ']).map_or(0, |at| at + 1);
        let end = after.find([',', ';']).unwrap_or(after.len());
        let is = digits(&before[start..]) && after.starts_with(|c: char| c.is_ascii_digit());
        is.then(|| text[start..comma + 1 + end].trim_end())
    })
}

fn reading(quantity: Quantity, text: &str) -> Result<Reading, MeasureError> {
    let parts = match quantity {
        Quantity::Lag | Quantity::Run | Quantity::Throw => stroke(quantity, text)?,
        Quantity::BallWeight | Quantity::CueBallWeight => {
            vec![size(quantity, text, |t| t.parse().map(Mass::kg))?]
        }
        _ => vec![size(quantity, text, |t| t.parse().map(Length::m))?],
    };
    Ok(Reading {
        text: text.to_owned(),
        parts,
    })
}

fn size(
    quantity: Quantity,
    text: &str,
    parse: impl Fn(&str) -> Result<f64, UnitError>,
) -> Result<f64, MeasureError> {
    let (low, high) = quantity.range();
    let holds = |si: f64| (low..=high).contains(&si);
    let si = parse(text).map_err(|error| MeasureError::Unit {
        what: quantity.field().into(),
        problem: Box::new(hint_units(error, holds)),
    })?;
    if holds(si) {
        return Ok(si);
    }
    let mass = matches!(quantity, Quantity::BallWeight | Quantity::CueBallWeight);
    let say = |si: f64| {
        if mass {
            format!("{} g", rounded(1e3 * si))
        } else {
            format!("{} mm", rounded(1e3 * si))
        }
    };
    let bare = text
        .trim()
        .trim_end_matches(|c: char| !c.is_ascii_digit())
        .to_owned();
    let units: &[&str] = if mass {
        &["g", "oz"]
    } else {
        &["mm", "in", "cm", "m"]
    };
    let meant = units
        .iter()
        .map(|unit| format!("{bare}{unit}"))
        .find(|t| t != text.trim() && parse(t).is_ok_and(holds))
        .map_or_else(String::new, |t| format!(" (was {t} meant?)"));
    Err(MeasureError::Impossible {
        what: quantity.field().into(),
        value: quoted(text),
        problem: format!("no table or ball has a {quantity} of {}", say(si)),
        remedy: format!("give {} to {}{meant}", say(low), say(high)),
    })
}

/// Three digits for limits and messages.
fn rounded(x: f64) -> f64 {
    (x * 1e3).round() / 1e3
}

fn stroke(quantity: Quantity, text: &str) -> Result<Vec<f64>, MeasureError> {
    let limits: &[(&str, f64, f64)] = match quantity {
        Quantity::Lag => &LAG,
        Quantity::Run => &RUN,
        _ => &THROW,
    };
    let words = parts_said(text);
    if words.len() != limits.len() {
        let example = EXAMPLES.iter().find(|(q, _)| *q == quantity);
        return Err(MeasureError::Parts {
            what: quantity.field().into(),
            value: quoted(text),
            stroke: quantity.spoken(),
            example: example.map_or("", |(_, e)| e),
        });
    }
    let mut parts = Vec::with_capacity(words.len());
    for (k, (word, (name, low, high))) in words.iter().zip(limits).enumerate() {
        let (si, unit) = part(quantity, k, word).map_err(|error| MeasureError::Unit {
            what: quantity.field().into(),
            problem: Box::new(hint_units(error, |si| (*low..=*high).contains(&si))),
        })?;
        if !(*low..=*high).contains(&si) {
            let scale = if unit == "°" { 1f64.to_degrees() } else { 1.0 };
            return Err(MeasureError::Impossible {
                what: quantity.field().into(),
                value: quoted(text),
                problem: format!("{name} of {} {unit} cannot be of use", rounded(si * scale)),
                remedy: format!(
                    "give {} to {} {unit}",
                    rounded(low * scale),
                    rounded(high * scale)
                ),
            });
        }
        parts.push(si);
    }
    Ok(parts)
}

/// The values of a stroke as they are typed; `3.2m in 8.1s` and `4.2 lengths 8.8s` read as they are said.
fn parts_said(text: &str) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    let all: Vec<&str> = text.split_whitespace().collect();
    for (k, word) in all.iter().enumerate() {
        match out.last_mut() {
            Some(last) if word.starts_with("length") => last.push_str(word),
            _ if *word == "in" && k > 0 && k + 1 < all.len() => {}
            _ => out.push((*word).to_owned()),
        }
    }
    out
}

/// One part in SI with the unit it is said in.
fn part(quantity: Quantity, k: usize, word: &str) -> Result<(f64, &'static str), UnitError> {
    let metres = |w: &str| w.parse().map(Length::m);
    match (quantity, k) {
        (Quantity::Lag, 0) | (Quantity::Throw, 1 | 2) => Ok((metres(word)?, "m")),
        (Quantity::Run, 0) => match stroke_lengths(Field::RollLengths, word) {
            Ok(lengths) => Ok((lengths, "lengths")),
            Err(RequestError::Unit { source, .. }) => Err(source),
            Err(_) => Err(UnitError::NotAQuantity {
                value: quoted(word),
                quantity: "a number of table lengths",
                example: "4.2lengths".to_owned(),
            }),
        },
        (Quantity::Throw, 0) => Ok((parse_cut(word).map(Angle::rad)?, "°")),
        (Quantity::Throw, _) => Ok((word.parse().map(Speed::m_s)?, "m/s")),
        _ => Ok((word.parse().map(Time::s)?, "s")),
    }
}

/// How good the instruments are, where somebody says so.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Instruments {
    given: [Option<f64>; Instrument::ALL.len()],
}

impl Instruments {
    /// Two readings in three are this near the truth, in SI.
    #[must_use]
    pub fn good_to(&self, instrument: Instrument) -> f64 {
        Instrument::ALL
            .iter()
            .zip(self.given)
            .find(|(known, _)| **known == instrument)
            .and_then(|(_, given)| given)
            .unwrap_or_else(|| instrument.good_to())
    }

    /// Those that are assumed, not given.
    pub fn assumed(&self) -> impl Iterator<Item = Instrument> + '_ {
        let pairs = Instrument::ALL.into_iter().zip(self.given);
        pairs.filter_map(|(instrument, given)| given.is_none().then_some(instrument))
    }

    /// Takes `NAME` and an amount: `rule` `0.5mm`, `watch` `0.05s`, `count` `0.02`.
    ///
    /// # Errors
    /// [`MeasureError`]: no such instrument, no such amount, or one that is not above 0.
    pub fn set(&mut self, name: &str, amount: &str) -> Result<(), MeasureError> {
        let Some(k) = Instrument::ALL.iter().position(|i| i.name() == name.trim()) else {
            return Err(MeasureError::Impossible {
                what: Field::GoodTo.into(),
                value: quoted(name),
                problem: "no such instrument".to_owned(),
                remedy: format!(
                    "use one of {}",
                    Instrument::ALL.map(Instrument::name).join(", ")
                ),
            });
        };
        let instrument = Instrument::ALL[k];
        let what = What::Instrument(instrument);
        let usual = instrument.good_to();
        // A hundred times better or worse than usual is a slip of the unit (assumption).
        let (low, high) = (usual / 100.0, usual * 100.0);
        let parsed = match instrument {
            Instrument::Scale => amount.parse().map(Mass::kg),
            Instrument::Watch => amount.parse().map(Time::s),
            Instrument::Count => parse_number(amount),
            _ => amount.parse().map(Length::m),
        };
        let si = parsed.map_err(|error| MeasureError::Unit {
            what,
            problem: Box::new(hint_units(error, |si| (low..=high).contains(&si))),
        })?;
        if !(low..=high).contains(&si) {
            return Err(MeasureError::Impossible {
                what,
                value: quoted(amount),
                problem: format!("it reads {}", instrument.reads()),
                remedy: format!(
                    "give {} to {}",
                    said(instrument, low),
                    said(instrument, high)
                ),
            });
        }
        self.given[k] = Some(si);
        Ok(())
    }
}

/// An amount of an instrument as it is typed.
#[must_use]
pub fn said(instrument: Instrument, si: f64) -> String {
    let round = |x: f64| (x * 1e6).round() / 1e6;
    match instrument {
        Instrument::Scale => format!("{}g", round(1e3 * si)),
        Instrument::Watch => format!("{}s", round(si)),
        Instrument::Count => round(si).to_string(),
        _ => format!("{}mm", round(1e3 * si)),
    }
}

/// What else may be of a mouth: pockets that do differ are given one by one.
fn single(what: Field) -> String {
    match what {
        Field::CornerMouth | Field::CornerGap => format!(
            "; corners that do differ are given one by one, such as {}",
            Field::FootLeftMouth
        ),
        Field::SideMouth | Field::SideGap => format!(
            "; side pockets that do differ are given one by one, such as {}",
            Field::SideLeftMouth
        ),
        _ => String::new(),
    }
}
