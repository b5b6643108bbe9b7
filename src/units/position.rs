//! Places on the table, as files and flags give them.
//!
//! `x` runs from the head rail (0) to the foot rail, `y` from the right rail (0) to the left rail,
//! seen from the head. A diamond is an eighth of the length along x, a quarter of the width along y.

use std::fmt;
use std::str::FromStr;

use kurbo::Point;

use super::parse::parse_number;
use super::quantity::Length;
use crate::error::UnitError;
use crate::shown::quoted;

/// Diamonds along a long rail.
const DIAMONDS_ALONG: f64 = 8.0;
/// Diamonds along a short rail.
const DIAMONDS_ACROSS: f64 = 4.0;

/// Which side of the table a coordinate runs along.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Axis {
    /// x, head to foot.
    Along,
    /// y, right to left.
    Across,
}

impl Axis {
    /// Diamonds on this axis.
    #[must_use]
    pub const fn diamonds(self) -> f64 {
        match self {
            Self::Along => DIAMONDS_ALONG,
            Self::Across => DIAMONDS_ACROSS,
        }
    }

    const fn frozen_names(self) -> &'static str {
        match self {
            Self::Along => {
                "frozen-head, frozen-foot (tight-baulk, tight-top), 30cm-from-top, level-brown"
            }
            Self::Across => "frozen-left, frozen-right (tight-left, tight-right), 30cm-from-left",
        }
    }

    const fn name(self) -> &'static str {
        match self {
            Self::Along => "along the side rails",
            Self::Across => "along the short rails",
        }
    }
}

/// A rail.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rail {
    /// x = 0.
    Head,
    /// x = length.
    Foot,
    /// y = width.
    Left,
    /// y = 0.
    Right,
}

impl Rail {
    /// The axis that this rail ends.
    #[must_use]
    pub const fn axis(self) -> Axis {
        match self {
            Self::Head | Self::Foot => Axis::Along,
            Self::Left | Self::Right => Axis::Across,
        }
    }

    /// `head`, `foot`, `left`, `right`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Head => "head",
            Self::Foot => "foot",
            Self::Left => "left",
            Self::Right => "right",
        }
    }

    /// A rail by a word of either trade: `head` and `baulk` are one, `foot` and `top`.
    fn named(word: &str) -> Option<Self> {
        Some(match word {
            "head" | "baulk" => Self::Head,
            "foot" | "top" => Self::Foot,
            "left" => Self::Left,
            "right" => Self::Right,
            _ => return None,
        })
    }
}

/// A place along one side of the table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Coordinate {
    /// Diamonds from the head rail or from the right rail.
    Diamonds(f64),
    /// The same as a length.
    Length(Length),
    /// Touching a rail.
    Frozen(Rail),
    /// So far from a named rail.
    From(Length, Rail),
    /// Level with a spot.
    Level(Spot),
}

impl Coordinate {
    /// Reads `6`, `2.5`, `1½`, `50in`, `frozen-left`.
    ///
    /// # Errors
    /// [`UnitError::NotACoordinate`], also for a rail that does not end this axis; the length's
    /// error when there is a unit.
    pub fn parse(text: &str, axis: Axis) -> Result<Self, UnitError> {
        let word = text.trim().to_lowercase();
        let unknown = || UnitError::NotACoordinate {
            value: quoted(text.trim()),
            words: axis.frozen_names(),
        };
        let rail_of = |name: &str| match Rail::named(name) {
            Some(rail) if rail.axis() == axis => Ok(rail),
            None if name == "bottom" => Err(UnitError::Bottom {
                value: quoted(text.trim()),
            }),
            _ => Err(unknown()),
        };
        if word == "bottom" {
            return Err(UnitError::Bottom {
                value: quoted(text.trim()),
            });
        }
        let touching = word
            .strip_prefix("frozen-")
            .or_else(|| word.strip_prefix("tight-"));
        if let Some(rail) = touching {
            return rail_of(rail).map(Self::Frozen);
        }
        if let Some(spot) = word.strip_prefix("level-") {
            let spot = Spot::named(&format!("{}-spot", spot.trim_end_matches("-spot")));
            return spot.map(Self::Level).ok_or_else(unknown);
        }
        let far = word
            .split_once("-from-")
            .or_else(|| word.split_once(" from "));
        if let Some((far, rail)) = far {
            let rail = rail_of(rail.trim_start_matches("the ").trim())?;
            return Ok(Self::From(far.trim().parse()?, rail));
        }
        let diamonds = word
            .trim_end_matches('s')
            .strip_suffix("diamond")
            .unwrap_or(&word);
        if let Ok(value) = parse_number(diamonds) {
            return Ok(Self::Diamonds(value));
        }
        text.trim()
            .parse()
            .map(Self::Length)
            .map_err(|error| match error {
                UnitError::NotAQuantity { .. } => unknown(),
                other => other,
            })
    }

