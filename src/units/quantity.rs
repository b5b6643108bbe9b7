//! The quantities, each a newtype over its SI value, and the units each may be written in.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, Mul, Neg, Sub};
use std::str::FromStr;

use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

use super::parse::{Quantity, Unit, exact_text, quantity as read};
use crate::error::UnitError;

const LENGTH: Quantity = Quantity {
    name: "a length",
    hint: &["mm", "in"],
    example: "57.15mm",
    units: &[
        Unit::new(&["mm"], 1.0, 1000.0),
        Unit::new(&["m"], 1.0, 1.0),
        Unit::new(&["in", "\"", "inch", "inches"], 25.4, 1000.0),
        Unit::new(&["ft", "'", "foot", "feet"], 304.8, 1000.0),
        Unit::new(&["cm"], 1.0, 100.0),
    ],
};

const ANGLE: Quantity = Quantity {
    name: "an angle",
    hint: &["deg", "rad"],
    example: "30deg",
    units: &[
        Unit::new(
            &["deg", "°", "degree", "degrees"],
            std::f64::consts::PI,
            180.0,
        ),
        Unit::new(&["rad"], 1.0, 1.0),
    ],
};

const SPEED: Quantity = Quantity {
    name: "a speed",
    hint: &["m/s", "mph"],
    example: "1.5m/s",
    units: &[
        Unit::new(&["m/s"], 1.0, 1.0),
        Unit::new(&["mph"], 1609.344, 3600.0),
        Unit::new(&["km/h", "kph"], 1.0, 3.6),
        Unit::new(&["ft/s"], 304.8, 1000.0),
    ],
};

const MASS: Quantity = Quantity {
    name: "a mass",
    hint: &["g", "oz"],
    example: "170g",
    units: &[
        Unit::new(&["g"], 1.0, 1000.0),
        Unit::new(&["kg"], 1.0, 1.0),
        Unit::new(&["oz"], 0.453_592_37, 16.0),
        Unit::new(&["lb"], 0.453_592_37, 1.0),
    ],
};

const TIME: Quantity = Quantity {
    name: "a time",
    hint: &["s", "min"],
    example: "90s",
    units: &[
        Unit::new(&["s"], 1.0, 1.0),
        Unit::new(&["min"], 60.0, 1.0),
        Unit::new(&["ms"], 1.0, 1000.0),
        Unit::new(&["h"], 3600.0, 1.0),
    ],
};

const SPIN_DECAY: Quantity = Quantity {
    name: "a decay of spin",
    hint: &["rad/s2"],
    example: "10rad/s2",
    units: &[Unit::new(&["rad/s2", "rad/s²", "rad/s^2"], 1.0, 1.0)],
};

const INVERSE_SPEED: Quantity = Quantity {
    name: "a decay over speed",
    hint: &["s/m"],
    example: "1.088s/m",
    units: &[Unit::new(&["s/m"], 1.0, 1.0)],
};

/// All of them, by name.
const QUANTITIES: [&Quantity; 7] = [
    &LENGTH,
    &ANGLE,
    &SPEED,
    &MASS,
    &TIME,
    &SPIN_DECAY,
    &INVERSE_SPEED,
];

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $table:expr) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default)]
        pub struct $name(f64);

        impl $name {
            /// Nothing of it.
            pub const ZERO: Self = Self(0.0);

            /// Neither infinite nor not-a-number.
            #[must_use]
            pub fn is_finite(self) -> bool {
                self.0.is_finite()
            }

            /// Without its sign.
            #[must_use]
            pub fn abs(self) -> Self {
                Self(self.0.abs())
            }
        }

        impl FromStr for $name {
            type Err = UnitError;

            fn from_str(text: &str) -> Result<Self, UnitError> {
                read(text, &$table).map(Self)
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.pad(&exact_text(self.0, &$table))
            }
        }

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }

        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }

        impl Sum for $name {
            fn sum<I: Iterator<Item = Self>>(parts: I) -> Self {
                Self(parts.map(|part| part.0).sum())
            }
        }

        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.collect_str(self)
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                String::deserialize(deserializer)?.parse().map_err(de::Error::custom)
            }
        }
    };
}

quantity!(
    /// A length: `57.15mm`, `12cm`, `1.2m`, `2.25in`, `4 9/16in`, `4ft`, `4' 6"`.
    ///
    /// ```
    /// use thincut::Length;
    ///
    /// assert_eq!(Length::from_in(2.25), "57.15mm".parse()?);
    /// assert_eq!(Length::from_ft(4.0).to_string(), "4ft");
    /// # Ok::<(), thincut::UnitError>(())
    /// ```
    Length,
    LENGTH
);
quantity!(
    /// An angle: `30deg`, `30°`, `0.5rad`.
    ///
    /// ```
    /// use thincut::Angle;
    ///
    /// // Half a ball: sin φ = 1 − ½.
    /// assert!((Angle::from_ball_fraction(0.5).deg() - 30.0).abs() < 1e-9);
    /// ```
    Angle,
    ANGLE
);
quantity!(
    /// A speed: `1.5m/s`, `3mph`, `5km/h`, `4ft/s`.
    ///
    /// ```
    /// use thincut::Speed;
    ///
    /// assert!(("1m/s".parse::<Speed>()?.mph() - 2.2369).abs() < 1e-4);
    /// # Ok::<(), thincut::UnitError>(())
    /// ```
    Speed,
    SPEED
);
quantity!(
    /// A mass: `170g`, `0.17kg`, `6oz`.
    Mass,
    MASS
);
quantity!(
    /// A time: `90s`, `10min`.
    Time,
    TIME
);
quantity!(
    /// How fast the spin about the vertical dies: `10rad/s2`.
    SpinDecay,
    SPIN_DECAY
);
quantity!(
    /// How fast something fades with speed: `1.088s/m`.
    InverseSpeed,
    INVERSE_SPEED
);

