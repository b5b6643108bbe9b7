//! The stick, and the ball as it leaves the tip.

use kurbo::{Point, Vec2};
use thiserror::Error;

use crate::field::Field;
use crate::motion::BallState;

/// Farther from the middle than this share of the radius the tip slips off (common practice).
pub const MISCUE_SHARE: f64 = 0.5;
/// Elevation where none is said, rad: 3° (assumption; 2 to 6° is usual over a rail).
pub const ELEVATION_RAD: f64 = 3.0 * std::f64::consts::PI / 180.0;
/// Pivot length from the ball's middle where none is said, m (assumption).
pub const PIVOT_M: f64 = 0.3;
/// Lengths of pivot that cues have, m (published range of squirt tests: low-squirt to stiff shafts).
const PIVOT_RANGE_M: (f64, f64) = (0.2, 0.6);
/// Elevations that the model is for, rad: 0 to 60° (assumption: a massé is another shot).
const MOST_ELEVATION_RAD: f64 = std::f64::consts::FRAC_PI_3;
/// Fastest ball off the tip, m/s (assumption: a hard break is near 10).
const FASTEST_M_S: f64 = 15.0;

/// A stick that cannot be held or a place where it slips.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum StickError {
    /// The tip slips off the ball.
    #[error(
        "the tip would meet the ball {off_mm:.1} mm off its middle and slip off: at most {most_mm:.1} mm, half the ball's radius"
    )]
    Miscue {
        /// Distance from the middle asked for, mm.
        off_mm: f64,
        /// The most there is, mm.
        most_mm: f64,
    },
    /// A number outside what makes sense.
    #[error("{what} is {value}; it must be {need}")]
    OutOfRange {
        /// Which one.
        what: Field,
        /// As given, in the unit of `need`.
        value: f64,
        /// What would work.
        need: &'static str,
    },
}

/// A stick at the moment it strikes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stick {
    /// Horizontal speed of the cue ball as it leaves the tip, m/s.
    pub speed_m_s: f64,
    /// Where the tip strikes, right of the middle as seen along the stick, m.
    pub across_m: f64,
    /// The same above the middle, m.
    pub height_m: f64,
    /// Elevation of the stick, rad.
    pub elevation_rad: f64,
    /// Pivot length from the ball's middle, m: a stick turned about there sends the ball where it
    /// pointed before.
    pub pivot_m: f64,
}

impl Stick {
    /// A stick that strikes the middle, with the assumed elevation and pivot.
    #[must_use]
    pub fn centre(speed_m_s: f64) -> Self {
        Self {
            speed_m_s,
            across_m: 0.0,
            height_m: 0.0,
            elevation_rad: ELEVATION_RAD,
            pivot_m: PIVOT_M,
        }
    }

    /// Whether the stick can be held like this on a ball of a radius (m).
    ///
    /// # Errors
    /// [`StickError`] naming what is out of range, or that the tip slips.
    pub fn check(&self, radius_m: f64) -> Result<(), StickError> {
        let range = |ok: bool, what, value, need| {
            if ok {
                Ok(())
            } else {
                Err(StickError::OutOfRange { what, value, need })
            }
        };
        range(
            self.speed_m_s > 0.0 && self.speed_m_s <= FASTEST_M_S,
            Field::Speed,
            self.speed_m_s,
            "above 0 and at most 15m/s",
        )?;
        range(
            (0.0..=MOST_ELEVATION_RAD).contains(&self.elevation_rad),
            Field::Elevation,
            self.elevation_rad.to_degrees(),
            "from 0deg to 60deg",
        )?;
        range(
            (PIVOT_RANGE_M.0..=PIVOT_RANGE_M.1).contains(&self.pivot_m),
            Field::Pivot,
            1e3 * self.pivot_m,
            "from 200mm to 600mm, from the ball's middle",
        )?;
        let off_m = self.across_m.hypot(self.height_m);
        if off_m <= MISCUE_SHARE * radius_m * (1.0 + 1e-9) {
            Ok(())
        } else {
            Err(StickError::Miscue {
                off_mm: 1e3 * off_m,
                most_mm: 1e3 * MISCUE_SHARE * radius_m,
            })
        }
    }

    /// Squirt, rad, positive to the left (struck on the right).
    ///
    /// `tan q = (5/2) b√(1−b²)/(1 + r + (5/2)(1−b²))`, `b = |b_x|/R`, with the end-mass ratio
    /// `r = 5 L_p/(2R) − 7/2`, so that small offsets squirt by `b_x/L_p` (Shepard 2001).
    #[must_use]
    pub fn squirt_rad(&self, radius_m: f64) -> f64 {
        let b = (self.across_m / radius_m).abs().min(1.0);
        let end_mass = 2.5 * self.pivot_m / radius_m - 3.5;
        let left = 1.0 - b * b;
        let tan = 2.5 * b * left.sqrt() / (1.0 + end_mass + 2.5 * left);
        tan.atan().copysign(self.across_m)
    }

    /// The ball of a radius as it leaves the tip at `from`, the stick pointing along `stick_rad`.
    ///
    /// With q the squirt, ε the elevation, `s = √(R² − b_x² − b_z²)`, `b_e = b_x cos q − s sin q`,
    /// `V = v₀/√(cos²q cos²ε + sin²q)`, `k = 5V/(2R²)`:
    /// `v = V(cos q cos ε f̂ + sin q l̂)`,
    /// `ω = k[(b_e sin ε − b_z sin q cos ε) f̂ + b_z cos q l̂ + (b_e cos ε + b_z sin q sin ε) ẑ]`.
    #[must_use]
    pub fn leaves(&self, radius_m: f64, from: Point, stick_rad: f64) -> BallState {
        let (sin_q, cos_q) = self.squirt_rad(radius_m).sin_cos();
        let (sin_e, cos_e) = self.elevation_rad.sin_cos();
        let (b_x, b_z) = (self.across_m, self.height_m);
        let s = (radius_m * radius_m - b_x * b_x - b_z * b_z)
            .max(0.0)
            .sqrt();
        let b_e = b_x * cos_q - s * sin_q;
        let v = self.speed_m_s / (cos_q * cos_e).hypot(sin_q);
        let k = 2.5 * v / (radius_m * radius_m);
        let spin_f = k * (b_e * sin_e - b_z * sin_q * cos_e);
        let spin_l = k * b_z * cos_q;
        let forward = Vec2::from_angle(stick_rad);
        let left = Vec2::new(-forward.y, forward.x);
        BallState {
            at: from,
            v: forward * (v * cos_q * cos_e) + left * (v * sin_q),
            // q = R(ω_y, −ω_x)
            q: forward * (radius_m * spin_l) - left * (radius_m * spin_f),
            spin_z_rad_s: k * (b_e * cos_e + b_z * sin_q * sin_e),
        }
    }
}