    /// Metres from the head rail or the right rail, for a table `extent_m` long on this axis and a
    /// ball that touches a nose at `contact_radius_m` in plan.
    ///
    /// # Errors
    /// [`UnitError::OffTheTable`] when beyond the noses, [`UnitError::NotACoordinate`] for a rail
    /// that does not end this axis.
    pub fn resolve(
        self,
        axis: Axis,
        extent_m: f64,
        contact_radius_m: f64,
    ) -> Result<f64, UnitError> {
        // diamond = extent / number of diamonds
        let at_m = match self {
            Self::Diamonds(diamonds) => diamonds * extent_m / axis.diamonds(),
            Self::Length(length) => length.m(),
            Self::Frozen(rail) if rail.axis() != axis => {
                return Err(UnitError::NotACoordinate {
                    value: self.to_string(),
                    words: axis.frozen_names(),
                });
            }
            Self::Frozen(Rail::Head | Rail::Right) => contact_radius_m,
            Self::Frozen(Rail::Foot | Rail::Left) => extent_m - contact_radius_m,
            Self::From(_, rail) if rail.axis() != axis => {
                return Err(UnitError::NotACoordinate {
                    value: self.to_string(),
                    words: axis.frozen_names(),
                });
            }
            Self::From(length, Rail::Head | Rail::Right) => length.m(),
            Self::From(length, Rail::Foot | Rail::Left) => extent_m - length.m(),
            // In proportion; a bed knows its spots to the millimetre.
            Self::Level(spot) => match axis {
                Axis::Along => spot.shares().0 * extent_m,
                Axis::Across => spot.shares().1 * extent_m,
            },
        };
        if (0.0..=extent_m).contains(&at_m) {
            return Ok(at_m);
        }
        let limit = match self {
            Self::Diamonds(_) => format!("{} diamonds", axis.diamonds()),
            _ => Length::from_m(extent_m).to_string(),
        };
        Err(UnitError::OffTheTable {
            value: self.to_string(),
            limit,
            axis: axis.name(),
        })
    }
}

impl fmt::Display for Coordinate {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Diamonds(diamonds) => write!(f, "{diamonds}"),
            Self::Length(length) => write!(f, "{length}"),
            Self::Frozen(rail) => write!(f, "frozen-{}", rail.word()),
            Self::From(length, rail) => write!(f, "{length}-from-{}", rail.word()),
            Self::Level(spot) => write!(f, "level-{}", spot.name().trim_end_matches("-spot")),
        }
    }
}

/// A named spot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Spot {
    /// Pool: two diamonds from the head rail.
    Head,
    /// The middle of the table.
    Centre,
    /// Pool: two diamonds from the foot rail.
    Foot,
    /// Snooker: the middle of the baulk line.
    Brown,
    /// Snooker: where the D meets the baulk line, on the right.
    Yellow,
    /// Snooker: the same on the left.
    Green,
    /// Snooker: the middle of the table.
    Blue,
    /// Snooker: midway between the middle and the top cushion.
    Pink,
    /// Snooker: near the top cushion.
    Black,
    /// English pool: three quarters of the way to the top cushion.
    EightBall,
}

