//! The six levels, with all that is assumed of each in one table.

use std::fmt;
use std::str::FromStr;

use serde::Serialize;

use super::aim_error::{ARM_GROWTH_PER_M_S, AimError, Balance, Scatter};
use super::ratios::Ratios;
use crate::player::fault::PlayerError;
use crate::shown::{nearest, quoted};

impl AimError {
    /// The same player with what is assumed besides the aim of the level nearest to arm and picture.
    #[must_use]
    pub fn with_nearest_scatter(self) -> Self {
        Self {
            scatter: self.nearest_level().scatter(),
            ..self
        }
    }

    /// The level whose arm and picture are nearest, by ratio; a part that is nought says nothing.
    #[must_use]
    pub fn nearest_level(&self) -> Level {
        let off = |level: &Level| {
            let own = level.aim_error();
            let part = |a: f64, b: f64| if a > 0.0 { (a / b).ln().powi(2) } else { 0.0 };
            part(self.arm_rad, own.arm_rad) + part(self.picture_m, own.picture_m)
        };
        Level::ALL
            .into_iter()
            .min_by(|a, b| off(a).total_cmp(&off(b)))
            .unwrap_or(Level::Club)
    }
}

/// The six levels; every number behind them is an assumption and is to be shown as one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Level {
    /// Holds a cue for the first time.
    FirstEvening,
    /// A few weeks in.
    Starting,
    /// Plays at a club.
    Club,
    /// Plays in a league.
    League,
    /// Wins there.
    Strong,
    /// Among the best.
    Expert,
}

impl Level {
    /// All levels, widest spread first.
    pub const ALL: [Self; 6] = [
        Self::FirstEvening,
        Self::Starting,
        Self::Club,
        Self::League,
        Self::Strong,
        Self::Expert,
    ];

    /// The name as typed.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::FirstEvening => "first-evening",
            Self::Starting => "starting",
            Self::Club => "club",
            Self::League => "league",
            Self::Strong => "strong",
            Self::Expert => "expert",
        }
    }

    /// How to name such a player to people, with the mark that it is assumed.
    #[must_use]
    pub fn spoken(self) -> String {
        format!("{} player, assumed", self.name().replace('-', " "))
    }

    /// The spread assumed for the level: no bias, the assumed growth of the arm, and what is assumed
    /// besides the aim. An expert so makes about 9 of 10 straight at 4 ft and 4 ft, and 98 of 100 cuts
    /// of 30° at 3 ft and 3 ft.
    #[must_use]
    pub fn aim_error(self) -> AimError {
        // (arm in degrees, picture in mm at the ghost ball), all assumptions.
        let (arm_deg, picture_mm): (f64, f64) = match self {
            Self::FirstEvening => (1.0, 6.0),
            Self::Starting => (0.5, 4.0),
            Self::Club => (0.20, 1.5),
            Self::League => (0.12, 0.9),
            Self::Strong => (0.08, 0.55),
            Self::Expert => (0.05, 0.35),
        };
        AimError {
            arm_rad: arm_deg.to_radians(),
            picture_m: picture_mm / 1000.0,
            bias_rad: 0.0,
            arm_growth_per_m_s: ARM_GROWTH_PER_M_S,
            scatter: self.scatter(),
            told_apart: true,
            ratios: Ratios::KNOWN,
            balance: Balance::Given,
            wild_share: 0.0,
        }
    }
}

impl Level {
    /// What is assumed of the level besides arm and picture.
    #[must_use]
    pub fn scatter(self) -> Scatter {
        // allow, elevation (degrees), speed, line (mm)
        let (allow, elevation_deg, speed_share, line_mm): (f64, f64, f64, f64) = match self {
            Self::FirstEvening => (0.5, 1.5, 0.20, 60.0),
            Self::Starting => (0.4, 1.2, 0.17, 40.0),
            Self::Club => (0.25, 0.8, 0.12, 25.0),
            Self::League => (0.15, 0.5, 0.09, 15.0),
            Self::Strong => (0.10, 0.4, 0.07, 10.0),
            Self::Expert => (0.06, 0.3, 0.05, 8.0),
        };
        Scatter {
            allow,
            elevation_rad: elevation_deg.to_radians(),
            speed_share,
            line_m: line_mm / 1e3,
        }
    }
}

impl fmt::Display for Level {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(self.name())
    }
}

impl FromStr for Level {
    type Err = PlayerError;

    fn from_str(given: &str) -> Result<Self, Self::Err> {
        let plain = given.trim().to_lowercase().replace([' ', '_'], "-");
        Self::ALL
            .into_iter()
            .find(|level| level.name() == plain)
            .ok_or_else(|| {
                let near = nearest(&plain, Self::ALL.map(Self::name)).map(str::to_owned);
                PlayerError::UnknownLevel {
                    given: quoted(given),
                    near,
                    known: Self::ALL.map(Self::name).join(", "),
                }
            })
    }
}