impl Length {
    /// From metres.
    #[must_use]
    pub const fn from_m(m: f64) -> Self {
        Self(m)
    }
    /// From millimetres.
    #[must_use]
    pub fn from_mm(mm: f64) -> Self {
        Self(mm / 1000.0)
    }
    /// From inches.
    #[must_use]
    pub fn from_in(inches: f64) -> Self {
        Self(inches * 25.4 / 1000.0)
    }
    /// From feet.
    #[must_use]
    pub fn from_ft(feet: f64) -> Self {
        Self(feet * 304.8 / 1000.0)
    }
    /// In metres.
    #[must_use]
    pub const fn m(self) -> f64 {
        self.0
    }
    /// In millimetres.
    #[must_use]
    pub fn mm(self) -> f64 {
        self.0 * 1000.0
    }
    /// In inches.
    #[must_use]
    pub fn inches(self) -> f64 {
        self.0 * 1000.0 / 25.4
    }
    /// In feet.
    #[must_use]
    pub fn feet(self) -> f64 {
        self.0 * 1000.0 / 304.8
    }
}

impl Angle {
    /// From radians.
    #[must_use]
    pub const fn from_rad(rad: f64) -> Self {
        Self(rad)
    }
    /// From degrees.
    #[must_use]
    pub fn from_deg(deg: f64) -> Self {
        Self(deg * std::f64::consts::PI / 180.0)
    }
    /// The cut that covers this fraction of the object ball, seen along the aim line:
    /// sin φ = 1 − fraction (equal balls; trade fact: ¾ 14.478°, ½ 30°, ¼ 48.590°).
    /// Not a number unless 0 ≤ fraction ≤ 2.
    #[must_use]
    pub fn from_ball_fraction(fraction: f64) -> Self {
        Self((1.0 - fraction).asin())
    }
    /// Fraction of the object ball that a cut of this size covers, 1 − |sin φ|.
    #[must_use]
    pub fn ball_fraction(self) -> f64 {
        1.0 - self.0.sin().abs()
    }
    /// In radians.
    #[must_use]
    pub const fn rad(self) -> f64 {
        self.0
    }
    /// In degrees.
    #[must_use]
    pub fn deg(self) -> f64 {
        self.0.to_degrees()
    }
}

impl Speed {
    /// From metres per second.
    #[must_use]
    pub const fn from_m_s(m_s: f64) -> Self {
        Self(m_s)
    }
    /// In metres per second.
    #[must_use]
    pub const fn m_s(self) -> f64 {
        self.0
    }
    /// In miles per hour.
    #[must_use]
    pub fn mph(self) -> f64 {
        self.0 * 3600.0 / 1609.344
    }
}

impl Mass {
    /// From kilograms.
    #[must_use]
    pub const fn from_kg(kg: f64) -> Self {
        Self(kg)
    }
    /// In kilograms.
    #[must_use]
    pub const fn kg(self) -> f64 {
        self.0
    }
}

impl Time {
    /// In seconds.
    #[must_use]
    pub const fn s(self) -> f64 {
        self.0
    }
}

impl SpinDecay {
    /// From rad/s².
    pub(crate) const fn from_rad_s2(rad_s2: f64) -> Self {
        Self(rad_s2)
    }
    /// In rad/s².
    #[must_use]
    pub const fn rad_s2(self) -> f64 {
        self.0
    }
}

impl InverseSpeed {
    /// From s/m.
    pub(crate) const fn from_s_m(s_m: f64) -> Self {
        Self(s_m)
    }
    /// In s/m.
    #[must_use]
    pub const fn s_m(self) -> f64 {
        self.0
    }
}

/// The error of a bare number, proposing units with which the number is plausible for its purpose.
/// Other errors, and numbers that no unit makes plausible, stay as they are.
#[must_use]
pub fn hint_units(error: UnitError, plausible: impl Fn(f64) -> bool) -> UnitError {
    // More than this many choices read as a list of units, not as a hint (assumption).
    const MOST: usize = 2;
    let UnitError::MissingUnit {
        value, quantity, ..
    } = &error
    else {
        return error;
    };
    let Some(of) = QUANTITIES.iter().find(|of| of.name == *quantity) else {
        return error;
    };
    let bare = value.trim();
    let names = of.units.iter().filter_map(|unit| unit.names.first());
    let rest = names.filter(|name| !of.hint.contains(name));
    let choices: Vec<String> = of
        .hint
        .iter()
        .chain(rest)
        .map(|unit| format!("{bare}{unit}"))
        .filter(|text| read(text, of).is_ok_and(&plausible))
        .take(MOST)
        .collect();
    if choices.is_empty() {
        return error;
    }
    UnitError::MissingUnit {
        value: value.clone(),
        quantity,
        example: choices.join(" or "),
    }
}