impl Spot {
    /// All of them.
    pub const ALL: [Self; 10] = [
        Self::Head,
        Self::Centre,
        Self::Foot,
        Self::Brown,
        Self::Yellow,
        Self::Green,
        Self::Blue,
        Self::Pink,
        Self::Black,
        Self::EightBall,
    ];

    /// As typed: `black-spot`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Head => "head-spot",
            Self::Centre => "centre-spot",
            Self::Foot => "foot-spot",
            Self::Brown => "brown-spot",
            Self::Yellow => "yellow-spot",
            Self::Green => "green-spot",
            Self::Blue => "blue-spot",
            Self::Pink => "pink-spot",
            Self::Black => "black-spot",
            Self::EightBall => "eight-ball-spot",
        }
    }

    /// The one of that name.
    #[must_use]
    pub fn named(text: &str) -> Option<Self> {
        match text {
            "center-spot" => Some(Self::Centre),
            "8-ball-spot" => Some(Self::EightBall),
            _ => Self::ALL.into_iter().find(|spot| spot.name() == text),
        }
    }

    /// Shares of length and width at which it lies on a table of the usual proportions (WPBSA: 737, 324
    /// and 292 mm on 3569 by 1778 mm).
    const fn shares(self) -> (f64, f64) {
        let line = 737.0 / 3569.0;
        let d = 292.0 / 1778.0;
        match self {
            Self::Head => (0.25, 0.5),
            Self::Centre | Self::Blue => (0.5, 0.5),
            Self::Foot | Self::Pink | Self::EightBall => (0.75, 0.5),
            Self::Brown => (line, 0.5),
            Self::Yellow => (line, 0.5 - d),
            Self::Green => (line, 0.5 + d),
            Self::Black => (1.0 - 324.0 / 3569.0, 0.5),
        }
    }
}

/// A place on the table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Position {
    /// A named spot.
    Spot(Spot),
    /// From the head rail, and from the right rail.
    At(Coordinate, Coordinate),
}

impl Position {
    /// So many diamonds from the head rail and from the right rail.
    ///
    /// ```
    /// use thincut::Position;
    ///
    /// assert_eq!(Position::diamonds(6.0, 2.5), "6,2.5".parse()?);
    /// # Ok::<(), thincut::UnitError>(())
    /// ```
    #[must_use]
    pub const fn diamonds(from_head: f64, from_right: f64) -> Self {
        Self::At(
            Coordinate::Diamonds(from_head),
            Coordinate::Diamonds(from_right),
        )
    }

    /// Metres from the head and the right rail, on a table of `length_m` by `width_m`, for a ball
    /// that touches a nose at `contact_radius_m` in plan. Spots lie in proportion; a bed
    /// (`Bed::locate`) knows its own to the millimetre.
    ///
    /// # Errors
    /// As [`Coordinate::resolve`].
    pub fn resolve(
        self,
        length_m: f64,
        width_m: f64,
        contact_radius_m: f64,
    ) -> Result<Point, UnitError> {
        let (x, y) = match self {
            Self::At(x, y) => (x, y),
            Self::Spot(spot) => (Coordinate::Level(spot), Coordinate::Level(spot)),
        };
        Ok(Point::new(
            x.resolve(Axis::Along, length_m, contact_radius_m)?,
            y.resolve(Axis::Across, width_m, contact_radius_m)?,
        ))
    }
}

impl FromStr for Position {
    type Err = UnitError;

    fn from_str(text: &str) -> Result<Self, UnitError> {
        if let Some(spot) = Spot::named(&text.trim().to_lowercase()) {
            return Ok(Self::Spot(spot));
        }
        let parts: Vec<&str> = text.split(',').collect();
        let [x, y] = parts.as_slice() else {
            return Err(UnitError::NotAPosition {
                value: quoted(text),
            });
        };
        Ok(Self::At(
            Coordinate::parse(x, Axis::Along)?,
            Coordinate::parse(y, Axis::Across)?,
        ))
    }
}

impl fmt::Display for Position {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Spot(spot) => f.pad(spot.name()),
            Self::At(x, y) => write!(f, "{x},{y}"),
        }
    }
}
