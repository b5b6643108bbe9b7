//! Ways by name, set up from options.

use super::error::AimsError;
use super::{
    Allowance, ContactPoint, ContactToContact, Eye, Fractions, From, GhostBall, Lamp, Multiples,
    OwnOffsets, PaperAid, Placing, Reflection, Shadow, ShaftWidths, Way,
};
use crate::field::Field;
use crate::gear::Gear;
use crate::shown::{may_be_a_slip, quoted};

/// Names on the command line, in the order of tables.
pub const WAY_NAMES: [&str; 14] = [
    "ghost-ball",
    "ghost-ball-throw",
    "ghost-ball-allowance",
    "contact-point",
    "contact-to-contact",
    "eighths",
    "quarters",
    "thirds",
    "fractions",
    "shaft-centre",
    "shaft-edge",
    "shadow",
    "reflection",
    "paper-aid",
];
/// The user's own list, when there is one.
const OWN: &str = "own";
/// Names tried when none are given: all that need no option.
const USUAL: [&str; 12] = [
    "ghost-ball",
    "ghost-ball-throw",
    "contact-point",
    "contact-to-contact",
    "eighths",
    "quarters",
    "thirds",
    "shaft-centre",
    "shaft-edge",
    "shadow",
    "reflection",
    "paper-aid",
];

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
    /// Placing error of the paper aid, m.
    pub paper_error_m: f64,
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
            paper_error_m: PaperAid::DEFAULT_ERROR_M,
            own: None,
        })
    }
}

/// The ways of these names; all usual ones (and the own list) when `names` is empty.
///
/// # Errors
/// [`AimsError`] for an unknown name or an option out of range.
pub fn ways(names: &[String], options: &WayOptions) -> Result<Vec<Box<dyn Way>>, AimsError> {
    let mut out = Vec::new();
    if names.is_empty() {
        for name in USUAL {
            out.extend(named(name, options)?);
        }
        if options.own.is_some() {
            out.extend(named(OWN, options)?);
        }
    }
    for name in names {
        out.extend(named(name.trim(), options)?);
    }
    Ok(out)
}

fn named(name: &str, o: &WayOptions) -> Result<Vec<Box<dyn Way>>, AimsError> {
    let ghost = |allowance| Box::new(GhostBall { allowance }) as Box<dyn Way>;
    let shaft = |from| {
        let eye = o.apparent.then_some(o.eye);
        ShaftWidths::new(o.shaft_m, from, o.multiples.clone(), eye).map(|w| Box::new(w) as _)
    };
    let even = |parts| Fractions::even(name, parts).map(|w| Box::new(w) as Box<dyn Way>);
    let (lamp, eye) = (o.lamp, o.eye);
    Ok(vec![match name {
        "ghost-ball" => ghost(Allowance::None),
        "ghost-ball-throw" => ghost(Allowance::Exact),
        "ghost-ball-allowance" => ghost(Allowance::Fixed(allowance(o.allowance_rad)?)),
        "contact-point" => Box::new(ContactPoint),
        "contact-to-contact" => Box::new(ContactToContact),
        "eighths" => even(8)?,
        "quarters" => even(4)?,
        "thirds" => even(3)?,
        "fractions" => Box::new(Fractions::new(name, o.fractions.clone())?),
        "shaft-centre" => shaft(From::Centre)?,
        "shaft-edge" => shaft(From::Edge)?,
        "shadow" => Box::new(Shadow { lamp, eye }),
        "reflection" => Box::new(Reflection { lamp, eye }),
        "paper-aid" => return paper(o.paper_error_m),
        OWN => Box::new(o.own.clone().ok_or(AimsError::NoOwnList)?),
        other => return Err(unknown(other)),
    }])
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

/// Both ways to misplace it, one line of it when there is no error.
fn paper(error_m: f64) -> Result<Vec<Box<dyn Way>>, AimsError> {
    let mut out: Vec<Box<dyn Way>> = vec![Box::new(PaperAid::new(error_m, Placing::Full)?)];
    if error_m > 0.0 {
        out.push(Box::new(PaperAid::new(error_m, Placing::Thin)?));
    }
    Ok(out)
}

/// Farthest a name may be from the one meant (common practice).
const NEAR: usize = 4;

fn unknown(given: &str) -> AimsError {
    let all = || WAY_NAMES.iter().chain(&[OWN]).copied();
    let near = all()
        .filter(|_| may_be_a_slip(given))
        .map(|name| (strsim::damerau_levenshtein(name, given), name))
        .min()
        .filter(|(far, _)| *far <= NEAR)
        .map(|(_, name)| name.to_owned());
    AimsError::UnknownWay {
        given: quoted(given),
        near,
        known: all().collect::<Vec<_>>().join(", "),
    }
}
