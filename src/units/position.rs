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
            Self::Along => "frozen-head, frozen-foot",
            Self::Across => "frozen-left, frozen-right",
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
        if let Some(rail) = word.strip_prefix("frozen-") {
            let rails = [Rail::Head, Rail::Foot, Rail::Left, Rail::Right];
            return rails
                .into_iter()
                .find(|r| r.word() == rail && r.axis() == axis)
                .map(Self::Frozen)
                .ok_or_else(unknown);
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
        }
    }
}

/// A named spot on the long middle line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Spot {
    /// Two diamonds from the head rail.
    Head,
    /// The middle of the table.
    Centre,
    /// Two diamonds from the foot rail.
    Foot,
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

    /// Both coordinates.
    pub(crate) const fn coordinates(self) -> (Coordinate, Coordinate) {
        let along = match self {
            Self::At(x, y) => return (x, y),
            Self::Spot(Spot::Head) => 2.0,
            Self::Spot(Spot::Centre) => 4.0,
            Self::Spot(Spot::Foot) => 6.0,
        };
        (
            Coordinate::Diamonds(along),
            Coordinate::Diamonds(DIAMONDS_ACROSS / 2.0),
        )
    }

    /// Metres from the head and the right rail, on a table of `length_m` by `width_m`, for a ball
    /// that touches a nose at `contact_radius_m` in plan.
    ///
    /// # Errors
    /// As [`Coordinate::resolve`].
    pub fn resolve(
        self,
        length_m: f64,
        width_m: f64,
        contact_radius_m: f64,
    ) -> Result<Point, UnitError> {
        let (x, y) = self.coordinates();
        Ok(Point::new(
            x.resolve(Axis::Along, length_m, contact_radius_m)?,
            y.resolve(Axis::Across, width_m, contact_radius_m)?,
        ))
    }
}

impl FromStr for Position {
    type Err = UnitError;

    fn from_str(text: &str) -> Result<Self, UnitError> {
        match text.trim().to_lowercase().as_str() {
            "foot-spot" => return Ok(Self::Spot(Spot::Foot)),
            "head-spot" => return Ok(Self::Spot(Spot::Head)),
            "centre-spot" | "center-spot" => return Ok(Self::Spot(Spot::Centre)),
            _ => {}
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
            Self::Spot(Spot::Head) => f.pad("head-spot"),
            Self::Spot(Spot::Centre) => f.pad("centre-spot"),
            Self::Spot(Spot::Foot) => f.pad("foot-spot"),
            Self::At(x, y) => write!(f, "{x},{y}"),
        }
    }
}
