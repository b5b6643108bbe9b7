//! What is assumed of each level besides arm and picture, in one table.

use super::aim_error::{AimError, Level};

/// Spreads of a player besides the aim. Every number is an assumption.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scatter {
    /// Share of squirt and swerve that is misjudged.
    pub allow: f64,
    /// Spread of the stick's elevation, rad.
    pub elevation_rad: f64,
    /// Spread of the stroke's speed, as a share of it.
    pub speed_share: f64,
    /// How far off a line is judged at the first cushion, for each cushion, m; a third of it for a
    /// combination.
    pub line_m: f64,
}

/// A judged line is not seen from nearer than this, m.
pub const LINE_NEAREST_M: f64 = 0.3;
/// Part of a cushion's doubt that a combination has.
pub const COMBINATION_SHARE: f64 = 1.0 / 3.0;

impl Scatter {
    /// Nothing but the aim scatters.
    pub const NONE: Self = Self {
        allow: 0.0,
        elevation_rad: 0.0,
        speed_share: 0.0,
        line_m: 0.0,
    };

    /// Those of the level nearest to a player's arm and picture, by ratio.
    #[must_use]
    pub fn nearest(player: &AimError) -> Self {
        nearest_level(player).scatter()
    }

    /// Error of a direction that is judged, rad: `line / max(way to the first cushion, 0.3 m)`.
    #[must_use]
    pub fn line_rad(&self, first_way_m: f64) -> f64 {
        self.line_m / first_way_m.max(LINE_NEAREST_M)
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

/// The level whose arm and picture are nearest, by ratio; a part that is nought says nothing.
#[must_use]
pub fn nearest_level(player: &AimError) -> Level {
    let off = |level: &Level| {
        let own = level.aim_error();
        let part = |a: f64, b: f64| if a > 0.0 { (a / b).ln().powi(2) } else { 0.0 };
        part(player.arm_rad, own.arm_rad) + part(player.picture_m, own.picture_m)
    };
    Level::ALL
        .into_iter()
        .min_by(|a, b| off(a).total_cmp(&off(b)))
        .unwrap_or(Level::Club)
}
