//! Ways by name, set up from options.

use super::error::AimsError;
use super::{
    Allowance, BackOfBall, ContactPoint, ContactToContact, Eye, Fractions, From, GhostBall, Lamp,
    Multiples, OwnOffsets, ParallelLines, Reflection, Shadow, ShaftWidths, Way,
};
use crate::field::Field;
use crate::gear::Gear;
use crate::shown::{nearest, quoted};

/// Ways set up from options.
type SetUp = fn(&WayOptions) -> Result<Vec<Box<dyn Way>>, AimsError>;

/// When a way is tried.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Tried {
    /// Unless others are named.
    Always,
    /// When it is named: it means little without its option.
    Named,
    /// When it is named, or the user has a list of their own.
    WithOwnList,
}

/// All ways, in the order of tables: a new one is a line here, and its file.
const CATALOGUE: &[(&str, Tried, SetUp)] = &[
    ("ghost-ball", Tried::Always, |_| ghost(Allowance::None)),
    ("ghost-ball-throw", Tried::Always, |_| {
        ghost(Allowance::Exact)
    }),
    ("ghost-ball-allowance", Tried::Named, |o| {
        ghost(Allowance::Fixed(allowance(o.allowance_rad)?))
    }),
    ("contact-point", Tried::Always, |_| one(ContactPoint)),
    ("contact-to-contact", Tried::Always, |_| {
        one(ContactToContact)
    }),
    ("parallel-lines", Tried::Always, |_| one(ParallelLines)),
    ("back-of-ball", Tried::Always, |_| one(BackOfBall)),
    ("eighths", Tried::Always, |_| {
        one(Fractions::even("eighths", 8)?)
    }),
    ("quarters", Tried::Always, |_| {
        one(Fractions::even("quarters", 4)?)
    }),
    ("thirds", Tried::Always, |_| {
        one(Fractions::even("thirds", 3)?)
    }),
    ("fractions", Tried::Named, |o| {
        one(Fractions::new("fractions", o.fractions.clone())?)
    }),
    ("shaft-centre", Tried::Always, |o| shaft(o, From::Centre)),
    ("shaft-edge", Tried::Always, |o| shaft(o, From::Edge)),
    ("shadow", Tried::Always, |o| {
        one(Shadow {
            lamp: o.lamp,
            eye: o.eye,
        })
    }),
    ("reflection", Tried::Always, |o| {
        one(Reflection {
            lamp: o.lamp,
            eye: o.eye,
        })
    }),
    ("own", Tried::WithOwnList, |o| {
        one(o.own.clone().ok_or(AimsError::NoOwnList)?)
    }),
];

/// Names, in the order of tables.
pub fn way_names() -> impl Iterator<Item = &'static str> + Clone {
    CATALOGUE.iter().map(|(name, ..)| *name)
}

/// What the ways need to know.
#[derive(Debug, Clone, PartialEq)]
pub struct WayOptions {
    /// For `ghost-ball-allowance`: fixed allowance for throw, rad.
    pub allowance_rad: f64,
    /// For `fractions`.
    pub fractions: Vec<f64>,
    /// Shaft diameter, m.
    pub shaft_m: f64,
    /// Multiples of it.
    pub multiples: Multiples,
    /// Whether the shaft's width is taken as it looks from the eye.
    pub apparent: bool,
    /// The player's eye.
    pub eye: Eye,
    /// The lamp.
    pub lamp: Lamp,
    /// The user's own list.
    pub own: Option<OwnOffsets>,
}

impl WayOptions {
    /// Allowance when nothing is said, rad: 1° (assumption).
    pub const DEFAULT_ALLOWANCE_RAD: f64 = std::f64::consts::PI / 180.0;

    /// Everything as assumed when nothing is said.
    ///
    /// # Errors
    /// [`AimsError::LampTooLow`] for balls larger than the lamp's usual height.
    pub fn usual(gear: &Gear) -> Result<Self, AimsError> {
        Ok(Self {
            allowance_rad: Self::DEFAULT_ALLOWANCE_RAD,
            fractions: vec![1.0, 0.75, 0.5, 0.25],
            shaft_m: ShaftWidths::DEFAULT_DIAMETER_M,
            multiples: Multiples::Step(ShaftWidths::DEFAULT_STEP),
            apparent: false,
            eye: Eye::default(),
            lamp: Lamp::new(gear, Lamp::DEFAULT_HEIGHT_M, Lamp::DEFAULT_AHEAD_M, 0.0)?,
            own: None,
        })
    }
}

/// The ways of these names; all usual ones (and the own list) when `names` is empty.
///
/// ```
/// use thincut::aims::{WayOptions, ways};
/// use thincut::{Gear, Preset};
///
/// let gear = Gear::standard(Preset::Pool9Ft)?;
/// let usual = ways(&[], &WayOptions::usual(&gear)?)?;
/// assert!(usual.iter().any(|way| way.name() == "ghost-ball"));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
///
/// # Errors
/// [`AimsError`] for an unknown name or an option out of range.
pub fn ways(names: &[String], options: &WayOptions) -> Result<Vec<Box<dyn Way>>, AimsError> {
    let mut out = Vec::new();
    if names.is_empty() {
        for (_, tried, set_up) in CATALOGUE {
            let wanted = match tried {
                Tried::Always => true,
                Tried::Named => false,
                Tried::WithOwnList => options.own.is_some(),
            };
            if wanted {
                out.extend(set_up(options)?);
            }
        }
    }
    for given in names {
        let given = given.trim();
        let (.., set_up) = CATALOGUE
            .iter()
            .find(|(name, ..)| *name == given)
            .ok_or_else(|| unknown(given))?;
        out.extend(set_up(options)?);
    }
    Ok(out)
}

fn one(way: impl Way + 'static) -> Result<Vec<Box<dyn Way>>, AimsError> {
    Ok(vec![Box::new(way)])
}

fn ghost(allowance: Allowance) -> Result<Vec<Box<dyn Way>>, AimsError> {
    one(GhostBall { allowance })
}

fn shaft(o: &WayOptions, from: From) -> Result<Vec<Box<dyn Way>>, AimsError> {
    let eye = o.apparent.then_some(o.eye);
    one(ShaftWidths::new(o.shaft_m, from, o.multiples.clone(), eye)?)
}

fn allowance(rad: f64) -> Result<f64, AimsError> {
    super::error::require(
        rad.abs() <= 0.35,
        Field::Allowance,
        || format!("{:.4}deg", rad.to_degrees()),
        "from -20deg to 20deg",
    )?;
    Ok(rad)
}

fn unknown(given: &str) -> AimsError {
    AimsError::UnknownWay {
        given: quoted(given),
        near: nearest(given, way_names()).map(str::to_owned),
        known: way_names().collect::<Vec<_>>().join(", "),
    }
}
